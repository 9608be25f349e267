"""Suppliers' files: a map once and then by the supplier's name, encodings as Python's codecs write them, marks of numbers, updates
and the history that they leave, through the terminal and as JSON.

Needs SNUB_BIN. The last line is `N passed, N failed`."""
import csv
import io
import json
import os
import pathlib
import subprocess
import sys
import tempfile

from tally import check, end

SNUB = os.environ["SNUB_BIN"]
MAP = """snub: 1
supplier: Riemen Nord
kind: belt
separator: semicolon
encoding: {encoding}
decimal: comma
thousands: point
columns:
  key: Artikel
  supplier_number: Bestellnr.
  length: {{title: Länge, unit: mm}}
  ribs: Rippen
  price: {{title: Preis, unit: EUR}}
  discontinued: {{title: Auslauf, values: {{ja: yes, nein: no}}}}
  note: Bemerkung
constants:
  section: PK
  source: list of May, invented
leave_out:
- {{title: Typ, is: Zahnriemen}}
"""
ROWS = [["Artikel", "Bestellnr.", "Typ", "Länge", "Rippen", "Preis", "Auslauf", "Bemerkung", "Gewicht"],
        ["RN-1", "100", "Rippe", "1.577,5", "8", "1.041,95", "ja", "größer \u2013 \u201ealt\u201c", "0,3"],
        ["RN-2", "101", "Rippe", "1600", "8", "12,5 €", "nein", "", ""],
        ["RN-Z", "", "Zahnriemen", "", "", "", "", "", ""]]


def parts(store, *words, text=""):
    return subprocess.run([SNUB, "parts", *map(str, words), "--catalogue", store], capture_output=True, input=text.encode() if isinstance(text, str) else text,
                          timeout=60)


def said(done):
    return (done.stdout + done.stderr).decode()


def ok(name, done):
    check(name, done.returncode == 0, said(done))
    return done


def refused(name, done, *words):
    check(name, done.returncode == 2 and all(w in said(done) for w in words), said(done))


def exported(store):
    return {r["key"]: r for r in csv.DictReader(io.StringIO(parts(store, "export").stdout.decode()))}


def table(rows, separator=";"):
    out = io.StringIO()
    csv.writer(out, delimiter=separator, lineterminator="\r\n").writerows(rows)
    return out.getvalue()


