"""Nothing that a user reads carries a word that was given up, and every sentence has its end.

Read are the outputs of every command on every example (text, the texts inside JSON, the words on the PDF sheets in English, the
drawings), the help of every command and the manual page, every message of the program, the words of the page, the keys that the
readers take, the data files and the examples with their comments, README and guide. The guide's list of old names is left out,
and so is what the program says of an old name.

Needs SNUB_BIN and SNUB_SOURCE_DIR. The last line is `N passed, N failed`."""
import json
import os
import pathlib
import re
import subprocess
import sys
import tempfile

from guide_keys import key_lists
from tally import check, end

SNUB, TOP = os.environ["SNUB_BIN"], pathlib.Path(os.environ["SNUB_SOURCE_DIR"])
EXAMPLES = sorted((TOP / "examples").glob("*.yaml"))

# Words given up, each with a sentence that it must find. Case counts where a capital makes the difference.
OLD = [
    (r"\(limit: ", "3.0 (limit: memory)"), (r"\bmemory\b(?! ?(?:while|for)\b)(?<![Oo]ut of memory)(?<!/no-memory)", "from memory"),
    (r"\bwatch\b", "verdict watch"), (r"\bsell (?:it|the build)\b", "pass: sell it"), (r"\bat rest\b", "arm at rest"),
    (r"\brest (?:angle|position)\b", "rest angle 20 deg"), (r"\b(?:wound|unwound) (?:up|by|to|from)\b", "wound by 20 deg"),
    (r"\broom to stop\b", "room to stop 12 deg"), (r"\b[Ll]ocked at\b", "Locked at 12 mm"), (r"\bno-gap\b", "no-gap moment"),
    (r"\bslip used\b", "slip used 0.4"), (r"\bgain %", "gain %"), (r"\bhub deg\b", "hub deg"), (r"\bbelt's side\b", "belt's side"),
    (r"\bwhich ring moves\b", "which ring moves"), (r"\bthrottle (?:is )?shut\b|\bshut throttle\b", "with the throttle shut"),
    (r"\b(?:rising|falling) (?:speed|engine)\b", "at rising speed"), (r"\bis no (?:number|YAML|text|map|list)\b", "x is no number"),
    (r"\bmemory is out\b", "memory is out"), (r"\b(?:is|are) told\b", "this is told with"), (r"\bstands? twice\b", "stands twice"),
    (r"\bperhaps\b", "need perhaps"), (r"\bcarries much\b", "carries much per rib"), (r"-\d+(?:\.\d+)? mm of slack", "-9.3 mm of slack"),
    (r"\bKnown weaknesses\b", "Known weaknesses"), (r"\bWhat this build must show\b", "What this build must show"),
    (r"\bparts the fields\b", "what parts the fields"), (r"\bon the bench\b", "Put this build on the bench"),
    (r"\bWork out again\b|\bworked out\b", "Work out again"), (r"\bnew key needed\b", "new key needed"),
    (r"\b(?:ask|asks|asked|asking) for\b(?! the sheet)", "the load asks for more"), (r"\b[Ss]tands? (?:past|too|in the|beside)\b", "stands past"),
    (r"\blaid over (?!these)", "laid over the file"), (r"\bno memory for\b", "no memory for the plot"),
    (r"\bas the file stands\b", "as the file stands"), (r"\bcannot be said\b", "cannot be said"),
    (r"\bfastener supplier\b", "a fastener supplier"), (r"\bfill(?:s|ed)? (?:of|at) (?:the )?engine\b", "fill of the engine"),
    (r"\bover (?:the )?tips:|over: tips\b", "over: tips"), (r"\blips?\b", "lips 2 mm"), (r"\bis whole\b|\bnot whole\b", "the file is not whole"),
]
OLD = [(re.compile(pattern), sample) for pattern, sample in OLD]

# What is said of an old name, or is another word that only looks like one.
FINE = re.compile(r"old names?\b.*|was called .*|is now .*|Old names.*|`[^`]*`", re.S)


def old_words(text):
    """The old words in a text, with what is around them."""
    flat = re.sub(r"\s+", " ", text)
    return [flat[max(0, hit.start() - 40):hit.end() + 30] for pattern, _ in OLD for hit in pattern.finditer(flat)]


# A sentence ends; so does what follows one. Titles, heads and labels are no sentences: no verb is looked for, only whether a
# text already has a sentence with its end inside.
INSIDE = re.compile(r"[a-z0-9)}\"'][.?!] [A-Z]|[a-z0-9)][.?!] \{")
AT_END = re.compile(r"[.:?!](?:[)\"'}]*)$|\}$|…$|_$")


def without_end(text):
    flat = re.sub(r"\s+", " ", text).strip()
    return bool(INSIDE.search(flat.replace("no. ", ""))) and not AT_END.search(flat)


def self_test():
    for pattern, sample in OLD:
        check(f"{pattern.pattern} finds \"{sample}\"", any(pattern is p and p.search(sample) for p, _ in OLD))
    check("a sentence without its end", without_end("The belt slips. Use more wrap"))
    check("a sentence with its end", not without_end("The belt slips. Use more wrap."))
    check("a label", not without_end("slot setting of the wrap idler"))


# ---- where the words are --------------------------------------------------------------------------------------------------

def run(*words):
    done = subprocess.run([SNUB, *map(str, words)], capture_output=True, text=True, timeout=300)
    check(f"snub {' '.join(map(str, words))} answers", done.returncode in (0, 1), done.stderr)
    return done.stdout


