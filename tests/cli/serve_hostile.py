"""Raw sockets against `snub serve`. Prints each failure and a last line `N passed, N failed`."""
import json
import os
import random
import re
import signal
import socket
import subprocess
import sys
import threading
import time

import tally
from serve_client import BIN, HERE, SECRET, Server, ask, body_of, make_folder, raw, request, status, tidy

check = tally.check


def works(server):
    answer = ask(server, "GET", "/api/drive?file=kit.yaml")
    return status(answer) == 200 and b"snub: 1" in body_of(answer)


def gate(server):
    """Who may ask at all."""
    port = server.port
    for name, fields, want in [
        ("an empty key", {"Authorization": ""}, 401), ("wrong key", {"Authorization": f"Bearer {'A' * 32}"}, 401),
        ("key cut short", {"Authorization": server.bearer[:-1]}, 401), ("key too long", {"Authorization": server.bearer + "x"}, 401),
        ("key in the other case", {"Authorization": "Bearer " + server.key.swapcase()}, 401), ("key twice", {"Authorization": f"Bearer {server.key} {server.key}"}, 401),
        ("key without its scheme", {"Authorization": server.key}, 401), ("another scheme", {"Authorization": f"Basic {server.key}"}, 401),
        ("scheme and key in one", {"Authorization": f"Bearer{server.key}"}, 401), ("the scheme alone", {"Authorization": "Bearer"}, 401),
        ("key as a cookie", {"Authorization": "", "Cookie": f"snub_{port}={server.key}; key={server.key}"}, 401), ("the scheme in capitals", {"Authorization": f"BEARER {server.key}"}, 200),
        ("rebound name", {"Host": f"evil.example:{port}"}, 403), ("name that begins as ours", {"Host": f"127.0.0.1.evil.example:{port}"}, 403),
        ("localhost as a part", {"Host": f"localhost.evil.example:{port}"}, 403), ("other port", {"Host": f"127.0.0.1:{port + 1}"}, 403),
        ("no port", {"Host": "127.0.0.1"}, 403), ("empty host", {"Host": ""}, 403), ("foreign address", {"Host": f"192.0.2.7:{port}"}, 403),
        ("localhost", {"Host": f"localhost:{port}"}, 200), ("v6 loopback name", {"Host": f"[::1]:{port}"}, 200),
        ("foreign origin", {"Origin": "http://evil.example"}, 403), ("null origin", {"Origin": "null"}, 403),
        ("https origin", {"Origin": f"https://127.0.0.1:{port}"}, 403), ("own origin", {"Origin": f"http://127.0.0.1:{port}"}, 200),
        ("cross site", {"Sec-Fetch-Site": "cross-site"}, 403), ("same site", {"Sec-Fetch-Site": "same-site"}, 403),
        ("same origin", {"Sec-Fetch-Site": "same-origin"}, 200),
    ]:
        answer = ask(server, "GET", "/api/drive?file=kit.yaml", headers=fields)
        check(f"gate: {name}", status(answer) == want, answer[:120])
        check(f"gate: {name} leaks nothing", want == 200 or b"snub: 1" not in answer, answer)
    check("gate: no host", status(ask(server, "GET", "/api/drive", drop=["Host"])) in (400, 403))
    check("gate: no key", status(ask(server, "GET", "/api/drive", drop=["Authorization"])) == 401)
    check("gate: says how to sign in", b'WWW-Authenticate: Bearer realm="snub"' in ask(server, "GET", "/api/drive", drop=["Authorization"]))
    for first, second in [(server.bearer, "Bearer wrong"), ("Bearer wrong", server.bearer)]:
        both = request(server, "GET", "/api/drive", drop=["Authorization"]).replace(b"\r\n\r\n", f"\r\nAuthorization: {first}\r\nAuthorization: {second}\r\n\r\n".encode())
        check("gate: a right and a wrong key", status(raw(server, both)) == 401)
    two = request(server, "GET", "/api/drive").replace(b"\r\n\r\n", f"\r\nHost: evil.example:{port}\r\n\r\n".encode())
    check("gate: two hosts", status(raw(server, two)) in (400, 403), raw(server, two)[:80])
    check("gate: a key in the URL opens nothing", status(ask(server, "GET", f"/api/drive?key={server.key}", drop=["Authorization"])) == 401)
    page = ask(server, "GET", f"/?key={server.key}", drop=["Authorization"])
    check("gate: the page needs no key, and sets no cookie", status(page) == 200 and b"cookie" not in page.lower(), page[:300])
    check("page: strict policy", b"default-src 'none'" in page and b"unsafe" not in page.replace(b"'wasm-unsafe-eval'", b"", 1), page[:600])  # which allows WebAssembly, and no eval
    for path in ["/", "/page.js", "/style.css", "/mark.svg", "/index.html", "/problem/no-key", "/nothing.js"]:
        plain = ask(server, "GET", path, drop=["Authorization"])
        check(f"without the key {path} has nothing of the folder", status(plain) == (404 if path == "/nothing.js" else 200) and not any(word in plain for word in (server.key.encode(), b"kit.yaml", b"edgemere", server.folder.encode())), plain[:200])
    for path in ["folder", "drive", "lay", "keys", "entries", "sweep", "snapshot", "apply", "save", "chart", "job", "begin", "papers", "paper"]:
        for method in ("GET", "POST", "DELETE", "HEAD"):
            shut = ask(server, method, f"/api/{path}", b"{}" if method == "POST" else b"", drop=["Authorization"])
            check(f"without the key {method} /api/{path} is shut", status(shut) == 401 and b"edgemere" not in shut, shut[:200])
            foreign = ask(server, method, f"/api/{path}", b"{}" if method == "POST" else b"", headers={"Origin": "http://evil.example"})
            check(f"from another page {method} /api/{path} is shut", status(foreign) == 403, foreign[:200])
    check("HEAD tells nothing either", status(ask(server, "HEAD", "/api/folder", drop=["Authorization"])) == 401)


