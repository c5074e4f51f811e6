"""Checks of shaking: first mode against control, modes against what the rotors excite."""

from math import pi

import numpy as np

from refledge.airframe.assessment import Assessment
from refledge.airframe.felt import FELT
from refledge.airframe.judge import judge
from refledge.airframe.task import Task
from refledge.model.checks import Check
from refledge.model.parts import FrameDesign

MODAL = "natural modes of the free airframe with everything mounted, beam frame"


def shaking_checks(task: Task, frame: FrameDesign, found: Assessment) -> tuple[Check, ...]:
    """Control bandwidth, then hover's once-per-revolution and blade-pass frequencies."""
    limits = task.brief.limits
    arm = task.materials[frame.arm.material]
    frequencies, labels = found.modes.frequencies, found.modes.labels
    felt = found.modes.felt >= FELT
    first = judge(
        key="first-mode", title="lowest mode above the control bandwidth", group="shaking",
        part="airframe", demand=float(frequencies[0]),
        capacity=limits.bandwidth_ratio * limits.control_bandwidth, at_least=True,
        unit="Hz", shown="Hz", method=MODAL, source="limit from the brief",
        spread=arm.stiffness_spread / 2, note=labels[0],
    )  # fmt: skip
    return (first, *(_apart(task, frequencies, labels, felt, *each) for each in _excited(task)))


def _excited(task: Task) -> list[tuple[str, str, float]]:
    """Key, words and frequency (Hz) of what the rotors excite in hover."""
    speeds = task.speeds.hover_speeds
    names = [""] if len(speeds) == 1 else [", upper rotors", ", lower rotors"]
    found = []
    for name, speed in zip(names, speeds, strict=True):
        turn, tail = speed / (2 * pi), name.replace(", ", "-").replace(" rotors", "")
        found.append((f"once-per-turn{tail}", f"modes away from once per revolution{name}", turn))
        blades = task.speeds.blades
        found.append((f"blade-pass{tail}", f"modes away from blade pass{name}", blades * turn))
    return found


def _apart(
    task: Task,
    frequencies: np.ndarray,
    labels: tuple[str, ...],
    felt: np.ndarray,
    key: str,
    title: str,
    excited: float,
) -> Check:
    away = np.where(felt, np.abs(frequencies / excited - 1.0), np.inf)
    row = int(np.argmin(away))
    nothing = not np.any(felt)
    note = (
        f"nearest felt mode {frequencies[row]:.1f} Hz: {labels[row]}; excited at {excited:.1f} Hz"
    )
    return judge(
        key=key, title=title, group="shaking", part="airframe", load_case="hover",
        demand=1.0 if nothing else float(away[row]), capacity=task.brief.limits.separation,
        at_least=True, unit="1", shown="%",
        method=MODAL + f"; modes that could shake the flight controller by {FELT:g} m/s2",
        source="limit from the brief; unbalance by ISO 21940-11 grade, material damping",
        note="no mode is felt" if nothing else note,
    )  # fmt: skip
