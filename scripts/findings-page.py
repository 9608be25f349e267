#!/usr/bin/env python3
"""Writes docs/guide/findings.md, the page of all rules, from the lists that the program is made of.

Usage: findings-page.py [SOURCE_DIR]           print the page
       findings-page.py --check [SOURCE_DIR]   compare docs/guide/findings.md with it; changes nothing
       findings-page.py --self-test            check that made-up lists are read well, and that a wrong page is found
Reads include/snub/rule_list.inc, include/snub/limit_list.inc and src/base/shown_units.c. After a change of a list:
    scripts/findings-page.py >docs/guide/findings.md
The last line of --check and --self-test is `N passed, N failed`.
"""
import itertools
import re
import sys
import textwrap

import tally

WIDTH = 120
PAGE = "docs/guide/findings.md"

INTRODUCTION = """\
# Findings: every rule

<!-- Made by scripts/findings-page.py from include/snub/rule_list.inc and limit_list.inc: change those, not this page. -->

A build is judged by all of these rules, whichever command or page shows it. A finding names its rule, its worst case and
what to do about it. Findings are listed worst first (level, then how many times over or under the limit), then in the order of this page; a rule's id is its anchor here:
[#grip](#grip).

| level | means | on the fitting sheet |
|---|---|---|
| fail | do not run it, do not release it | DO NOT FIT on every page, no steps |
| marginal | decide before you release it | in full on page 1 |
| note | read it once | not printed; the chart sheet and the report have it |

The verdict of a build is its worst level; notes alone pass. The exit code is 1 where a build fails, 0 where it does not,
2 where there is no answer.

**What a verdict leaves out.** A limit or a part that the file does not give is not judged: a shaft without `max_speed` is never too
fast. Beside each verdict stands what was left out so, with the key that has it judged: `max_speed` and `max_hub` of what is driven,
`blower.max_rotor_speed`, `max_hub` and `max_torque` of the crank, `bearing` of what idles, `mount` (or a `standoff`) of idlers and
blowers that are not `supply: kept`, `thickness` and `width` of the `bracket` that a pulley stands on, `plane` (or a `stack`), `obstacles`, and what the swing by the uneven crank goes by. With `--json`
it is `not_judged`: `what`, `key`, `pulleys`, `text` of each. `snub compare` lists it beneath each side, or once where it is the same;
`snub tolerate` and `snub search` too, since kits do not fail and candidates do not break by what is not looked at.

**One finding for a thing.** A rule speaks once for each pulley, span, bolt or pair, in its worst level, and of the worst of
its cases: engine speed, steady or accelerating or in overrun, belt in tolerance, edge of the arm's friction. Which cases those are:
[theory/findings.md](../theory/findings.md). With `--json` a finding has `level`, `rule`, `area`, `pulley`, `other`, `span`,
`line` (of the drive file), `value`, `limit`, `unit`, `at_rpm`, `state`, `belt`, `warmth`, `arm_friction`, `with` (the range and its end at which it was met: `path`, `value`), `shown_by` (options of `snub check` that show the case), `case` (the same for programs: `engine_rpm`, `case`, `belt`, `arm_friction`, `warmth`, `peak` in the words of `state` in `snub check --json`, and in `set` what it changes in the file), `changes` (values that the words propose: `path`, `value`; an empty list where they propose none), `text` and `source`; what
does not apply is `null`.

**Limits.** A limit with a key can be set under `limits:` in the drive file, within the bounds given here; the basis that is
printed is then the file and its line, or that it was changed for the build. The other limits are fixed, or follow from the file's own numbers. "Rule of thumb" and
"common practice" mean what they say: the number has no published source.

Words in italics are filled in: _value_ and _limit_ with their unit, _when_ with speed, state, belt and friction.
"""