def map_once(work):
    store, mapping, file = str(work / "map.db"), work / "nord.yaml", work / "may.csv"
    mapping.write_text(MAP.format(encoding="windows-1252"))
    file.write_bytes(table(ROWS).encode("cp1252"))
    refused("no map yet", parts(store, "import", "--supplier", "Riemen Nord", file), "there is no catalogue")
    ok("init", parts(store, "init", "--bare"))
    refused("no map yet", parts(store, "import", "--supplier", "Riemen Nord", file), "no map of this supplier (got Riemen Nord)")
    check("no maps", "no maps" in said(parts(store, "maps")))
    dry = ok("dry run", parts(store, "import", "--map", mapping, file, "-n"))
    check("a dry run keeps no map", "would keep the map" in said(dry) and "no maps" in said(parts(store, "maps")), said(dry))
    bad = work / "bad.csv"
    bad.write_bytes(table(ROWS[:2] + [["RN-3", "", "Rippe", "zu lang", "8", "", "", "", ""]]).encode("cp1252"))
    refused("a bad row by the supplier's column", parts(store, "import", "--map", mapping, bad), "bad.csv:3: Länge:", "zu lang")
    check("a failed import keeps no map", "no maps" in said(parts(store, "maps")))
    done = ok("by map", parts(store, "import", "--map", mapping, file, "--by", "petra", "--date", "2026-01-01T08:00:00Z"))
    for words in ("imported 2 of 2 parts", "rows left out by the map: 1", "does not name: 1 (Gewicht)", "kept the map for `--supplier 'Riemen Nord'`"):
        check(f"told: {words}", words in said(done), said(done))
    rows = exported(store)
    one, two = rows["RN-1"], rows["RN-2"]
    check("values of the first", (float(one["length [mm]"]), one["ribs"], float(one["price"]), one["currency"], one["discontinued"], one["section"]) ==
          (1577.5, "8", 1041.95, "EUR", "yes", "PK"), one)
    check("texts of the first", (one["supplier"], one["supplier number"], one["note"], one["source"]) == ("Riemen Nord", "100", ROWS[1][7], "list of May, invented"), one)
    check("values of the second", (float(two["length [mm]"]), float(two["price"]), two["discontinued"]) == (1600, 12.5, ""), two)
    plain = str(work / "plain.db")
    ok("the same by hand", parts(plain, "import", "-", text="key,kind,source,section,ribs,length [mm],price,supplier,supplier number,discontinued,note\n"
       f"RN-1,belt,\"list of May, invented\",PK,8,1577.5,1041.95 EUR,Riemen Nord,100,yes,{ROWS[1][7]}\n"
       "RN-2,belt,\"list of May, invented\",PK,8,1600,12.5 EUR,Riemen Nord,101,no,\n"))
    check("a mapped import is a plain one", exported(plain) == rows, rows)
    later = json.loads(ok("by name", parts(store, "import", "--supplier", "Riemen Nord", file, "--replace", "--json")).stdout)
    check("by name: replaced", (later["replaced"], later["rows_left_out"], later["columns_left_out"], later["columns_left_out_titles"], later["map_kept"], later["supplier"]) ==
          (2, 1, 1, "Gewicht", False, "Riemen Nord"), later)
    refused("near name", parts(store, "import", "--supplier", "Riemen Nort", file), "need Riemen Nord")
    listed = json.loads(parts(store, "maps", "--json").stdout)["maps"]
    check("listed", [(m["supplier"], m["by"], m["at"], m["map"]) for m in listed] == [("Riemen Nord", "petra", "2026-01-01T08:00:00Z", mapping.read_text())], listed)
    check("listed on the terminal", all(w in said(parts(store, "maps")) for w in ("Riemen Nord", "petra", "2026-01-01T08:00:00Z")))
    ok("exported", parts(store, "maps", "Riemen Nord", "-o", work / "again.yaml"))
    check("a map comes out as it was", (work / "again.yaml").read_bytes() == mapping.read_bytes())
    mapping.write_text(MAP.format(encoding="windows-1252").replace("list of May", "list of July"))
    done = ok("another map of the supplier", parts(store, "import", "--map", mapping, file, "--replace"))
    check("takes the place of the first", "kept the map" in said(done) and parts(store, "maps", "Riemen Nord").stdout == mapping.read_bytes(), said(done))
    done = ok("the same map again", parts(store, "import", "--map", mapping, file, "--replace"))
    check("is no news", "kept the map" not in said(done), said(done))
    mapping.write_text(MAP.format(encoding="windows-1252").replace("title: Länge", "title: Laenge"))
    refused("a wrong map at its line", parts(store, "import", "--map", mapping, file, "--replace"), "nord.yaml:11:19: columns.length: ", "has no such column (got Laenge, need Länge)",
            "length: {title: Laenge, unit: mm}")
    refused("the kept one still holds", parts(store, "import", "--supplier", "Riemen Nord", file), "is already in the catalogue")
    refused("the file changed", parts(store, "import", "--supplier", "Riemen Nord", bad.with_name("new.csv") if bad.with_name("new.csv").write_bytes(
        table([[t.replace("Länge", "Laenge") for t in ROWS[0]]] + ROWS[1:]).encode("cp1252")) else None), "map of Riemen Nord:11:19: columns.length", "need Laenge")
    for more in (["--decimal", "comma"], ["--encoding", "utf-8"], ["--delimiter", "tab"], ["--thousands", "space"], ["--supplier", "Riemen Nord"]):
        refused(f"a map and {more[0]}", parts(store, "import", "--map", mapping, file, *more), more[0])
    refused("another kind", parts(store, "import", "--supplier", "Riemen Nord", file, "--kind", "idler"), "is not the kind given by --kind")
    ok("--source wins", parts(store, "import", "--supplier", "Riemen Nord", file, "--replace", "--source", "list of June"))
    check("--source wins", exported(store)["RN-1"]["source"] == "list of June")
    old_name = work / "old.yaml"
    old_name.write_text("snub: 1\nsupplier: Nord\nkind: pulley\ncolumns:\n  key: a\n  diameter: {title: b, unit: mm}\n  max: {title: c, unit: rpm}\n  note: {title: d, values: {'': not said, '-': ''}}\nconstants: {section: PK, ribs: '8', source: x}\n")
    done = ok("a name of before in a map", parts(str(work / "old.db"), "import", "--map", old_name, "-", text="a,b,c,d\nP-1,80,9000,\nP-2,80,,-\nP-3,80,,so\n"))
    check("empty cells may be translated, and others into empty ones", [r["note"] for r in exported(str(work / "old.db")).values()] == ["not said", "", "so"])
    check("is told at its line of the map", "old.yaml:7:3: max: " in said(done) and "max_speed" in said(done), said(done))
    refused("a shipped map", parts(store, "import", "--shipped", "--supplier", "Riemen Nord"), "need no map")
    ok("removed", parts(store, "maps", "Riemen Nord", "--remove"))
    check("removed", "no maps" in said(parts(store, "maps")))
    refused("removed twice", parts(store, "maps", "Riemen Nord", "--remove"), "no map of this supplier")
    refused("a new map for a catalogue begun by it", parts(store, "maps", "--remove"), "give one supplier's name")
    mapping.write_text(MAP.format(encoding="windows-1252"))
    fresh = str(work / "fresh.db")
    ok("a map makes the catalogue", parts(fresh, "import", "--map", mapping, file))
    check("and is in it", "Riemen Nord" in said(parts(fresh, "maps")))


