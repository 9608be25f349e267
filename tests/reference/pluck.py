"""Plucked spans against SciPy's least squares; sounds that are made up: what is heard of them, how often the 95 % hold, what is refused.

Usage: pluck.py SNUB. The last line is `N passed, N failed`."""
import json
import math
import os
import pathlib
import subprocess
import sys
import tempfile

import numpy as np
import scipy.stats
from scipy.optimize import least_squares

from wav_made import pluck, tone, wav

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent.parent / "cli"))
import tally  # noqa: E402
from tally import check  # noqa: E402

SNUB = sys.argv[1]
RATE = 44100


def ask(folder, text):
    path = os.path.join(folder, "readings.yaml")
    pathlib.Path(path).write_text(text, encoding="utf-8")
    done = subprocess.run([SNUB, "measure", "pluck", path, "--json"], capture_output=True, text=True, timeout=300)
    return done.returncode, json.loads(done.stdout) if done.returncode != 2 else None, done.stderr


def near(name, got, want, tolerance):
    check(name, abs(got - want) <= tolerance, f"got {got!r}, want {want!r}, tolerance {tolerance!r}")


# ---- frequencies that are given -------------------------------------------------------------------------------------------

def beam(tension, mass, bending, length, n=1):
    return n / (2 * length) * math.sqrt((tension + bending * (n * math.pi / length) ** 2) / mass)


def by_scipy(mass, bending, errors, rows):
    """rows: (name, length, harmonic, frequency). Unknowns: tension, mass, bending, a length of each name."""
    names = list(dict.fromkeys(r[0] for r in rows))
    read = [mass, bending] + [next(r[1] for r in rows if r[0] == name) for name in names]
    sigma = [errors["mass"], errors["bending_stiffness"]] + [errors["length"]] * len(names)

    def residual(x):
        plucks = [(beam(1000 * x[0], x[1] * mass, x[2] * bending, x[3 + names.index(r[0])], r[2]) - r[3]) / errors["frequency"] for r in rows]
        unit = [mass, bending] + [1] * len(names)
        return np.array(plucks + [(x[1 + i] * unit[i] - read[i]) / sigma[i] for i in range(len(read))])
    fit = least_squares(residual, [0.4, 1, 1] + read[2:], xtol=1e-15, ftol=1e-15, gtol=1e-15, x_scale="jac")
    return 1000 * fit.x[0], 1000 * math.sqrt(np.linalg.inv(fit.jac.T @ fit.jac)[0, 0]), 2 * fit.cost


def draw(r, mass=0.13, bending=0.03, tension=480.0):
    errors = {"frequency": 0.6, "length": 0.001, "mass": 0.003, "bending_stiffness": 0.008}
    spans = [("a", 0.12), ("b", 0.2), ("c", 0.31)]
    true = {name: length + r.normal(0, errors["length"]) for name, length in spans}
    m, e = mass + r.normal(0, errors["mass"]), max(bending + r.normal(0, errors["bending_stiffness"]), 0.001)
    rows = [(name, length, n, beam(tension, m, e, true[name], n) + r.normal(0, errors["frequency"]))
            for name, length in spans for n in (1, 1, 2)]
    return mass, bending, errors, rows


def write(mass, bending, errors, rows):
    return "\n".join(
        ["snub: 1", f"mass: {mass!r}", f"bending_stiffness: {bending!r}",
         "errors: {" + ", ".join(f"{k}: {v * 1000 if k == 'length' else v!r}" for k, v in errors.items()) + "}", "spans:"] +
        [f"  - {{span: [{name}, z], length: {length * 1000!r}, harmonic: {n}, frequency: {f!r}}}" for name, length, n, f in rows]) + "\n"


