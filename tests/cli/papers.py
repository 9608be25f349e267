"""What the page's server makes: papers to the byte of the commands, new files, and what is refused. Prints what failed,
then `N passed, M failed`."""
import base64
import json
import os
import pathlib
import random
import re
import shutil
import signal
import subprocess
import tempfile
import time

import tally
from memory_faults import children
from served import SNUB, Server

check = tally.check
SOURCE = pathlib.Path(os.environ["SNUB_SOURCE_DIR"])
SECRET = "the-secret-that-must-not-leave"
SNUB_PATH = os.path.abspath(SNUB)


def terminal(*words, cwd=None):
    return subprocess.run([SNUB_PATH, *words], capture_output=True, cwd=cwd, stdin=subprocess.DEVNULL)


def etag_of(server, file):
    return server.ask("/api/drive?file=" + urlquote(file))[1].get("etag", "")


def urlquote(text):
    return "".join(c if c.isalnum() else "".join(f"%{b:02X}" for b in c.encode()) for c in text)


def ask(server, meanwhile=None, **body):
    """The status of the request, or the state of its job, and what came of it."""
    if "etag" not in body:
        body["etag"] = etag_of(server, body["file"])
    status, answer, _ = server.ask("/api/paper", body)
    if status != 202:
        return status, answer
    while True:
        _, job, _ = server.ask(f"/api/job?id={answer['job']}")
        if job["state"] != "running":
            return job["state"], job["result"]
        if meanwhile:
            meanwhile(answer["job"])
            meanwhile = None
        time.sleep(0.02)


def the_list(server):
    """The list is that of the commands: every word of their help, and no other."""
    papers = server.ask("/api/papers")[1]
    found = {}
    for paper in papers["papers"]:
        found.setdefault(paper["command"], []).append(paper)
        check(f"{paper['command']} {paper['kind']}: a name in words", paper["name"][0].isupper() and " " in paper["name"], paper)
    manual = {name: terminal("help", name).stdout.decode() for name in re.findall(r"^  (\w+) ", terminal("help").stdout.decode(), re.M)}
    makers = {name for name, text in manual.items() if "--output" in text and "--package" in text} - {"measure"}  # of readings
    check("every command that reads a drive and has an output", set(found) == makers, (sorted(found), sorted(makers)))
    for name, option, field in [("sheet", "kind", "kind"), ("draw", "view", "kind"), ("draw", "form", "forms"), ("chart", "format", "forms"), ("bill", "format", "forms"), ("sweep", "format", "forms"), ("tolerate", "format", "forms")]:
        refused = terminal(name, "x.yaml", f"--{option}=?").stderr.decode()
        words = re.search(r"takes one of (.*), not", refused)[1].split(", ")
        got = [paper["kind"] for paper in found[name]] if field == "kind" else found[name][0]["forms"]
        check(f"{name}: each --{option}", got == words, (got, words))
    names = [(paper["group"], paper["name"]) for paper in papers["papers"]]
    check("no two of a group have one name", len(names) == len(set(names)), names)
    for command, options in papers["options"].items():
        for option in options:
            check(f"{command}: --{option['name']} is an option", f"--{option['name']}" in manual[command], option)
    for paper in papers["papers"]:
        option = {"sheet": f"--kind={paper['kind']}", "draw": "--form=svg", "share": "--sales", "tolerate": "--format=svg"}.get(paper["command"], "--format=csv")
        run = terminal(paper["command"], str(SOURCE / "examples" / "sedgemere.yaml"), option, "--build=1", *(["--kits=10"] if paper["command"] == "tolerate" else []), "-o", "-")
        check(f"{paper['name']}: of a build if the command takes one", (paper["of"] == "build") == (run.returncode < 2), (paper, run.stderr[:200]))
    language = next(one for one in papers["options"]["sheet"] if one["name"] == "language")
    check("languages are words to choose from", "de" in language["words"] and "en" in language["words"], language)
    check("no option of the page names a file", not {"output", "house", "catalogue", "csv", "xlsx", "plot", "set"} & {one["name"] for all in papers["options"].values() for one in all})
    return papers["papers"]


