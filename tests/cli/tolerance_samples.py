#!/usr/bin/env python3
"""A sample out of a column of a table beside the drive file: the same kits as with the values in the file, to the byte; units,
commas, what is wrong with its line; every door, states, outputs, other folders.

Needs SNUB_BIN and SNUB_SOURCE_DIR. The last line is `N passed, N failed`."""
import csv
import json
import os
import pathlib
import subprocess
import sys
import tempfile

from served import Server
from tally import check, end

SNUB, TOP = os.environ["SNUB_BIN"], pathlib.Path(os.environ["SNUB_SOURCE_DIR"])
THREE = (TOP / "examples/three-pulleys-scatter.yaml").read_text().replace("  - {of: alternator.diameter, plus_minus: 0.1, shape: triangular}\n", "")
VALUES = [60.03, 59.95, 60.01, 59.98, 60.07]
ITEM = "  - {of: alternator.diameter, sample: %s}\n"


def run(folder, *words, **more):
    done = subprocess.run([SNUB, *map(str, words)], cwd=folder, capture_output=True, text=True, timeout=200, **more)
    return done.returncode, done.stdout, done.stderr


def study(folder, *more):
    """Without the fingerprint, which is of the file's bytes."""
    code, out, err = run(folder, "tolerate", "kit.yaml", "--kits", 64, "--json", *more)
    if not out:
        return {"error": err, "code": code}
    got = json.loads(out)
    got["build"].pop("fingerprint", None)
    got.pop("hints", None)
    return got


def write(folder, table, sample="{file: castings.csv, column: bore}", text=THREE, encoding="utf-8"):
    (folder / "kit.yaml").write_text(text + ITEM % sample)
    if table is not None:
        (folder / "castings.csv").write_bytes(table.encode(encoding))


def same_kits(folder):
    write(folder, None, str(VALUES))
    want = study(folder)
    check("the values in the file", "numbers" in want and {e["path"]: e["from"] for e in want["worst_case"]["ends"]}["alternator.diameter"] == "measured", want)
    inch = [f"{v / 25.4!r}" for v in VALUES]
    tables = {"commas": "bore\n" + "\n".join(map(str, VALUES)) + "\n",
              "another column, another order, CRLF": "part,bore,by\r\n" + "".join(f"A{i},{v},me\r\n" for i, v in enumerate(reversed(VALUES))),
              "a unit in the head": "part,bore [mm]\n" + "".join(f"A,{v}\n" for v in VALUES),
              "round brackets": "bore (mm)\n" + "\n".join(map(str, VALUES)),
              "semicolons and decimal commas": "part;bore [mm]\n" + "".join(f"A;{str(v).replace('.', ',')}\n" for v in VALUES),
              "tabs": "part\tbore\n" + "".join(f"A\t{v}\n" for v in VALUES),
              "quoted decimal commas": "part,bore\n" + "".join(f'A,"{str(v).replace(".", ",")}"\n' for v in VALUES),
              "empty cells, empty lines and remarks": "# gauge 3\npart,bore\n" + "".join(f"A,{v}\nB,\n\n# one more\n" for v in VALUES),
              "a unit with each": "bore\n" + "".join(f"{v} mm\n" for v in VALUES),
              "a mark of bytes": "\ufeffbore\n" + "\n".join(map(str, VALUES))}
    for name, table in tables.items():
        write(folder, table)
        got = study(folder)
        check(f"{name}: the same kits", got == want, got.get("error", [k for k in want if got.get(k) != want[k]]))
    write(folder, "bore\n" + "\n".join(map(str, VALUES)), encoding="utf-16")
    check("UTF-16", study(folder) == want)
    write(folder, "bore [mm]\n" + "\n".join(map(str, VALUES)), "{file: castings.csv, column: 'bore [mm]'}")
    check("the head as it stands", study(folder) == want)
    for name, table in {"inches in the head": "bore [in]\n" + "\n".join(inch), "inches with each": "bore\n" + "".join(f"{v} in\n" for v in inch)}.items():
        write(folder, table)
        got = study(folder)
        ends = [{e["path"]: e for e in a["worst_case"]["ends"]}["alternator.diameter"] for a in (got, want)]
        check(f"{name}", all(abs(ends[0][k] - ends[1][k]) < 1e-9 for k in ("low", "high")), ends)
    write(folder, tables["commas"], text=THREE.replace("snub: 1\n", "snub: 1\nunits: us\n"))
    inches = study(folder)
    write(folder, None, str(VALUES), text=THREE.replace("snub: 1\n", "snub: 1\nunits: us\n"))
    check("bare numbers as in the file, with units: us too", inches == study(folder) and "numbers" in inches, inches)
    write(folder, tables["commas"])
    rows = run(folder, "tolerate", "kit.yaml", "--kits", 300, "--csv", "kits.csv")
    with open(folder / "kits.csv", newline="", encoding="utf-8") as file:
        drawn = [float(row["alternator.diameter"]) for row in csv.DictReader(file)]
    check("kits lie between the least and the greatest", rows[0] != 2 and 59.95 <= min(drawn) < 59.96 and 60.06 < max(drawn) <= 60.07, (min(drawn), max(drawn)))
    return want