def given(folder):
    r = np.random.default_rng(5)
    hits = refused = 0
    for i in range(60):
        readings = draw(r)
        code, d, err = ask(folder, write(*readings))
        if d is None:
            check("readings are fitted", False, err)
            return
        hits += abs(d["tension_N"] - 480) <= d["errors_within_95"] * d["tension_error_N"]
        refused += code
        if i >= 8:
            continue
        tension, error, sum_ = by_scipy(*readings)
        near("tension as SciPy has it", d["tension_N"], tension, 2e-4 * tension)
        near("its error", d["tension_error_N"] / d["errors_multiplied_by"], error, 2e-3 * error)
        near("its sum of squares", d["chi_square"], sum_, 1e-3 * sum_ + 1e-6)
        near("shares add up", sum(x["share_checked"] for x in d["readings"]) <= d["redundancy"] + 1e-9, True, 0)
        check("nine readings of one tension", d["redundancy"] == 8)
    low, high = scipy.stats.binom.interval(0.999, 60, 0.95)
    check("95 % hold", low <= hits <= high, f"{hits} of 60, want {low} to {high}")
    low, high = scipy.stats.binom.interval(0.999, 60, 0.05)
    check("good readings are refused once in twenty", refused <= high, f"{refused} of 60, want up to {high}")
    mass, bending, errors, rows = draw(np.random.default_rng(6))
    rows[3] = (*rows[3][:3], rows[3][3] + 6)
    code, d, _ = ask(folder, write(mass, bending, errors, rows))
    check("ten errors off: found", code == 1 and [x["suspect"] for x in d["readings"]] == [k == 3 for k in range(9)], d and d["readings"])
    # The lengths of one span that is plucked again are one: its error does not go away by plucking.
    one = [("a", 0.12, 1, 260.0)]
    errors = {"frequency": 0.001, "length": 0.001, "mass": 0.0, "bending_stiffness": 0.0}
    once, often = (ask(folder, write(0.13, 0.0, errors, one * k))[1]["tension_error_N"] for k in (1, 20))
    near("plucked again, its length is no surer", often, once, 1e-3 * once)
    near("and the error is that of the length", once, 2 / 120 * ask(folder, write(0.13, 0.0, errors, one))[1]["tension_N"], 1e-3 * once)


# ---- sounds ---------------------------------------------------------------------------------------------------------------

def hear(folder, sounds, extra="", top=""):
    """Several at once. @return readings"""
    text = "snub: 1\nmass: 0.133\n" + top + "spans:\n" + "".join(f"  - {{span: [a, b], length: 300, wav: {name}{extra}}}\n" for name in sounds)
    code, d, err = ask(folder, text)
    return (d["readings"] if d else None), err


def covered(folder):
    """Many plucks in white noise and in noise that falls with frequency, weak ones too."""
    r = np.random.default_rng(11)
    for colour in ("white", "pink"):
        true, names = [], []
        for i in range(60):
            first, tau = r.uniform(35, 160), r.uniform(0.08, 0.5)
            x = pluck(r, RATE, 1.3, first, tau)
            noise = r.normal(0, 1, len(x))
            if colour == "pink":
                spectrum = np.fft.rfft(noise)
                noise = np.fft.irfft(spectrum / np.sqrt(np.maximum(np.arange(len(spectrum)), 5)), len(x))
                noise /= noise.std()
            x += r.choice([0.003, 0.01, 0.03]) * noise
            name = f"{colour}{i}.wav"
            wav(os.path.join(folder, name), x)
            true.append(first)
            names.append(name)
        readings, err = hear(folder, names)
        check(f"all are heard in {colour} noise", readings is not None, err)
        if readings is None:
            continue
        off = [(x["read_Hz"] - want) / x["error_Hz"] for x, want in zip(readings, true, strict=True)]
        hits = sum(abs(o) <= 1.96 for o in off)
        low, high = scipy.stats.binom.interval(0.999, 60, 0.95)
        check(f"95 % hold in {colour} noise", low <= hits <= high, f"{hits} of 60, want {low} to {high}; {[round(o, 1) for o in off]}")
        check("the first harmonic is heard itself", all(x["heard"]["first_harmonic_heard"] for x in readings))


def forms(folder):
    """One pluck, in every form."""
    r = np.random.default_rng(2)
    x = pluck(r, RATE, 1.3, 72.3, 0.3)
    quiet = 0.2 * x
    files = {"8": {"bits": 8}, "16": {}, "24": {"bits": 24}, "32": {"bits": 32}, "f32": {"bits": 32, "is_float": True},
             "f64": {"bits": 64, "is_float": True}, "ext": {"bits": 24, "extensible": True}, "loud": {"other": quiet},
             "list": {"extra": b"LIST\x05\0\0\0hello\0"}, "open": {"size": 0}, "ones": {"size": 0xFFFFFFFF}, "short": {"cut": 1001}}
    for name, how in files.items():
        wav(os.path.join(folder, f"{name}.wav"), x + r.normal(0, 0.005, len(x)), **how)
    wav(os.path.join(folder, "right.wav"), quiet, other=x)
    names = [*files, "right"]
    for rate in (8000, 11025, 48000, 96000, 192000):
        y = pluck(r, rate, 1.3, 72.3, 0.3)
        wav(os.path.join(folder, f"r{rate}.wav"), y + r.normal(0, 0.005, len(y)), rate=rate)
        names.append(f"r{rate}")
    readings, err = hear(folder, [f"{n}.wav" for n in names])
    check("every form is heard", readings is not None, err)
    for name, x in zip(names, readings or [], strict=False):
        near(f"{name}: the same frequency", x["read_Hz"], 72.3, 4 * x["error_Hz"])
        check(f"{name}: sure", x["error_Hz"] < 0.05, x["error_Hz"])
        check(f"{name}: cut short", x["heard"]["cut_short"] == (name == "short"))
        near(f"{name}: decay", x["heard"]["tones"][0]["decay_1_s"], 1 / 0.3 * math.sqrt(x["heard"]["tones"][0]["harmonic"]), 0.3)
    by = dict(zip(names, readings or [], strict=False))
    check("the louder channel", by["right"]["heard"]["tones"][0]["amplitude"] > 0.1 and by["loud"]["heard"]["tones"][0]["amplitude"] > 0.1)
    check("what the file has", [(by[n]["heard"]["bits"], by[n]["heard"]["channels"], by[n]["heard"]["rate_Hz"]) for n in ("8", "f64", "right", "r192000")]
          == [(8, 1, 44100), (64, 1, 44100), (16, 2, 44100), (16, 1, 192000)])


