"""The lap that joins the two parts of an arm longer than the bed; arm axes.

A half-lap at mid-depth. The inner part keeps the upper half; the outer part keeps the lower half
and, down both sides of the inner tongue, a thin rail up to the top face. So both parts print on
their top faces without support: the outer tongue is a floor that bridges between its rails.
"""

from dataclasses import dataclass

from refledge.errors import GeometryError
from refledge.geometry.drill import clearance, drills, rectangle_of, screw_of, sinks
from refledge.geometry.envelope import SHOULDER, named, room, underside
from refledge.geometry.holes import LEAST_LIGAMENT
from refledge.geometry.hollows import ROOT_FILLET
from refledge.geometry.kernel import Solid
from refledge.geometry.port import Kernel
from refledge.geometry.profile import Loop, Point, Segment, rounded
from refledge.model.fasteners import Hardware, Screw
from refledge.model.parts import ArmDesign, FrameDesign

BORE_WALL = 0.4e-3
"""Least plastic between wire bore and bolt holes, m: one line of the usual nozzle."""
RAIL = 0.8e-3
"""Rails beside the inner tongue, m: two lines of the usual nozzle, enough to anchor bridges."""
EDGE = 1e-3
"""Least plastic outside the washers of the lap, m. Our choice."""
FILLET = 1.5e-3
"""Fillet where a tongue meets its shoulder, m; less in shallow arms. Our choice."""
MASKED = 0.25
"""Share of the bore's height that the top wall may cover where the groove ends. Our choice."""
_JUST = 0.1e-3  # past the shoulder of a channel: its ribs may start there, m
_PAST = 1e-3  # cutters reach this far beyond what they cut, m


@dataclass(frozen=True)
class Lap:
    """Measures of one lap; heights and stations in arm axes, m."""

    start: float
    """Shoulder of the inner part."""
    end: float
    """Shoulder of the outer part."""
    top: float
    mating: float
    """Height of the clamped faces."""
    half_width: float
    """Half the width of the arm."""
    gap: float
    fillet: float
    bolts: tuple[Point, ...]
    hole: float
    washer: float
    seats: tuple[float, ...]
    """Height of the level seat under each bolt."""

    @property
    def tongue(self) -> float:
        """Half the width of the inner tongue, m."""
        return self.half_width - RAIL - self.gap


def lap_of(arm: ArmDesign, frame: FrameDesign, hardware: Hardware) -> Lap:
    """Measures of the arm's lap; raises GeometryError where it leaves too little room."""
    if arm.family == "tube" or not arm.split:
        raise GeometryError(f"{named(arm)} is in one piece")
    screw, start, end = _screw(arm, hardware), arm.split - arm.lap / 2, arm.split + arm.lap / 2
    top, washer = arm.depth_root / 2, screw.washer_diameter + frame.hole_allowance
    half = (top - underside(arm, arm.split)) / 2
    edge = screw.washer_diameter / 2 + max(EDGE, RAIL + frame.fit_gap)
    bolts = tuple(rectangle_of(arm.lap - 2 * edge, arm.width - 2 * edge, arm.split))
    lap = Lap(
        start=start,
        end=end,
        top=top,
        mating=top - half,
        half_width=arm.width / 2,
        gap=frame.fit_gap,
        fillet=min(FILLET, 0.2 * half),
        bolts=bolts,
        hole=clearance(screw, frame),
        washer=washer,
        seats=tuple(underside(arm, x + washer / 2) for x, _ in bolts),
    )
    _check(arm, frame, lap, screw)
    return lap


def _screw(arm: ArmDesign, hardware: Hardware) -> Screw:
    return screw_of(hardware, arm.lap_screw)