# In the order of the program: title, and who shows the area in detail. No title may be a rule's id: both are anchors.
AREAS = {
    "BELT": ("Belt and pulleys", "`snub check`"),
    "ARM": ("Arm and slot", "`snub check`"),
    "SLIP": ("Grip and slack", "`snub check`; `snub sweep` shows them beside its curves"),
    "MOTION": ("Motion", "`snub check`; `snub motion` shows them beside what swings"),
    "AIR": ("Blower and air", "`snub check`; `snub sweep` shows them beside its curves"),
    "CLEARANCE": ("Clearance", "`snub check`; `snub mount` shows them beside the hardware"),
    "FITTING": ("Putting the belt on", "`snub check`"),
    "HARDWARE": ("Hardware", "`snub mount`"),
}
# What a rule looks at, where its words do not say so.
REMARKS = {
    "smallest_pulley": "On the belt's back the outside diameter counts, on its ribs the effective one. A blower's pulley has "
                       "a limit of its own beside the belt's: `blower_diameter_6` up to 6 ribs, `blower_diameter_8` over that.",
    "belt_back": "The value is the range of the default, 0.2 to 1.5 mm, times the wrap of all pulleys on the back, engine stopped. It "
                 "is compared with the step to the next belt of the stock; without a stock, and without a length in the file, "
                 "with 1 mm. Silent where `belt.back` or `belt.outside` is given, in the file or by the belt's part.",
    "wrap": "Looked at on the crank, on blowers, on the arm's pulley and on pulleys with a load, each against a limit of its "
            "own.",
    "arm_travel": "Free position and stop are checked in every case, the work range with the engine stopped and in steady running.",
    "swing_slack": "The amplitude of a span's tension against what it carries, momentum taken off. Orders of the crank are put together by the root of "
                   "the sum of their squares (fail) and by their sum (marginal): [theory](../theory/motion.md#what-is-judged).",
    "swing_slip": "At the peak of the swing, not looked at where a span hangs loose or the pulley slips without a swing.",
    "swing_stop": "Not looked at where a span hangs loose.",
    "resonance": "A main order and a natural frequency, crank held. Near idle is within `resonance_margin` of it.",
    "swing_assumed": "What the rules of motion would say by inertias that the file does not give; the gravest alone. It takes the place of all of them.",
    "inertia_missing": "What has a load or a blower and no `inertia`. Told where in all it is over a tenth of the greatest tension.",
    "gap": "Pulleys and spans against each other, with the arm at either end of where it works. A span's flap (limit `flap`) "
           "is taken off.",
    "obstacle": "The belt and the pulleys against the file's obstacles, where the drive runs, with the engine stopped, and with the arm at "
                "either end of its travel. An obstacle's own `gap` takes the place of the limit.",
    "bearing_n_dm": "Looked at where the bearing's `seal` is contact or not given, and on every bearing where the file sets "
                    "the limit.",
}
LEVELS = ("FAIL", "MARGINAL", "NOTE")
# Rules that look at a limit that none of their wordings names.
ALSO_READ = {"FLAP": ("gap", "obstacle"), "GRIP_SLIP": ("grip_wet",), "RESONANCE_MARGIN": ("resonance",)}


class ListError(Exception):
    """A list that this script cannot read."""


# ---- reading C --------------------------------------------------------------------------------------------------------

TOKEN = re.compile(r'\s+|"(?:[^"\\]|\\.)*"|\w[\w.+-]*|.', re.S)
COMMENT = re.compile(r"/\*.*?\*/", re.S)


def string_of(tokens, defines):
    """Text of an argument: literals joined, SNUB_MESSAGE and #defined names looked through; None for 0."""
    text, seen = "", False
    for token in tokens:
        if token.startswith('"'):
            text, seen = text + re.sub(r"\\(.)", r"\1", token[1:-1]), True
        elif token in defines:
            text, seen = text + defines[token], True
        elif token not in ("SNUB_MESSAGE", "(", ")", "0"):
            raise ListError(f"cannot read {' '.join(tokens)}")
    return text if seen else None


