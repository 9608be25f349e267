"""Logs of an engine with a blower on a belt, made by integrating their motion: the belt's pull on the blower is what keeps it
at the crank's speed, up to what friction holds; past that the blower is left with the kinetic pull and slows by its own
load and inertia, until belt and rotor agree again. What a logger makes of it (noise, steps, held values, lag, gaps) is
put on afterwards. Nothing here knows how the program looks for slip.
"""
import gzip
import io
import math

import numpy

RPM = math.pi / 30


class Drive:
    """The Sedgemere kit as it stands: pitch radii of the crank and of the blower pulley, both with the cord 1.6 mm above
    the rims that the file gives."""

    def __init__(self, ratio):
        self.ratio = ratio
        self.creep = 0.0022
        self.inertia = 0.0035  # of the blower at its pulley, kg m2
        self.load = 13.6 / (10187 * RPM) ** 2  # N m per (rad/s)^2


def engine_speed(seconds, step, seed, shifts=True):
    """(time, rad/s, throttle): idling, driving, pulls through gears. A gear change takes a quarter of a second."""
    random = numpy.random.default_rng(seed)
    pieces, at = [], 0.0
    speed = 700.0
    while at < seconds:
        before = len(pieces)
        act = random.choice(["idle", "cruise", "pull", "lift"], p=[0.15, 0.35, 0.3, 0.2])
        if act == "pull" and speed < 3500:
            for gear in range(random.integers(1, 4 if shifts else 2)):
                top, gain = random.uniform(5000, 5500), random.uniform(450, 1100) / (1 + 0.4 * gear)
                pieces.append((speed, top, max((top - speed) / gain, 0.5), 1.0))
                speed = top * random.uniform(0.66, 0.76)
                pieces.append((top, speed, 0.25, 0.0))
            act = "lift"
        if act == "lift":
            low = max(speed * random.uniform(0.4, 0.8), 800)
            pieces.append((speed, low, max((speed - low) / random.uniform(300, 1200), 0.3), 0.0))
            speed = low
        elif act == "idle":
            pieces.append((speed, 700, max(abs(speed - 700) / 900, 0.3), 0.0))
            pieces.append((700, 700, random.uniform(2, 8), 0.02))
            speed = 700
        else:
            other = random.uniform(1500, 3200)
            pieces.append((speed, other, max(abs(other - speed) / 400, 0.5), 0.3))
            pieces.append((other, other, random.uniform(2, 10), 0.2))
            speed = other
        at += sum(piece[2] for piece in pieces[before:])
    corners, throttle, now = [0.0], [], 0.0
    speeds = [pieces[0][0]]
    for start, end, length, open_ in pieces:
        now += length
        corners.append(now)
        speeds.append(end)
        throttle.append(open_)
    time = numpy.arange(0, min(seconds, now), step)
    n = numpy.interp(time, corners, speeds)
    width = max(int(0.06 / step), 1)  # no engine turns a corner at once
    n = numpy.convolve(numpy.pad(n, (width, width), mode="edge"), numpy.hanning(2 * width + 1) / width, mode="valid")
    return time, n * RPM, numpy.array(throttle)[
        numpy.clip(numpy.searchsorted(corners, time, side="right") - 1, 0, len(throttle) - 1)]