def same_bytes(server, papers, folder, out):
    """One of each, and with options: what comes is what the command writes, and the code is its exit code."""
    few = {"tolerate": {"kits": "20"}}  # the bytes are the same of a few kits; of as many as without the option below, of a drive that is judged quickly
    cases = [(paper["command"], paper["kind"], form, few.get(paper["command"], {}), "kit.yaml") for paper in papers for form in paper["forms"] if form in ("pdf", "html", "csv", "xlsx", "dxf", "svg") or paper["kind"] in ("", "side")]
    cases += [("tolerate", "", "text", {}, "three.yaml"), ("sheet", "fitting", "pdf", {"language": "de", "decimal": "comma", "paper": "letter", "no-pictures": True, "date": "2026-11-28"}, "kit.yaml"),
              ("sheet", "fitting", "pdf", {"build": "2", "inches": True}, "kit.yaml"), ("sheet", "report", "pdf", {"wet": True, "defaults": True}, "three.yaml"),
              ("sheet", "parts", "pdf", {"package": "street"}, "kit.yaml"), ("draw", "front", "pdf", {"build": "3", "theme": "dark", "rpm": "3000"}, "kit.yaml"),
              ("draw", "front", "png", {"dots": "50"}, "v8.yaml"), ("sheet", "fitting", "pdf", {}, "v8.yaml"), ("sheet", "strip", "pdf", {}, "locked.yaml"),
              ("share", "", "html", {"watermark": "$(touch pwned); `id` --output=x", "sales": True}, "locked.yaml"), ("chart", "", "csv", {"fewest": False, "metric": True}, "v8.yaml"),
              ("sweep", "", "csv", {"case": "rising", "speeds": "7"}, "centrifugal.yaml"), ("sheet", "report", "pdf", {}, "centrifugal.yaml"),
              ("draw", "side", "svg", {}, "sub/deep.yaml"), ("draw", "side", "svg", {}, "--json.yaml"), ("draw", "side", "dxf", {}, "$(touch pwned) 'a' \"b\".yaml")]
    for command, kind, form, options, file in cases:
        name = f"{command} {kind} {form} {options or ''} {file}"
        given = [f"--{key}" if value is True else f"--{key}={value}" for key, value in options.items() if value is not False]
        option = {"sheet": ["--kind=" + kind], "draw": ["--view=" + kind, "--form=" + form], "share": []}.get(command, ["--format=" + form])
        run = terminal(command, *option, *given, "-o", str(out), "--", file, cwd=folder)  # a workbook has the path as it was given
        state, made = ask(server, file=file, command=command, kind=kind, form=form, options=options)
        if run.returncode == 2:
            own = terminal(command, *option, *given, "-o", "-", "--", file, cwd=folder)
            check(f"{name}: refused in the words of the terminal", state == "failed" and made["type"] == "/problem/no-paper" and made["detail"] == own.stderr.decode(), (state, str(made)[:300], own.stderr))
            continue
        check(f"{name}: the very bytes", state == "done" and base64.b64decode(made["data"]) == out.read_bytes(), (state, str(made)[:200], run.stderr))
        check(f"{name}: code and words", state == "done" and made["code"] == run.returncode and made["said"] == run.stderr.decode(), (str(made)[-300:], run))
        stem = os.path.basename(file)[:-5]
        check(f"{name}: a name for it", state == "done" and made["name"] == f"{stem}-{kind or command}.{'txt' if form == 'text' else form}", made.get("name"))
    check("no word of a request was taken for a command", not list(folder.rglob("pwned")) and not os.path.exists("pwned"))


