"""A crowd of connections without the key against `snub serve`: does the owner still get in, and out?
Prints each failure, what was measured, and a last line `N passed, N failed`.
SNUB_CROWD_SECONDS=60 lets each crowd stay for so long (1 s by default), and brings crowds of more sizes."""
import json
import multiprocessing
import os
import re
import resource
import selectors
import signal
import socket
import subprocess
import sys
import time

import tally
from serve_client import BIN, HERE, Server, ask, make_folder, request, status, tidy

SECONDS = float(os.environ.get("SNUB_CROWD_SECONDS", "1"))
COUNTS = (300, 500, 1000, 1500) if "SNUB_CROWD_SECONDS" in os.environ else (300, 1000)
WITHIN = 10.0 if "asan" in BIN else 1.0  # s: the end; the search for leaks at the end takes seconds
STRANGERS_END = 6.0  # s: by then each that has not shown the key was ended
LATEST = 1.0  # s: the owner waits for no answer longer than this, or
BUSY = 10     # times the slowest answer without a crowd, where the machine is busy with other things
KINDS = ("idle", "headers", "body", "reader", "again")


def opening(kind, port):
    """What one of the crowd sends first."""
    head = f"Host: 127.0.0.1:{port}\r\nAuthorization: Bearer {'A' * 32}\r\n"
    return {"idle": b"", "headers": b"GET / HTTP/1.1\r\n", "again": b"GET / HT",
            "body": f"POST /api/lay HTTP/1.1\r\n{head}Content-Type: application/json\r\nContent-Length: 1000\r\n\r\n".encode(),
            "reader": f"GET /page.js HTTP/1.1\r\n{head}\r\n".encode()}[kind]


def join(kind, port, crowd, number):
    link = socket.socket()
    if kind == "reader":
        link.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, 2048)
    link.setblocking(False)
    link.bind((f"127.0.{number % 50}.{1 + number % 100}" if number % 2 else "127.0.0.1", 0))
    link.connect_ex(("127.0.0.1", port))
    crowd.register(link, selectors.EVENT_WRITE, number)


def crowd_of(kind, count, port, ready, leave):
    """Runs in a process of its own. `again` comes back at once whenever it is put out; the others come back once a second."""
    crowd = selectors.DefaultSelector()
    for number in range(count):
        join(kind, port, crowd, number)
    gone, dripped = [], time.monotonic()
    while not leave.is_set():
        for key, event in crowd.select(0.02):
            link = key.fileobj
            try:
                if event & selectors.EVENT_WRITE:
                    link.send(opening(kind, port))
                    crowd.modify(link, 0 if kind == "reader" else selectors.EVENT_READ, key.data)
                elif not link.recv(65536):
                    raise ConnectionError
            except (OSError, ValueError):
                crowd.unregister(link)
                link.close()
                gone.append(key.data)
        if len(crowd.get_map()) + len(gone) == count:
            ready.set()
        if kind == "again" or time.monotonic() - dripped > 1:
            if kind in ("headers", "body"):
                drip(crowd)
            for number in gone:
                join(kind, port, crowd, number)
            gone, dripped = [], time.monotonic()


def drip(crowd):
    for key in list(crowd.get_map().values()):
        try:
            key.fileobj.send(b"x")
        except OSError:
            pass


class Crowd:
    def __init__(self, kind, count, port):
        ready, self.leave = multiprocessing.Event(), multiprocessing.Event()
        self.process = multiprocessing.Process(target=crowd_of, args=(kind, count, port, ready, self.leave), daemon=True)
        self.process.start()
        self.came = ready.wait(20)

    def stop(self):
        self.leave.set()
        self.process.join(5)
        self.process.kill()


def answered(link, data):
    """Seconds to a whole answer, and its status."""
    begun = time.monotonic()
    answer = b""
    link.settimeout(10)
    link.sendall(data)
    while b"\r\n\r\n" not in answer:
        piece = link.recv(65536)
        if not piece:
            return time.monotonic() - begun, None
        answer += piece
    head, _, body = answer.partition(b"\r\n\r\n")
    length = int(head.lower().partition(b"content-length: ")[2].split(b"\r\n")[0])
    while len(body) < length:
        body += link.recv(65536)
    return time.monotonic() - begun, status(answer)


def owner(server):
    """New connections and one that is kept, for a while. The slowest answer, s; how many; what went wrong."""
    ask, page = request(server, "GET", "/api/drive?file=kit.yaml"), request(server, "GET", "/page.js", drop=["Authorization"])
    worst, count, wrong = 0, 0, []
    kept = socket.create_connection(("127.0.0.1", server.port), timeout=10)
    until = time.monotonic() + SECONDS
    while time.monotonic() < until:
        begun = time.monotonic()
        with socket.create_connection(("127.0.0.1", server.port), timeout=10) as link:
            came = time.monotonic() - begun
            # A page is loaded before the key can be shown: both on one connection.
            for took, code in [answered(link, page), answered(link, ask), answered(kept, ask)]:
                worst, count = max(worst, came + took), count + 1
                if code != 200:
                    wrong.append(code)
        time.sleep(0.03)
    kept.close()
    return worst, count, wrong


