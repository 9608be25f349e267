"""How the tests of this folder that are written in Python count and end. No program of its own."""
passed = failed = 0


def check(name, good, detail=""):
    global passed, failed
    passed, failed = passed + bool(good), failed + (not good)
    if not good:
        print(f"FAILED {name}\n    {str(detail)[:900]}")


def end():
    """The last line; whether any failed."""
    print(f"{passed} passed, {failed} failed")
    return failed > 0