def encodings(work):
    """Each codec of Python's, said and found out, as a whole and with a map."""
    note = "größer, Ångström, ½ µ, naïve"
    more = {"cp1252": " \u2013 \u20ac \u201ealt\u201c", "utf-8": " \u2013 \u20ac \u2192 \u4e2d \U0001f527", "latin-1": ""}
    cases = [("latin-1", "latin-1", b"", "latin-1"), ("windows-1252", "cp1252", b"", "cp1252"), ("utf-8", "utf-8", b"", "utf-8"), (None, "utf-8", b"", "utf-8"),
             (None, "utf-8-sig", b"", "utf-8"), ("utf-8", "utf-8-sig", b"", "utf-8"), (None, "utf-16", b"", "utf-8"), ("utf-16", "utf-16", b"", "utf-8"),
             ("utf-16le", "utf-16-le", b"", "utf-8"), ("utf-16be", "utf-16-be", b"", "utf-8"), (None, "utf-16-be", b"\xfe\xff", "utf-8"),
             (None, "utf-16-le", b"\xff\xfe", "utf-8"), ("utf-16", "utf-16-be", b"\xfe\xff", "utf-8")]
    for separator, name in ((",", "comma"), (";", "semicolon"), ("\t", "tab")):
        for said_as, codec, mark, texts in cases:
            text = note + more[texts]
            rows = [["key", "kind", "source", "section", "ribs", "length", "note"]] + [[f"B{i}", "belt", "invented", "PK", "8", f"{900 + i} mm", text] for i in range(300)]
            data = mark + table(rows, separator).encode(codec)
            store = work / "encoded.db"
            store.unlink(missing_ok=True)
            done = parts(str(store), "import", "-", *(["--encoding", said_as] if said_as else []), text=data)
            title = f"{codec} said as {said_as}, {name}"
            check(title, done.returncode == 0, said(done))
            got = exported(str(store)) if done.returncode == 0 else {}
            check(f"{title}: every text", len(got) == 300 and all(r["note"] == text for r in got.values()), next(iter(got.values()), {}).get("note"))
    store = str(work / "wrong.db")
    ok("init", parts(store, "init", "--bare"))
    head = b"key,kind,source,section,ribs,length [mm],note\n"
    for data, more, words in (
            (head + b"A,belt,x,PK,8,900,ok\nB,belt,x,PK,8,900,gr\xf6\xdfer\n", [], ("standard input:3", "not UTF-8", "byte 0xF6", "--encoding, such as windows-1252")),
            (head + b"A,belt,x,PK,8,900,ok\nB,belt,x,PK,8,900,\x81\n", ["--encoding", "windows-1252"], ("standard input:3", "no character", "byte 0x81")),
            (head + b"A,belt,x,PK,8,900,\x80\n", ["--encoding", "latin-1"], ("standard input:2", "no character", "byte 0x80")),
            ((head + b"A,belt,x,PK,8,900,\n").decode().encode("utf-16-le"), [], ("it is UTF-16", "--encoding")),
            ((head + b"A,belt,x,PK,8,900,\n").decode().encode("utf-16") + b"a", [], ("ends within a character",)),
            (b"\xff\xfe" + (head.decode() + "A,belt,x,PK,8,900,").encode("utf-16-le") + b"\x00\xdc\n\x00", [], ("standard input:2", "no character", "0x00 0xDC")),
            (b"\xef\xbb\xbf" + head, ["--encoding", "latin-1"], ("byte-order mark of another encoding",))):
        refused(f"wrong bytes {words}", parts(store, "import", "-", *more, text=data), *words)
    check("nothing came in", exported(store) == {})
    for more, words in ((["--thousands", "point"], "--decimal with --thousands"), (["--decimal", "comma", "--thousands", "comma"], "the same mark"),
                        (["--encoding", "ebcdic"], "ebcdic")):
        refused(f"{more}", parts(store, "import", "-", *more, text=head), words)
    comma = "key;kind;source;section;ribs;length [mm]\nA;belt;x;PK;8;1577,5\n"
    refused("a comma is not guessed", parts(store, "import", "-", text=comma), "2: length [mm]:", "--decimal comma", "1577,5")
    ok("a comma that is said", parts(store, "import", "-", "--decimal", "comma", text=comma))
    check("a comma that is said", float(exported(store)["A"]["length [mm]"]) == 1577.5)