def kinds(reading):
    return [(round(t["Hz"]), t["kind"], t["harmonic"]) for t in sorted(reading["heard"]["tones"], key=lambda t: t["Hz"])]


def told_apart(folder):
    r = np.random.default_rng(3)
    x = pluck(r, RATE, 1.3, 72.3, 0.3) + r.normal(0, 0.004, int(1.3 * RATE))

    def file(name, y, **how):
        wav(os.path.join(folder, name), y, **how)
        return name

    hum = file("hum.wav", x + tone(RATE, 1.3, 50, math.inf, 0.1, start=-1) + tone(RATE, 1.3, 100, math.inf, 0.05, start=-1))
    clip = file("clip.wav", np.clip(6 * x, -1, 1))
    no_first = file("no_first.wav", pluck(r, RATE, 1.3, 41.0, 0.3, harmonics=(0, 0.8, 0.5, 0.3)) + r.normal(0, 0.004, len(x)))
    readings, err = hear(folder, [hum, clip, no_first])
    check("they are heard", readings is not None, err)
    if readings:
        near("beside hum", readings[0]["read_Hz"], 72.3, 4 * readings[0]["error_Hz"])
        check("hum is steady", (50, "steady", None) in kinds(readings[0]) and (72, "span", 1) in kinds(readings[0]) and (145, "span", 2) in kinds(readings[0]), kinds(readings[0]))
        near("clipped", readings[1]["read_Hz"], 72.3, 0.1)
        check("and said", readings[1]["heard"]["clipped"] > 100 and readings[0]["heard"]["clipped"] == 0, readings[1]["heard"]["clipped"])
        near("of a span whose first harmonic is not heard", readings[2]["read_Hz"], 41.0, 0.1)
        check("and said", not readings[2]["heard"]["first_harmonic_heard"] and kinds(readings[2])[:3] == [(82, "span", 2), (123, "span", 3), (164, "span", 4)], kinds(readings[2]))
    # Harmonics that bending spreads: of 0.05 N m2 at 0.133 kg/m and 120 mm, c = pi^2 EI/(4 m L^4).
    c = math.pi ** 2 * 0.05 / (4 * 0.133 * 0.12 ** 4)
    stiff = file("stiff.wav", pluck(r, RATE, 1.3, 180.0, 0.3, bending=c) + r.normal(0, 0.004, len(x)))
    text = f"snub: 1\nmass: 0.133\nbending_stiffness: 0.05\nspans: [{{span: [a, b], length: 120, wav: {stiff}}}]\n"
    _, d, err = ask(folder, text)
    seconds = math.sqrt(4 * (180 ** 2 - c) + 16 * c)
    check("spread harmonics are its own", d is not None and (round(seconds), "span", 2) in kinds(d["readings"][0]), (err, d and kinds(d["readings"][0])))
    # Two spans, apart and nearly one.
    two = file("two.wav", x + pluck(r, RATE, 1.3, 93.1, 0.25, amplitude=0.2))
    readings, err = hear(folder, [two])
    check("two spans: said which", readings is None and "two spans ring alike, at 72.3 and 93.1 Hz" in err, err)
    readings, err = hear(folder, [two], ", between: [85, 110]")
    check("between settles it", readings is not None and abs(readings[0]["read_Hz"] - 93.1) < 0.1, err)
    weak = file("weak.wav", x + pluck(r, RATE, 1.3, 93.1, 0.25, amplitude=0.04))
    readings, err = hear(folder, [weak])
    check("a weak one beside it is none", readings is not None and abs(readings[0]["read_Hz"] - 72.3) < 0.1 and (93, "other", None) in kinds(readings[0]), err)
    close = file("close.wav", x + tone(RATE, 1.3, 73.1, 0.3, 0.25))
    readings, err = hear(folder, [close])
    check("0.8 Hz apart: not to be told apart", readings is None and "cannot be told apart" in err, err)


