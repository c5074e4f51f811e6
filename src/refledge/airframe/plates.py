"""The centre plates as strips, and what they and the clamp give at an arm's root."""

from collections.abc import Callable, Mapping
from math import hypot, log, pi, sqrt

import numpy as np

from refledge.airframe.beams import Bar, Row
from refledge.airframe.clamp import clamp_stiffness
from refledge.airframe.fillness import Fill, plate_bending
from refledge.airframe.working import Working
from refledge.model.fasteners import Hardware
from refledge.model.layout import Layout
from refledge.model.parts import FrameDesign

BOLT_PEAK = 1.8
"""Peak stress round the clamp bolts over that of the strip: what solids of the example's plates
show (docs/verification/beams-and-solids.md)."""
LAYER_PEAK = 2.5
"""The same for the layer boundaries, which the washers' edges also pull apart."""
RING_LIMIT = 2.3
"""rad; neighbouring arms further apart than this have no plate between them to make a ring."""


def stiff_middle(frame: FrameDesign) -> float:
    """Radius within which seat and tray hold the plates stiff, m: half the lesser screw square.

    The seat's plate and posts above and the battery tray below, flat or on bosses as stout as the
    posts, are screwed on there.
    """
    tray = min(frame.tray.pitch_x, frame.tray.pitch_y) / 2
    return min(frame.seat.foot_pitch / 2, tray)


def plate_bars(
    frame: FrameDesign,
    layout: Layout,
    material: Working,
    fill: Fill,
    first_of: Callable[[int], int],
) -> list[Bar]:
    """Radial and ring strips of both plates. ``first_of``: first node of an arm."""
    bending = plate_bending(fill, frame.plate.thickness)
    radial = strip(frame.plate.thickness, radial_width(frame, layout.n_arms), bending)
    radial["Iz"] = in_plane_second_moment(frame)
    pad = strip(frame.plate.thickness, pad_width(frame, layout.n_arms), bending)
    widths = ring_widths(frame)
    rings = [strip(frame.plate.thickness, each, bending) for each in widths]
    made = []
    for plate in (0, 1):
        for index, angle in enumerate(layout.arm_angles):
            node = first_of(index) + 2 * plate
            middle = (frame.plate_gap + frame.plate.thickness) / 2 * (1 - 2 * plate)
            r = stiff_middle(frame)
            start = np.array([r * np.cos(angle), r * np.sin(angle), middle])
            made.append(Bar("plates", index, plate, node, material, radial, 0.0, head=start))
            made.append(Bar("plates", index, node, node + 1, material, pad, 0.0))
        made += [
            Bar("plates", a, first_of(a) + node, first_of(b) + node, material, ring, 0.0)
            for a, b in neighbours(layout)
            for node, ring in enumerate(rings, 2 * plate)
        ]
    return made


def ring_widths(frame: FrameDesign) -> tuple[float, ...]:
    """Widths of the strips round the plate, m: at the inner bolts, and at the outer ones too where
    a rim or a whole disc joins the arms there.

    A whole disc is shared half-way between the bolts.
    """
    plate, inside = frame.plate, stiff_middle(frame)
    if plate.style == "ring":
        return plate.core_radius - inside, plate.rim
    if plate.style == "full":
        middle = _between_bolts(frame)
        return middle - inside, plate.outer_radius - middle
    return (plate.core_radius - inside,)


def pad_width(frame: FrameDesign, n_arms: int) -> float:
    """Width of the strip between an arm's bolt pairs, m: of its pad, or of its share of a disc."""
    pad = frame.plate.arm_pad_width
    if frame.plate.style != "full":
        return pad
    return max(pad, 2 * pi * _between_bolts(frame) / n_arms)


def _between_bolts(frame: FrameDesign) -> float:
    """Radius half-way between inner and outer bolts, m."""
    return frame.clamp.root_radius + frame.clamp.first + frame.clamp.pitch_x / 2


def neighbours(layout: Layout) -> list[tuple[int, int]]:
    """Pairs of arms side by side with plate between them."""
    order = list(np.argsort(np.mod(layout.arm_angles, 2 * pi)))
    pairs = []
    for a, b in zip(order, order[1:] + order[:1], strict=True):
        apart = float(np.mod(layout.arm_angles[b] - layout.arm_angles[a], 2 * pi))
        if apart <= RING_LIMIT:
            pairs.append((int(a), int(b)))
    return pairs


def radial_width(frame: FrameDesign, n_arms: int) -> float:
    """Width of a strip as stiff as the arm's sector of the disc, m.

    Sectors widen as 2 pi r / n outside the pad's own width; strips in series add as 1/w, so this is
    the harmonic mean from the stiff middle to the inner bolts.
    """
    start, end = stiff_middle(frame), frame.clamp.root_radius + frame.clamp.first
    pad = frame.plate.arm_pad_width
    slope = 2 * pi / n_arms
    turn = min(max(pad / slope, start), end)
    give = (turn - start) / pad + log(end / turn) / slope
    return (end - start) / give


def in_plane_second_moment(frame: FrameDesign) -> float:
    """Second moment of a plate for an arm swaying in its plane, m4.

    The disc works as one deep beam: its chord at the edge of the stiff middle is the depth.
    """
    whole = frame.plate.style == "full"
    disc = frame.plate.outer_radius if whole else frame.plate.core_radius
    inside = min(stiff_middle(frame), 0.9 * disc)
    chord = 2 * sqrt(disc**2 - inside**2)
    return frame.plate.thickness * max(chord, frame.plate.arm_pad_width) ** 3 / 12


def strip(thickness: float, width: float, bending: float) -> Row:
    """Section of a flat strip lying down; layers lie in its plane.

    bending: own bending stiffness as printed over that of solid plastic (1).
    """
    t, w = thickness, width
    return {
        "area": w * t,
        "Iy": bending * w * t**3 / 12,
        "Iz": t * w**3 / 12,
        "J": bending * w * t**3 / 3,
        "Ay": w * t * 5 / 6,
        "Az": w * t * 5 / 6,
        "top": t / 2,
        "bottom": t / 2,
        "half_width": w / 2,
        "volume_per_length": w * t,
        "Wt": bending * w * t**2 / 3,
        "layer_shear": LAYER_PEAK * 1.5 / (w * t),
        "net": BOLT_PEAK,
    }


def root_stiffness(
    frame: FrameDesign, materials: Mapping[str, Working], hardware: Hardware, fill: Fill
) -> tuple[float, float, float]:
    """Stiffness of clamp and plates about x, y, z of the arm, N m/rad: a first estimate.

    Two pairs of bolts in a row on each of two plates, then the plates pulled and pushed in their
    planes between clamp and middle, in series. Sizing corrects it by the whole airframe.
    """
    pair = 2 * clamp_stiffness(frame, materials, hardware)
    half = frame.clamp.pitch_x / 2
    plate, t = materials[frame.plate.material], frame.plate.thickness
    free = frame.clamp.root_radius + frame.clamp.first - stiff_middle(frame)
    width = radial_width(frame, frame.n_arms)
    row = strip(t, width, plate_bending(fill, t))
    apart = hypot(frame.plate_gap, t)
    flange = plate.E * row["area"] * apart**2 / 2 / free
    in_plane = plate.E * in_plane_second_moment(frame)
    sway = 2 * in_plane / free
    rock = 12 * in_plane / free**3 * apart**2 / 2
    return (
        float(1 / (1 / (2 * pair[3]) + 1 / rock)),
        float(1 / (1 / (2 * pair[2] * half**2) + 1 / flange)),
        float(1 / (1 / (2 * pair[1] * half**2) + 1 / sway)),
    )
