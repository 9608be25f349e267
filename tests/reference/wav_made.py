"""WAV files of plucks that are made up: harmonics that die away, noise, hum, in every form that a recorder writes."""
import struct

import numpy as np


def tone(rate, seconds, frequency, tau, amplitude, start=0.2, phase=0.0):
    t = np.arange(int(rate * seconds)) / rate - start
    fall = np.exp(-np.maximum(t, 0) / tau) if np.isfinite(tau) else 1.0
    return np.where(t >= 0, amplitude * fall * np.sin(2 * np.pi * frequency * t + phase), 0.0)


def pluck(r, rate, seconds, first, tau, amplitude=0.3, bending=0.0, harmonics=(1, 0.8, 0.5, 0.3)):
    """bending: c of f_n^2 = n^2 (f_1^2 - c) + n^4 c."""
    return sum(tone(rate, seconds, np.sqrt(n * n * (first**2 - bending) + n**4 * bending), tau / np.sqrt(n), amplitude * a, phase=r.uniform(0, 6.28))
               for n, a in enumerate(harmonics, 1))


def data_of(x, bits, is_float):
    if is_float:
        return x.astype(f"<f{bits // 8}").tobytes()
    full = 2 ** (bits - 1)
    whole = np.clip(np.round(x * (full - 1)), -full, full - 1).astype(np.int64)
    if bits == 8:
        return (whole + 128).astype(np.uint8).tobytes()
    return np.frombuffer(whole.astype("<i8").tobytes(), np.uint8).reshape(-1, 8)[:, :bits // 8].tobytes()


def wav(path, x, rate=44100, bits=16, is_float=False, other=None, extra=b"", extensible=False, size=None, cut=0):
    """other: a second channel behind the first; extra: a chunk before the sound; size: what the head says of the sound."""
    channels = 1 if other is None else 2
    data = data_of(np.asarray(x, float) if other is None else np.stack([x, other], 1).ravel(), bits, is_float)
    frame = bits // 8 * channels
    kind = 3 if is_float else 1
    head = struct.pack("<HHIIHH", 0xFFFE if extensible else kind, channels, rate, rate * frame, frame, bits)
    if extensible:
        head += struct.pack("<HHIH", 22, bits, 0, kind) + b"\0\0\0\0\x10\0\x80\0\0\xaa\0\x38\x9b\x71"
    body = b"WAVE" + b"fmt " + struct.pack("<I", len(head)) + head + extra + b"data" + struct.pack("<I", len(data) if size is None else size) + data
    whole = b"RIFF" + struct.pack("<I", len(body)) + body
    with open(path, "wb") as out:
        out.write(whole[:len(whole) - cut])