def _check(arm: ArmDesign, frame: FrameDesign, lap: Lap, screw: Screw) -> None:
    """Room along the arm, and plastic between holes, groove and faces, said by name."""
    start, end = lap.start - SHOULDER, lap.end + SHOULDER
    disc = max(arm.tenon_length / 2, frame.mount.seat_radius)
    room(arm, "between root block and lap", start - arm.root_length, arm.bore)
    room(arm, "between lap and tenon", arm.length - arm.tenon_length - end, 2 * arm.bore)
    plates = frame.plate.outer_radius - frame.clamp.root_radius
    room(arm, "between plates and lap", lap.start - plates, 0.0)
    room(arm, "between lap and mount", arm.axis - disc - lap.end, 0.0)
    (x, y), (x_in, _), (_, y_right), _ = lap.bolts
    room(arm, "between the lap bolts along the arm", x - x_in, screw.washer_diameter)
    room(arm, "between the lap bolts across the arm", y - y_right, screw.washer_diameter)
    room(arm, "between the lap bolts and bore", (y - y_right - lap.hole - arm.bore) / 2, BORE_WALL)
    roof, least = lap.top - lap.mating - arm.bore, 2 * LEAST_LIGAMENT
    room(arm, "above the bore in the lap", roof, max(arm.top - MASKED * arm.bore, least))
    room(arm, "under the lap at the outer bolts", lap.mating - max(lap.seats), least)


def lap_tools(arm: ArmDesign, lap: Lap, kernel: Kernel) -> list[Solid]:
    """Cutters through both parts: bolt holes, level seats for the lower washers, wire groove."""
    low = underside(arm, lap.start - _PAST)
    into = SHOULDER + (_JUST if arm.family == "channel" else ROOT_FILLET)
    groove = wire_groove(arm.bore, lap.mating)
    tools = [kernel.extrude(groove, lap.start - into, lap.end + into, axis="x")]
    tools += drills(kernel, lap.bolts, lap.hole, low, lap.top)
    if arm.depth_root == arm.depth_tip:
        return tools
    for bolt, seat in zip(lap.bolts, lap.seats, strict=True):
        tools += sinks(kernel, [bolt], lap.washer, low - _PAST, seat)
    return tools


def wire_groove(bore: float, mating: float) -> Loop:
    """Outline in (y, z), m, of the wires' way in the upper half: a round of ``bore`` fits.

    It stays out of the outer tongue, whose floor bridges in one piece.
    """
    r = bore / 2
    left, right = (-r, mating), (r, mating)
    up_left, up_right = (-r, mating + r), (r, mating + r)
    return (
        Segment(left, right),
        Segment(right, up_right),
        Segment(up_right, up_left, (0.0, mating + bore)),
        Segment(up_left, left),
    )


def beyond_inner(arm: ArmDesign, lap: Lap, kernel: Kernel) -> list[Solid]:
    """What the inner part leaves to the outer one: under and past its tongue, and beside it."""
    low, high, far = -arm.depth_root / 2 - _PAST, lap.top + _PAST, arm.length + _PAST
    tip, wide = lap.end - lap.gap, lap.half_width + _PAST
    points = [(lap.start, low), (lap.start, lap.mating), (tip, lap.mating), (tip, high)]
    radii = [0.0, lap.fillet, lap.fillet, 0.0, 0.0, 0.0]
    outside = rounded([*points, (far, high), (far, low)], radii)
    return [
        kernel.extrude(outside, -wide, wide, axis="y"),
        kernel.box((lap.start, lap.tongue, low), (far, wide, high)),
        kernel.box((lap.start, -wide, low), (far, -lap.tongue, high)),
    ]


def beyond_outer(arm: ArmDesign, lap: Lap, kernel: Kernel) -> list[Solid]:
    """What the outer part leaves to the inner one: everything before it and above its floor."""
    low, high, far = -arm.depth_root / 2 - _PAST, lap.top + _PAST, -_PAST
    tip, wide, between = lap.start + lap.gap, lap.half_width + _PAST, lap.half_width - RAIL
    points = [(tip, low), (tip, lap.mating), (lap.end, lap.mating), (lap.end, high)]
    radii = [0.0, lap.fillet, lap.fillet, 0.0, 0.0, 0.0]
    outside = rounded([*points, (far, high), (far, low)], radii)
    return [
        kernel.extrude(outside, -between, between, axis="y"),
        kernel.box((far, -wide, low), (tip, wide, high)),
    ]