def with_catalogue(folder, base):
    """The catalogue that the server was given is the command's, from whatever folder it was named."""
    (folder / "stock.yaml").write_text(re.sub(r"stock: \{[^}]*\}|length: [\d.]+", "stock: catalogue", (folder / "three.yaml").read_text(), count=1))
    rows = [f"BELT-{i},belt,invented,PK,6,{900 + 5 * i}\n" for i in range(200)]
    (base / "belts.csv").write_text("key,kind,source,section,ribs,length [mm]\n" + "".join(rows))
    run = terminal("parts", "import", "belts.csv", "--catalogue", "parts.db", cwd=base)
    check("a catalogue", run.returncode == 0 and "stock: catalogue" in (folder / "stock.yaml").read_text(), run)
    server = Server(str(folder), more=("--port", "0", "--catalogue", "parts.db"), program=SNUB_PATH, cwd=base)
    try:
        state, made = ask(server, file="stock.yaml", command="chart", kind="", form="csv")
        run = terminal("chart", "stock.yaml", "--format=csv", "--catalogue", str(base / "parts.db"), cwd=folder)
        check("belts of the catalogue", state == "done" and run.returncode < 2 and base64.b64decode(made["data"]) == run.stdout, (state, str(made)[:300], run.stderr))
    finally:
        server.kill()
    os.unlink(folder / "stock.yaml")


def failing(server, folder):
    """A build that fails says so on paper and in its code, as on the terminal."""
    kit = (folder / "kit.yaml").read_text()
    (folder / "bad.yaml").write_text(kit.replace("redline: 5700 rpm", "redline: 9900 rpm"))
    state, made = ask(server, file="bad.yaml", command="sheet", kind="fitting", form="pdf")
    text = subprocess.run(["pdftotext", "-", "-"], input=base64.b64decode(made["data"]), capture_output=True).stdout.decode()
    check("a build that fails", state == "done" and made["code"] == 1 and "DO NOT FIT" in text, (state, text[:200]))
    (folder / "bad.yaml").write_text(kit.replace("ribs: 7", "ribs: seven"))
    state, made = ask(server, file="bad.yaml", command="sheet", kind="fitting", form="pdf")
    want = terminal("sheet", "bad.yaml", "-o", "x.pdf", cwd=folder).stderr.decode()
    check("a file with an error: line, caret and all", state == "failed" and made["detail"] == want and "^" in want, (state, made, want))
    os.unlink(folder / "bad.yaml")


def of_the_saved_file(server, folder):
    """What another program writes is not taken for what the page has."""
    state, made = ask(server, file="kit.yaml", etag='"0"', command="sheet", kind="parts", form="pdf")
    check("an old version is refused", state == 412 and made["type"] == "/problem/changed", (state, made))
    state, made = ask(server, file="kit.yaml", etag="", command="sheet", kind="parts", form="pdf")
    check("so is none", state == 412, (state, made))
    text = (folder / "kit.yaml").read_text()
    state, made = ask(server, lambda _: (folder / "kit.yaml").write_text(text + "# more\n"), file="kit.yaml", command="share", kind="", form="html")
    check("one that changes while it is made", state == "failed" and made["type"] == "/problem/changed", (state, str(made)[:200]))
    (folder / "kit.yaml").write_text(text)


def held_in(server, folder, base):
    """What a drive file names is read in the served folder only, whatever the command line would read."""
    kit = (folder / "kit.yaml").read_text()
    (base / "house.yaml").write_text(f"snub: 1\n# {SECRET}\ncompany: {SECRET}\n")
    (base / "map.csv").write_text(SECRET + "\n")
    near = [base / (folder.name + "-other"), base / folder.name[::-1]]  # its path begins as the folder's does, or is as long
    for beside in near:
        beside.mkdir()
        shutil.copy(base / "house.yaml", beside)
    os.symlink(base / "house.yaml", folder / "linked.yaml")
    os.symlink(base, folder / "up")
    ways = [f"house: {path}\n" for path in ("../house.yaml", str(base / "house.yaml"), "linked.yaml", "up/house.yaml", "sub/../../house.yaml", *(f"../{beside.name}/house.yaml" for beside in near), *(str(beside / "house.yaml") for beside in near), "/etc/passwd", "../nowhere.yaml")]
    for way in ways:
        (folder / "held.yaml").write_text(kit + way)
        state, made = ask(server, file="held.yaml", command="sheet", kind="parts", form="pdf")
        said = json.dumps(made)
        check(f"{way.strip()}: stays shut", state == "failed" and "not in the folder that is served" in said and SECRET not in said and "root:" not in said, (state, said[:300]))
    for path in ("../map.csv", "/etc/passwd", "up/map.csv"):
        (folder / "held.yaml").write_text(kit.replace("swept: 1.45 L", f"swept: 1.45 L, map: {path}"))
        state, made = ask(server, file="held.yaml", command="sheet", kind="parts", form="pdf")
        check(f"map {path}: stays shut", state == "failed" and "not in the folder that is served" in made["detail"] and SECRET not in json.dumps(made), (state, str(made)[:300]))
    (folder / "sub" / "held.yaml").write_text(kit + "house: ../own.yaml\n")
    (folder / "own.yaml").write_text((base / "own-house.yaml").read_text())
    state, made = ask(server, file="sub/held.yaml", command="sheet", kind="parts", form="pdf")
    out = base / "x.pdf"
    run = terminal("sheet", "--kind", "parts", "-o", str(out), str(folder / "sub" / "held.yaml"))
    check("a house file in the folder is read", state == "done" and run.returncode < 2 and base64.b64decode(made["data"]) == out.read_bytes(), (state, str(made)[:300], run.stderr))
    for name in ("held.yaml", "own.yaml", "sub/held.yaml", "linked.yaml", "up"):
        os.unlink(folder / name)