def files(server, base):
    """Only drive files under the folder."""
    names = ["../outside.yaml", "..%2foutside.yaml", "%2e%2e/outside.yaml", "sub/../../outside.yaml", "/etc/passwd", "/etc/passwd%00.yaml", "..\\outside.yaml",
             "kit.yaml%00.txt", "link.yaml", "up/outside.yaml", "notes.txt", ".hidden.yaml", "pipe.yaml", "folder.yaml", "", "%", "%zz", "./kit.yaml", "sub//other.yaml",
             "kit.yaml/", "a" * 300 + ".yaml", "....//outside.yaml", base + "/outside.yaml", "%c0%ae%c0%ae/outside.yaml", "~/x.yaml", "new.yaml", "%ff.yaml"]
    for name in names:
        answer = ask(server, "GET", f"/api/drive?file={name}")
        inside = name in ("kit.yaml%00.txt",)  # the library cuts at the NUL: then it is kit.yaml itself
        check(f"file {name!r}", status(answer) in ((200, 400, 404) if inside else (400, 404)), answer[:100])
        check(f"file {name!r} leaks nothing", SECRET.encode() not in answer and b"root:" not in answer, answer)
        if name == "%ff.yaml":
            continue  # as a JSON text that is a fair name
        text = json.dumps({"file": name, "text": "snub: 1\n# overwritten\n"}).encode()
        answer = ask(server, "POST", "/api/save", text, headers={"If-None-Match": "*"})
        check(f"save to {name!r}", status(answer) not in (200, None) or name == "new.yaml", answer[:100])
    for path in ["/../../etc/passwd", "/..%2f..%2fetc/passwd", "/src/main.ts", "//etc/passwd", "/index.html/../../x", "/%2e%2e/%2e%2e/etc/passwd", "/api/", "/api/../page.js", "/problem/", "/problem/../x", "*", "/" + "a/" * 2000]:
        answer = ask(server, "GET", path)
        check(f"path {path[:40]!r}", status(answer) in (400, 404, 414, None) and b"root:" not in answer, answer[:100])
    check("a file deeper down", status(ask(server, "GET", "/api/drive?file=sub/other.yaml")) == 200)
    with open(os.path.join(base, "outside.yaml")) as outside:
        check("the file outside is untouched", SECRET in outside.read())
    check("the text file is untouched", open(os.path.join(base, "kits", "notes.txt")).read() == SECRET)
    listing = json.loads(body_of(ask(server, "GET", "/api/folder")))["files"]
    check("the list shows drive files only", listing == ["kit.yaml", "new.yaml"], listing)