def update(work):
    store = str(work / "update.db")
    at = ["--by", "otto", "--date", "2026-02-02T09:00:00Z"]
    ok("parts", parts(store, "import", "-", "--by", "petra", "--date", "2026-01-01T08:00:00Z",
       text="key,kind,source,section,ribs,length [mm],length tolerance [mm],price,stock,own number,supplier,supplier number,note\n"
       "A,belt,list 1,PK,8,1577,3,41.95 EUR,,H-1,Riemen Nord,100,long\nB,belt,list 1,PK,8,1600,,12 EUR,5,H-2,Riemen Nord,101,\nC,belt,list 1,PK,8,1700,,,,H-2,Riemen West,101,\n"))
    before = exported(store)
    rows = "key,price,stock,note\nA,43.10 EUR,,\nB,12.00 EUR,5,\n"
    dry = ok("dry run", parts(store, "update", "-", "-n", text=rows))
    check("what would change", "2  A     price  41.95 EUR  43.10 EUR" in said(dry) and "would change 1, add 0, leave 1 unchanged" in said(dry), said(dry))
    check("a dry run changes nothing", exported(store) == before)
    told = json.loads(ok("dry run as JSON", parts(store, "update", "-", "-n", "--json", text=rows)).stdout)
    want = [{"line": 2, "key": "A", "what": "changed", "field": "price", "old": "41.95 EUR", "new": "43.10 EUR"}]
    check("the same as JSON", (told["changes"], told["changed"], told["unchanged"], told["added"], told["dry_run"]) == (want, 1, 1, 0, True), told)
    done = ok("update", parts(store, "update", "-", *at, text=rows))
    check("told", "changed 1, added 0, unchanged 1" in said(done), said(done))
    after = exported(store)
    check("only the price of the one", after == {**before, "A": {**before["A"], "price": "43.100"}}, after["A"])
    check("an empty cell leaves as is", after["A"]["note"] == "long" and after["A"]["length tolerance [mm]"] == before["A"]["length tolerance [mm]"])

    ok("by own number", parts(store, "update", "-", *at, text="own number,stock\nH-1,7\n"))
    ok("by supplier and number", parts(store, "update", "-", *at, text="supplier,supplier number,stock\nRiemen West,101,9\n"))
    check("each found its part", [exported(store)[k]["stock"] for k in "ABC"] == ["7", "5", "9"], exported(store))
    ok("another currency", parts(store, "update", "-", *at, text="key,price,currency\nA,50,USD\n"))
    check("another currency", (exported(store)["A"]["price"], exported(store)["A"]["currency"]) == ("50.000", "USD"))
    ok("a price alone", parts(store, "update", "-", *at, text="key,price\nA,51\n"))
    check("keeps its currency", (exported(store)["A"]["price"], exported(store)["A"]["currency"]) == ("51.000", "USD"))
    before = exported(store)
    for name, text, more, words in (
            ("not there", "key,stock\nA,1\nD,1\n", [], ("3: key: no such part", "--add to add it")),
            ("several", "own number,stock\nH-2,1\n", [], ("own number", "several parts have this number", "need one of the keys B, C")),
            ("a number alone", "supplier number,stock\n101,1\n", [], ("no column says which part",)),
            ("supplier empty", "supplier,supplier number,stock\n,101,1\n", [], ("supplier: is missing",)),
            ("no number", "key,stock\n,1\n", [], ("2: key: is missing",)),
            ("twice", "key,stock\nA,1\nB,5\nA,2\n", [], ("4: key: line 2 is about this part already",)),
            ("twice, unchanged first", "key,stock\nB,5\nB,6\n", [], ("3: key: line 2 is about this part already",)),
            ("another kind", "key,kind,stock\nA,idler,1\n", [], ("2: kind: is not the part's kind", "need belt")),
            ("out of range", "key,length\nA,1 mm\n", [], ("2: length: is out of range",)),
            ("a field of others", "key,diameter\nA,80 mm\n", [], ("a belt has no diameter",)),
            ("added without a kind", "key,stock\nD,1\n", ["--add"], ("2: kind: is missing",)),
            ("--source alone", "key,stock\nA,1\n", ["--source", "x"], ("--source is for parts that are added",))):
        refused(f"update {name}", parts(store, "update", "-", *more, text=text), *words)
    check("one bad row, no change at all", exported(store) == before)
    ok("--add", parts(store, "update", "-", "--add", "--kind", "belt", "--source", "list 2", *at, text="key,section,ribs,length,stock\nA,,,,8\nD,PK,6,900 mm,4\n"))
    after = exported(store)
    check("one changed, one added", (after["A"]["stock"], after["D"]["length [mm]"], after["D"]["source"], after["A"]["source"]) == ("8", "900", "list 2", "list 1"), after)
    check("--skip-bad", "changed 1" in said(parts(store, "update", "-", "--skip-bad", *at, text="key,stock\nA,9\nX,1\n")) and exported(store)["A"]["stock"] == "9")

    mapping, file = work / "update.yaml", work / "update.csv"
    mapping.write_text("snub: 1\nsupplier: Riemen Nord\ndecimal: comma\ncolumns:\n  supplier_number: Nummer\n  price: {title: Preis, unit: EUR}\nconstants:\n  note: from the map\n")
    file.write_text("Nummer;Preis\n101;13,5\n")
    ok("update by a map", parts(store, "update", "--map", mapping, file, *at))
    after = exported(store)
    check("the supplier's own number, and no constant", (after["B"]["price"], after["B"]["note"], after["C"]["price"]) == ("13.500", "", ""), after["B"])
    ok("and by its name", parts(store, "update", "--supplier", "Riemen Nord", file))

    changes = json.loads(parts(store, "history", "A", "--json").stdout)["changes"]
    want = [("added", None, None, None), ("changed", "price", "41.95 EUR", "43.10 EUR"), ("changed", "stock", None, "7"), ("changed", "price", "43.10 EUR", "50.00 USD"),
            ("changed", "price", "50.00 USD", "51.00 USD"), ("changed", "stock", "7", "8"), ("changed", "stock", "8", "9")]
    check("history", [(c["what"], c["field"], c["old"], c["new"]) for c in changes] == want, changes)
    check("who, when, whence", {(c["by"], c["at"], c["file"]) for c in changes[1:]} == {("otto", "2026-02-02T09:00:00Z", "standard input")}, changes)
    shown = [json.loads(parts(store, "show", n, "--json").stdout)["parts"][0]["key"] for n in ("A", "H-1", "100")]
    check("shown by each number", shown == ["A", "A", "A"], shown)
    refused("no such number", parts(store, "show", "H-9"), "no such part")
    check("history by own number", json.loads(parts(store, "history", "H-1", "--json").stdout)["key"] == "A")
    text = said(parts(store, "history", "A"))
    check("history on the terminal", all(w in text for w in ("2026-02-02T09:00:00Z", "otto", "changed: price", "43.10 EUR", "50.00 USD")), text)
    listed = said(parts(store, "list"))
    check("own number and supplier in the list", all(w in listed for w in ("own number", "H-1", "supplier", "Riemen West")), listed)
    plain = said(parts(store, "find", "--length", "900"))
    check("no empty columns", "900 mm" in plain and "own number" not in plain and "supplier" not in plain, plain)
    refused("no such history", parts(store, "history", "AA"), "no such part")
    refused("history of what", parts(store, "history"), "one part")
    for bad in ("2026-02-30T00:00:00Z", "2026-02-29T00:00:00Z", "2026-13-01T00:00:00Z", "2026-01-01", "2026-01-01T24:00:00Z", "2026-01-01T00:00:00"):
        refused(f"--date {bad}", parts(store, "remove", "A", "--date", bad), "--date takes")
    for bad in ("", "a\nb", "a\tb", "a\rb", "x" * 64, "a\u202eb", "a\udcffb"):  # the last is no UTF-8
        refused(f"--by {bad[:9]!r}", parts(store, "remove", "A", "--by", bad), "--by takes")
    ok("remove", parts(store, "remove", "D", *at))
    gone = json.loads(parts(store, "history", "D", "--json").stdout)["changes"]
    refused("a removed part is not shown", parts(store, "show", "D"), "no such part")
    check("what was removed", {(c["field"], c["old"], c["new"]) for c in gone if c["what"] == "removed"} ==
          {("source", "list 2", None), ("stock", "4", None), ("section", "PK", None), ("ribs", "6", None), ("length", "900 mm", None)}, gone)
    done = parts(store, "check")
    check("sound", done.returncode == 0, said(done))