def hostile(server, folder):
    """Bodies that no page sends: each is refused with its reason, nothing is started and nothing is written."""
    before = sorted(str(path) for path in folder.rglob("*"))
    good = {"file": "kit.yaml", "command": "sheet", "kind": "fitting", "form": "pdf", "options": {}}
    etag = etag_of(server, "kit.yaml")
    wrong = [{"command": one} for one in ("parts", "serve", "new", "man", "help", "completion", "check", "", "/bin/sh", "sheet; touch x", "sheet --kind", "../snub", "serve-paper", "serve-chart", None, 1, ["sheet"])]
    wrong += [{"kind": one} for one in ("", "x", "fitting --output=x", "--output=x", "fitting\u0000", None, {}, "front")]
    wrong += [{"form": one} for one in ("", "exe", "pdf --output x", "svg", "../x", None, 7)]
    wrong += [{"options": one} for one in ({"output": "x"}, {"o": "x"}, {"-o": "x"}, {"--output": "x"}, {"house": "/etc/passwd"}, {"catalogue": "x.db"}, {"set": "blower.diameter=1"}, {"json": True}, {"help": True}, {"kind": "chart"}, {"view": "side"},
                                           {"": "x"}, {"date\n--output": "x"}, {"date": "2026-01-01\n--output=x"}, {"date": ""}, {"date": True}, {"date": None}, {"date": ["a"]}, {"date": "x" * 201}, {"date": "\u0000"}, {"wet": "yes"}, {"wet": 1}, [], "x", 1)]
    wrong += [{"file": one} for one in ("", "../outside.yaml", "/etc/passwd", "notes.txt", "nowhere.yaml", "kit.yaml\u0000", ".hidden.yaml", None, 3)]
    wrong += [{"more": 1}, {"etag": None}, {"etag": 1}, {"words": ["-o", "x"]}]
    for change in wrong:
        state, made = ask(server, **{**good, "etag": etag, **change})
        check(f"hostile {json.dumps(change)[:60]}", state in (400, 404, 412) and made["detail"], (state, str(made)[:200]))
    for options in ({"language": "../../etc"}, {"language": "--help"}, {"date": "--output=x"}, {"paper": "A4;touch x"}, {"build": "--output=x"}, {"build": "1 2"}, {"package": "`touch x`"}):
        state, made = ask(server, **{**good, "options": options})
        check(f"a value that is no such value: {options}", state == "failed" and made["type"] == "/problem/no-paper" and made["detail"].startswith("snub"), (state, str(made)[:300]))
    draw = random.Random(int(os.environ.get("SNUB_SEED", "7")))
    pieces = ["--", "-o", "--output=x", "x", "kit.yaml", "\n", "$(id)", 0, None, True, [], {}, "sheet", "fitting", "pdf", "options", "file"]
    for _ in range(150):
        body = {draw.choice([*good, "etag", "x"]): draw.choice(pieces) if draw.random() < 0.5 else {str(draw.choice(pieces)): draw.choice(pieces)} for _ in range(draw.randint(0, 6))}
        for path in ("/api/paper", "/api/begin"):
            status, answer, _ = server.ask(path, {**(good if draw.random() < 0.5 else {}), **body} if path == "/api/paper" else body)
            if status == 202:
                server.ask(f"/api/job?id={answer['job']}")
            if not (400 <= status < 504 or status == 202):
                check(f"a random body to {path}", False, (status, body, answer))
    while any(server.ask(f"/api/job?id={n}")[1].get("state") == "running" for n in range(1, 500)):
        time.sleep(0.1)
    after = sorted(str(path) for path in folder.rglob("*"))
    check("nothing was written", before == after and not os.path.exists("x"), set(after) ^ set(before))
    check("the server is there", server.ask("/api/folder")[0] == 200)