def broken(server):
    """Requests that are none."""
    host = f"127.0.0.1:{server.port}"
    cases = [b"", b"\r\n", b"\0" * 100, b"GET\r\n\r\n", b"GET / HTTP/9.9\r\n\r\n", b"\xff\xfe\xfd\r\n\r\n", b"GET / HTTP/1.1\r\nHost\r\n\r\n", b"GET / HTTP/1.1\nHost: x\n\n",
             b"GET /" + b"a" * 200000 + b" HTTP/1.1\r\n\r\n", b"GET / HTTP/1.1\r\n" + b"X: " + b"y" * 200000 + b"\r\n\r\n", b"GET / HTTP/1.1\r\n" + b"A: b\r\n" * 20000 + b"\r\n",
             b"POST /api/lay HTTP/1.1\r\nHost: %b\r\nAuthorization: %b\r\nContent-Length: -5\r\n\r\n", b"POST /api/lay HTTP/1.1\r\nHost: %b\r\nAuthorization: %b\r\nContent-Length: 99999999999999999999\r\n\r\n",
             b"POST /api/lay HTTP/1.1\r\nHost: %b\r\nAuthorization: %b\r\nContent-Length: 5\r\nContent-Length: 50\r\n\r\n{}", b"POST /api/lay HTTP/1.1\r\nHost: %b\r\nAuthorization: %b\r\nContent-Type: application/json\r\nTransfer-Encoding: chunked\r\n\r\nzz\r\n{}\r\n0\r\n\r\n",
             b"POST /api/lay HTTP/1.1\r\nHost: %b\r\nAuthorization: %b\r\nContent-Type: application/json\r\nTransfer-Encoding: chunked\r\n\r\nffffffffffffffff\r\n{}", b"CONNECT evil:1 HTTP/1.1\r\nHost: %b\r\n\r\n", b"OPTIONS * HTTP/1.1\r\nHost: %b\r\n\r\n",
             b"TRACE / HTTP/1.1\r\nHost: %b\r\nAuthorization: %b\r\n\r\n", b"GET http://evil.example/ HTTP/1.1\r\nHost: %b\r\nAuthorization: %b\r\n\r\n", b"PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n", bytes([0x16, 3, 1, 2, 0, 1]) + os.urandom(300)]
    for case in cases:
        data = case.replace(b"%b", host.encode(), 1).replace(b"%b", server.bearer.encode(), 1)
        answer = raw(server, data, wait=1.0, close_write=True)
        check(f"broken {case[:50]!r}", status(answer) is None or status(answer) >= 400, answer[:100])
    check("alive after broken requests", server.alive() and works(server))
    draw = random.Random(int(os.environ.get("SNUB_SEED", "7")))
    valid = request(server, "POST", "/api/lay", json.dumps({"file": "kit.yaml", "text": "snub: 1", "changes": []}).encode())
    for _ in range(300):
        data = bytearray(valid)
        for _ in range(draw.randint(1, 8)):
            at = draw.randrange(len(data))
            if draw.random() < 0.5:
                data[at] = draw.randrange(256)
            else:
                del data[at:at + draw.randint(1, 12)]
        raw(server, bytes(data), wait=0.2, close_write=True)
    check("alive after 300 spoiled requests", server.alive() and works(server))