def shared_numbers(work):
    """A number of several parts: each door says which they are; a number of one kind goes before those of another."""
    store = str(work / "shared.db")
    rows = "key,kind,section,ribs,length,source,own number,supplier,supplier number\n" \
        "T1,belt,PK,7,1900 mm,invented,H-1,West,10\nT2,belt,PK,7,1905 mm,invented,H-1,Nord,10\nT3,belt,PK,7,1910 mm,invented,10,Nord,H-1\nT4,belt,PK,7,1915 mm,invented,H-4,Nord,T1\n"
    done = said(ok("import", parts(store, "import", "-", text=rows)))
    check("import tells of them", "own numbers that several parts have: 1 (H-1: T1, T2)\n" in done, done)
    for way in ("show", "history"):
        refused(f"{way} of a shared number", parts(store, way, "H-1"), "several parts have this number", "got H-1", "need one of the keys T1, T2")
        for number, key in (("T1", "T1"), ("10", "T3"), ("H-4", "T4")):
            check(f"{way} {number}", f'"key": "{key}"' in said(ok(f"{way} {number}", parts(store, way, number, "--json"))), number)
    ok("another", parts(store, "update", "-", text="key,own number\nT3,H-3\n"))
    quiet = said(ok("its price", parts(store, "update", "-", text="key,price\nT4,3 EUR\n")))
    check("rows without a shared number are quiet", "own numbers" not in quiet, quiet)
    told = json.loads(parts(store, "update", "-", "--json", text="key,price\nT2,3 EUR\n").stdout)
    check("as JSON", (told["own_numbers_shared"], told["own_numbers_shared_keys"]) == (1, "H-1: T1, T2"), told)
    refused("a supplier's number of two", parts(store, "show", "10"), "need one of the keys T1, T2")