def calls(text, names):
    """(name, [tokens of each argument]) of every NAME(...) in the text."""
    tokens = [t for t in TOKEN.findall(COMMENT.sub(" ", text)) if not t.isspace()]
    at = 0
    while at < len(tokens):
        if tokens[at] not in names or tokens[at + 1:at + 2] != ["("]:
            at += 1
            continue
        name, depth, arguments = tokens[at], 0, [[]]
        for at in range(at + 1, len(tokens)):
            token = tokens[at]
            depth += (token == "(") - (token == ")")
            if depth == 0:
                break
            if token == "," and depth == 1:
                arguments.append([])
            elif not (token == "(" and depth == 1):
                arguments[-1].append(token)
        if depth:
            raise ListError(f"{name} does not end")
        yield name, arguments
        at += 1


def without_defines(text, defines):
    """The text without its preprocessor lines; their strings go into `defines`."""
    kept = []
    for line in text.splitlines():
        found = re.match(r"\s*#\s*define\s+(\w+)\s+(SNUB_MESSAGE.*)$", line)
        if found:
            defines[found[1]] = string_of([t for t in TOKEN.findall(found[2]) if not t.isspace()], {})
        if not line.lstrip().startswith("#"):
            kept.append(line)
    return "\n".join(kept)


def read_units(text):
    return dict(re.findall(r'\[SNUB_UNIT_(\w+)\] = \{(?:SNUB_MESSAGE\()?"([^"]*)"', text))


def read_limits(text, units):
    """Limits by name, in order: key, default, least, most, unit, basis."""
    defines, limits = {}, {}
    for _, arguments in calls(without_defines(text, defines), {"SNUB_LIMIT"}):
        if len(arguments) != 9:
            raise ListError(f"SNUB_LIMIT of {len(arguments)} arguments")
        name, key, _, unit, *numbers, basis, _ = arguments
        limits[name[0]] = {"key": string_of(key, {}), "unit": units[unit[0]], "basis": string_of(basis, defines),
                           **dict(zip(("default", "least", "most"), (float("".join(n)) for n in numbers)))}
    return limits


def read_rules(text):
    """Rules in order: id, area, wordings with level, limit's name or None, words, basis or None."""
    rules = {}
    for name, arguments in calls(without_defines(text, {}), {"SNUB_RULE", "SNUB_WORDING"}):
        if name == "SNUB_RULE":
            rules[arguments[0][0]] = {"id": string_of(arguments[1], {}), "area": arguments[2][0], "wordings": []}
            continue
        if len(arguments) != 8:
            raise ListError(f"SNUB_WORDING of {len(arguments)} arguments")
        rule, _, level, limit, _, _, words, basis = arguments
        rules[rule[0]]["wordings"].append({
            "level": level[0], "limit": None if limit[0] == "SNUB_NO_LIMIT" else limit[0].removeprefix("SNUB_LIMIT_"),
            "words": string_of(words, {}), "basis": string_of(basis, {})})
    return list(rules.values())


def faults(rules, limits):
    """What is wrong with the lists as such."""
    ids = [rule["id"] for rule in rules]
    for id_ in (*REMARKS, *(one for some in ALSO_READ.values() for one in some)):
        if id_ not in ids:
            yield f"{id_}: this script speaks of it, the list does not"
    for rule in rules:
        if not rule["wordings"]:
            yield f"{rule['id']}: no wording"
        if ids.count(rule["id"]) > 1:
            yield f"{rule['id']}: stands twice"
        if rule["area"] not in AREAS:
            yield f"{rule['id']}: unknown area {rule['area']}"
        if rule["id"] in (title.lower().replace(" ", "-") for title, _ in AREAS.values()):
            yield f"{rule['id']}: a section has this anchor"
        for wording in rule["wordings"]:
            if wording["level"] not in LEVELS:
                yield f"{rule['id']}: unknown level {wording['level']}"
            if wording["limit"] is not None and wording["limit"] not in limits:
                yield f"{rule['id']}: unknown limit {wording['limit']}"
            if wording["limit"] is None and wording["basis"] is None:
                yield f"{rule['id']}: neither limit nor basis"


# ---- writing ----------------------------------------------------------------------------------------------------------

def number(value):
    """Thousands apart from 10 000 on, as in all pages."""
    return f"{value:,.10g}".replace(",", " ") if abs(value) >= 10000 else f"{value:.10g}"