def refused(folder):
    r = np.random.default_rng(4)
    n = int(1.3 * RATE)

    def both(name, want, y, **how):
        wav(os.path.join(folder, "bad.wav"), y, **how)
        readings, err = hear(folder, ["bad.wav"])
        check(f"{name} is refused", readings is None and want in err and "spans.wav: bad.wav" in err, err)

    both("silence", "nothing rings in it", np.zeros(n))
    for k in range(6):
        burst = r.normal(0, 0.1, n) * np.where(np.arange(n) > 0.2 * RATE, 1.0, 0.02)
        wav(os.path.join(folder, "bad.wav"), burst)
        readings, err = hear(folder, ["bad.wav"])
        check("noise that starts is refused", readings is None, readings)
    both("hum alone", "no tone in it rings and dies away", tone(RATE, 1.3, 50, math.inf, 0.3, start=0.2) + r.normal(0, 0.003, n))
    knock = tone(RATE, 1.3, 60, 0.012, 0.8) + r.normal(0, 0.001, n)
    both("a knock", "in it", knock)
    raw = {"a text": b"hello" * 20, "nothing": b"", "a head alone": b"RIFF\x24\0\0\0WAVE", "another kind": b"RF64" + b"\xff" * 40,
           "compressed": b"RIFF\x24\0\0\0WAVEfmt \x10\0\0\0" + b"\x02\0\x01\0\x44\xac\0\0\x88\x58\1\0\x02\0\x10\0",
           "three channels": b"RIFF\x24\0\0\0WAVEfmt \x10\0\0\0" + b"\x01\0\x03\0\x44\xac\0\0\x88\x58\1\0\x06\0\x10\0",
           "data first": b"RIFF\x24\0\0\0WAVEdata\x10\0\0\0" + b"\0" * 16,
           "twelve bits": b"RIFF\x24\0\0\0WAVEfmt \x10\0\0\0" + b"\x01\0\x01\0\x44\xac\0\0\x88\x58\1\0\x02\0\x0c\0",
           "a frame of no bytes": b"RIFF\x24\0\0\0WAVEfmt \x10\0\0\0" + b"\x01\0\x01\0\x44\xac\0\0\x88\x58\1\0\x00\0\x10\0"}
    words = {"a text": "is no WAV file", "nothing": "is no WAV file", "a head alone": "has no sound", "another kind": "a rare kind", "compressed": "is compressed",
             "three channels": "more than two", "data first": "before its format", "twelve bits": "of a size that is not read", "a frame of no bytes": "contradicts itself"}
    for name, content in raw.items():
        pathlib.Path(folder, "bad.wav").write_bytes(content)
        readings, err = hear(folder, ["bad.wav"])
        check(f"{name} is refused", readings is None and words[name] in err, err)
    both("no number", "that are no numbers", np.where(np.arange(n) == 500, np.nan, 0.1), bits=32, is_float=True)
    both("more than a minute", "longer than 60 s", np.zeros(61 * 8000), rate=8000)
    both("a slow rate", "sample rate", np.zeros(3000), rate=3999)
    _, err = hear(folder, ["none.wav"])
    check("no such file", "spans.wav: none.wav cannot be read" in err, err)


def published(folder):
    """The made-up pluck of the published harmonics: 72 Hz, B = 0.0004; all but the fifth. 16384 samples, no noise but rounding."""
    n, rate = 16384, 44100
    k = np.arange(n)
    x = sum(math.sin(0.2 * i * math.pi) / i * np.exp(-k / (rate * 0.6 / math.sqrt(i))) * np.sin(2 * math.pi * 72 * i * math.sqrt(1 + 0.0004 * i * i) * k / rate)
            for i in range(1, 9))
    wav(os.path.join(folder, "series.wav"), 0.4 * x, rate=rate)
    readings, err = hear(folder, ["series.wav"])
    check("a bare pluck is heard", readings is not None, err)
    if readings:
        near("first harmonic", readings[0]["read_Hz"], 72.0143986, 0.02)
        second = next(t for t in readings[0]["heard"]["tones"] if t["harmonic"] == 2)
        near("second", second["Hz"], 144.115154, 0.05)
        near("its decay", 1 / second["decay_1_s"], 0.424264069, 0.01)


def main():
    with tempfile.TemporaryDirectory(prefix="snub-pluck-") as folder:
        given(folder)
        published(folder)
        forms(folder)
        told_apart(folder)
        refused(folder)
        covered(folder)
    return tally.end()


if __name__ == "__main__":
    sys.exit(main())
