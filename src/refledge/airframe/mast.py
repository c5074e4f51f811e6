"""The mast: where it stands and how deep its column must be."""

from dataclasses import replace
from math import atan2, ceil, hypot, pi, sqrt

from refledge.airframe.judge import reserve
from refledge.airframe.working import Working
from refledge.errors import GeometryError
from refledge.geometry.mast import most_depth
from refledge.model.brief import Brief
from refledge.model.fasteners import Screw
from refledge.model.gear import LegDesign
from refledge.model.items import Placed
from refledge.model.parts import ClampDesign
from refledge.model.upper import MastDesign

PLATFORM = 3e-3
"""m; plate under the item, held on it by tape: our choice."""
LEAST_DEPTH = 3.6e-3
"""m; thinnest column tried: our choice, as the legs' feet."""
BEAM_SHARE = 33 / 140
"""Share of a cantilever's own mass that swings with its tip: Rayleigh's method, static shape
(Blevins, Formulas for Natural Frequency and Mode Shape, beam with a tip mass; from memory)."""


def carried_by_mast(brief: Brief) -> Placed:
    """The item that the brief wants on a mast; raises GeometryError where there is none such."""
    for each in brief.others:
        if each.name == brief.frame.mast:
            return each
    known = ", ".join(f'"{each.name}"' for each in brief.others) or "none"
    raise GeometryError(
        f'frame.mast names "{brief.frame.mast}", which is no item; known under others: {known}'
    )


def mast_arm(item: Placed, angles: tuple[float, ...], legs: tuple[int, ...]) -> int:
    """The arm whose clamp carries the mast: without a leg if there is one, then nearest to where
    the brief puts the item, then rearmost."""
    wanted = atan2(item.y, item.x) if hypot(item.x, item.y) > 1e-3 else pi

    def away(arm: int) -> tuple[bool, float, float]:
        turn = abs((angles[arm] - wanted + pi) % (2 * pi) - pi)
        return arm in legs, round(turn, 6), angles[arm]

    return min(range(len(angles)), key=away)


def mast_for(
    brief: Brief, angles: tuple[float, ...], leg: LegDesign, thickness: float
) -> MastDesign:
    """The mast, its column still to be sized. thickness: across, m."""
    item = carried_by_mast(brief)
    if item.z is None or item.z <= 0.0:
        raise GeometryError(
            f'frame.mast: "{item.name}" is not above the upper plate; next: its height (others.z)'
        )
    return MastDesign(
        item=item.name,
        arm=mast_arm(item, angles, leg.arms),
        height=item.z - item.height / 2,
        thickness=thickness,
        depth=LEAST_DEPTH,
        flange_thickness=leg.flange_thickness,
        platform_length=item.length,
        platform_thickness=PLATFORM,
        material="",
    )


def mast_frequency(mast: MastDesign, item_mass: float, item_height: float, E: float,
                   rho: float) -> float:  # fmt: skip
    """First bending mode about the flange, Hz: a clamped beam with the item at its tip.

    f = sqrt(3 E I / (m L^3)) / 2 pi, m with BEAM_SHARE of the column. L to the item's middle.
    """
    length = mast.height - mast.flange_thickness + item_height / 2
    inertia = mast.thickness * mast.depth**3 / 12
    column = rho * mast.thickness * mast.depth * (mast.height - mast.flange_thickness)
    platform = rho * mast.thickness * mast.platform_length * mast.platform_thickness
    mass = item_mass + platform + BEAM_SHARE * column
    return sqrt(3 * E * inertia / (mass * length**3)) / (2 * pi)


def mast_stress(mast: MastDesign, item_mass: float, item_height: float, felt: float) -> float:
    """Bending stress at the flange under an acceleration ``felt`` (m/s2) along the arm, Pa."""
    length = mast.height - mast.flange_thickness + item_height / 2
    return 6 * item_mass * felt * length / (mast.thickness * mast.depth**2)


def least_frequency(brief: Brief) -> float:
    """Hz; a mast that swings within the control's reach shakes what steers by its item."""
    return brief.limits.bandwidth_ratio * brief.limits.control_bandwidth


def sized_mast(
    mast: MastDesign, brief: Brief, material: Working, clamp: ClampDesign, screw: Screw
) -> MastDesign:
    """Thinnest column, in whole printed lines, that swings faster than the control; the deepest
    that the washers leave room for where none does."""
    item, line = carried_by_mast(brief), brief.printer.extrusion_width
    aim = least_frequency(brief) * (1.0 + reserve(material.stiffness_spread / 2))
    most = int(most_depth(clamp.pitch_x, screw.washer_diameter) / line + 1e-9)
    for lines in range(min(ceil(LEAST_DEPTH / line - 1e-9), most), most + 1):
        mast = replace(mast, depth=lines * line, material=material.key)
        if mast_frequency(mast, item.mass, item.height, material.E, material.rho) >= aim:
            break
    return mast
