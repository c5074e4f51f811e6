"""Volume and surface by formula of what stands on the upper plate under clamp bolts."""

from math import pi

from refledge.geometry.antenna_holder import (
    POST,
    antenna_bore,
    antenna_holder_of,
    tube_outside,
    window,
)
from refledge.geometry.cover import (
    RIB,
    RIB_WIDE,
    cover_of,
    cover_outside,
    tongue_length,
    vent_area,
)
from refledge.geometry.receiver_holder import CORNER, pocket, receiver_holder_of
from refledge.model.parts import FrameDesign
from refledge.model.upper import MastDesign

FLANGE = 8e-3
"""m; a flange beyond its bolts' pitch, a washer and its edges: near M3's, for this estimate."""


def mast_size(frame: FrameDesign, mast: MastDesign) -> tuple[float, float]:
    """Flange (a washer longer than its bolts' pitch, here 10 mm), column, platform."""
    flange = (frame.clamp.pitch_x + 10e-3, mast.flange_thickness)
    column = (mast.depth, mast.height - mast.flange_thickness - mast.platform_thickness)
    bars = (flange, column, (mast.platform_length, mast.platform_thickness))
    profile = sum(long * deep for long, deep in bars)
    return profile * mast.thickness, 2 * profile + 2 * sum(map(max, bars)) * mast.thickness


def receiver_holder_size(frame: FrameDesign) -> tuple[float, float]:
    """Flange, floor outside it, long walls, the corners of the short ones."""
    holder, (deep, long, rise) = receiver_holder_of(frame), pocket(frame)
    t = holder.wall
    plan = _flange_plan(frame, holder.across, deep / 2 + t)
    floor = (deep + 2 * t) * max(0.0, long + 2 * t - holder.across)
    wall = 2 * (long + 2 * t) + 4 * CORNER
    area = 2 * (plan + floor) + 2 * wall * rise
    return (plan + floor) * holder.flange_thickness + wall * t * rise, area


def antenna_holder_size(frame: FrameDesign) -> tuple[float, float]:
    """Flange, two posts, roof, tubes."""
    holder, outside = antenna_holder_of(frame), tube_outside(frame)
    plan = _flange_plan(frame, holder.across, holder.out + outside / 2)
    wide = 2 * (window(frame) + POST)
    posts = 2 * POST * outside * (holder.mouth - holder.flange_thickness)
    ring = pi / 4 * (outside**2 - antenna_bore(frame) ** 2)
    roof, tubes = wide * outside * outside / 2, holder.count * ring * holder.grip
    beside = outside * max(0.0, wide - holder.across) * holder.flange_thickness
    area = 2 * plan + 4 * wide * outside + holder.count * pi * 2 * outside * holder.grip
    return plan * holder.flange_thickness + posts + roof + tubes + beside, area


def cover_size(frame: FrameDesign) -> tuple[float, float]:
    """Roof and four walls less their openings; eight ribs."""
    cover, half = cover_of(frame), cover_outside(frame)
    walls = 8 * half * tongue_length(frame)
    plan = 4 * half**2 + walls - vent_area(frame)
    ribs = 8 * RIB * RIB_WIDE * cover.room
    volume = 4 * half**2 * cover.roof + walls * cover.wall + ribs
    open_part = vent_area(frame)
    return volume - open_part * min(cover.wall, cover.roof), 2 * plan


def _flange_plan(frame: FrameDesign, across: float, outer: float) -> float:
    return ((frame.clamp.pitch_x + FLANGE) / 2 + outer) * across
