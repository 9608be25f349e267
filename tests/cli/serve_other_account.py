"""What another account of the same machine gets from `snub serve`: nothing. The test takes on two accounts, so it needs root; otherwise
it says that it was skipped and exits with 77."""
import ctypes
import http.client
import json
import os
import re
import shutil
import socket
import subprocess
import sys
import time

import tally
from serve_client import BIN, HERE, Server, tidy

OWNER, STRANGER = 54321, 65534  # accounts need no name
SKIPPED = 77
ROUTES = [("GET", "/api/folder"), ("GET", "/api/drive"), ("GET", "/api/drive?file=kit.yaml"), ("POST", "/api/lay"), ("POST", "/api/sweep"), ("POST", "/api/log"), ("POST", "/api/apply"),
          ("POST", "/api/save"), ("POST", "/api/chart"), ("POST", "/api/motion"), ("GET", "/api/job?id=1"), ("DELETE", "/api/job?id=1"), ("GET", "/api/nothing"), ("HEAD", "/api/folder"), ("OPTIONS", "/api/lay")]
FILES = ["/", "/index.html", "/page.js", "/style.css", "/mark.svg", "/nothing", "/problem/no-key"]


def become(account):
    os.setgroups([])
    os.setgid(account)
    os.setuid(account)


def as_account(account, work, *args):
    """What `work` returns, run by a child that has become that account."""
    ours, theirs = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            os.close(ours)
            become(account)
            with os.fdopen(theirs, "w") as out:
                json.dump(work(*args), out)
        finally:
            os._exit(0)
    os.close(theirs)
    with os.fdopen(ours) as answer:
        text = answer.read()
    os.waitpid(child, 0)
    return json.loads(text) if text else None


# ---- what is tried, each in a child ------------------------------------------------------------------------------------------

def ask_all(port, guesses):
    """Every route, without a key and with each guess, in every place where a key could stand: [[what, status, answer]]."""
    body = json.dumps({"file": "kit.yaml", "text": "snub: 1", "changes": []})
    got = []
    for method, path in ROUTES + [("GET", path) for path in FILES]:
        ways = [("no key", {}, path)]
        for guess in guesses if path not in FILES else ():
            ways += [("a key", {"Authorization": f"Bearer {guess}"}, path), ("a password", {"Authorization": f"Basic {guess}"}, path),
                     ("a cookie", {"Cookie": f"snub_{port}={guess}; key={guess}"}, path), ("in the URL", {}, path + ("&" if "?" in path else "?") + "key=" + guess)]
        for way, fields, where in ways:
            link = http.client.HTTPConnection("127.0.0.1", port, timeout=5)
            link.request(method, where, body if method == "POST" else None, {"Content-Type": "application/json", "If-None-Match": "*", **fields})
            answer = link.getresponse()
            head = str(answer.headers)
            got.append([f"{method} {where}, {way}", answer.status, head + answer.read().decode(errors="replace")])
            link.close()
    return got


def look_into(pid):
    """All that the system shows of another account's process."""
    seen = {}
    for name in ["cmdline", "environ", "maps", "mem", "auxv", "stack", "syscall", "wchan", "status", "stat", "comm", "limits", "io", "net/tcp", "net/unix", "mountinfo"]:
        try:
            with open(f"/proc/{pid}/{name}", "rb") as file:
                seen[name] = file.read(1 << 20).decode("latin-1")
        except OSError as error:
            seen[name] = f"({error.strerror})"
    for name in ["cwd", "root", "exe", "fd/1", "fd/3", "map_files"]:
        try:
            seen[name] = os.readlink(f"/proc/{pid}/{name}")
        except OSError as error:
            seen[name] = f"({error.strerror})"
    libc = ctypes.CDLL(None, use_errno=True)
    seized = libc.ptrace(0x4206, pid, 0, 0)
    try:
        process = os.pidfd_open(pid)
        taken = [libc.syscall(438, process, fd, 0) for fd in range(40)]  # pidfd_getfd
        os.close(process)
    except OSError:
        taken = []
    try:
        os.kill(pid, 0)
        killed = True
    except OSError:
        killed = False
    return {"seen": seen, "seized": seized, "taken": [fd for fd in taken if fd >= 0], "killed": killed}


