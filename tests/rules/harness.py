"""Every rule at each of its levels: a drive that fires it, a neighbour that does not, on both sides of the limit.

What a finding must hold is worked out here by other means than the program's: by hand, or by the equilibrium of
tests/reference/drive_reference.py over its own sample of cases. The words of a rule are filled here as well, from the
list (include/snub/rule_list.inc), with a formatter of its own, and compared with what the program prints.

A case is a Case(...) below; files cases_*.py make lists of them. `run.py` runs them; SNUB_RULES_ONLY=grip,wrap runs
some. A wording without a case fails the suite: a new finding needs one.
"""
import hashlib
import json
import math
import os
import pickle
import re
import subprocess
import sys

SOURCE = os.environ["SNUB_SOURCE_DIR"]
SNUB = os.environ["SNUB_BIN"]
CACHE = os.path.join(os.environ.get("SNUB_BUILD_DIR", "."), "rules-reference.pickle")
sys.path.insert(0, os.path.join(SOURCE, "tests", "reference"))
import drive_reference as reference  # noqa: E402

MM, DEG, RPM, KW, MPA, KN, HOUR = 1e-3, math.pi / 180, math.pi / 30, 1e3, 1e6, 1e3, 3600.0
PERCENT, ARCMIN, KPA = 0.01, DEG / 60, 1e3
passed, failed = 0, 0


def expect(name, good, *why):
    global passed, failed
    if good:
        passed += 1
        return
    failed += 1
    if failed <= 40:
        print("FAILED", name, *why, sep="\n    ", flush=True)
    if os.environ.get("SNUB_RULES_STOP"):
        raise SystemExit(1)


# ---- the lists, read as text ---------------------------------------------------------------------------------------------

def read_lists():
    with open(os.path.join(SOURCE, "include/snub/rule_list.inc"), encoding="utf-8") as file:
        text = re.sub(r"/\*.*?\*/", "", file.read(), flags=re.S)
    rules = {m[0]: (m[1], m[2]) for m in re.findall(r'SNUB_RULE\((\w+), "(\w+)", (\w+)\)', text)}
    wordings = {}
    for rule, name, level, limit, unit, decimals, words in re.findall(
            r'SNUB_WORDING\((\w+), (\w+), (\w+), (\w+), (\w+), (\d+),\s*SNUB_MESSAGE\("((?:[^"\\]|\\.)*)"\)', text):
        wordings[name] = {"rule": rules[rule][0], "area": rules[rule][1].lower(), "level": level.lower(), "limit": limit,
                          "unit": unit, "decimals": int(decimals), "words": words.replace('\\"', '"')}
    return rules, wordings


RULES, WORDINGS = read_lists()

# Units as the program must write them: text, size in SI, zero. Written down here once more.
UNITS = {"NONE": ("", 1, 0), "COUNT": ("", 1, 0), "PERCENT": ("%", PERCENT, 0), "MM": ("mm", MM, 0), "DEG": ("deg", DEG, 0),
         "ARCMIN": ("arcmin", ARCMIN, 0), "RPM": ("rpm", RPM, 0), "RPM_S": ("rpm/s", RPM, 0), "M_S": ("m/s", 1, 0), "N": ("N", 1, 0),
         "KN": ("kN", KN, 0), "N_M": ("N m", 1, 0), "KW": ("kW", KW, 0), "KPA": ("kPa", KPA, 0), "MPA": ("MPa", MPA, 0),
         "DEGC": ("degC", 1, 273.15), "H": ("h", HOUR, 0), "MM_RPM": ("mm rpm", 1, 0)}


def shown(si, unit, decimals):
    """A value as printed: nearest, ties away from zero."""
    name, size, zero = UNITS[unit]
    scaled = (si - zero) / size * 10 ** decimals
    whole = math.floor(abs(scaled) + 0.5)
    digits = f"{whole:0{decimals + 1}d}"
    number = digits if decimals == 0 else f"{digits[:-decimals]}.{digits[-decimals:]}"
    return ("-" if scaled < 0 and whole else "") + number + (" " + name if name else "")


def apart(value, limit, unit, decimals):
    """Decimals with which a value and its limit differ in print, at most four more than usual; the usual where none will do."""
    if value is None or limit is None or value == limit:
        return decimals
    return next((decimals + more for more in range(5)
                 if shown(value, unit, decimals + more) != shown(limit, unit, decimals + more)), decimals)


