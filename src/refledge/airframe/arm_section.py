"""The section of an arm at any distance from its inner end."""

from dataclasses import replace

import numpy as np

from refledge.airframe.fillness import Fill, hollowed
from refledge.analysis import sections
from refledge.analysis.arm_model import ArmShape
from refledge.analysis.arms import held_ends, span_section
from refledge.analysis.sections import Section
from refledge.model.parts import ArmDesign
from refledge.typed import Floats

LEAST_SHARE = 0.2
"""Of the shear that the walls are always given: our choice, well below what tapers reach."""


def depth_at(arm: ArmDesign, x: Floats) -> Floats:
    """Depth of the arm at ``x`` (m from the inner end), m."""
    start, end = arm.root_length, arm.length - arm.tenon_length
    along = np.clip((x - start) / max(end - start, 1e-9), 0.0, 1.0)
    depth: Floats = arm.depth_root + (arm.depth_tip - arm.depth_root) * along
    return depth


def section_at(arm: ArmDesign, x: Floats, E_over_G: float) -> Section:
    """Sections of the free span at ``x`` (m), warping held by the solid blocks at both ends."""
    found = span_section(arm.family, shape_of(arm), depth_at(arm, x), np.asarray(E_over_G))
    return held_ends(found, np.asarray(arm.span), np.asarray(E_over_G))


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


def block_section(arm: ArmDesign, x: Floats, fill: Fill) -> Section:
    """Sections of root block and tenon at ``x`` (m); a tube is the same throughout."""
    depth = depth_at(arm, x)
    if arm.family == "tube":
        return sections.tube(np.full_like(depth, arm.width), arm.bore)
    return hollowed(sections.solid(arm.width, depth, arm.bore), np.asarray(arm.width), depth, fill)


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