def digits(work):
    """A change reads as people write numbers, whatever the unit that it came in."""
    store = str(work / "digits.db")
    ok("a part", parts(store, "import", "-", text="key,kind,section,ribs,length,length tolerance,source\nA,belt,PK,7,1930 mm,3 mm,invented\n"))
    rows = "key,length [in],length tolerance [in]\nA,75.984,+0.1/-0.07\n"
    want = {"length": ("1930 mm", "1929.9936 mm"), "length_tolerance": ("3 mm", "2.54/-1.778 mm")}
    dry = json.loads(parts(store, "update", "-", "-n", "--json", text=rows).stdout)
    check("dry run", {c["field"]: (c["old"], c["new"]) for c in dry["changes"]} == want, dry)
    check("dry run, text", "1929.9936 mm" in said(parts(store, "update", "-", "-n", text=rows)))
    ok("update", parts(store, "update", "-", text=rows))
    story = json.loads(parts(store, "history", "A", "--json").stdout)["changes"]
    check("history", {c["field"]: (c["old"], c["new"]) for c in story if c["what"] == "changed"} == want, story)
    again = said(ok("as it is shown", parts(store, "update", "-", text="key,length [mm]\nA,1929.9936\n")))
    check("is no change", "unchanged 1" in again, again)
    check("twelve digits are", ": changed 1" in said(parts(store, "update", "-", text="key,length [mm]\nA,1929.99360001\n")))


