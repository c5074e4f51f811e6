"""The picture of motor numbers and turn directions, from above, nose up."""

from math import hypot, pi

import numpy as np

from refledge.outputs.drawing.marks import Area, Line, Mark, Sheet, Text, arrow, line, ring
from refledge.study import Study
from refledge.typed import Floats

WIDE = 150.0
"""mm, and as high and a margin for the nose."""
_NOSE = 14.0
_LABEL = 11.0
"""Kept free about a motor for its number, mm."""


def motor_sheet(study: Study) -> Sheet:
    """Discs, numbers and arrows; in pairs the upper rotor outside, the lower inside."""
    layout = study.layout
    radius = study.brief.propeller.diameter / 2
    reach = max(hypot(float(x), float(y)) for x, y, _ in layout.positions) + radius
    scale = (WIDE / 2 - 3.0) / reach
    middle = np.array([WIDE / 2, WIDE / 2])
    marks: list[Mark] = []
    for x, y, _ in layout.positions:
        tip = _paper((x, y), scale, middle) - middle
        short = 1.0 - _LABEL / float(np.linalg.norm(tip))
        marks.append(line("rule", tuple(middle), tuple(middle + short * tip)))
    marks.append(_disc(middle, 1e-3 + scale * study.frame.plate.outer_radius * 0.6))
    for k, (x, y, _) in enumerate(layout.positions):
        centre = _paper((x, y), scale, middle)
        lower = layout.paired and not layout.upper[k]
        size = scale * radius * (0.62 if lower else 1.0)
        if not lower:
            marks.append(ring(float(centre[0]), float(centre[1]), size))
        marks += _turn(centre, 0.82 * size, layout.spin[k])
    marks += _numbers(study, scale, middle)
    top = WIDE
    marks += [
        line("outline", (WIDE / 2, top - 1.0), (WIDE / 2, top + 8.0)),
        arrow((WIDE / 2, top + 10.0), (WIDE / 2, top), 5.0),
        Text(WIDE / 2 + 4.0, top + 5.0, "nose", 3.5),
    ]
    inner = (0.0, 0.0, WIDE, WIDE + _NOSE)
    return Sheet(
        "motors", "motor numbers and turn directions", WIDE, WIDE + _NOSE, tuple(marks), inner
    )


def _paper(point: tuple[float, float], scale: float, middle: Floats) -> Floats:
    """Nose up: x of the body runs up the paper, y to its left."""
    x, y = point
    moved: Floats = middle + scale * np.array([-y, x])
    return moved


def _disc(centre: Floats, radius: float) -> Area:
    at = np.linspace(0.0, 2 * pi, 49)
    return Area((np.column_stack([np.cos(at), np.sin(at)]) * radius + centre,), 0.8)


def _turn(centre: Floats, radius: float, spin: int) -> list[Mark]:
    """An arc of 250 degrees with a head, counter-clockwise for a spin of +1."""
    start = np.deg2rad(-35.0 if spin > 0 else 215.0)
    at = start + spin * np.linspace(0.0, np.deg2rad(250.0), 40)
    points = np.column_stack([np.cos(at), np.sin(at)]) * radius + centre
    tip, back = points[-1], points[-4]
    return [Line(points, "outline"), arrow(tuple(tip), tuple(back), 5.0)]


def _numbers(study: Study, scale: float, middle: Floats) -> list[Mark]:
    """Motor numbers; on a pair the upper one first."""
    layout = study.layout
    found: list[Mark] = []
    for arm in range(layout.n_arms):
        rotors = [k for k in range(layout.n_rotors) if layout.arm_of_rotor[k] == arm]
        x, y, _ = layout.positions[rotors[0]]
        px, py = _paper((x, y), scale, middle)
        if len(rotors) == 1:
            found.append(Text(px, py - 3.0, str(rotors[0] + 1), 6.0, "middle", bold=True))
            found.append(Text(px, py - 8.0, _short(layout.spin[rotors[0]]), 2.5, "middle"))
            continue
        for row, k in enumerate(rotors):
            words = f"{k + 1} {_short(layout.spin[k])}"
            found.append(Text(px, py + 1.5 - 5.5 * row, words, 2.5, "middle", bold=True))
    return found


def _short(spin: int) -> str:
    return "CCW" if spin > 0 else "CW"