def kill_all(server):
    """The work's process, once it is there."""
    end = time.monotonic() + 20
    while not children(server) and time.monotonic() < end:
        time.sleep(0.005)
    for number in children(server):
        os.kill(number, signal.SIGKILL)


def ends(server):
    """Stopped, killed, or too many."""
    slow = {"file": "kit.yaml", "command": "sheet", "kind": "report", "form": "pdf", "options": {"all-builds": True}}
    state, made = ask(server, lambda job: stop(server, job), **slow)
    check("stopped", state == "stopped", (state, str(made)[:200]))
    state, made = ask(server, lambda _: kill_all(server), **slow)
    check("killed: said in words", state == "failed" and made["type"] == "/problem/no-memory" and "signal 9" in made["detail"], (state, str(made)[:300]))
    slow["etag"] = etag_of(server, "kit.yaml")
    started = [server.ask("/api/paper", slow) for _ in range(3)]
    check("two at once", [one[0] for one in started] == [202, 202, 503], started)
    check("and why no third", "Two charts, runs, studies or papers" in started[2][1]["detail"], started[2])
    limits = {}
    end = time.monotonic() + 20
    while time.monotonic() < end and not (len(limits) == 2 and all(one.isdigit() or "asan" in SNUB for one in limits.values())):
        limits = {number: limit_of(number) for number in children(server)}  # each sets its own as it begins
    check("each in a process that has its share of memory", len(limits) == 2 and all(one.isdigit() or "asan" in SNUB for one in limits.values()), limits)
    code, _ = server.stop()
    check("the server ends at once, and they with it", code == 0 and not any(os.path.exists(f"/proc/{one}") and "Z" not in open(f"/proc/{one}/stat").read() for one in limits), code)


def limit_of(number):
    try:
        with open(f"/proc/{number}/limits") as file:
            return re.search(r"Max data size +(\w+)", file.read())[1]
    except (OSError, TypeError):
        return ""


def stop(server, job):
    import urllib.request
    request = urllib.request.Request(f"{server.root}/api/job?id={job}", method="DELETE", headers={"Authorization": f"Bearer {server.key}"})
    urllib.request.urlopen(request, timeout=20).read()


