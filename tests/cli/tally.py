"""How the tests of this folder that are written in Python count and end, from several threads too. No program of its own."""
import threading

passed = failed = 0
lock = threading.Lock()


def expect(name, good, *why):
    """Count a check; where it failed, print its name and each of why."""
    global passed, failed
    with lock:
        passed, failed = passed + bool(good), failed + (not good)
        if not good:
            print("FAILED", name)
            for line in why:
                print("   ", str(line)[:900])


def check(name, good, detail=""):
    expect(name, good, detail)


def end():
    """The last line; whether any failed."""
    print(f"{passed} passed, {failed} failed")
    return failed > 0
