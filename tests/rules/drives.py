"""Small drives that the cases vary. Invented; a number without a unit is in mm, deg, N, N m, kg m2, rpm."""
import copy

import yaml

ENGINE = {"displacement": "2.0 L", "cylinders": 4, "idle": 800, "redline": 6000, "accel_rate": 1500, "decel_rate": 4000}

# Crank, tensioner on a spring arm, a loaded pulley.
ARM = {
    "snub": 1, "engine": ENGINE, "belt": {"ribs": 6, "length": 1016},
    "pulleys": [
        {"name": "crank", "role": "crank", "at": [0, 0], "diameter": 150},
        {"name": "tensioner", "side": "back", "diameter": 95,
         "arm": {"pivot": [-120, 75], "length": 110, "free": 40, "loads": "ccw", "travel": 32, "preload": 20, "rate": 0.4,
                 "damping": 0.2, "work": [1, 31]}},
        {"name": "pump", "at": [-20, 320], "diameter": 70, "load": [[500, 2], [20000, 2]], "inertia": 0.001},
    ],
}

# Two pulleys; nothing takes up slack.
FIXED = {
    "snub": 1, "engine": ENGINE, "belt": {"ribs": 6, "length": 1105.5, "tolerance": 0.1},
    "pulleys": [
        {"name": "crank", "role": "crank", "at": [0, 0], "diameter": 150},
        {"name": "pump", "at": [0, 350], "diameter": 110, "load": [[500, 2], [20000, 2]]},
    ],
}

# An idler in a slot that is locked at a tension.
LOCKED = {
    "snub": 1, "engine": ENGINE, "belt": {"ribs": 6, "length": 1273.5, "tolerance": 1},
    "pulleys": [
        {"name": "crank", "role": "crank", "at": [0, 0], "diameter": 150},
        {"name": "idler", "side": "back", "diameter": 95, "slot": {"from": [-90, 210], "to": [-30, 210]},
         "fixed_tension": 500},
        {"name": "fan", "at": [0, 420], "diameter": 120, "load": [[500, 2], [20000, 2]]},
    ],
}


def vary(base, changes):
    """A copy with values put at dotted paths; a pulley goes by its name. None takes a key away."""
    drive = copy.deepcopy(base)
    for path, value in changes.items():
        at, *rest = [drive, *path.split(".")]
        for key in rest[:-1]:
            at = step(at, key)
        if isinstance(at, list):
            at[index_of(at, rest[-1])] = value
        elif value is None:
            at.pop(rest[-1], None)
        else:
            at[rest[-1]] = value
    return drive


def index_of(items, key):
    return next((i for i, one in enumerate(items) if isinstance(one, dict) and one.get("name") == key), None) \
        if not key.isdigit() else int(key)


def step(at, key):
    if isinstance(at, list):
        return at[index_of(at, key)]
    if key not in at and "pulleys" in at and any(p["name"] == key for p in at["pulleys"]):
        return next(p for p in at["pulleys"] if p["name"] == key)
    return at.setdefault(key, {})


def text(base, changes=None):
    """The file: keys in order, one pulley a line, so that a finding's line can be told."""
    drive = vary(base, changes or {})
    lines = []
    for key, value in drive.items():
        if key in ("pulleys", "mounts", "obstacles", "bearings"):
            lines.append(f"{key}:")
            lines += ["  - " + flow(one) for one in value]
        else:
            lines.append(f"{key}: {flow(value)}")
    return "\n".join(lines) + "\n"


def at_p(value, p):
    """A value of a drive file with every function in it called with p."""
    if callable(value):
        return value(p)
    if isinstance(value, dict):
        return {k: at_p(v, p) for k, v in value.items()}
    return [at_p(v, p) for v in value] if isinstance(value, list) else value


def on(base, changes):
    """A drive of one number p: values, at any depth, may be functions of it."""
    return lambda p: text(base, at_p(changes, p))


def same(p):
    return p


WRITTEN = {}  # most parts of a drive stay as they are from one to the next


def flow(value):
    key = repr(value)
    if key not in WRITTEN:
        WRITTEN[key] = yaml.dump(value, Dumper=yaml.CSafeDumper, default_flow_style=True, width=100000, sort_keys=False).strip().removesuffix("\n...").strip()
    return WRITTEN[key]