def bodies(server):
    """JSON that is none, or asks too much."""
    text = open(os.path.join(HERE, "..", "..", "examples", "sedgemere.yaml")).read()
    good = {"file": "kit.yaml", "text": text, "changes": [], "rpm": 3000, "rate": 0, "whole": False}
    answer = ask(server, "POST", "/api/lay", json.dumps(good).encode())
    check("a good lay", status(answer) == 200 and json.loads(body_of(answer))["check"]["build"]["designation"] == "7PK1926", answer[:200])
    many = [{"path": "blower.diameter", "value": 80}] * 2000
    cases = [("nothing", b"", 400), ("no JSON", b"{", 400), ("a list", b"[]", 400), ("a number", b"1", 400), ("NaN", b'{"rpm": NaN}', 400), ("deep", b"[" * 100000, 400), ("deep objects", b'{"a":' * 50000, 400),
             ("not UTF-8", b'{"text":"\xff\xfe"}', 400), ("NUL in a text", b'{"text":"snub: 1\\u0000"}', 400), ("twice a key", b'{"rpm":1,"rpm":2}', 400), ("unknown key", b'{"rmp":1}', 400), ("huge number", b'{"rpm":1e999}', 400), ("negative speed", b'{"rpm":-1}', 400),
             ("too many changes", json.dumps({**good, "changes": many}).encode(), 413), ("a change without a value", json.dumps({**good, "changes": [{"path": "a"}]}).encode(), 400),
             ("maps as deep as no file has", json.dumps({**good, "changes": [{"path": "blower.at", "value": {"a": {"b": {"c": {"d": {"e": {"f": {"g": 1}}}}}}}}]}).encode(), 400), ("a line break in a map's key", json.dumps({**good, "changes": [{"path": "blower", "value": {"at\nsnub": 2}}]}).encode(), 400), ("a line break in a value", json.dumps({**good, "changes": [{"path": "title", "value": "a\nsnub: 2"}]}).encode(), 400),
             ("deep value", json.dumps({**good, "changes": [{"path": "blower.at", "value": [[[[[[[1]]]]]]]}]}).encode(), 400), ("path to nowhere", json.dumps({**good, "changes": [{"path": "nobody.at", "value": [1, 2]}]}).encode(), 422),
             ("empty file", json.dumps({**good, "text": ""}).encode(), 422), ("not YAML", json.dumps({**good, "text": "{[}"}).encode(), 422), ("billion laughs", json.dumps({**good, "text": "a: &a [x,x,x,x,x,x,x,x,x]\n" + "".join(f"{chr(98 + i)}: &{chr(98 + i)} [{','.join(['*' + chr(97 + i)] * 9)}]\n" for i in range(9))}).encode(), 422)]
    for name, body, want in cases:
        answer = ask(server, "POST", "/api/lay", body)
        check(f"body: {name}", status(answer) == want, (want, answer[:60], body_of(answer)[:200]))
        check(f"body: {name}: a problem", b"application/problem+json" in answer, answer[:200])
    answer = ask(server, "POST", "/api/lay", json.dumps({**good, "text": text.replace("preload:", "perload:")}).encode())
    errors = json.loads(body_of(answer))["errors"]
    line = text.split("\n").index(next(one for one in text.split("\n") if "preload:" in one)) + 1
    check("a mistake has its place", any(m["line"] == line and m["column"] > 1 and "perload" in m["key"] for m in errors), errors)
    for name in ["../outside.yaml", "../notes.txt", "/etc/passwd", "link.csv", ".hidden.csv", "sub/../../outside.yaml"]:
        mapped = text.replace("swept: 1.45 L", "swept: 1.45 L, map: %s" % json.dumps(name))
        answer = ask(server, "POST", "/api/lay", json.dumps({**good, "text": mapped}).encode())
        check(f"a blower's map {name!r} stays shut", status(answer) == 422 and b"in the served folder" in answer and SECRET.encode() not in answer and b"root:" not in answer, body_of(answer)[:300])
    huge = request(server, "POST", "/api/lay", b"x", headers={"Content-Length": str(50 << 20)})
    check("a body of 50 MiB is refused at once", status(raw(server, huge)) == 413)
    chunks = request(server, "POST", "/api/lay", b"", headers={"Transfer-Encoding": "chunked"}, drop=["Content-Length"]) + b"".join(b"100000\r\n" + b"a" * 0x100000 + b"\r\n" for _ in range(13)) + b"0\r\n\r\n"
    check("13 MiB in pieces are refused", status(raw(server, chunks, wait=8)) in (400, None))
    check("wrong type", status(ask(server, "POST", "/api/lay", b"{}", headers={"Content-Type": "text/plain"})) == 415)
    check("wrong method", status(ask(server, "GET", "/api/lay")) == 405)
    check("a save without If-Match", status(ask(server, "POST", "/api/save", json.dumps({"file": "kit.yaml", "text": text}).encode())) == 428)
    check("a save over a changed file", status(ask(server, "POST", "/api/save", json.dumps({"file": "kit.yaml", "text": text}).encode(), headers={"If-Match": '"0"'})) == 412)
    check("unknown work", status(ask(server, "GET", "/api/job?id=99")) == 404)
    check("work with a silly number", status(ask(server, "GET", "/api/job?id=-1e9")) == 404)