def rounded(whole, si, unit, decimals):
    name, size, zero = UNITS[unit]
    return f"{whole((si - zero) / size * 10 ** decimals) / 10 ** decimals:.{decimals}f} {name}".strip()


def most(si, unit, decimals):
    """As an order is printed that must not be exceeded: rounded down."""
    return rounded(lambda x: math.floor(x + 1e-6), si, unit, decimals)


def least(si, unit, decimals):
    """As what is needed is printed: rounded up."""
    return rounded(lambda x: math.ceil(x - 1e-6), si, unit, decimals)


def fill(words, places):
    """Words with their {places}, which may have places themselves."""
    for _ in range(4):
        words = re.sub(r"\{(\w+)\}", lambda m: str(places[m[1]]) if m[1] in places else m[0], words)
    return words


def when(at):
    """"at 6200 rpm, accelerating, longest belt, worn, arm friction low" """
    if "rpm" in at and at["rpm"]:
        words = f"at {at['rpm']:.0f} rpm, {at['state']}"
    else:
        words = at.get("state", "laid out").replace("engine stopped", "with the engine stopped")
    if at.get("belt", "nominal belt") != "nominal belt":
        words += ", " + at["belt"]
    if at.get("warmth"):
        words += ", " + at["warmth"]
    if at.get("peak"):
        words += ", all loads at their torque peaks" if at["peak"] == "all" else f", {at['peak']} at its torque peak"
    if at.get("friction", "middle") != "middle":
        words += f", arm friction {at['friction']}"
    return words


# ---- the program -----------------------------------------------------------------------------------------------------------

answers = {}


def judge(text, *arguments):
    """`snub check` of a drive file's text: its JSON."""
    key = (text, arguments)
    if key not in answers:
        done = subprocess.run([SNUB, "check", "-", "--json", *arguments], input=text, capture_output=True, text=True)
        if done.returncode not in (0, 1):
            raise SystemExit(f"the case is no drive: {done.stderr or done.stdout}\n{text}")
        answers[key] = json.loads(done.stdout)
        answers[key]["exit"] = done.returncode
    return answers[key]


def pattern_of(wording):
    """A wording as a regular expression: which of a rule's sentences is it."""
    parts = re.split(r"\{\w+\}", WORDINGS[wording]["words"])
    return re.compile("^" + ".*?".join(re.escape(part) for part in parts) + "$", re.S)


def found(data, wording, **subject):
    """The finding of a wording, about what is named; None."""
    info = WORDINGS[wording]
    same_words = [w for w in WORDINGS.values() if w["words"] == info["words"]]  # then the level tells them apart
    for f in data["findings"]:
        if f["rule"] == info["rule"] and (len(same_words) == 1 or f["level"] == info["level"]) and pattern_of(wording).match(f["text"]) and \
                all(f[k] == v for k, v in subject.items()):
            return f
    return None


# ---- cases -------------------------------------------------------------------------------------------------------------------