def beginnings(base):
    """New files in an empty folder."""
    folder = base / "empty"
    folder.mkdir()
    server = Server(str(folder))
    try:
        check("an empty folder is served", server.ask("/api/folder")[1]["files"] == [] and server.ask("/api/folder")[1]["first"] is None)
        begun = server.ask("/api/begin")[1]
        examples = {one["file"]: one["title"] for one in begun["examples"]}
        check("the examples", set(examples) == {path.name for path in (SOURCE / "examples").glob("*.yaml")} and all(examples.values()), examples)
        for i, options in enumerate([{}, {"units": "us", "blower": "roots", "tensioner": "fixed"}, {"title": "Ä \"kit\" $(x)", "blower": "none"}]):
            name = f"new{i}.yaml"
            status, answer, etag = server.ask("/api/begin", {"file": name, "options": options})
            want = terminal("new", *(f"--{key}={value}" for key, value in options.items()), "-").stdout
            check(f"from nothing {options}: the text of snub new", status == 200 and (folder / name).read_bytes() == want and answer["text"].encode() == want and etag == answer["etag"], (status, str(answer)[:200]))
        for name in examples:
            status, answer, _ = server.ask("/api/begin", {"file": "my-" + name, "example": name})
            check(f"from {name}: its copy", status == 200 and (folder / ("my-" + name)).read_bytes() == (SOURCE / "examples" / name).read_bytes(), (status, str(answer)[:200]))
            same = [json.loads(terminal("check", str(path), "--json").stdout) for path in (folder / ("my-" + name), SOURCE / "examples" / name)]
            check(f"from {name}: it is the same drive, its maps too", same[0]["verdict"] == same[1]["verdict"] and same[0]["findings"] == same[1]["findings"] and same[0]["blower"] == same[1]["blower"])
        again = server.ask("/api/begin", {"file": "again.yaml", "example": "sedgemere-centrifugal.yaml"})
        check("a map that is there already, and the same, is no reason", again[0] == 200, again)
        (folder / "maps" / "sedgemere-centrifugal.csv").write_text("mine\n")
        status, answer, _ = server.ask("/api/begin", {"file": "third.yaml", "example": "sedgemere-centrifugal.yaml"})
        check("another one stays, and nothing is begun", status == 412 and "maps/sedgemere-centrifugal.csv" in answer["detail"] and (folder / "maps" / "sedgemere-centrifugal.csv").read_text() == "mine\n" and not (folder / "third.yaml").exists(), answer)
        names(server, folder)
    finally:
        server.kill()
    server = Server(str(folder), environment={**os.environ, "SNUB_DATA": str(base)})
    try:
        check("no examples installed", server.ask("/api/begin")[1]["examples"] is None)
        status, answer, _ = server.ask("/api/begin", {"file": "none.yaml", "example": "sedgemere.yaml"})
        check("and said so", status == 400 and "no examples" in answer["detail"], answer)
    finally:
        server.kill()


def names(server, folder):
    """Bad names with their reason, and nothing replaced, by both ways to a new file."""
    mine = folder / "mine.yaml"
    mine.write_text("mine\n")
    os.symlink("nowhere.yaml", folder / "link.yaml")
    (folder / "folder.yaml").mkdir()
    before = sorted(str(path) for path in folder.rglob("*"))
    cases = [(name, 412, "is there already") for name in ("mine.yaml", "link.yaml", "folder.yaml")]
    cases += [("", 400, "name"), ("kit", 400, "ends in .yaml"), ("kit.txt", 400, "ends in .yaml"), (".yaml", 400, "dot"), ("../x.yaml", 400, "dot"), ("a/../x.yaml", 400, "dot"), ("/tmp/x.yaml", 400, "without its path"), ("-x.yaml", 400, "option"), ("sub/-x.yaml", 400, "option"),
              ("a\\b.yaml", 400, "backslash"), ("a\nb.yaml", 400, "do not show"), ("a//b.yaml", 400, "two strokes"), ("x" * 252 + ".yaml", 400, "too long"), ("gone/x.yaml", 400, "no such folder")]
    for name, want, word in cases:
        for what, (status, answer, _) in {
                "begin": server.ask("/api/begin", {"file": name, "options": {}}), "example": server.ask("/api/begin", {"file": name, "example": "three-pulleys.yaml"}),
                "example with a map": server.ask("/api/begin", {"file": name, "example": "sedgemere-centrifugal.yaml"}),
                "save as": server.ask("/api/save", {"file": name, "text": "snub: 1\n"}, If_None_Match="*")}.items():
            check(f"{what} {name[:20]!r}", status == want and word in answer["detail"], (status, str(answer)[:300]))
    check("nothing was written or replaced", before == sorted(str(path) for path in folder.rglob("*")) and mine.read_text() == "mine\n")
    for body in ({}, {"file": "a.yaml"}, {"file": "a.yaml", "options": {}, "example": "sedgemere.yaml"}, {"file": "a.yaml", "options": {}, "x": 1}, {"file": 1, "options": {}}, {"file": "a.yaml", "example": "../outside.yaml"}, {"file": "a.yaml", "example": 3},
                 {"file": "a.yaml", "options": {"output": "x"}}, {"file": "a.yaml", "options": {"blower": "turbo"}}, {"file": "a.yaml", "options": {"title": "a\nb"}}, {"file": "a.yaml", "options": []}, []):
        status, answer, _ = server.ask("/api/begin", body)
        check(f"begin {json.dumps(body)[:70]}", status == 400 and answer["detail"] and not (folder / "a.yaml").exists(), (status, str(answer)[:300]))