def short_list(work):
    """A list that lacks columns of the kept map: an update takes what it gives, an import does not."""
    store, file = str(work / "short.db"), work / "short.csv"
    mapping, whole = work / "short.yaml", work / "whole.csv"
    mapping.write_bytes(MAP.format(encoding="utf-8").encode())
    whole.write_bytes(table(ROWS).encode())
    ok("the long list", parts(store, "import", "--map", mapping, whole, "--date", "2026-01-02T03:04:05Z"))
    before = exported(store)
    file.write_text("Artikel;Preis\nRN-1;2.000,5\n")
    done = ok("the short list", parts(store, "update", "--supplier", "Riemen Nord", file))
    check("its columns", "columns of the map that the file lacks: 6 (Bestellnr., Länge, Rippen, Auslauf, Bemerkung, Typ)" in said(done), said(done))
    after = exported(store)
    check("the price alone", after["RN-1"] == {**before["RN-1"], "price": "2000.500"} and after["RN-2"] == before["RN-2"], after["RN-1"])
    told = json.loads(parts(store, "update", "--supplier", "Riemen Nord", file, "--json").stdout)
    check("as JSON", (told["columns_lacking"], told["columns_lacking_titles"].split(", ")[-1], told["map_replaced_since"]) == (6, "Typ", None), told)
    refused("an import of it", parts(store, "import", "--replace", "--supplier", "Riemen Nord", file), "columns.length", "has no such column", "got Länge", "leave_out.title")
    check("nothing of it", exported(store) == after)
    file.write_text("Artikel;Preis;Preis\nRN-1;1;2\n")
    refused("two of a title", parts(store, "update", "--supplier", "Riemen Nord", file), "two columns of this title")
    file.write_text("Artikelnummer;Preis\nRN-1;1\n")
    refused("none that names the part", parts(store, "update", "--supplier", "Riemen Nord", file), "no column says which part", "got Artikel, need Artikelnummer")

    file.write_text("Artikel;Preis\nRN-1;3\n")
    mapping.write_text(mapping.read_text() + "# of June\n")
    since = "keep the map for `--supplier 'Riemen Nord'`; it replaces the one kept since 2026-01-02T03:04:05Z"
    dry = said(ok("another map, dry", parts(store, "update", "-n", "--map", mapping, file)))
    check("is said before", f"would {since}: save that first with `snub parts maps 'Riemen Nord' -o old.yaml`" in dry, dry)
    again = said(ok("another map", parts(store, "update", "--map", mapping, file, "--date", "2026-06-01T00:00:00Z")))
    check("and when it is done", since.replace("keep", "kept") + "\n" in again, again)
    mapping.write_text(mapping.read_text() + "# of July\n")
    third = json.loads(ok("a third", parts(store, "update", "--map", mapping, file, "--json")).stdout)
    check("in JSON", (third["map_kept"], third["map_replaced_since"]) == (True, "2026-06-01T00:00:00Z"), third)
    same = said(ok("the same again", parts(store, "update", "--map", mapping, file)))
    check("is not said", "the map for" not in same, same)


def guide(work):
    """The map that the guide shows reads a file with its titles."""
    page = (pathlib.Path(os.environ["SNUB_SOURCE_DIR"]) / "docs/guide/parts.md").read_text()
    text = page.partition("## A supplier's file\n")[2].partition("\n    snub: 1\n")[2].partition("\n\n|")[0]
    mapping, file, store = work / "guide.yaml", work / "guide.csv", str(work / "guide.db")
    mapping.write_text("snub: 1\n" + "".join(line[4:] + "\n" for line in text.splitlines()))
    file.write_bytes(table([["Artikelnr.", "Bestellnr.", "Typ", "Länge", "Rippen", "Preis netto", "Auslauf"], ["A", "1", "Rippe", "1.577", "8", "1.041,95", "ja"],
                            ["B", "2", "Zahnriemen", "x", "", "", ""], ["", "", "", "Summe", "", "", ""]]).encode("cp1252"))
    done = json.loads(ok("the guide's map", parts(store, "import", "--map", mapping, file, "--json")).stdout)
    check("the guide's map", (done["added"], done["rows_left_out"], done["columns_left_out"]) == (1, 2, 0), done)


def main():
    with tempfile.TemporaryDirectory() as folder:
        map_once(pathlib.Path(folder))
        encodings(pathlib.Path(folder))
        update(pathlib.Path(folder))
        shared_numbers(pathlib.Path(folder))
        digits(pathlib.Path(folder))
        short_list(pathlib.Path(folder))
        guide(pathlib.Path(folder))
    return end()


if __name__ == "__main__":
    sys.exit(main())