class Case:
    """One wording.

    wording   its name in the list, "OVER_DESIGN_GRIP"
    level     "fail", "marginal", "note": written down by hand
    drive     function of one number p that gives the drive file's text; fires at `fires`, is silent at `quiet`
    subject   what the finding names: pulley=..., other=..., span=[...] (only what matters)
    value     function of p: the value in SI, worked out by other means; None: the finding has none
    limit     SI number or function of p; None: it has none
    at        {"state":, "rpm":, "belt":, "friction":} or a function of p; rpm 0 at rest, absent where laid out
    places    function of p: the places of the sentence besides pulley, other, second, value, limit, when
    threshold the limit, SI, at which `measure` turns it on, found by halving p; None where p has no such point. A function
              where it takes long to work out.
    measure   function of p, SI; `value` where it is not given: for findings whose limit moves with p, or without a value
    limit_key key under `limits:` (its SI value is written just below and just above the value), with the unit's name
    default   the limit's default, SI, by hand: what holds where the file is silent
    source    what the basis must contain
    tolerance relative, of the value (1e-6)
    arguments of `snub check` beside the file: "--set", "..."
    """

    def __init__(self, wording, level, drive, fires, quiet=None, *, subject=None, value=None, limit=None, at=None,
                 places=None, threshold=None, limit_key=None, default=None, source=None, tolerance=1e-6, near=2e-4,
                 silent_on=None, measure=None, arguments=(), sample=None):
        self.__dict__.update({k: v for k, v in locals().items() if k != "self"})
        self.subject = subject or {}
        self.silent_on = silent_on or []  # other drives (texts) that must not fire it
        self.measure = measure or value

    # -- the finding as it must be

    def check_finding(self):
        name, info = self.wording, WORDINGS[self.wording]
        data = judge(self.drive(self.fires), *self.arguments)
        f = found(data, name, **self.subject)
        expect(f"{name}: fires at {self.fires}", f is not None,
               *[f"{x['level']} {x['rule']} {x['pulley']}: {x['text']}" for x in data["findings"]])
        if f is None:
            return
        expect(f"{name}: level", f["level"] == self.level == info["level"], f"got {f['level']}, want {self.level}")
        expect(f"{name}: area", f["area"] == info["area"], f["area"])
        worst = max(["pass" if x["level"] == "note" else x["level"] for x in data["findings"]] + ["pass"],
                    key=["pass", "marginal", "fail"].index)
        expect(f"{name}: the verdict is the worst finding", data["verdict"] == worst, data["verdict"])
        expect(f"{name}: exit code", data["exit"] == (1 if worst == "fail" else 0), data["exit"])
        unit, size, zero = UNITS[info["unit"]]
        value = self.value(self.fires) if self.value else None
        limit = self.limit(self.fires) if callable(self.limit) else self.limit
        self.same(f, "value", value, size, zero)
        self.same(f, "limit", limit, size, zero)
        if value is not None:
            expect(f"{name}: unit", f["unit"] == unit, f"got {f['unit']}, want {unit}")
        at = self.at(self.fires) if callable(self.at) else self.at or {}
        self.check_at(f, at)
        if self.source:
            expect(f"{name}: basis", self.source in f["source"], f["source"])
        self.check_words(f, value, limit, at)

    def same(self, f, key, want, size, zero):
        got = f[key]
        if want is None:
            expect(f"{self.wording}: no {key}", got is None, got)
            return
        shown_want = (want - zero) / size
        close = got is not None and abs(got - shown_want) <= self.tolerance * max(abs(shown_want), 1e-9)
        expect(f"{self.wording}: {key}", close, f"got {got}, want {shown_want}, tolerance {self.tolerance}")

    def check_at(self, f, at):
        name = self.wording
        expect(f"{name}: state", f["state"] == at.get("state", "laid out"), f"got {f['state']}, want {at}")
        rpm = at.get("rpm")
        same = f["at_rpm"] is None if rpm is None else f["at_rpm"] is not None and abs(f["at_rpm"] - rpm) < 1e-6 * max(rpm, 1)
        expect(f"{name}: speed", same, f"got {f['at_rpm']}, want {rpm}")
        if "belt" in at:
            expect(f"{name}: belt", f["belt"] == at["belt"], f"got {f['belt']}, want {at['belt']}")
        expect(f"{name}: warmth", f["warmth"] == at.get("warmth"), f"got {f['warmth']}, want {at.get('warmth')}")
        expect(f"{name}: peak", f["peak"] == at.get("peak"), f"got {f['peak']}, want {at.get('peak')}")
        if "friction" in at:
            expect(f"{name}: arm friction", f["arm_friction"] == at["friction"],
                   f"got {f['arm_friction']}, want {at['friction']}")

    def check_words(self, f, value, limit, at):
        info = WORDINGS[self.wording]
        places = {k: v for k, v in (("pulley", f["pulley"]), ("other", f["other"])) if v is not None}
        if f["span"]:
            places["other"], places["second"] = f["span"]
        decimals = apart(value, limit, info["unit"], info["decimals"])
        if value is not None:
            places["value"] = shown(value, info["unit"], decimals)
        if limit is not None:
            places["limit"] = shown(limit, info["unit"], decimals)
        places["when"] = when(at)
        places.update(self.places(self.fires) if self.places else {})
        want = fill(info["words"], places)
        expect(f"{self.wording}: words", f["text"] == want, f"got  {f['text']}", f"want {want}")
        expect(f"{self.wording}: no place is left open", "{" not in f["text"], f["text"])

    # -- the neighbours

    def fires_at(self, text):
        return found(judge(text, *self.arguments), self.wording, **self.subject) is not None

    def check_neighbours(self):
        name = self.wording
        if self.quiet is not None:
            expect(f"{name}: silent at {self.quiet}", not self.fires_at(self.drive(self.quiet)))
        for text in self.silent_on:
            expect(f"{name}: silent on its other neighbour", not self.fires_at(text), text)
        if self.limit_key:
            self.check_own_limit()
        if self.threshold is not None:
            self.check_threshold()

    def check_own_limit(self):
        """Just under the value, and just over it; and the default where the file is silent."""
        key, unit = self.limit_key
        name, size, zero = UNITS[unit]
        value = self.value(self.fires)
        low, high = value * (1 - self.near), value * (1 + self.near)
        sides = [self.fires_at(self.drive(self.fires) + f"\nlimits: {{{key}: {(one - zero) / size:.12g}}}\n")
                 for one in (low, high)]
        over = value > self.default
        expect(f"{self.wording}: fires on one side of limits.{key} alone", sides == [over, not over],
               f"value {value}: just under the limit's other side {sides}")

    def check_threshold(self):
        """Between silent and firing: where `measure` is the limit, it fires on one side and not on the other."""
        low, high = self.quiet, self.fires
        if self.fires_at(self.drive(low)) or not self.fires_at(self.drive(high)):
            return  # told already
        limit = self.threshold() if callable(self.threshold) else self.threshold
        if not self.cross(low, high, limit):
            self.halve(low, high, limit)

    def cross(self, low, high, limit):
        """Two looks just beside the place where `measure` says that it is; False where it does not say one at little cost."""
        before = reference.SOLVED
        off = [self.measure(low) - limit, self.measure(high) - limit]
        near = 1e-4 * abs(limit) + 5e-5 * abs(off[1] - off[0])
        if reference.SOLVED - before > 40 or not min(off) < -near < near < max(off):
            return False
        sign = 1 if off[1] > 0 else -1
        for side, fires in ((-near, False), (near, True)):
            p, value = self.beside(limit + sign * side, [low, high], [sign * one - side for one in off], sign, 0.1 * near)
            if p is None:
                return False  # it jumps there
            got = self.fires_at(self.drive(p))
            expect(f"{self.wording}: turns on at its limit", got == fires, f"p = {p}: {value}, limit {limit}, fires: {got}")
        return True

    def beside(self, wanted, ends, off, sign, near):
        """p between the ends, `off` by so much, where `measure` is what is wanted, +- near, and what it is; None where it jumps."""
        for turn in range(60):
            a, b = ends
            # the chord, every third time the middle
            p = float(0.5 * (a + b) if turn % 3 == 2 else a - off[0] * (b - a) / (off[1] - off[0]))
            value = self.measure(p)
            over = sign * (value - wanted)
            if abs(over) < near:
                return p, value
            k = 1 if over > 0 else 0
            ends[k], off[k] = p, over
        return None, None

    def halve(self, low, high, limit):
        """Halve p between silent and firing; there the value is the limit."""
        for halvings in (11, 6):  # the first are enough where the value does not change much with p
            for _ in range(halvings):
                middle = 0.5 * (low + high)
                if self.fires_at(self.drive(middle)):
                    high = middle
                else:
                    low = middle
            values = [self.measure(low), self.measure(high)]
            if abs(values[0] - values[1]) <= 1e-3 * abs(limit):
                break
        wide = abs(values[0] - values[1]) + 2e-3 * abs(limit)
        expect(f"{self.wording}: turns on at its limit", min(values) - wide <= limit <= max(values) + wide,
               f"between p = {low} ({values[0]}) and {high} ({values[1]}), limit {limit}")