def review(server, folder):
    """What a save would change, in the file's own spelling; nothing is written by asking."""
    path = folder / "v8.yaml"
    text = path.read_text()
    ask_ = lambda **more: server.ask("/api/save", {"file": "v8.yaml", "text": text, "base": text, "review": True, **more})
    rows = lambda answer: [(one["path"], one["file"], one["new"]) for one in answer["differences"]]
    idle = re.search(r"redline: (.*)", text)[1].split("#")[0].strip()
    status, answer, _ = ask_(changes=[{"path": "engine.redline", "value": "5432 rpm"}])
    check("one value", status == 200 and rows(answer) == [("engine.redline", idle, "5432 rpm")] and answer["taken"] == [], answer)
    status, answer, _ = ask_(changes=[])
    check("nothing", status == 200 and rows(answer) == [], answer)
    status, answer, _ = ask_(text=text + "# a note\n")
    check("a comment", rows(answer) == [("", None, "# a note")], answer)
    status, answer, _ = ask_(text=text.replace("pulleys:", "pulleys: ["))
    check("a text that cannot be read", status == 200 and rows(answer)[0][0] == "", answer)
    path.write_text(text.replace(idle, "6001 rpm") + "# theirs\n")
    status, answer, _ = ask_(changes=[{"path": "engine.redline", "value": "5432 rpm"}, {"path": "title", "value": "New"}])
    check("another's value of the same key, and the rest beside it", status == 409 and [one["path"] for one in answer["conflicts"]] == ["engine.redline"] and any(row[0] == "title" for row in rows(answer)) and ("engine.redline", "6001 rpm", "5432 rpm") in rows(answer), answer)
    status, answer, _ = ask_(changes=[{"path": "engine.redline", "value": "5432 rpm"}, {"path": "title", "value": "New"}], picks=[{"path": "engine.redline", "take": "theirs", "theirs": "6001 rpm"}])
    check("once it is answered", status == 200 and [row[0] for row in rows(answer)] == ["title"], answer)
    check("nothing was written", path.read_text() == text.replace(idle, "6001 rpm") + "# theirs\n")
    path.write_text(text)


def main():
    base = pathlib.Path(tempfile.mkdtemp(prefix="snub-papers-"))
    folder = base / "kits"
    (folder / "sub").mkdir(parents=True)
    for name, target in [("sedgemere", "kit"), ("ironbrook-v8", "v8"), ("sedgemere-locked", "locked"), ("sedgemere-centrifugal", "centrifugal"), ("three-pulleys", "three"), ("three-pulleys", "sub/deep"), ("three-pulleys", "--json"), ("three-pulleys", "$(touch pwned) 'a' \"b\"")]:
        shutil.copy(SOURCE / "examples" / f"{name}.yaml", folder / f"{target}.yaml")
    shutil.copytree(SOURCE / "examples" / "maps", folder / "maps")
    (folder / "notes.txt").write_text(SECRET)
    (folder / ".hidden.yaml").write_text(SECRET)
    (base / "outside.yaml").write_text(f"snub: 1\n# {SECRET}\n")
    (base / "own-house.yaml").write_text("snub: 1\ncompany: Invented Works\n")
    server = None
    try:
        beginnings(base)
        server = Server(str(folder))
        papers = the_list(server)
        review(server, folder)
        same_bytes(server, papers, folder, base / "out")
        with_catalogue(folder, base)
        failing(server, folder)
        of_the_saved_file(server, folder)
        held_in(server, folder, base)
        hostile(server, folder)
        ends(server)
    finally:
        if server and server.process.poll() is None:
            server.kill()
        shutil.rmtree(base, ignore_errors=True)
    return tally.end()


if __name__ == "__main__":
    raise SystemExit(main())
