"""The bill of materials: each column is what `check --build N` says that the build is made of; JSON, CSV, workbook, terminal and
sheet say the same to the digit; costs are added up by hand.

Needs SNUB_BIN and SNUB_SOURCE_DIR. The last line is `N passed, N failed`."""
import csv
import io
import json
import os
import pathlib
import re
import subprocess
import sys
import tempfile

import openpyxl
import yaml

from tally import check, end

SNUB, TOP = os.environ["SNUB_BIN"], pathlib.Path(os.environ["SNUB_SOURCE_DIR"])
WAYS = ("new", "kept", "changed", "removed")
CATALOGUE = """key,kind,name,source,side,diameter [mm],price,own number,supplier,supplier number,minimum order,stock
ID-68,idler,plain idler,test,back,68,12.50 EUR,SG-100,Rollers of Ironbrook,RI-4711,10,0
ID-74,idler,plain idler,test,back,74,13.125 EUR,,Rollers of Ironbrook,,1,1
ID-99,idler,spare,test,back,99,7 USD,SG-300,,,3,2
ID-98,idler,no price,test,back,98,,,,,,
ID-97,idler,comes off,test,back,97,,,,,10,0
"""


def run(*arguments):
    return subprocess.run([SNUB, *map(str, arguments)], capture_output=True, text=True, timeout=300)


def kit():
    tree = yaml.safe_load((TOP / "tests/cli/contents/kit.yaml").read_text())
    by_name = {p["name"]: p for p in tree["pulleys"]}
    by_name["wrap idler"].update(part="ID-68", supply="new")
    by_name["exit idler"].update(part="ID-74", supply="new")
    for name in ("alternator", "steering", "compressor"):
        by_name[name]["supply"] = "kept"
    tree["contents"] = [{"name": "spare", "part": "ID-99"}, {"name": "one more", "part": "ID-98"}, {"name": "hose", "count": 2, "number": "SG-7"},
                        {"name": "old tensioner", "supply": "removed"}, {"name": "old idler", "part": "ID-97", "supply": "removed"}]
    tree["options"] = {"blower.diameter": [92, 88, 79]}
    tree["variants"] = {"low compressor": {"compressor.at": [274, 11], "compressor.diameter": 122}}
    tree["packages"] = {
        "street": {"changes": {"belt.ribs": 7, "contents.hose.count": 0}},
        "track": {"changes": {"belt.ribs": 9, "contents.spare.count": 3, "alternator": {"supply": "changed", "rework": {"do": "Turn it."}},
                              "obstacles.block lug.supply": "removed"},
                  "excludes": [{"blower.diameter": [88, 92], "reason": "Too slow."}]},
        # the same lug, cut less and more: two reworks
        "shallow": {"changes": {"obstacles.block lug.taken_off": [{"depth": 0.5, "towards": "front"}]}},
        "deep": {"changes": {"obstacles.block lug.taken_off": [{"depth": 1.5, "towards": "front"}]}}}
    return tree


def identity(item):
    """What tells a part from others, without how many there are and where."""
    return json.dumps({k: v for k, v in item.items() if k in ("kind", "name", "part", "diameter_mm", "washer_mm", "inside_mm", "length_mm", "ribs", "thread",
                                                              "class", "finish", "material", "seal", "clearance", "rework")}, sort_keys=True)


def columns_are_builds(path, bill, *more):
    for c, build in enumerate(bill["builds"]):
        one = json.loads(run("check", path, "--build", build["build"], "--json", *more).stdout)
        here = f"column {c + 1}, build {build['build']}"
        check(f"{here}: belt and verdict", (build["designation"], build["verdict"]) == (one["build"]["designation"], one["verdict"]), build)
        check(f"{here}: front and package", (build["variant"], build["package"]) == (one["build"]["row"]["variant"], one["build"]["row"]["package"]), build)
        want = sorted((way, identity(i), i["count"]) for way in WAYS for i in one["contents"][way])
        got = sorted((p["supply"], identity(p), p["quantity"][c]) for p in bill["parts"] if p["quantity"][c])
        check(f"{here}: its parts", want == got, ([w for w in want if w not in got], [g for g in got if g not in want]))


def table_of(bill):
    """The table that every form should have, from the JSON: (words, number, quantities, cost, currency)."""
    return [(p["supply"], p["words"], p["number"] or "", p["size"] or "", p["supplier"] or "", p["supplier_number"] or "", p["minimum_order"], p["stock"], p["part"] or "", [q or None for q in p["quantity"]], p["unit_cost"],
             p["currency"] or "") for p in bill["parts"]]


