"""The section of an arm at any distance from its inner end."""

from dataclasses import replace
from functools import lru_cache

import numpy as np

from refledge.airframe.fillness import Fill, hollowed
from refledge.airframe.working import Working, arm_shear
from refledge.analysis import sections
from refledge.analysis.arm_model import ArmMaterial, ArmShape
from refledge.analysis.arms import held_ends, span_section
from refledge.analysis.sections import ISOTROPIC, Layered, Section
from refledge.geometry.mesh import section_areas
from refledge.model.grown import GrownArm
from refledge.model.parts import ArmDesign
from refledge.typed import Floats

_CUTS = 16
"""Cuts through a grown arm for the mean section of one beam: our choice."""
LEAST_SHARE = 0.2
"""Of the shear that the walls are always given: our choice, well below what tapers reach."""


def depth_at(arm: ArmDesign, x: Floats) -> Floats:
    """Depth of the arm at ``x`` (m from the inner end), m."""
    start, end = arm.root_length, arm.length - arm.tenon_length
    along = np.clip((x - start) / max(end - start, 1e-9), 0.0, 1.0)
    depth: Floats = arm.depth_root + (arm.depth_tip - arm.depth_root) * along
    return depth


def section_at(
    arm: ArmDesign, x: Floats, plastic: Layered = ISOTROPIC, fill: Fill | None = None
) -> Section:
    """Sections of the free span at ``x`` (m), warping held by the solid blocks at both ends.

    fill: what walls thicker than their skins lose to infill; solid walls where there is none.
    """
    if arm.family == "grown":  # of the outside: what it gives is fitted later
        return sections.solid(arm.width, depth_at(arm, x), arm.bore, plastic)
    shape = shape_of(arm)
    if fill is not None:
        shape = stiff_walls(arm.family, shape, fill)
    found = span_section(arm.family, shape, depth_at(arm, x), plastic)
    return held_ends(found, np.asarray(arm.span))


def stiff_walls(family: str, shape: ArmShape, fill: Fill) -> ArmShape:
    """The span's walls as thin as solid ones that stretch alike, m; tubes as they are.

    A wall is two skins round a core at the infill's modulus. The face that it is measured from
    keeps its place. A truss's chord has skins on all four sides; its diagonals count as solid.
    """
    if family == "tube":
        return shape
    lost = 1.0 - fill.core
    across = np.maximum(np.asarray(shape.side) - 2 * fill.side, 0.0)
    top = np.maximum(np.asarray(shape.top) - 2 * fill.face, 0.0)
    low = np.maximum(np.asarray(shape.bottom) - 2 * fill.face, 0.0)
    if family == "truss":
        chord = lost * low * across / np.asarray(shape.side)
        return replace(shape, top=shape.top - lost * top, bottom=shape.bottom - chord)
    return replace(
        shape,
        side=shape.side - lost * across,
        top=shape.top - lost * top,
        bottom=shape.bottom - lost * low,
    )


@lru_cache(maxsize=64)
def grown_line(grown: GrownArm, start: float, end: float) -> float:
    """Mean cross-section of a grown arm between two places, m from its inner end, m2."""
    each = (end - start) / _CUTS
    places = [start + each * (row + 0.5) for row in range(_CUTS)]
    return float(section_areas(grown.mesh, np.array(places)).mean())


def layered(material: Working) -> Layered:
    """Ratios of the constants of an arm's plastic; arms print flat."""
    return Layered(material.E / arm_shear(material), material.E / material.E_z, material.nu)


def elastic(material: Working) -> ArmMaterial:
    """What an arm's plastic is to the evaluator."""
    return ArmMaterial(
        E=material.E, G=arm_shear(material), rho=material.rho, nu=material.nu, E_z=material.E_z
    )


def shape_of(arm: ArmDesign) -> ArmShape:
    """The arm's dimensions for the evaluator."""
    return ArmShape(
        length=arm.length,
        width=arm.width,
        depth_root=arm.depth_root,
        depth_tip=arm.depth_tip,
        root_length=arm.root_length,
        tenon_length=arm.tenon_length,
        side=arm.side,
        top=arm.top,
        bottom=arm.bottom,
        pitch=arm.pitch,
        web=arm.web,
        bore=arm.bore,
    )


def block_section(arm: ArmDesign, x: Floats, fill: Fill, plastic: Layered = ISOTROPIC) -> Section:
    """Sections of root block and tenon at ``x`` (m); a tube is the same throughout.

    The tenon's beam ends at the motor axis and weighs as much as both its halves.
    """
    depth = depth_at(arm, x)
    if arm.family == "tube":
        return sections.tube(np.full_like(depth, arm.width), arm.bore)
    whole = sections.solid(arm.width, depth, arm.bore, plastic)
    halves = np.where(x > arm.length - arm.tenon_length, 2.0, 1.0)
    heavy = replace(whole, volume_per_length=whole.volume_per_length * halves)
    return hollowed(heavy, np.asarray(arm.width), depth, fill)


def lap_section(arm: ArmDesign, fill: Fill) -> Section:
    """Section of the half-lap, one row.

    Two halves bend side by side without shear between them, the careful side of what bolts and
    friction do: a quarter of the block's second moment about y, all of it about z.
    """
    depth = depth_at(arm, np.array([arm.split]))
    half = sections.solid(arm.width, depth / 2, 0.0)
    one = hollowed(half, np.asarray(arm.width), depth / 2, fill)
    return replace(
        one,
        area=2 * one.area,
        Iy=2 * one.Iy,
        Iz=2 * one.Iz,
        J=2 * one.J,
        Ay=2 * one.Ay,
        Az=2 * one.Az,
        centroid=depth / 2,
        shear_centre=depth / 2,
        volume_per_length=2 * one.volume_per_length,
    )


def taper_relief(arm: ArmDesign, x: Floats) -> Floats:
    """Factor on the vertical shear area of the tapered span at ``x`` (m) (1).

    The sloping lower flange carries M tan(slope) / h of the shear, h between the flanges, so the
    walls shear less: statics of a wedge, as for any tapered girder. M = V times the distance to the
    motor axis, the case that matters. Channels have no lower flange and tubes no taper.
    """
    if arm.family not in ("box", "truss"):
        return np.ones_like(x)
    slope = (arm.depth_root - arm.depth_tip) / arm.span
    apart = depth_at(arm, x) - (arm.top + arm.bottom) / 2
    share = np.clip(1.0 - slope * (arm.axis - x) / apart, LEAST_SHARE, 1.0)
    relief: Floats = 1.0 / share**2
    return relief