def search(key, since):
    """Files of the last minutes that it may read and that hold the key."""
    found = []
    for top in ["/tmp", "/var/tmp", "/dev/shm", "/run"]:
        for folder, names, files in os.walk(top):
            names[:] = names[:50] if folder.count("/") < 4 else []
            for name in files:
                path = os.path.join(folder, name)
                try:
                    about = os.stat(path, follow_symlinks=False)
                    if about.st_mtime >= since and about.st_size < 1 << 20 and (about.st_mode & 0o170000) == 0o100000:
                        with open(path, "rb") as file:
                            if key.encode() in file.read():
                                found.append(path)
                except OSError:
                    pass
    return found


def take_the_port(port):
    taken = []
    for address in ["127.0.0.1", "0.0.0.0"]:
        for option in [None, socket.SO_REUSEADDR, socket.SO_REUSEPORT]:
            with socket.socket() as link:
                if option is not None:
                    link.setsockopt(socket.SOL_SOCKET, option, 1)
                try:
                    link.bind((address, port))
                    link.listen()
                    taken.append([address, option])
                except OSError:
                    pass
    return taken


# ---- the test -------------------------------------------------------------------------------------------------------------------

def nothing_over_http(server, secrets):
    guesses = ["", "A" * 32, server.key[:-1], server.key[:-1] + ("A" if server.key[-1] != "A" else "B"), server.key.swapcase(), str(server.process.pid)]
    got = as_account(STRANGER, ask_all, server.port, guesses)
    tally.check("every route was tried", got and len(got) == len(ROUTES) * (1 + 4 * len(guesses)) + len(FILES), got and len(got))
    for what, status, answer in got or []:
        page = what.split()[1].rstrip(",") in FILES
        tally.check(f"another account: {what}: refused", status in ((200, 404) if page else (401,)), (status, answer[:100]))
        tally.check(f"another account: {what}: nothing of the folder", not any(secret in answer for secret in secrets), answer[:200])
    right = as_account(STRANGER, ask_all, server.port, [server.key])
    shown = [answer for what, status, answer in right if what == "GET /api/folder, a key"]
    tally.check("with the key it would have been shown", shown and "kit.yaml" in shown[0], shown)


def nothing_from_the_system(server, begun):
    got = as_account(STRANGER, look_into, server.process.pid)
    leaks = [name for name, text in got["seen"].items() if server.key in text]
    tally.check("/proc: no key", not leaks, leaks)
    shut = [name for name in ("environ", "maps", "mem", "cwd", "fd/1", "fd/3", "io") if not got["seen"][name].startswith("(Permission")]
    tally.check("/proc: environment, memory and files are shut", not shut, {name: got["seen"][name][:80] for name in shut})
    tally.check("the process cannot be traced, ended, nor its sockets taken", got["seized"] == -1 and not got["taken"] and not got["killed"], got["taken"])
    own = as_account(OWNER, look_into, server.process.pid)
    tally.check("the owner's account sees more", own["seen"]["environ"].find("SNUB_TEST=") >= 0 and own["killed"], own["seen"]["environ"][:100])
    tally.check("no file has the key", as_account(STRANGER, search, server.key, begun) == [])
    tally.check("the port cannot be taken", as_account(STRANGER, take_the_port, server.port) == [])


def browse(chromium, profile, address):
    """The page as a browser of the other account shows it after some seconds."""
    shutil.rmtree(profile, ignore_errors=True)
    os.mkdir(profile)
    os.chown(profile, STRANGER, STRANGER)
    command = [chromium, "--headless", "--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking", "--disable-component-update",
               f"--user-data-dir={profile}", "--virtual-time-budget=30000", "--dump-dom", address]
    try:
        return subprocess.run(command, capture_output=True, timeout=60, preexec_fn=lambda: become(STRANGER), env={"HOME": profile, "PATH": os.environ["PATH"]}).stdout.decode()
    except subprocess.TimeoutExpired:
        return ""