def with_unit(value, unit):
    return number(value) + (f" {unit}" if unit else "")


def italics(words):
    """{place} as _place_, in code as PLACE; a blank where a place brings its own."""
    words = re.sub(r"(?<=[\w},.])\{", " {", words)
    words = re.sub(r"\}(?=\w)", "} ", words)
    parts = words.split("`")
    parts[1::2] = [re.sub(r"\{(\w+)\}", lambda m: m[1].upper(), code) for code in parts[1::2]]
    return re.sub(r"\{(\w+)\}", r"_\1_", "`".join(parts))


def wrapped(text, first="", indent=""):
    lines = textwrap.wrap(text, WIDTH, initial_indent=first, subsequent_indent=indent, break_long_words=False,
                          break_on_hyphens=False)
    for line in lines[1:]:
        if re.match(r"\s*([-+*#>]|\d+[.)])\s", line):
            raise ListError(f"would read as markup: {line}")
    return lines


def limit_sentence(wording, limits):
    basis = wording["basis"]
    if wording["limit"] is None:
        return f"Basis: {basis}."
    limit = limits[wording["limit"]]
    return (f"Limit `{limit['key']}`: {with_unit(limit['default'], limit['unit'])}; may be set from "
            f"{number(limit['least'])} to {with_unit(limit['most'], limit['unit'])}. Basis: {basis or limit['basis']}.")


def rule_section(rule, limits):
    lines = [f"### `{rule['id']}`", ""]
    for sentence, group in itertools.groupby(rule["wordings"], lambda w: limit_sentence(w, limits)):
        for wording in group:
            lines += wrapped(f"**{wording['level'].lower()}**: {italics(wording['words'])}", "- ", "  ")
        lines += ["", *wrapped(sentence), ""]
    if rule["id"] in REMARKS:
        lines += [*wrapped(REMARKS[rule["id"]]), ""]
    return lines


def limit_table(rules, limits):
    lines = ["## All limits", "",
             "Keys of `limits:` in the drive file, with what holds where the file is silent.", "",
             "| key | default | bounds, in the same unit | basis | read by |", "|---|---|---|---|---|"]
    for name, limit in limits.items():
        readers = [r["id"] for r in rules if any(w["limit"] == name for w in r["wordings"])]
        readers += [id_ for id_ in ALSO_READ.get(name, ()) if id_ not in readers]
        lines.append(f"| `{limit['key']}` | {with_unit(limit['default'], limit['unit'])} | {number(limit['least'])} to "
                     f"{number(limit['most'])} | {limit['basis']} | {', '.join(f'[{r}](#{r})' for r in readers)} |")
    return lines


def page_of(rules, limits):
    lines = INTRODUCTION.splitlines()
    for area, (title, shown) in AREAS.items():
        own = [rule for rule in rules if rule["area"] == area]
        lines += ["", f"## {title}", "", f"Area `{area.lower()}`. In detail: {shown}.", ""]
        for rule in own:
            lines += rule_section(rule, limits)
        while lines[-1] == "":
            lines.pop()
    lines += ["", *limit_table(rules, limits)]
    return "\n".join(lines) + "\n"


# ---- commands ---------------------------------------------------------------------------------------------------------

def read_lists(top):
    def text(name):
        return (top / name).read_text(encoding="utf-8")
    limits = read_limits(text("include/snub/limit_list.inc"), read_units(text("src/base/shown_units.c")))
    return read_rules(text("include/snub/rule_list.inc")), limits


def sections(page):
    """Heading -> text of each section, the heading included."""
    parts = re.split(r"^(?=#{1,3} )", page, flags=re.M)
    return {part.split("\n", 1)[0]: part for part in parts if part}


def compare(page, there):
    """(checks, messages) of a page that is there against the one that should be."""
    wanted, found = sections(page), sections(there)
    messages = [f"{PAGE}: {heading}: {'differs' if heading in found else 'is missing'}"
                for heading, text in wanted.items() if found.get(heading) != text]
    messages += [f"{PAGE}: {heading}: is in no list" for heading in found if heading not in wanted]
    if not messages and page != there:
        messages.append(f"{PAGE}: its sections stand in another order")
    return len(wanted) + 1, messages


