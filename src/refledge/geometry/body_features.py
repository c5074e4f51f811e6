"""Named bores and faces of plates and of what hangs from or stands on them."""

from refledge.errors import GeometryError
from refledge.geometry.drill import (
    clearance,
    rectangle_of,
    screw_of,
)
from refledge.geometry.named import (
    DOWN,
    UP,
    Disc,
    Features,
    Plane,
    Rectangle,
    bores,
    level,
)
from refledge.geometry.plate import plate_holes
from refledge.geometry.rail import (
    carrier_level,
    carrier_pins,
    carrier_size,
    rail_of,
    rail_pin,
    rail_screws,
)
from refledge.geometry.seat import seat_bores
from refledge.geometry.tray import bore_top, sink_depth
from refledge.model.fasteners import Hardware
from refledge.model.layout import Layout
from refledge.model.parts import FrameDesign


def plate_features(
    which: str, frame: FrameDesign, hardware: Hardware, layout: Layout | None
) -> Features:
    """Bores by what they are for; clamp bores four to an arm in order of arms, or a hinge's two."""
    if layout is None:
        raise GeometryError(f"{which} plate: its bores follow the layout, which was not given")
    found: Features = {}
    holes = plate_holes(frame, layout, hardware, which)
    for name in dict.fromkeys(each.name for each in holes):
        same = [each for each in holes if each.name == name]
        sunk = sink_depth(screw_of(hardware, frame.clamp.screw)) if name == "leg" else 0.0
        top = frame.plate.thickness - sunk
        for number, hole in enumerate(same, 1):
            at = [hole.centre]
            found |= bores(f"{name}_bore", at, hole.diameter, 0.0, top, first=number)
    return found


def tray_features(frame: FrameDesign, hardware: Hardware) -> Features:
    tray, screw = frame.tray, screw_of(hardware, frame.tray.screw)
    hole, low = clearance(screw, frame), sink_depth(screw) - tray.hang
    high = bore_top(tray, tray.pitch_x / 2, hole)
    if high <= low:
        raise GeometryError("tray: its countersinks run into its strap grooves; no bore is left")
    points = rectangle_of(tray.pitch_x, tray.pitch_y)
    found = bores("screw_bore", points, hole, low, high)
    if tray.shelf > 0:
        rails = rectangle_of(tray.shelf_pitch_x, tray.shelf_pitch_y)
        found |= bores("rail_bore", rails, hole, -tray.hang, -tray.stand - sink_depth(screw))
    if tray.stand > 0:
        ends = [Plane((x, y, 0.0), UP, Disc(tray.boss / 2)) for x, y in points]
        return found | {f"boss_{i}": each for i, each in enumerate(ends, 1)}
    x, half = tray.length / 2, tray.width / 2
    return found | {"top": level(-x, x, half, 0.0, UP)}


def rail_features(frame: FrameDesign, hardware: Hardware) -> Features:
    rail, screw = rail_of(frame), screw_of(hardware, rail_of(frame).screw)
    hole, level = clearance(screw, frame), carrier_level(frame)
    found = bores("screw_bore", rail_screws(frame), hole, -rail.flange, 0.0)
    pin, slot = [rail_pin(frame, hardware)], rail.carrier + 2 * frame.fit_gap
    found |= bores("lower_pin_bore", pin, hole, -rail.height, level)
    found |= bores("upper_pin_bore", pin, hole, level + slot, level + slot + rail.lip)
    middle = (0.0, -rail.reach / 2, level)
    return found | {"lip": Plane(middle, UP, Rectangle(rail.length, rail.reach))}


def carrier_features(frame: FrameDesign, hardware: Hardware) -> Features:
    rail, (x, half) = rail_of(frame), carrier_size(frame)
    hole = clearance(screw_of(hardware, rail.screw), frame)
    found = bores("pin_bore", carrier_pins(frame, hardware), hole, 0.0, rail.carrier)
    return found | {"underside": level(-x, x, half, 0.0, DOWN)}


def seat_features(frame: FrameDesign, hardware: Hardware) -> Features:
    seat, half, found = frame.seat, frame.seat.side / 2, Features()
    for name, points, hole, low, high in seat_bores(frame, hardware):
        found |= bores(name, points, hole, low, high)
    return found | {"top": level(-half, half, half, seat.post_height + seat.thickness, UP)}
