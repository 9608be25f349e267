"""A server that tests ask: `snub serve` with its key."""
import json
import os
import signal
import subprocess
import urllib.error
import urllib.request

SNUB = os.environ.get("SNUB_BIN", "build/release/snub")


class Server:
    def __init__(self, path, environment=None, more=("--port", "0"), program=SNUB, **how):
        """`how` is handed to the process."""
        self.process = subprocess.Popen([program, "serve", path, *more], stdout=subprocess.PIPE,
                                        stderr=subprocess.PIPE, env=environment, text=True, **how)
        self.address = self.process.stdout.readline().strip()
        self.root, self.key = self.address.split("/#key=")

    def ask(self, path, body=None, **headers):
        request = urllib.request.Request(self.root + path, None if body is None else json.dumps(body).encode(),
                                         {"Authorization": f"Bearer {self.key}", "Content-Type": "application/json",
                                          **{name.replace("_", "-"): value for name, value in headers.items()}})
        try:
            with urllib.request.urlopen(request, timeout=60) as answer:
                return answer.status, json.loads(answer.read()), answer.headers.get("ETag")
        except urllib.error.HTTPError as error:
            return error.code, json.loads(error.read() or b"null"), None

    def stop(self):
        self.process.send_signal(signal.SIGTERM)
        err = self.process.communicate(timeout=60)[1]
        return self.process.returncode, err

    def kill(self):
        self.process.kill()
        self.process.communicate()