def talk(server, *pieces):
    """Send one after the other on one connection, then what the server says, and whether it ended the connection."""
    answer, ended = b"", False
    with socket.create_connection(("127.0.0.1", server.port), timeout=2) as link:
        try:
            for i, piece in enumerate(pieces):
                if i:
                    time.sleep(0.15)
                link.sendall(piece)
            link.settimeout(0.4)
            while True:
                piece = link.recv(65536)
                if not piece:
                    ended = True
                    break
                answer += piece
        except socket.timeout:
            pass
        except OSError:
            ended = True
    return [int(code) for code in re.findall(rb"HTTP/1\.1 (\d+)", answer)], ended


def framing(server):
    """Where one request ends and the next begins: what is not clear ends the connection, and is no request."""
    get, body = request(server, "GET", "/api/folder"), json.dumps({"file": "x.yaml", "text": "snub: 1", "changes": []}).encode()
    post = request(server, "POST", "/api/apply", body)

    def with_length(*lines):
        return request(server, "POST", "/api/apply", drop=["Content-Length"]).replace(b"\r\n\r\n", b"".join(b"\r\n" + line for line in lines) + b"\r\n\r\n")

    for name, pieces, want in [
        ("two requests in turn", (get, get), [200, 200]), ("a body, then a request", (post, get), [200, 200]),
        ("a body in two pieces", (post[:-10], post[-10:], get), [200, 200]), ("two saves of the world", (post, post, post, get), [200] * 4),
    ]:
        check(f"framing: {name}", talk(server, *pieces) == (want, False), talk(server, *pieces))
    for name, pieces, want in [
        ("pipelined", (get + get,), [200]), ("pipelined behind a body", (post + get,), [200]), ("a byte behind", (get + b"G",), [200]),
        ("pipelined after a good one", (get, get + get), [200, 200]), ("a line break before the first", (b"\r\n" + get, get), [200]),
        ("two lengths, equal", (with_length(b"Content-Length: 2", b"Content-Length: 2") + b"{}" + get, get), [400]),
        ("two lengths", (with_length(b"Content-Length: 2", b"content-length: %d" % (2 + len(get))) + b"{}" + get, get), [400]),
        ("a length and pieces", (with_length(b"Content-Length: 5", b"Transfer-Encoding: chunked") + b"0\r\n\r\n" + get, get), [400]),
        ("pieces and a length", (with_length(b"Transfer-Encoding: chunked", b"Content-Length: 5") + b"0\r\n\r\n" + get, get), [400]),
        ("pieces", (with_length(b"Transfer-Encoding: chunked") + b"2\r\n{}\r\n0\r\n\r\n" + get, get), [400]),
        ("an unknown coding", (with_length(b"Transfer-Encoding: xchunked") + b"2\r\n{}\r\n0\r\n\r\n" + get, get), [400]),
        ("a body that is none, then a request", (request(server, "POST", "/api/apply", b"[]"), get), [400]),
        ("the leftover of a body that was refused", (request(server, "POST", "/api/apply", get, headers={"Content-Type": "text/plain"}), get), [415]),
        ("a request in a body without the key", (request(server, "POST", "/api/apply", get, drop=["Authorization"]), get), [401]),
        ("a request in a body of another host", (request(server, "POST", "/api/apply", get, headers={"Host": "evil.example"}), get), [403]),
        ("a request in a body on no path", (request(server, "POST", "/api/nothing", get), get), [404]),
        ("a request in a body by a wrong method", (request(server, "POST", "/api/folder", get), get), [405]),
        ("a request in too large a body", (request(server, "POST", "/api/apply", get, headers={"Content-Length": "99999999"}), get), [413]),
        ("no such file", (request(server, "GET", "/nothing.js"), get), [404]), ("an error in the drive", (request(server, "POST", "/api/lay", body), get), [422]),
        ("a save without If-Match", (request(server, "POST", "/api/save", body), get), [428]),
    ]:
        check(f"framing: {name}: answered once, and ended", talk(server, *pieces) == (want, True), talk(server, *pieces))
    for length in (b"2, 2", b"+2", b"-2", b"x", b"0x2", b"", b"99999999999999999999"):
        codes, ended = talk(server, with_length(b"Content-Length: " + length) + get, get)
        check(f"framing: the length {length!r} ends it", ended and codes and all(code in (400, 413) for code in codes), (codes, ended))


