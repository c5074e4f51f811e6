"""Make two invented recordings to try the commands on: taps on an arm, and a run-up of rotors.

Run: python examples/bench/make_recordings.py FOLDER

``taps.wav``: one second of quiet, then eight taps, two seconds apart, on an arm that rings at
23.1 Hz (1.1 % of critical damping), 29.6 Hz (1.3 %) and 171 Hz (0.9 %), with the hiss of a phone.
``run-up.csv``: forty seconds in which all rotors go from 2400 to 6000 rpm, shaking once and twice
per turn, on an airframe with a mode of its own at 62 Hz.
Every figure is made up; the seeds make them the same each time.
"""

import sys
from pathlib import Path

import numpy as np
from scipy.io import wavfile

RATE = 8000
MODES = ((23.1, 0.011, 0.5), (29.6, 0.013, 1.0), (171.0, 0.009, 0.25))


def ringing(seconds: float) -> np.ndarray:
    """One tap: the sum of decaying sines."""
    t = np.arange(int(seconds * RATE)) / RATE
    x = np.zeros_like(t)
    for hertz, damping, height in MODES:
        w = 2 * np.pi * hertz
        x += height * np.exp(-damping * w * t) * np.sin(w * np.sqrt(1 - damping**2) * t)
    return x


def taps(file: Path) -> None:
    """A phone's recording of eight taps, 16 bits."""
    rng = np.random.default_rng(7)
    sound = np.zeros(17 * RATE)
    for k in range(8):
        start = (1 + 2 * k) * RATE
        one = ringing((len(sound) - start) / RATE) * rng.uniform(0.7, 1.0)
        sound[start : start + len(one)] += one
    sound = 0.35 * sound + 2e-4 * rng.standard_normal(len(sound))
    wavfile.write(file, RATE, np.round(sound * 32767).astype(np.int16))


def run_up(file: Path) -> None:
    """An accelerometer's log at 500 Hz: time, three axes, rotor speed."""
    rng = np.random.default_rng(8)
    rate, seconds = 500.0, 40.0
    t = np.arange(int(seconds * rate)) / rate
    rpm = 2400 + 3600 * t / seconds
    turns = np.cumsum(rpm / 60) / rate
    once, blade = np.sin(2 * np.pi * turns), np.sin(4 * np.pi * turns + 0.4)
    w, zeta, step = 2 * np.pi * 62.0, 0.02, 1 / rate
    decay = np.exp(-zeta * w * np.arange(int(rate)) * step)
    rings = decay * np.sin(w * np.arange(int(rate)) * step)
    mode = np.convolve(rng.standard_normal(len(t)), rings)[: len(t)]
    grow = (rpm / 6000) ** 2
    axes = [
        0.8 * grow * once + 0.04 * mode,
        0.7 * grow * once + 0.25 * grow * blade,
        0.5 * grow * blade + 0.10 * mode,
    ]
    noisy = [axis + 0.05 * rng.standard_normal(len(t)) for axis in axes]
    table = np.column_stack([t, *noisy, rpm])
    head = "time (s),x (m/s**2),y (m/s**2),z (m/s**2),rpm"
    np.savetxt(file, table, "%.5g", ",", header=head, comments="")


if __name__ == "__main__":
    folder = Path(sys.argv[1] if len(sys.argv) > 1 else ".")
    folder.mkdir(parents=True, exist_ok=True)
    taps(folder / "taps.wav")
    run_up(folder / "run-up.csv")
    print(f"wrote {folder / 'taps.wav'} and {folder / 'run-up.csv'}, both invented")
