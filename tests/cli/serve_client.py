"""What those tests of `snub serve` share that send bytes: the server, requests, a folder with things that must not leave it."""
import os
import re
import shutil
import signal
import socket
import subprocess
import tempfile

import served

BIN = served.SNUB
HERE = os.path.dirname(os.path.abspath(__file__))
SECRET = "the-secret-that-must-not-leave"


class Server(served.Server):
    """Asked in bytes."""

    def __init__(self, path, *more, environment=None, program=BIN, **how):
        self.folder = os.path.dirname(path)
        super().__init__(path, environment, more, program, **how)
        self.host, self.port = self.root.removeprefix("http://").split(":")
        self.port, self.bearer = int(self.port), f"Bearer {self.key}"

    def alive(self):
        return self.process.poll() is None

    def memory_kib(self):
        with open(f"/proc/{self.process.pid}/status") as status:
            return int(re.search(r"VmRSS:\s+(\d+)", status.read())[1])

    def stop(self, how=signal.SIGTERM):
        """The exit code."""
        self.process.send_signal(how)
        try:
            return self.process.wait(10)
        except subprocess.TimeoutExpired:
            self.process.kill()
            return "did not stop within 10 s"


def tidy(base, *servers):
    """Whatever happened: nothing stays behind."""
    for server in servers:
        if server and server.alive():
            server.kill()
    shutil.rmtree(base, ignore_errors=True)


def raw(server, data, wait=3.0, close_write=False):
    """Send bytes, read until the peer closes or goes quiet."""
    answer = b""
    with socket.create_connection(("127.0.0.1", server.port), timeout=wait) as link:
        try:
            link.sendall(data)
            if close_write:
                link.shutdown(socket.SHUT_WR)
            while len(answer) < 1 << 22:
                piece = link.recv(65536)
                if not piece:
                    break
                answer += piece
                head, _, body = answer.partition(b"\r\n\r\n")
                length = re.search(rb"(?i)content-length: (\d+)", head)
                if length and len(body) >= int(length[1]):
                    break
        except OSError:
            pass
    return answer


def status(answer):
    match = re.match(rb"HTTP/1\.[01] (\d+)", answer)
    return int(match[1]) if match else None


def body_of(answer):
    return answer.partition(b"\r\n\r\n")[2]


def request(server, method, path, body=b"", headers=None, drop=()):
    fields = {"Host": f"127.0.0.1:{server.port}", "Authorization": server.bearer}
    if body or method == "POST":
        fields["Content-Type"] = "application/json"
        fields["Content-Length"] = str(len(body))
    fields.update(headers or {})
    for name in drop:
        fields.pop(name, None)
    lines = "".join(f"{name}: {value}\r\n" for name, value in fields.items())
    return f"{method} {path} HTTP/1.1\r\n{lines}\r\n".encode() + body


def ask(server, *args, **more):
    return raw(server, request(server, *args, **more))


def make_folder():
    base = tempfile.mkdtemp(prefix="snub-hostile-")
    folder = os.path.join(base, "kits")
    os.makedirs(os.path.join(folder, "sub"))
    example = os.path.join(HERE, "..", "..", "examples", "sedgemere.yaml")
    shutil.copy(example, os.path.join(folder, "kit.yaml"))
    shutil.copy(example, os.path.join(folder, "sub", "other.yaml"))
    with open(os.path.join(base, "outside.yaml"), "w") as out:
        out.write(f"snub: 1\n# {SECRET}\n")
    with open(os.path.join(folder, "notes.txt"), "w") as out:
        out.write(SECRET)
    with open(os.path.join(folder, ".hidden.yaml"), "w") as out:
        out.write(SECRET)
    os.symlink(os.path.join(base, "outside.yaml"), os.path.join(folder, "link.yaml"))
    os.symlink(base, os.path.join(folder, "up"))
    os.symlink(os.path.join(base, "outside.yaml"), os.path.join(folder, "link.csv"))
    os.mkfifo(os.path.join(folder, "pipe.yaml"))
    os.mkdir(os.path.join(folder, "folder.yaml"))
    return base, folder
