"""Mass of a part as printed: solid skin, infill inside."""

from refledge.analysis.fill import printed_volume
from refledge.model.printer import Printer
from refledge.model.wishes import FrameWish


def skin_thickness(wish: FrameWish, printer: Printer) -> float:
    """Mean solid skin, m: perimeters beside, solid layers below and above."""
    sides = wish.walls * printer.extrusion_width
    faces = wish.skins * printer.layer
    return (sides + faces) / 2


def printed_mass(
    volume: float, area: float, rho: float, wish: FrameWish, printer: Printer
) -> float:
    """Mass of a part, kg, from the solid's volume (m3) and surface (m2)."""
    skin = skin_thickness(wish, printer)
    return rho * float(printed_volume(volume, area, skin, wish.infill))