def wrong(folder):
    good = "".join(f"{v}\n" for v in VALUES)
    for name, table, sample, says in [
            ("no number", "bore\n60\nx\n", None, ["sample.file", "line 3, column bore", '"x" does not begin with a number']),
            ("no number, a unit in the head", "bore [mm]\n60\n61 mm\n", None, ["line 3, column bore", '"61 mm" is not a number']),
            ("two mistakes below a unit", "bore [mm]\nx\n60\ny\n", None, ["line 2, column bore", "line 4, column bore"]),
            ("out of bounds", "bore\n60\n9999\n", None, ["line 3, column bore", "too large", "8 to 1500 mm"]),
            ("a tolerance", "bore\n60\n60 +- 1\n", None, ["line 3, column bore", "takes no tolerance"]),
            ("too few fields", "part,bore\nA,60\nB\n", None, ["line 3, column bore", "1 fields in the row, 2 in the head"]),
            ("a unit of something else", "bore [kg]\n60\n61\n", None, ["line 1, column bore", "kg"]),
            ("no such column", "part,bor\nA,60\nB,61\n", None, ["sample.column", "line 1", "did you mean 'bor'"]),
            ("a column twice", "bore,bore [mm]\n60,60\n61,61\n", None, ["sample.column", "is there twice in line 1"]),
            ("one value", "bore\n60\n60\n", None, ["sample: is no scatter", "2 to 10000 values that differ"]),
            ("no value", "bore\n", None, ["sample: is no scatter"]), ("empty", "", None, ["sample.file: is empty"]),
            ("an open quote", 'bore\n60\n"61\n', None, ["sample.file: line 3", "quote"]),
            ("too many", "bore\n" + "60\n61\n" * 5001, None, ["sample.file", "more than 10000 values"]),
            ("many mistakes", "bore\n" + "x\n" * 100, None, ["line 9, column bore", "92 more cells"]),
            ("no such file", None, "{file: none.csv, column: bore}", ["sample.file: no such file"]),
            ("no column said", "bore\n" + good, "{file: castings.csv}", ["sample.column: is missing"]),
            ("no file said", "bore\n" + good, "{column: bore}", ["sample.file: is missing"]),
            ("an unknown key", "bore\n" + good, "{file: castings.csv, column: bore, sheet: 2}", ["sheet"])]:
        write(folder, table, sample or "{file: castings.csv, column: bore}")
        for command in ("check", "tolerate"):
            code, out, err = run(folder, command, "kit.yaml")
            check(f"{name}, {command}: refused with its place", code == 2 and all(word in err for word in says) and "kit.yaml:" in err, err)
        check(f"{name}: no mistake twice", len(set(err.splitlines())) >= len([line for line in err.splitlines() if line.startswith("kit.yaml")]), err)
    write(folder, "bore [kg]\n60\n61\n")
    check("a wrong unit is told once", run(folder, "check", "kit.yaml")[2].count("kit.yaml:") == 1, run(folder, "check", "kit.yaml")[2])