def slow(server):
    """Clients that keep connections open: the others are served all the same, and memory stays."""
    links = []
    for _ in range(300):
        try:
            link = socket.create_connection(("127.0.0.1", server.port), timeout=1)
            link.send(b"GET / HT")
            links.append(link)
        except OSError:
            break
    begun = time.time()
    served = False
    try:
        served = works(server) and time.time() - begun < 2
    except OSError:
        pass
    check("served although 300 clients hold connections", served and len(links) == 300, f"after {time.time() - begun:.0f} s, {len(links)} links")
    for link in links:
        link.close()


def drip(server):
    """One byte a second: never idle, yet ended after some five seconds."""
    link = socket.create_connection(("127.0.0.1", server.port), timeout=2)
    begun = time.time()
    ended = False
    while time.time() - begun < 12 and not ended:
        try:
            link.send(b"G" if time.time() - begun < 1 else b"E")
            link.settimeout(1)
            ended = link.recv(1) == b""
        except socket.timeout:
            pass
        except OSError:
            ended = True
    check("a dripping client is ended", ended and 3 < time.time() - begun < 9, f"{time.time() - begun:.0f} s")


def main():
    base, folder = make_folder()
    servers = []
    try:
        everything(base, folder, servers)
    finally:
        tidy(base, *servers)
    return tally.end()


def everything(base, folder, servers):
    def started(path, *more):
        servers.append(Server(path, *more))
        return servers[-1]

    server = started(os.path.join(folder, "kit.yaml"), "--port", "0")
    check("serves", works(server))
    before = server.memory_kib()
    dripping = threading.Thread(target=drip, args=(server,))
    dripping.start()
    gate(server)
    files(server, base)
    broken(server)
    framing(server)
    bodies(server)
    slow(server)
    dripping.join()
    check("alive at the end", server.alive() and works(server))
    grown = server.memory_kib() - before
    limit = 1 << 20 if "asan" in BIN else 64 << 10
    check("memory did not grow by 64 MiB", grown < limit, f"{grown} KiB")
    check("SIGTERM ends it with 0", server.stop() == 0)
    second = started(folder, "--port", "0")
    check("a folder can be served", works(second))
    check("SIGINT ends it with 0", second.stop(signal.SIGINT) == 0)
    third = started(os.path.join(folder, "kit.yaml"), "--listen", "127.0.0.1:0")
    check("keys are drawn anew", third.key != server.key and len(third.key) >= 22)
    link = socket.create_connection(("127.0.0.1", third.port))
    link.send(b"GET / HTTP/1.1\r\n")
    check("ends although a client hangs", third.stop() == 0)
    link.close()
    wide = started(os.path.join(folder, "kit.yaml"), "--listen", "0.0.0.0:0")
    check("the shop's network: by address", status(ask(wide, "GET", "/api/folder", headers={"Host": f"192.0.2.7:{wide.port}"})) == 200)
    check("the shop's network: not by a foreign name", status(ask(wide, "GET", "/api/folder", headers={"Host": f"evil.example:{wide.port}"})) == 403)
    wide.stop()
    warned = wide.process.stderr.read()
    check("the shop's network: warned", "network" in warned and "not encrypted" in warned, warned)
    for arguments, word in [(["nowhere.yaml"], "nowhere.yaml"), ([os.path.join(folder, "notes.txt")], "yaml"), ([folder, "--listen", "shop.example"], "numeric"), ([folder, "--port", "70000"], "port"), ([folder, "--listen", "127.0.0.1:99999"], "numeric")]:
        run = subprocess.run([BIN, "serve", *arguments], capture_output=True, timeout=20)
        check(f"refuses {arguments[-1]}", run.returncode == 2 and word in run.stderr.decode(), run)


if __name__ == "__main__":
    sys.exit(main())