def from_rows(rows, heads, builds):
    first = next(i for i, h in enumerate(heads) if h and h.startswith("1: "))
    column = {h: i for i, h in enumerate(heads)}
    number = lambda v: None if v in (None, "") else float(v)
    text = lambda r, h: (r[column[h]] or "") if h in column else ""
    return [(text(r, "comes as"), text(r, "part"), text(r, "number"), text(r, "size"), text(r, "supplier"), text(r, "supplier's number"),
             *[number(r[column[h]]) if h in column else None for h in ("minimum order", "in stock")], text(r, "catalogue key"),
             [None if number(v) is None else int(number(v)) for v in r[first:first + builds]], number(text(r, "unit cost")), text(r, "currency")) for r in rows]


def forms(path, bill, work, *more):
    want, builds = table_of(bill), len(bill["builds"])
    rows = list(csv.reader(io.StringIO(run("bill", path, "--format", "csv", *more).stdout)))
    check("CSV is the JSON", from_rows(rows[1:], rows[0], builds) == want, (rows[1:3], want[:2]))
    run("bill", path, "-o", work / "bill.xlsx", *more)
    sheet = list(openpyxl.load_workbook(work / "bill.xlsx").active.iter_rows(values_only=True))
    head = next(i for i, r in enumerate(sheet) if "part" in r)
    body = [r for r in sheet[head + 2:] if r[0] in WAYS]
    check("the workbook is the JSON", from_rows(body, sheet[head], builds) == want, (body[:2], want[:2]))
    run("bill", path, "-o", work / "bill.json", *more)
    check("JSON to a file", json.loads((work / "bill.json").read_text()) == bill)
    text = run("bill", path, *more).stdout
    check("the terminal has every part", all(w[1] in text for w in want), [w[1] for w in want if w[1] not in text])


def paper(path, work, *more):
    pdf = work / "bill.pdf"
    done = run("sheet", path, "--kind", "bill", "-o", pdf, *more)
    check(f"sheet {more} answers", done.returncode in (0, 1), done.stderr)
    return subprocess.run(["pdftotext", "-layout", pdf, "-"], capture_output=True, text=True).stdout.replace("\u00a0", " ")


def on_paper(path, bill, work, *more):
    text = paper(path, work, *more)
    for p in bill["parts"]:
        first = re.escape(p["words"].split()[0])
        numbers = " +".join(str(q) for q in p["quantity"] if q)
        cost = f".* {p['unit_cost']:.{3 if round(1000 * p['unit_cost']) % 10 else 2}f} +{p['currency']}" if p["unit_cost"] is not None else ""
        check(f"sheet: {p['words']} {p['number']}", re.search(rf"^ *{first}.* {numbers}\b{cost}", text, re.M), numbers)
    return text


def costs(bill, text, shown):
    """12.50 and 13.125 EUR an idler, 7 USD the spare: street has one of each, track three spares."""
    for line in ("1: street: 25.625 EUR for 2 of", "2: track: 25.625 EUR for 2 of", "1: street: 7.00 USD for 1 of", "2: track: 21.00 USD for 3 of"):
        check(f"cost {line}", line in " ".join(shown.split()), shown[-2500:])
        check(f"cost on paper {line}", line in " ".join(text.split()), text[-2500:])
    new = [sum(p["quantity"][c] for p in bill["parts"] if p["supply"] == "new") for c in range(2)]
    check("of so many new pieces", f"2 of {new[0]} new" in shown and f"2 of {new[1]} new" in shown, (new, shown[-1500:]))
    # ID-68: none in stock, sold by tens; ID-74: one there and one needed, sold singly; ID-99: two there, track takes three
    lines = ["wrap idler (SG-100): 0 in stock; a kit takes 1 (column 1: street)", "wrap idler (SG-100): sold from 10 pieces up; a kit takes 1", "spare (SG-300): 2 in stock; a kit takes 3 (column 2: track)"]
    for door, said in (("terminal", shown), ("paper", text)):
        said = " ".join(said.split())
        check(f"short of parts, {door}", all(line in said for line in lines), said[-760:])
        check(f"and no others, {door}", said.count(" in stock; ") == 2 and said.count(" pieces up; ") == 1, said[-760:])
    sold = {p["part"]: (p["supplier"], p["supplier_number"], p["minimum_order"], p["stock"]) for p in bill["parts"] if p["part"]}
    check("supplier, its number, minimum order, stock", sold == {"ID-68": ("Rollers of Ironbrook", "RI-4711", 10, 0), "ID-74": ("Rollers of Ironbrook", None, 1, 1),
                                                               "ID-99": (None, None, 3, 2), "ID-98": (None, None, None, None),
                                                               "ID-97": (None, None, 10, 0)}, sold)
    number = {p["part"]: p["number"] for p in bill["parts"] if p["part"]}
    check("own numbers of the catalogue, else its keys", number["ID-68"] == "SG-100" and number["ID-74"] == "ID-74", number)