def crowded(server, kind, count, quiet=0.0):
    """`quiet`: the slowest answer without a crowd, s."""
    latest = max(LATEST, BUSY * quiet)
    crowd = Crowd(kind, count, server.port)
    try:
        tally.check(f"{count} x {kind}: all came", crowd.came)
        worst, asked, wrong = owner(server)
        tally.check(f"{count} x {kind}: the owner is answered", not wrong, wrong)
        tally.check(f"{count} x {kind}: within {latest:.0f} s", worst < latest, f"{worst:.2f} s")
        print(f"{count} x {kind}: slowest of {asked} answers {worst * 1e3:.0f} ms", flush=True)
    except OSError as error:
        tally.check(f"{count} x {kind}: the owner is let in", False, error)
    return crowd


def slow_drive(server):
    """Seconds of work for one answer: a list of belts every fiftieth of a mm."""
    with open(os.path.join(HERE, "..", "..", "examples", "ironbrook-v8.yaml")) as file:
        text = file.read()
    lengths = ", ".join(f"{1890 + 0.02 * i:.2f} mm" for i in range(7501))
    text, found = re.subn(r"stock: \{from: 1890 mm[^}]*\}", f"stock: [{lengths}]", text)
    assert found == 1, "the example's stock is not where it was"
    return json.dumps({"file": "slow.yaml", "text": text, "changes": [], "rpm": 3000, "whole": True}).encode()


def ends_while_it_works(folder, how):
    """Four answers and two charts that take seconds, and clients that hang: the end does not wait for them."""
    server = Server(os.path.join(folder, "kit.yaml"), "--port", "0")
    links = []
    try:
        for path in ["/api/chart"] * 2 + ["/api/lay"] * 4:
            body = slow_drive(server)
            if path == "/api/chart":
                body = body.replace(b', "rpm": 3000, "whole": true', b"")
                tally.check("a chart is begun", status(ask(server, "POST", path, body)) == 202)
                continue
            links.append(socket.create_connection(("127.0.0.1", server.port), timeout=5))
            links[-1].sendall(request(server, "POST", path, body))
        time.sleep(0.3)
        for link in links:
            link.setblocking(False)
            try:
                tally.check("it still works", link.recv(1) is None, "answered before the signal: the drive is not slow")
            except BlockingIOError:
                pass
        begun = time.monotonic()
        code = server.stop(how)
        took = time.monotonic() - begun
        tally.check(f"{how.name} while it works: ends with 0 within {WITHIN:.0f} s", code == 0 and took < WITHIN, (code, took))
        print(f"{how.name} while four answers and two charts are worked out: ended after {took * 1e3:.0f} ms", flush=True)
    finally:
        for link in links:
            link.close()
        server.kill()


def few_files(folder):
    """A process that may open few files: fewer places, the same manners; too few, and it says so."""
    def most(files, in_need=None):
        return lambda: resource.setrlimit(resource.RLIMIT_NOFILE, (files, in_need or files))

    server = Server(os.path.join(folder, "kit.yaml"), "--port", "0", preexec_fn=most(128))
    try:
        crowd = crowded(server, "headers", 60)
        open_files = len(os.listdir(f"/proc/{server.process.pid}/fd"))
        tally.check("128 files: places left for what is no connection", 20 < open_files <= 128 - 24, open_files)
        tally.check("128 files: a save has its files", status(save(server)) == 200)
        crowd.stop()
    finally:
        server.kill()
    server = Server(os.path.join(folder, "kit.yaml"), "--port", "0", preexec_fn=most(64, 1024))
    try:
        crowd = crowded(server, "headers", 300)
        open_files = len(os.listdir(f"/proc/{server.process.pid}/fd"))
        tally.check("64 files that may be made 1024: they are", 250 < open_files, open_files)
        crowd.stop()
    finally:
        server.kill()
    run = subprocess.run([BIN, "serve", folder, "--port", "0"], capture_output=True, timeout=20, preexec_fn=most(64))
    tally.check("64 files: refused, with what to do", run.returncode == 2 and b"ulimit -n" in run.stderr and not run.stdout, run)


def save(server):
    text = {"file": "crowd.yaml", "text": "snub: 1\n", "changes": []}
    return ask(server, "POST", "/api/save", json.dumps(text).encode(), headers={"If-None-Match": "*"})


def main():
    base, folder = make_folder()
    server = None
    try:
        for count in COUNTS:
            server = Server(os.path.join(folder, "kit.yaml"), "--port", "0")
            crowd, begun, ask_ = None, time.monotonic(), request(server, "GET", "/api/folder")
            with socket.create_connection(("127.0.0.1", server.port), timeout=10) as idle:
                tally.check("a connection with the key", answered(idle, ask_)[1] == 200)
                quiet = owner(server)[0]
                for kind in KINDS:
                    if crowd:
                        crowd.stop()
                    crowd = crowded(server, kind, count, quiet)
                time.sleep(max(0.0, begun + STRANGERS_END - time.monotonic()))
                tally.check(f"{count} connections: one with the key stays, though idle all the while", answered(idle, ask_)[1] == 200)
            begun = time.monotonic()
            code = server.stop(signal.SIGINT)
            took = time.monotonic() - begun
            crowd.stop()
            tally.check(f"{count} connections: Ctrl+C ends it with 0 within {WITHIN:.0f} s", code == 0 and took < WITHIN, (code, took))
            print(f"{count} connections: ended {took * 1e3:.0f} ms after SIGINT", flush=True)
        few_files(folder)
        ends_while_it_works(folder, signal.SIGINT)
        ends_while_it_works(folder, signal.SIGTERM)
    finally:
        tidy(base, server)
    return tally.end()


if __name__ == "__main__":
    sys.exit(main())
