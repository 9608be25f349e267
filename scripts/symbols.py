"""What object files define and use, as nm tells it. For the checks beside it; no program of its own."""
import re
import subprocess

MEMBER = re.compile(r"^\S.*\[(.+)\]:$|^(\S+\.o):$")
# Global ones alone: text, data, read-only, zeroed, weak. A local name may come twice and is nobody else's.
DEFINED, USED = set("TDRBVWC"), set("U")


def read_listing(text):
    """`nm -P` on an archive or on several objects: {member: (defined, used)}, each a set of names."""
    members = {}
    now = ""
    for line in text.splitlines():
        if match := MEMBER.match(line):
            now = match[1] or match[2]
            members[now] = (set(), set())
            continue
        name, kind, *_ = line.split() + ["", ""]
        if kind in DEFINED | USED:
            members.setdefault(now, (set(), set()))[kind in USED].add(name)
    return members


def symbols_of(*paths):
    """The same for files; raises OSError or subprocess.CalledProcessError where nm cannot read one."""
    listing = subprocess.run(["nm", "-P", *map(str, paths)], capture_output=True, text=True, check=True).stdout
    if len(paths) == 1 and not str(paths[0]).endswith(".a"):
        listing = f"{paths[0]}:\n{listing}"
    return read_listing(listing)