def over_the_tips(work):
    """A pulley whose file says what it measures over its tips is bought and measured by that: 3.5 in there are 3.535 in effective."""
    path = TOP / "examples/ironbrook-v8.yaml"
    want = "3.500 in over the tips, 3.535 in effective, ribbed"
    row = next((l for l in run("bill", path).stdout.splitlines() if "pulley blower" in l), "")
    check("over the tips and effective", want in row, row)
    check("an effective diameter stands alone", "5.000 in, ribbed" in run("bill", path).stdout)
    balls = run("bill", path, "--set", "blower.diameter={value: 3.5 in, over: balls}", "--metric").stdout
    check("over balls", "88.9 mm over balls of 2.5 mm, " in balls, balls[:1500])
    blower = next(i for i in json.loads(run("check", path, "--json").stdout)["contents"]["new"] if i["name"] == "blower" and i["kind"] == "pulley")
    check("JSON has both", abs(blower["nominal_diameter_mm"] - 88.9) < 1e-9 and abs(blower["diameter_mm"] - 89.8) < 0.05, blower)
    run("sheet", path, "--kind", "parts", "-o", work / "tips.pdf")
    text = subprocess.run(["pdftotext", "-layout", work / "tips.pdf", "-"], capture_output=True, text=True, check=True).stdout
    text = " ".join(text.replace("\u00a0", " ").split())
    check("so on paper", "3.500 in (88.9 mm) over the tips" in text, text[:2000])


def main():
    with tempfile.TemporaryDirectory() as folder:
        work = pathlib.Path(folder)
        (work / "parts.csv").write_text(CATALOGUE)
        store = ["--catalogue", work / "parts.db"]
        done = run("parts", "import", work / "parts.csv", *store)
        check("the catalogue is made", done.returncode == 0, done.stderr)
        path = work / "kit.yaml"
        path.write_text(yaml.safe_dump(kit(), sort_keys=False, width=1000))
        done = run("bill", path, "--json", *store)
        check("the bill answers", done.returncode in (0, 1), done.stderr)
        bill = json.loads(done.stdout)
        names = [(b["variant"], b["package"], b["options"]["blower.diameter"]) for b in bill["builds"]]
        check("fronts and packages, own values where they are sold", names ==
              [(front, package, "79" if package == "track" else "88") for front in ("", "low compressor") for package in ("street", "track", "shallow", "deep")], names)
        columns_are_builds(path, bill, *store)
        forms(path, bill, work, *store)
        costs(bill, on_paper(path, bill, work, *store), run("bill", path, *store).stdout)
        inches = run("bill", path, "--inches", "--format", "csv", *store).stdout
        check("inches", "75.591 in" in inches.replace("\u00a0", " ") and not re.search(r"(?<!x.12).mm", inches), [l for l in inches.splitlines() if " mm" in l])
        german = paper(path, work, "--language", "de", *store)
        check("German", not [w for w in ("In the box", "unit cost", "build 2 of", "verdict", "for 2 of", "Bill of") if w in german], german[:1500] + german[-1500:])
        narrow = json.loads(run("bill", path, "--package", "street", "--variant", "low compressor", "--json", *store).stdout)
        check("one package, one front", len(narrow["builds"]) == 1, narrow["builds"])
        set_ = run("bill", path, "--set", "contents.hose.count=9", "--json", *store)
        check("--set goes over a package", [p["quantity"] for p in json.loads(set_.stdout)["parts"] if p["name"] == "hose"] == [[9] * 8], set_.stderr)
        check("without a catalogue a part cannot be read", run("bill", path, "--catalogue", work / "none.db").returncode == 2)
        for name in ("sedgemere-locked", "ironbrook-v8", "three-pulleys"):
            path = TOP / f"examples/{name}.yaml"
            bill = json.loads(run("bill", path, "--json", "--metric").stdout)
            forms(path, bill, work, "--metric")
            columns_are_builds(path, {**bill, "builds": bill["builds"][:1], "parts": bill["parts"]})
        over_the_tips(work)
        done = run("sheet", path, "--kind", "bill", "-o", work / "x.pdf", "--build", 1)
        check("--build is refused", done.returncode == 2 and "the bill is of the whole kit" in done.stderr, done.stderr)
    return end()


if __name__ == "__main__":
    sys.exit(main())
