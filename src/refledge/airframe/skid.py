"""Skids: which legs they join, how deep their bars are, and what the ground does to them."""

from dataclasses import dataclass, replace
from itertools import product
from math import cos, pi, sin

import numpy as np

from refledge.airframe.judge import reserve
from refledge.airframe.working import Working
from refledge.analysis.joints import bearing_stress
from refledge.errors import WishError
from refledge.geometry.skid import LAP_PITCH, lap_of_skid, skid_line, skid_of
from refledge.model.brief import Brief
from refledge.model.fasteners import Hardware, Screw
from refledge.model.gear import SkidDesign
from refledge.model.parts import FrameDesign
from refledge.printing.bed import turned_to_fit

LEGS = 4
SAME = 1e-3
"""rad; arms nearer than this to the mirror image of another are that image."""
NOSE = 30e-3
"""m; reach of a skid beyond its legs: our choice."""
WIDTHS = (10e-3, 12e-3, 14e-3, 16e-3, 20e-3)
HEIGHTS = tuple(1e-3 * each for each in range(9, 31))
"""m; widths and heights of the bar that are tried: our choice, from a washer's width up."""
SLEEVE, WALL, SOLE, FLARE = 14e-3, 2.4e-3, 4e-3, 2e-3
"""m; what holds a leg's end: our choice, stouter than a foot."""


def skid_arms(angles: tuple[float, ...]) -> tuple[tuple[int, ...], float]:
    """Arms whose legs two skids join, and the angle of the front ones off the nose, rad.

    Four arms that are their own mirror image left to right and front to back; of several such
    fours the one that stands widest, and of two as wide the one with its skids further apart.
    Raises WishError where there is none.
    """
    found = []
    for turn in (each for each in np.mod(angles, 2 * pi) if SAME < each < pi / 2 - SAME):
        four = [_nearest(angles, each) for each in (turn, -turn, pi - turn, pi + turn)]
        if None not in four:
            stands = round(min(sin(turn), cos(turn)), 6)
            arms = tuple(sorted(each for each in four if each is not None))
            found.append((stands, float(turn), arms))
    if not found:
        raise WishError(
            "frame.gear: skids need four arms, two in front and two behind as their mirror image; "
            'this layout has none; next: frame.gear = "legs", or another layout.kind'
        )
    _, turn, arms = max(found)
    return arms, turn


def _nearest(angles: tuple[float, ...], wanted: float) -> int | None:
    """The arm at an angle (rad); None where there is none."""
    away = np.abs(np.mod(np.asarray(angles) - wanted + pi, 2 * pi) - pi)
    return int(np.argmin(away)) if away.min() < SAME else None


def skid_for(brief: Brief, turn: float, most: float, size: str, hardware: Hardware) -> SkidDesign:
    """Skids with the least bar, jointed in the middle where the longest would not fit the bed.

    most: greatest radius at which the legs may end, m. size: of the joint's screws.
    """
    if brief.frame.feet != "ends":
        raise WishError(
            'frame.feet: pads go under legs that end on their own, and frame.gear is "skids"; '
            'next: feet = "ends", or gear = "legs"'
        )
    if brief.frame.legs != LEGS:
        raise WishError(
            f"frame.legs: two skids stand on {LEGS} legs, given {brief.frame.legs}; "
            f"next: legs = {LEGS}, or strike it out"
        )
    whole = SkidDesign(
        turn=turn, nose=NOSE, width=WIDTHS[0], height=HEIGHTS[0], sleeve=SLEEVE, wall=WALL,
        sole=SOLE, flare=FLARE, lap=0.0, screw=size, material="",
    )  # fmt: skip
    x, y = most * cos(turn) + NOSE, 15e-3  # half its length; half a leg's sleeve, about
    corners = np.array([[a * x, b * y, 0.0] for a, b in product((-1, 1), repeat=2)])
    bed = brief.printer.bed_length, brief.printer.bed_width
    _, lies = turned_to_fit(corners, *bed)
    if lies[0] <= bed[0] and lies[1] <= bed[1]:
        return whole
    return replace(whole, lap=lap_of_skid(hardware.screws[size]))


@dataclass(frozen=True, kw_only=True)
class SkidStress:
    """What the ground's push does to a skid; Pa."""

    middle: float
    """Bending half-way between the legs, in the joint where there is one."""
    tip: float
    """Bending of the end beyond the leg."""
    sleeve: float
    """Bending of sleeve and sole, by the push at the end."""
    shear: float
    """On the layer boundary."""
    pin: float
    """Pressure of a bolt of the joint in its hole; 0 without a joint."""
    lever: float
    """Push on the leg over that at the end of its skid (1)."""

    @property
    def worst(self) -> float:
        """In the plane of the layers, Pa."""
        return max(self.middle, self.tip, self.sleeve, self.pin)


def skid_stress(frame: FrameDesign, hardware: Hardware, push: float) -> SkidStress:
    """Stresses in the frame's skids under ``push`` (N, up): by a stone half-way, or at an end."""
    skid = skid_of(frame)
    return stressed(skid, skid_line(frame, hardware)[0], hardware.screws[skid.screw], push)


def stressed(skid: SkidDesign, half: float, screw: Screw, push: float) -> SkidStress:
    """Stresses of a skid whose legs end 2 ``half`` (m) apart.

    Half-way the bar is a beam on its two legs, M = F l / 4; its end a cantilever, M = F a
    (Timoshenko, Strength of Materials, rectangular section; shear 1.5 V / A). A joint bends in one
    of its two halves at each shoulder, and passes its moment by a couple of two bolts.
    """
    wide = skid.width / 2 if skid.lap else skid.width
    middle, end = push * half / 2, push * skid.nose
    pull = middle / (LAP_PITCH * screw.diameter)
    return SkidStress(
        middle=6 * middle / (wide * skid.height**2),
        tip=6 * end / (skid.width * skid.height**2),
        sleeve=end / _cup_modulus(skid),
        shear=1.5 * max(push / 2 / wide, push / skid.width) / skid.height,
        pin=float(bearing_stress(pull, screw.diameter, wide)) if skid.lap else 0.0,
        lever=1.0 + skid.nose / (2 * half),
    )


def _cup_modulus(skid: SkidDesign) -> float:
    """Section modulus of a sole as wide as the bar with the sleeve's two walls on it, m3."""
    parts = (
        (skid.width, skid.sole, skid.sole / 2),
        (2 * skid.wall, skid.sleeve, skid.sole + skid.sleeve / 2),
    )
    area = sum(b * h for b, h, _ in parts)
    z = sum(b * h * at for b, h, at in parts) / area
    inertia = sum(b * h**3 / 12 + b * h * (at - z) ** 2 for b, h, at in parts)
    return inertia / max(z, skid.sole + skid.sleeve - z)


def sized_skid(
    skid: SkidDesign, half: float, screw: Screw, push: float, material: Working, factor: float
) -> SkidDesign:
    """The lightest bar that ``push`` (N) breaks neither half-way nor at an end.

    The stoutest where none holds: its check says so.

    half: half the distance between the legs' ends, m. factor: on strength.
    """
    limit = material.strength_xy / factor / (1.0 + reserve(material.strength_spread))
    tried = [
        replace(skid, width=width, height=height, sleeve=max(SLEEVE, height))
        for width, height in sorted(product(WIDTHS, HEIGHTS), key=lambda each: each[0] * each[1])
    ]
    for one in tried:
        if stressed(one, half, screw, push).worst <= limit:
            return one
    return tried[-1]