def files(folder):
    """What is read is not written over; a path from the file's folder; --set."""
    good = "bore\n" + "\n".join(map(str, VALUES))
    write(folder, good)
    for words in (["-o", "castings.csv"], ["--csv", "castings.csv"], ["--state", "castings.csv"]):
        code, _, err = run(folder, "tolerate", "kit.yaml", "--kits", 4, *words)
        check(f"{words}: the table is not written over", code == 2 and "table of measured values" in err and (folder / "castings.csv").read_text() == good, err)
    want = study(folder)
    deep = folder / "deep"
    deep.mkdir(exist_ok=True)
    got = json.loads(run(deep, "tolerate", "../kit.yaml", "--kits", 64, "--json")[1])
    got["build"].pop("fingerprint")
    check("from another folder", got == want, got.keys())
    (folder / "other.csv").write_text("bore\n59\n61\n")
    code, _, err = run(folder, "tolerate", "kit.yaml", "--kits", 4, "--set", "tolerances.2.sample.file=other.csv", "-o", "other.csv")
    check("--set names a table too", code == 2 and "other.csv" in err and (folder / "other.csv").read_text() == "bore\n59\n61\n", err)
    code, out, err = run(folder, "tolerate", "kit.yaml", "--kits", 4, "--json", "--set", "tolerances.2.sample.file=other.csv")
    ends = {e["path"]: e for e in json.loads(out)["worst_case"]["ends"]} if out else {}
    check("and it is read", ends.get("alternator.diameter", {}).get("low") == 59, err)
    run(folder, "tolerate", "kit.yaml", "--kits", 16, "--state", "kits.state")
    (folder / "castings.csv").write_text(good.replace("60.07", "60.08"))
    code, _, err = run(folder, "tolerate", "kit.yaml", "--kits", 16, "--state", "kits.state")
    check("a state of other values is refused", code == 2 and "another run" in err, err)
    folder.joinpath("kits.state").unlink()
    write(folder, good)
    text = (folder / "kit.yaml").read_text() + "search: {move: [{what: alternator.diameter, from: 55, to: 65}], aims: [worst grip]}\n"
    (folder / "kit.yaml").write_text(text)
    (folder / "out").mkdir(exist_ok=True)
    code, _, err = run(folder, "search", "kit.yaml", "--tries", 10, "--out", "out")
    check("a proposal in another folder would not find the table", code == 2 and "sample" in err, err)


def doors(folder):
    """check, chart, compare, sheet, share and the page say what they say of the values in the file."""
    write(folder, "bore\n" + "\n".join(map(str, VALUES)))
    text = (folder / "kit.yaml").read_text()
    (folder / "plain.yaml").write_text(THREE + ITEM % VALUES)
    for command in (["check", "--json"], ["chart", "--format", "csv"], ["mount", "--json"], ["sweep", "--format", "csv"], ["tolerate", "--kits", "20", "--builds", "all", "--format", "text"]):
        a, b = (run(folder, command[0], name, *command[1:])[1].replace(name, "") for name in ("kit.yaml", "plain.yaml"))
        same = [line for line in zip(a.splitlines(), b.splitlines()) if line[0] != line[1] and "fingerprint" not in line[0] and '"code"' not in line[0]]
        check(f"{command[0]}: as with the values in the file", a != "" and len(a.splitlines()) == len(b.splitlines()) and not same, same[:2])
    server = Server(folder)
    try:
        got, plain = (server.ask("/api/lay", {"file": name, "text": (folder / name).read_text(), "changes": []}) for name in ("kit.yaml", "plain.yaml"))
        check("the page's check", got[0] == plain[0] == 200 and got[1]["check"]["findings"] == plain[1]["check"]["findings"] != [], (got[0], str(got[1])[:300]))
        check("its snapshot", server.ask("/api/snapshot", {"file": "kit.yaml", "text": text, "changes": []})[0] == 200)
        missing = text.replace("castings.csv", "none.csv")
        told = server.ask("/api/lay", {"file": "kit.yaml", "text": missing, "changes": []})
        check("a table that is not there is told on the page", told[0] != 200 and "sample.file" in json.dumps(told[1]), (told[0], str(told[1])[:300]))
        out = server.ask("/api/lay", {"file": "kit.yaml", "text": text.replace("castings.csv", "../secret.csv"), "changes": []})
        check("and none outside of its folder", out[0] != 200 and "sample.file" in json.dumps(out[1]), (out[0], str(out[1])[:300]))
    finally:
        server.stop()


def main():
    with tempfile.TemporaryDirectory() as work:
        folder = pathlib.Path(work) / "shop"
        folder.mkdir()
        (pathlib.Path(work) / "secret.csv").write_text("bore\n60\n61\n")
        same_kits(folder)
        wrong(folder)
        files(folder)
        doors(folder)
    return end()


sys.exit(main())
