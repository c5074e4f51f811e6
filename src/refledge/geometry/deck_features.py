"""Named bores and faces of mast, holders and cover on the upper plate."""

from refledge.geometry.antenna_holder import antenna_holder_of
from refledge.geometry.cover import cover_of, cover_outside
from refledge.geometry.deck import deck_bolts
from refledge.geometry.drill import rectangle_of
from refledge.geometry.mast import mast_of
from refledge.geometry.named import DOWN, UP, Features, Plane, Rectangle, bores, clamp_hole, level
from refledge.geometry.receiver_holder import pocket, receiver_holder_of
from refledge.model.fasteners import Hardware
from refledge.model.parts import FrameDesign


def mast_features(frame: FrameDesign, hardware: Hardware) -> Features:
    mast, x = mast_of(frame), mast_of(frame).platform_length / 2
    points = rectangle_of(frame.clamp.pitch_x, frame.clamp.pitch_y)
    hole, half = clamp_hole(frame, hardware), mast.thickness / 2
    found = bores("flange_bore", points, hole, 0.0, mast.flange_thickness)
    return found | {"platform": level(-x, x, half, mast.height, UP)}


def receiver_holder_features(frame: FrameDesign, hardware: Hardware) -> Features:
    """The pocket's floor between its long walls; its bolts."""
    holder, (deep, long, _) = receiver_holder_of(frame), pocket(frame)
    floor = Plane((0.0, 0.0, holder.flange_thickness), UP, Rectangle(deep, long))
    return _flange(frame, hardware, holder.flange_thickness) | {"floor": floor}


def antenna_holder_features(frame: FrameDesign, hardware: Hardware) -> Features:
    """Its bolts and its underside; the tubes lean, which named bores cannot tell."""
    holder, x = antenna_holder_of(frame), frame.clamp.pitch_x / 2
    base = level(-x, holder.out, holder.across / 2, 0.0, DOWN)
    return _flange(frame, hardware, holder.flange_thickness) | {"base": base}


def cover_features(frame: FrameDesign) -> Features:
    """The roof's upper face; its vents are not taken off."""
    cover, half = cover_of(frame), cover_outside(frame)
    return {"roof": level(-half, half, half, cover.room + cover.roof, UP)}


def _flange(frame: FrameDesign, hardware: Hardware, thickness: float) -> Features:
    points = deck_bolts(frame.clamp.pitch_x, frame.clamp.pitch_y)
    return bores("flange_bore", points, clamp_hole(frame, hardware), 0.0, thickness)