def blower_speed(drive, time, engine, slips=()):
    """Blower speed, rad/s, and its slip. slips: (start, length, depth): there the belt lets go, the rotor falls to the depth
    and stays there by the kinetic pull, and is caught again."""
    belt = drive.ratio * engine * (1 - drive.creep)
    if not slips:
        return belt.copy(), numpy.zeros_like(belt)
    step = time[1] - time[0]
    out = belt.copy()
    slipped = numpy.zeros_like(belt)
    for start, length, depth in slips:
        k = int(start / step)
        speed, held = belt[k], 0.0
        while k < len(time):
            wanted = (1 - depth) * belt[k]
            load = drive.load * speed * speed
            if held >= length:
                pull = load + drive.inertia * 4000  # it grips again: as much as the belt holds
            elif speed > wanted:
                pull = max(load - drive.inertia * 3000, -load)  # it lets go; a hub that drags
            else:
                pull = drive.load * wanted * wanted + drive.inertia * drive.ratio * (engine[min(k + 1, len(time) - 1)] - engine[k]) / step
                pull += drive.inertia * (wanted - speed) / 0.01
            held += step if speed <= 1.0005 * wanted else 0.0
            speed += step * (pull - load) / drive.inertia
            if held >= length and speed >= belt[k]:
                break
            out[k] = min(speed, belt[k])
            slipped[k] = 1 - out[k] / belt[k]
            k += 1
    return out, slipped


def logged(time, values, rate, noise=0.0, quantum=0.0, seed=0, lag=0.0, drift=0.0):
    """What a channel of so many readings a second has: (times, values)."""
    random = numpy.random.default_rng(seed)
    at = numpy.arange(time[0] + (0.5 / rate if rate else 0), time[-1], 1 / rate)
    read = numpy.interp(at - lag, time, values)
    read = read * (1 + noise * random.standard_normal(len(at))) * (1 + drift * (at - time[0]) / (time[-1] - time[0]))
    return at, numpy.round(read / quantum) * quantum if quantum else read


def write(path, rows, header, separator=",", decimal=".", digits=(3, 1, 1), packed=False, before="", gap=""):
    """rows: of numbers or None."""
    out = io.StringIO()
    out.write(before)
    if header is not None:
        out.write(separator.join(header) + "\n")
    for row in rows:
        fields = [gap if value is None or value != value else f"{value:.{digits[min(i, len(digits) - 1)]}f}" for i, value in enumerate(row)]
        out.write(separator.join(fields).replace(".", decimal) + "\n")
    data = out.getvalue().encode()
    with open(path, "wb") as file:
        file.write(gzip.compress(data, 1) if packed else data)


def example():
    """The log of examples/logs: idle, a drive, a pull whose top the belt does not hold, a gear change, and another."""
    time = numpy.arange(0, 27, 0.001)
    corners = [(0, 690), (3, 690), (4.2, 2050), (8, 2100), (14.5, 5600), (14.8, 4050), (18.6, 5580), (23.5, 900), (27, 690)]
    n = numpy.interp(time, *zip(*corners))
    n = numpy.convolve(numpy.pad(n, 60, mode="edge"), numpy.hanning(121) / 60, mode="valid") * RPM
    throttle = numpy.interp(time, [0, 3, 3.1, 8, 8.2, 14.45, 14.5, 14.8, 14.9, 18.55, 18.7, 27],
                            [3, 3, 22, 22, 100, 100, 8, 8, 100, 100, 2, 3])
    drive = Drive(83.0 / 37.442)
    b, _ = blower_speed(drive, time, n, [(12.6, 0.5, 0.035), (13.5, 0.95, 0.07), (17.6, 0.9, 0.06)])
    boost = numpy.where(throttle > 60, 62e3 * (b / (12635 * RPM)) ** 0.9, -55e3) / 1e3
    at, engine = logged(time, n / RPM, 50, 0.0025, 1, seed=1)
    _, blower = logged(time, b / RPM, 50, 0.0025, 1, seed=2, lag=0.02)
    _, pressure = logged(time, boost + 101.3, 50, 0.003, 0.1, seed=3)
    rows = zip(at, engine, blower, numpy.interp(at, time, throttle), pressure)
    return rows


if __name__ == "__main__":
    import sys

    write(sys.argv[1], example(), ["time [s]", "engine speed [rpm]", "blower speed [rpm]", "throttle [%]", "MAP [kPa]"], digits=(2, 0, 0, 0, 1),
          before="# Sedgemere kit with a blower pulley of 70 mm: an invented log, made by tests/reference/log_model.py to learn from.\n")