# ---- the equilibrium by other means -----------------------------------------------------------------------------------------

WAYS = {"steady": 0.0, "accelerating": 1.0, "overrun": -1.0, "closed throttle": 0.0, "no-lift shift": -1.0,
        "throttle blip": 1.0, "after a blip": -1.0}


def tolerance_of(length):
    """+- on an effective length, m: classes by length."""
    for most, tolerance in ((1.0, 5e-3), (1.2, 6e-3), (1.5, 8e-3), (2.0, 9e-3), (2.5, 10e-3)):
        if length <= most:
            return tolerance
    return 0.004 * length


EVERYTHING = bool(os.environ.get("SNUB_RULES_EVERYTHING"))  # also what other cases have asked by the same path


class Sample:
    """A drive of load tables over a sample of its cases: the worst of each quantity with where it was met.

    speeds are the program's own (idle to redline in 40 steps, and where a table bends), thinned out; at each all belts,
    ways and edges of friction. nominal: of the nominal belt alone."""

    def __init__(self, text, every=20, nominal=False):
        self.text, self.every, self.nominal, self.cases = text, every, nominal, None

    def solve(self):
        import yaml
        entry = yaml.safe_load(self.text)
        engine = entry.get("engine")
        q = reference.quantity
        rate = {w: 0.0 for w in WAYS}
        speeds = [0.0]
        if engine:
            idle, redline = q(engine["idle"], "speed"), q(engine["redline"], "speed")
            speeds += [idle + (redline - idle) * k / 40 for k in range(0, 41, self.every)]
            for w, sign in WAYS.items():
                rate[w] = self.rate_of(engine, w) * sign if sign else 0.0
        belt = entry["belt"]
        length, worn = q(belt["length"], "length"), float(belt.get("worn", 0.0))
        tolerance = q(belt["tolerance"], "length") if "tolerance" in belt else tolerance_of(length)
        corners = {"nominal belt": (length, float(belt.get("stretch", 0))), "shortest belt": (length - tolerance, 0.0),
                   "longest belt, worn": (length + tolerance, worn)}
        sides = {"low": -1.0, "middle": 0.0, "high": 1.0}
        drive, settings = reference.Drive(self.text), {}
        once = any(p.get("retension") is False for p in entry["pulleys"])
        grows = bool(drive.growth or drive.belt.growth)
        if drive.lock_index is not None:  # set with each belt as it is fitted; set once, the longest wears after that
            for corner, (effective, stretch) in corners.items():
                drive.belt.effective = effective
                drive.belt.stretch = float(belt.get("stretch", 0)) if corner == "longest belt, worn" and once else stretch
                reference.set_lock(drive)
                settings[corner] = list(drive.settings)
        self.cases, solved = [], {}
        for speed in speeds:
            for way in (["steady"] if speed == 0 else WAYS):
                if speed and WAYS[way] and rate[way] == 0:
                    continue
                for warm, corner in [(warm, corner) for warm in ([speed > 0, not speed > 0] if grows else [False])
                                     for corner in corners]:
                    effective, stretch = corners[corner]
                    for friction, side in sides.items():
                        if drive.arm is None and side:
                            continue
                        if self.nominal and corner != "nominal belt":
                            continue
                        if corner != "nominal belt" and not side and drive.arm is not None:
                            continue
                        drive.belt.effective, drive.belt.stretch = effective, stretch
                        if corner in settings:
                            drive.settings, drive.lock_index = settings[corner], None
                        at = {"rpm": speed / RPM, "state": way if speed else "engine stopped", "belt": corner, "friction": friction}
                        if grows:
                            at["warmth"] = "warm" if warm else "cold"
                        same = (speed, rate[way] if speed else 0.0, warm, corner, friction)  # two ways of one rate are one state
                        if same not in solved:
                            try:
                                answer = reference.solve(drive, speed, same[1], side, warm=warm)
                                solved[same] = answer, self.gather(drive, answer)
                            except reference.NoEquilibrium:
                                solved[same] = None
                        if solved[same] is None:
                            continue
                        answer, gathered = solved[same]
                        self.cases.append((at, gathered))
                        peaks = [p.name for p in drive.pulleys if p.peak > 1] if speed else []
                        for names in [[n] for n in peaks] + ([peaks] if len(peaks) > 1 else []):
                            held = reference.held(drive, answer, speed, rate[way], side, warm, names)
                            moment = {**at, "peak": names[0] if len(names) == 1 else "all"}
                            self.cases.append((moment, {**self.gather(drive, held), "power": -math.inf}))

    @staticmethod
    def rate_of(engine, way):
        """Fastest change of engine speed, as a size. After a blip: the lower of the blip's own and the fastest loss."""
        q = reference.quantity
        given = {k: q(engine.get(k, 0), "speed") for k in ("accel_rate", "decel_rate", "blips")}
        if way == "after a blip":
            return min(given["blips"], given["decel_rate"] or math.inf)
        return given[{"accelerating": "accel_rate", "throttle blip": "blips"}.get(way, "decel_rate")]

    @staticmethod
    def gather(drive, a):
        names = [p.name for p in drive.pulleys]
        out = {"wind": a.wind, "where": a.where, "belt_speed": a.state.belt_speed,
               "power": -float(a.torque[drive.crank]) * abs(float(a.speed[drive.crank])),
               "tension": float(max(a.exit)), "span": int(a.exit.argmax()), "equilibria": getattr(a, "equilibria", 1)}
        wet = 0.35  # docs/theory/grip.md
        out["nose"] = abs(float(a.torque[drive.crank]))
        for i, n in enumerate(names):
            out[f"wrap {n}"] = float(a.path.wrap[i])
            out[f"grip {n}"] = float(a.grip["design"][i])
            out[f"limit {n}"] = float(a.grip["limit"][i])
            out[f"wet {n}"] = float(a.grip["limit"][i]) / (1 - wet)
            out[f"span {n}"] = float(a.exit[i] - a.state.flux)
            out[f"speed {n}"] = abs(float(a.speed[i]))
            out[f"hub {n}"] = abs(complex(a.hub[i]))
            out[f"force {n}"] = complex(a.hub[i])
            # a shaft drags its housing along: clockwise, as the crank turns, but for what runs on the belt's back
            absorbed = drive.pulleys[i].torque(abs(float(a.speed[i]))) if i != drive.crank else 0.0
            out[f"reaction {n}"] = absorbed * (1 if drive.pulleys[i].back else -1)
        return out

    def load(self):
        if self.cases is not None:
            return
        key = (self.text, self.every, self.nominal, GATHERED)
        if key not in STORE:
            self.solve()
            STORE[key] = self.cases
            STORE["changed"] = True
        else:
            reference.SOLVED += len(STORE[key])  # as if it had been
        self.cases = STORE[key]

    def worst(self, what, most=True, keep=lambda at: True):
        """(value, at) of the greatest or least."""
        self.load()
        best = None
        for at, values in self.cases:
            if not keep(at):
                continue
            if best is None or (values[what] - best[0] if most else best[0] - values[what]) > 1e-12 * abs(best[0]):
                best = (values[what], at)
        return best

    def value(self, what, most=True, keep=lambda at: True):
        return self.worst(what, most, keep)[0]

    def at(self, what, most=True, keep=lambda at: True):
        return self.worst(what, most, keep)[1]


