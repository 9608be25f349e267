"""Programs whose calls to the system are made to fail one by one: the other side of tests/preload/system_faults.c."""
import errno
import mmap
import os
import re
import struct
import subprocess

SNUB = os.environ["SNUB_BIN"]
SHIM = os.path.join(os.environ["SNUB_BUILD_DIR"], "system_faults.so")
SHORT, FLIPPED, KILLED, SLOW = -1, -2, -3, -4
LAYOUT = struct.Struct("16siiii256s")  # call, at, code, counted, failed, folder
CALLS = {  # what each call can answer; EINTR only where the system may interrupt it
    "open": ("EMFILE", "EACCES", "EIO", "ENOSPC", "EROFS", "EINTR"),
    "write": ("ENOSPC", "EIO", "EINTR", SHORT, FLIPPED),
    "read": ("EIO", "EINTR", SHORT),
    "fsync": ("EIO", "ENOSPC", "EINTR"),
    "rename": ("EIO", "ENOSPC", "EACCES", "EROFS"),
    "close": ("EIO", "EINTR"),
    "fchmod": ("EPERM", "EIO"),
    "fchown": ("EPERM", "EIO"),
    "flock": ("ENOLCK", "EINTR"),
    "mkdir": ("ENOSPC", "EACCES"),
    "readlink": ("EIO", "EACCES"),
    "ftruncate": ("EIO",),
    "opendir": ("EMFILE", "EACCES"),
    "stat": ("EIO", "EACCES"),
    "access": ("EROFS", "EACCES"),
    "link": ("EPERM", "ENOSPC"),
    "unlink": ("EIO", "EROFS"),
    "mkstemp": ("EMFILE", "ENOSPC", "EROFS"),
}


class Control:
    """Which call fails. Shared with the program that runs."""

    def __init__(self, path, folder):
        self.path, self.folder = path, os.path.realpath(folder).encode()
        with open(path, "wb") as file:
            file.write(bytes(LAYOUT.size))
        with open(path, "r+b") as file:
            self.map = mmap.mmap(file.fileno(), LAYOUT.size)

    def set(self, call="", at=0, code=0):
        number = getattr(errno, code) if isinstance(code, str) else code
        self.map[:] = LAYOUT.pack(call.encode(), at, number, 0, 0, self.folder)

    def counted(self):
        return LAYOUT.unpack(self.map[:])[3]

    def failed(self):
        return LAYOUT.unpack(self.map[:])[4]

    def environment(self):
        """LD_PRELOAD for a program with or without a sanitizer, whose runtime must come first."""
        done = subprocess.run(["ldd", SNUB], capture_output=True, text=True)
        first = re.findall(r"=> (\S*lib(?:asan|ubsan|tsan)\S*)", done.stdout)
        return {**os.environ, "LD_PRELOAD": ":".join([*first, SHIM]), "SNUB_FAULT_CONTROL": self.path}


def content(path):
    """Bytes of a file; None: it is not there."""
    try:
        with open(path, "rb") as file:
            return file.read()
    except FileNotFoundError:
        return None


def put(path, data):
    with open(path, "wb") as file:
        file.write(data)


def places(count, seed):
    """The first, the last and one between, of so many."""
    return sorted({1, count, 1 + seed * 7 % count}) if count else []


def faults(control, run, every=True, seed=0):
    """All (call, at, code) of what `run` does; where not every one is wanted, up to three places of each call, each with
    one code."""
    turn = seed
    for call, codes in CALLS.items():
        control.set(call)
        run()
        for at in range(1, control.counted() + 1) if every else places(control.counted(), turn):
            if every:
                yield from ((call, at, code) for code in codes)
            else:
                yield call, at, codes[turn % len(codes)]
                turn += 1
    control.set()
