"""What moves in each mode, in words."""

import numpy as np

from refledge.airframe.structure import Structure
from refledge.typed import Floats

WORDS = {
    "vertical": "arms bend up and down",
    "lateral": "arms bend sideways",
    "along": "arms stretch",
    "twist": "motors rock about their arms",
    "legs": "legs",
    "body": "body",
}


def describe_modes(structure: Structure, shapes: Floats) -> tuple[str, ...]:
    """One label a mode. shapes: (k, n, 6)."""
    return tuple(_describe(structure, shape) for shape in shapes)


def mode_kinds(structure: Structure, shapes: Floats) -> tuple[str, ...]:
    """The leading motion of each mode: a key of WORDS."""
    return tuple(max(found, key=found.__getitem__)
                 for found in (motion(structure, shape) for shape in shapes))  # fmt: skip


def motion(structure: Structure, shape: Floats) -> dict[str, float]:
    """Size of each kind of motion: root-sum-square over tips, feet or the body, m.

    Twist is the rotation about the arm times 30 mm, the height at which a motor's mass stands.
    """
    nodes = structure.frame.nodes
    tips = list(structure.tips)
    out = nodes[tips, :2] / np.linalg.norm(nodes[tips, :2], axis=1)[:, None]
    moved = shape[tips]
    radial = np.sum(moved[:, :2] * out, axis=1)
    around = moved[:, 1] * out[:, 0] - moved[:, 0] * out[:, 1]
    twist = np.sum(moved[:, 3:5] * out, axis=1) * 30e-3
    feet = shape[list(structure.feet), :3] - shape[list(structure.feet_roots), :3]
    return {
        "vertical": _size(moved[:, 2]),
        "lateral": _size(around),
        "along": _size(radial),
        "twist": _size(twist),
        "legs": _size(feet.ravel()),
        "body": _size(shape[structure.hub, :3]) * len(tips) ** 0.5,
    }


def _size(values: Floats) -> float:
    return float(np.sqrt(np.sum(values**2)))


def _describe(structure: Structure, shape: Floats) -> str:
    found = motion(structure, shape)
    kind = max(found, key=found.__getitem__)
    if kind in ("vertical", "lateral"):
        return f"{WORDS[kind]}, {_phase(structure, shape, kind)}"
    return WORDS[kind]


def _phase(structure: Structure, shape: Floats, kind: str) -> str:
    """All in step, or against each other."""
    nodes = structure.frame.nodes
    tips = list(structure.tips)
    if kind == "vertical":
        values = shape[tips, 2] - shape[structure.hub, 2]
    else:
        out = nodes[tips, :2] / np.linalg.norm(nodes[tips, :2], axis=1)[:, None]
        values = shape[tips, 1] * out[:, 0] - shape[tips, 0] * out[:, 1]
    together = abs(values.sum()) > 0.8 * np.abs(values).sum()
    return "all in step" if together else "against each other"