STORE = {}
GATHERED = 4  # raised with what `gather` keeps: a store of before lacks it


def made_by():
    """What works the references out: a store of other sources is stale."""
    digest = hashlib.sha256()
    for path in ("tests/rules/harness.py", "tests/rules/cases_air.py", "tests/reference/drive_reference.py"):
        with open(os.path.join(SOURCE, path), "rb") as file:
            digest.update(file.read())
    return digest.hexdigest()


def open_store():
    """References that were worked out before, by the text of the drive: runs over mutants need them many times."""
    try:
        with open(CACHE, "rb") as file:
            source, store = pickle.load(file)
        if source == made_by():
            STORE.update(store)
    except (OSError, EOFError, ValueError, pickle.UnpicklingError):
        pass


def close_store():
    if STORE.pop("changed", False):
        try:
            with open(CACHE + f".{os.getpid()}", "wb") as file:
                pickle.dump((made_by(), STORE), file)
            os.replace(CACHE + f".{os.getpid()}", CACHE)
        except OSError:
            pass


# ---- running ---------------------------------------------------------------------------------------------------------------

def run(cases, over_all):
    only = set(filter(None, os.environ.get("SNUB_RULES_ONLY", "").split(",")))
    open_store()
    for case in cases:
        if only and WORDINGS[case.wording]["rule"] not in only and case.wording not in only:
            continue
        case.check_finding()
        case.check_neighbours()
    if not only:
        covered = {case.wording for case in cases}
        for wording in WORDINGS:
            expect(f"{wording} has a case", wording in covered)
        over_all(cases)
    close_store()
    print(f"{passed} passed, {failed} failed")
    return failed == 0