def check(top):
    try:
        rules, limits = read_lists(top)
        messages = list(faults(rules, limits))
        if messages:
            return len(rules) + len(messages), messages
        path = top / PAGE
        return compare(page_of(rules, limits), path.read_text(encoding="utf-8") if path.is_file() else "")
    except (ListError, OSError, KeyError, ValueError) as trouble:
        return 1, [f"the lists cannot be read: {trouble}"]


MADE_UP_UNITS = '[SNUB_UNIT_NONE] = {"", ""},\n[SNUB_UNIT_MM] = {"mm", "_mm"},\n'
MADE_UP_LIMITS = ('#define THUMB SNUB_MESSAGE("rule of thumb")\n'
                  'SNUB_LIMIT(GAP, "gap", LENGTH, MM, 6, 0, 20000, THUMB, "a gap") /* SNUB_LIMIT(NOT, "x", A, MM, 1, 1, 1, "", "") */\n'
                  'SNUB_LIMIT(SPEED, "speed", NUMBER, NONE, 5e6, 1.5, 1e7, "a \\"book\\"", "")\n#undef THUMB\n')
MADE_UP_RULES = ('SNUB_RULE(GAP, "space", CLEARANCE)\n'
                 'SNUB_WORDING(GAP, CROSS, FAIL, SNUB_LIMIT_GAP, MM, 1,\n'
                 '    SNUB_MESSAGE("{one} (no. 1, or 2) touches "\n        "{two}{flap}{arm}."), 0)\n'
                 'SNUB_WORDING(GAP, LOW, NOTE, SNUB_NO_LIMIT, MM, 1,\n'
                 '    SNUB_MESSAGE("{gaps}from {from}: `{one}`."), SNUB_MESSAGE("b"))\n')
MADE_UP_SECTION = """### `space`

- **fail**: _one_ (no. 1, or 2) touches _two_ _flap_ _arm_.

Limit `gap`: 6 mm; may be set from 0 to 20 000 mm. Basis: rule of thumb.

- **note**: _gaps_ from _from_: `ONE`.

Basis: b.

"""


def self_test():
    limits = read_limits(MADE_UP_LIMITS, read_units(MADE_UP_UNITS))
    rules = read_rules(MADE_UP_RULES)
    page = page_of(rules, limits)
    spoken_of = len(list(faults(rules, limits)))  # REMARKS and ALSO_READ speak of the program's own rules
    broken = [read_rules(MADE_UP_RULES.replace(*change)) for change in
              (("SNUB_LIMIT_GAP", "SNUB_LIMIT_GAB"), ("NOTE", "NOTICE"), ("CLEARANCE)", "CLEAR)"), ('"space"', '"hardware"'))]
    cases = [
        ("limits", list(limits), ["GAP", "SPEED"]),
        ("basis", [limit["basis"] for limit in limits.values()], ["rule of thumb", 'a "book"']),
        ("numbers", number(limits["SPEED"]["default"]), "5 000 000"),
        ("section", "\n".join(rule_section(rules[0], limits)) + "\n", MADE_UP_SECTION),
        ("faults", [len(list(faults(one, limits))) - spoken_of for one in broken], [1, 1, 1, 1]),
        ("the page itself", compare(page, page)[1], []),
        ("a number changed", len(compare(page, page.replace(": 6 mm", ": 7 mm"))[1]), 1),
        ("a section lost", len(compare(page, page.replace(MADE_UP_SECTION.rstrip("\n"), ""))[1]), 2),
        ("a section too many", len(compare(page, page + "### `more`\n")[1]), 1),
        ("no page", len(compare(page, "")[1]), len(sections(page))),
    ]
    return tally.run_cases(cases)


def show(top):
    rules, limits = read_lists(top)
    wrong = list(faults(rules, limits))
    print(*wrong, sep="\n", end="\n" if wrong else "", file=sys.stderr)
    sys.stdout.write("" if wrong else page_of(rules, limits))
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(tally.page_main(self_test, check, show))
