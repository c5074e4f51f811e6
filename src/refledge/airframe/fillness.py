"""What walls, skins and infill leave of a block's or a plate's stiffness."""

from dataclasses import dataclass, replace

import numpy as np

from refledge.analysis.fill import bending_factor, infill_modulus
from refledge.analysis.sections import Section
from refledge.model.brief import Brief
from refledge.typed import Floats


@dataclass(frozen=True)
class Fill:
    """How a part is printed inside."""

    side: float
    """Solid perimeters, m."""
    face: float
    """Solid bottom and top layers, m."""
    core: float
    """Modulus of the infill over that of solid plastic (1)."""


def fill_of(brief: Brief) -> Fill:
    """The brief's walls, skins and infill."""
    wish, printer = brief.frame, brief.printer
    core = float(infill_modulus(wish.infill))
    return Fill(wish.walls * printer.extrusion_width, wish.skins * printer.layer, core)


def plate_bending(fill: Fill, thickness: float) -> float:
    """Own bending stiffness of a printed plate over that of a solid one (1)."""
    return float(bending_factor(thickness, fill.face, fill.core))


def hollowed(section: Section, width: Floats, depth: Floats, fill: Fill) -> Section:
    """A solid block's section with its core at the infill's modulus.

    The core is a rectangle inside the skin; its area and second moments count ``core`` only. The
    wire bore lies in the core and is left as the solid section has it.
    """
    w = np.maximum(np.asarray(width) - 2 * fill.side, 0.0)
    d = np.maximum(np.asarray(depth) - 2 * fill.face, 0.0)
    lost = 1.0 - fill.core
    area = 1.0 - lost * w * d / (width * depth)
    about_y = 1.0 - lost * w * d**3 / (width * depth**3)
    about_z = 1.0 - lost * d * w**3 / (depth * width**3)
    return replace(
        section,
        area=section.area * area,
        Iy=section.Iy * about_y,
        Iz=section.Iz * about_z,
        J=section.J * np.minimum(about_y, about_z),
        Ay=section.Ay * area,
        Az=section.Az * area,
    )
