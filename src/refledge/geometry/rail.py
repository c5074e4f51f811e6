"""Payload rails and the carrier between them.

A rail's origin lies on its flange's top, at the middle of its web's inner face: x along, y away
from the battery, z up. The carrier's lies in the middle of its underside, x along the tray, z up.
"""

from refledge.errors import GeometryError
from refledge.geometry import kernel as solid_kernel
from refledge.geometry.drill import clearance, drills, screw_of
from refledge.geometry.kernel import Solid
from refledge.geometry.port import Kernel
from refledge.geometry.profile import Loop, Point, circle, rectangle, rounded
from refledge.geometry.tray import SLOT, STRAP_PLAY
from refledge.model.fasteners import Hardware, Screw
from refledge.model.hung import RailDesign
from refledge.model.parts import FrameDesign

FILLET = 2e-3
"""Where the web meets flange and upper lip, m. Our choice."""
EDGE = 1e-3
"""Plastic or air round a washer, m. Our choice."""
EYE = 6e-3
"""Holes of the carrier that a line is looped through, m. Our choice: a 4 mm line and its sleeve."""
BRIDGE = 10e-3
"""Plastic between the two holes, which the line runs over, m. Our choice."""
BETWEEN = 3e-3
"""Between two strap slots, and from a slot to the carrier's end, m. Our choice."""


def rail_of(frame: FrameDesign) -> RailDesign:
    """The frame's payload rails; raises GeometryError where it has none."""
    if frame.rail is None:
        raise GeometryError("this frame has no payload rails; next: frame.payload_rail")
    return frame.rail


def beside(screw: Screw) -> float:
    """From a face with a fillet, or from a bare edge and a little less, to a screw's axis, m."""
    return FILLET + EDGE / 2 + screw.washer_diameter / 2


def lip_reach(screw: Screw) -> float:
    """Lips deep enough for a pin with its washers, m."""
    return beside(screw) + screw.washer_diameter / 2 + EDGE


def flange_reach(rail: RailDesign, screw: Screw) -> float:
    """Outer edge of the flange, y in m."""
    return rail.web + lip_reach(screw)


def carrier_level(frame: FrameDesign) -> float:
    """Top of the lower lips, z in the rail's axes, m; the carrier rests on it."""
    rail = rail_of(frame)
    return rail.lip - rail.height


def rail_screws(frame: FrameDesign) -> list[Point]:
    """Two screws through the flange, m."""
    rail, tray = rail_of(frame), frame.tray
    y = tray.shelf_pitch_y / 2 - tray.width / 2 - rail.gap
    return [(tray.shelf_pitch_x / 2, y), (-tray.shelf_pitch_x / 2, y)]


def rail_pin(frame: FrameDesign, hardware: Hardware) -> Point:
    """The one pin through a rail's lips, at its end along x, m."""
    rail = rail_of(frame)
    screw = screw_of(hardware, rail.screw)
    return rail.length / 2 - screw.washer_diameter / 2 - EDGE, -beside(screw)


def make_rail(frame: FrameDesign, hardware: Hardware, kernel: Kernel = solid_kernel) -> Solid:
    """The section drawn out along x, with its screw and pin holes."""
    rail = rail_of(frame)
    screw = screw_of(hardware, rail.screw)
    section = rail_section(frame, screw)
    blank = kernel.extrude(section, -rail.length / 2, rail.length / 2, axis="x")
    hole, level = clearance(screw, frame), carrier_level(frame)
    above = level + rail.carrier + 2 * frame.fit_gap + rail.lip
    tools = drills(kernel, rail_screws(frame), hole, -rail.flange, 0.0)
    tools += drills(kernel, [rail_pin(frame, hardware)], hole, -rail.height, above)
    solid = kernel.cut(blank, *tools)
    return kernel.checked(solid, f"payload rail ({rail.length * 1e3:.1f} mm long)")


def rail_section(frame: FrameDesign, screw: Screw) -> Loop:
    """Web, flange and two lips in (y, z), m."""
    rail = rail_of(frame)
    low, deep, out = -rail.height, -rail.reach, flange_reach(rail, screw)
    floor = carrier_level(frame)
    roof = floor + rail.carrier + 2 * frame.fit_gap
    top = roof + rail.lip
    if top > -rail.flange - FILLET:
        raise GeometryError(
            f"payload rail: {rail.height * 1e3:.1f} mm high, at least "
            f"{(top + rail.height + rail.flange + FILLET) * 1e3:.1f} mm needed"
        )
    points: list[Point] = [
        (deep, low), (rail.web, low), (rail.web, -rail.flange), (out, -rail.flange), (out, 0.0),
        (0.0, 0.0), (0.0, top), (deep, top), (deep, roof), (0.0, roof), (0.0, floor),
        (deep, floor),
    ]  # fmt: skip
    radii = [1e-3, 1e-3, FILLET, 1e-3, 0.0, 0.0, FILLET, 1e-3, 0.0, 0.0, 0.0, 0.0]
    return rounded(points, radii)


def carrier_size(frame: FrameDesign) -> Point:
    """Half the carrier's length and half its width, m: a gap to both webs."""
    rail = rail_of(frame)
    return rail.length / 2, frame.tray.width / 2 + rail.gap - frame.fit_gap


def carrier_pins(frame: FrameDesign, hardware: Hardware) -> list[Point]:
    """Both pins, at opposite corners, about the carrier's middle, m."""
    (x, y), aside = rail_pin(frame, hardware), frame.tray.width / 2 + rail_of(frame).gap
    return [(x, aside + y), (-x, -aside - y)]


def carrier_holes(frame: FrameDesign) -> list[Loop]:
    """Two holes for a line, or one or two pairs of slots for straps."""
    rail, (half, _) = rail_of(frame), carrier_size(frame)
    if rail.strap_width == 0.0:
        apart = (BRIDGE + EYE) / 2
        return [circle((-apart, 0.0), EYE), circle((apart, 0.0), EYE)]
    long = rail.strap_width + STRAP_PLAY
    two = half >= long + 1.5 * BETWEEN
    places = [-(long + BETWEEN) / 2, (long + BETWEEN) / 2] if two else [0.0]
    inner = frame.tray.width / 2 + rail.gap - rail.reach - EDGE - SLOT
    return [
        rounded(rectangle(x - long / 2, x + long / 2, y, y + SLOT), 1e-3)
        for x in places
        for y in (inner, -inner - SLOT)
    ]


def make_carrier(frame: FrameDesign, hardware: Hardware, kernel: Kernel = solid_kernel) -> Solid:
    """A flat plate that slides between the lips."""
    rail, (x, y) = rail_of(frame), carrier_size(frame)
    outline = rounded(rectangle(-x, x, -y, y), 1e-3)
    blank = kernel.extrude(outline, 0.0, rail.carrier, carrier_holes(frame))
    hole = clearance(screw_of(hardware, rail.screw), frame)
    solid = kernel.cut(
        blank, *drills(kernel, carrier_pins(frame, hardware), hole, 0.0, rail.carrier)
    )
    return kernel.checked(solid, f"payload carrier ({2 * x * 1e3:.1f} mm long)")