def browse_until(ready, chromium, profile, address):
    """The page once `ready` says that it stands, or as it was at the last try: the browser's own clock runs ahead of a busy machine, so it
    may leave before the page's program has begun."""
    for _ in range(20):
        shown = browse(chromium, profile, address)
        if ready(shown):
            break
    return shown


def asks_for_the_address(shown):
    """Whether the section that says what to do is open: its words are in the page's text from the start, hidden."""
    section = re.search(r'<section id="enter"[^>]*>', shown)
    return bool(section) and "hidden" not in section[0] and "snub serve" in shown


def nothing_in_a_browser(server, base, secrets):
    chromium = os.environ.get("SNUB_CHROMIUM") or next(filter(None, map(shutil.which, ("chromium-headless-shell", "chromium", "chromium-browser"))), None)
    if not chromium:
        print("skipped: the browser of another account (no chromium found)")
        return
    profile, plain = os.path.join(base, "profile"), f"http://127.0.0.1:{server.port}/"
    shown = browse_until(asks_for_the_address, chromium, profile, plain)
    tally.check("browser: it says what to do", asks_for_the_address(shown), shown[:300])
    tally.check("browser: nothing of the folder", not any(secret in shown for secret in secrets), [secret for secret in secrets if secret in shown])
    shown = browse_until(asks_for_the_address, chromium, profile, f"{plain}#key={'A' * 32}")
    tally.check("browser: nor with a wrong key", asks_for_the_address(shown) and not any(secret in shown for secret in secrets), shown[:300])
    shown = browse_until(lambda text: "Sedgemere inline six" in text, chromium, profile, server.address)
    tally.check("browser: with the address it would have been shown", "Sedgemere inline six" in shown, shown[:300])
    shown = browse_until(asks_for_the_address, chromium, profile, plain)
    tally.check("browser: a new profile has no key left over", asks_for_the_address(shown) and "Sedgemere inline six" not in shown, shown[:300])


def main():
    if os.geteuid() != 0:
        print("skipped: only root can take on two other accounts, so nothing was tried")
        tally.end()
        return SKIPPED
    os.umask(0o022)
    begun = time.time() - 1
    base = os.path.realpath(subprocess.check_output(["mktemp", "-d", "-t", "snub-account-XXXXXX"]).decode().strip())
    os.chmod(base, 0o755)
    server = None
    try:
        folder = os.path.join(base, "kits")
        os.mkdir(folder)
        shutil.copy(os.path.join(HERE, "..", "..", "examples", "sedgemere.yaml"), os.path.join(folder, "kit.yaml"))
        for path in (os.path.join(folder, "kit.yaml"), folder):
            os.chown(path, OWNER, OWNER)
            os.chmod(path, 0o700)
        for program in (BIN, f"{BIN}-full", f"{BIN}-whole"):  # where every account can run them
            shutil.copy(program, os.path.join(base, os.path.basename(program)))
        secrets = ["kit.yaml", "Sedgemere inline six", folder]
        server = Server(os.path.join(folder, "kit.yaml"), "--port", "0", program=os.path.join(base, os.path.basename(BIN)),
                        environment={"SNUB_TEST": "1", "PATH": os.environ["PATH"]}, cwd=base, preexec_fn=lambda: become(OWNER))
        nothing_over_http(server, secrets + [server.key])
        nothing_from_the_system(server, begun)
        nothing_in_a_browser(server, base, secrets)
        tally.check("the owner's server is there", server.alive())
        with open(os.path.join(folder, "kit.yaml")) as file:
            tally.check("the file is as it was", "Sedgemere inline six" in file.read())
    finally:
        tidy(base, server)
    return tally.end()


if __name__ == "__main__":
    sys.exit(main())
