"""The mast: where it stands and how deep its column must be."""

from dataclasses import replace
from math import ceil, pi, sqrt

from refledge.airframe.holders import item_named
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
    return item_named(brief, "mast")


def mast_for(brief: Brief, arm: int, leg: LegDesign, thickness: float) -> MastDesign:
    """The mast on an ``arm``, its column still to be sized. thickness: across, m."""
    item = carried_by_mast(brief)
    if item.z is None or item.z <= 0.0:
        raise GeometryError(
            f'frame.mast: "{item.name}" is not above the upper plate; next: its height (others.z)'
        )
    return MastDesign(
        item=item.name,
        arm=arm,
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