def strings(node):
    """Every text in a JSON tree that has a blank: what is said, not a name."""
    if isinstance(node, dict):
        for value in node.values():
            yield from strings(value)
    elif isinstance(node, list):
        for value in node:
            yield from strings(value)
    elif isinstance(node, str) and " " in node:
        yield node


def of_outputs(folder):
    for example in EXAMPLES:
        name = example.stem
        has_range = "redline" in example.read_text()
        for command, *rest in (["check"], ["check", "--rpm", "0"], ["chart", "--findings"], ["mount"], ["sweep"]):
            if command == "sweep" and not has_range:
                continue
            yield f"{name}: {command} {' '.join(rest)}", run(command, example, *rest)
            if not rest:
                tree = json.loads(run(command, example, "--json"))
                for text in strings(tree):
                    yield f"{name}: {command} --json", text
        for view in ("front", "side", "template"):
            target = folder / f"{name}-{view}.svg"
            run("draw", example, "--view", view, "-o", target)
            for text in re.findall(r"<text[^>]*>([^<]*)</text>", target.read_text()):
                yield f"{name}: draw {view}", text
        for kind in ("fitting", "chart", "parts", "template", "report"):
            if kind == "report" and not has_range:
                continue
            target = folder / f"{name}-{kind}.pdf"
            run("sheet", example, "--kind", kind, "-o", target)
            yield f"{name}: sheet {kind}", subprocess.run(["pdftotext", "-layout", target, "-"], capture_output=True, text=True,
                                                          check=True).stdout


def of_help():
    listed = run("help")
    yield "help", listed
    for name in re.findall(r"^ {2,}([a-z]+) {2,}\S", listed, re.M):
        yield f"help {name}", run("help", name)
    yield "man", run("man")


def messages():
    """Every message id of the program, and what the C sources say without a mark: errors and table heads."""
    for block in (TOP / "po/snub.pot").read_text().split("\n\n"):
        found = re.search(r'^msgid ((?:".*"\n?)+)', block, re.M)
        text = "".join(re.findall(r'"(.*)"', found.group(1))) if found else ""
        if text:
            yield "message", text
    code = re.compile(r'"(?:[^"\\\n]|\\.)*"(?:\s*"(?:[^"\\\n]|\\.)*")*|/\*.*?\*/|//[^\n]*', re.S)
    for path in sorted([*(TOP / "src").rglob("*.c"), *(TOP / "app").rglob("*.c"), *(TOP / "include").rglob("*.inc")]):
        for text in code.findall(path.read_text()):
            if text.startswith('"') and " " in text:
                yield str(path.relative_to(TOP)), "".join(re.findall(r'"((?:[^"\\]|\\.)*)"', text)).replace('\\"', '"').replace("\\n", " ")


def of_page():
    code = re.compile(r'"(?:[^"\\\n]|\\.)*"|`(?:[^`\\]|\\.)*`|/\*.*?\*/|//[^\n]*', re.S)
    for path in sorted((TOP / "page/src").rglob("*.ts")):
        for text in code.findall(path.read_text()):
            if text[0] in "\"`" and re.search(r"[a-z] [a-z]", text):
                yield str(path.relative_to(TOP)), text[1:-1]


def of_files():
    for path in sorted([*(TOP / "data").rglob("*"), *(TOP / "examples").rglob("*")]):
        if path.is_file() and path.suffix in (".yaml", ".csv", ".md", ".txt"):
            yield str(path.relative_to(TOP)), path.read_text()
    for path in [TOP / "README.md", *sorted((TOP / "docs/guide").glob("*.md"))]:
        for heading, text in re.findall(r"^(#+ [^\n]*)\n(.*?)(?=^#+ |\Z)", path.read_text(), re.M | re.S):
            if "Old names" not in heading:
                yield f"{path.relative_to(TOP)}: {heading}", text


# ---- the checks -----------------------------------------------------------------------------------------------------------

def look(texts, sentences=False):
    read = 0
    for where, text in texts:
        read += 1
        plain = FINE.sub(" ", text) if not sentences else re.sub(r"\bold names?\b.*", "", text)
        hits = old_words(plain)
        if hits:
            check(f"{where}: no old word", False, hits)
        if sentences and without_end(text):
            check(f"{where}: the sentence has its end", False, text)
    return read


def main():
    self_test()
    with tempfile.TemporaryDirectory(prefix="snub-words-") as folder:
        for name, texts, sentences, least in (("outputs", of_outputs(pathlib.Path(folder)), False, 200), ("help", of_help(), False, 12),
                                              ("messages", messages(), True, 900), ("page", of_page(), True, 150),
                                              ("files", of_files(), False, 90)):
            read = look(texts, sentences)
            check(f"{name}: {read} texts read", read >= least, read)
    old = {(context, now) for context, now in re.findall(r'^SNUB_RENAME\("([\w.*]+)", *"(\w+)"',
                                                         (TOP / "include/snub/rename_list.inc").read_text(), re.M)}
    check("old names of keys are known", len(old) > 25, old)
    sections = {"engine": "snub_engine_keys", "cooler": "snub_cooler_keys", "limits": "snub_limit_keys",
                "pulleys.*": "snub_pulley_keys", "pulleys.*.arm": "snub_arm_keys", "pulleys.*.slot": "snub_slot_keys",
                "pulleys.*.blower": "snub_blower_keys"}
    lists = key_lists()
    for context, key in sorted(old):
        if context in sections:
            check(f"{context}.{key} is no key any more", key not in lists[sections[context]], lists[sections[context]])
    return end()


if __name__ == "__main__":
    sys.exit(main())
