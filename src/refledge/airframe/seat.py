"""Sizes of the flight-controller seat, hard or damped."""

from dataclasses import replace
from math import pi, sqrt

from refledge.geometry.cover import RIB
from refledge.geometry.nut_slot import WALL, slot_of
from refledge.geometry.seat import pocket_depth
from refledge.model.brief import Brief
from refledge.model.fasteners import Hardware
from refledge.model.holes import square_holes
from refledge.model.items import Standoffs
from refledge.model.upper import SeatDesign

PLAY = 0.5e-3
"""m; between the controller and a cover's ribs: our choice."""
FOR_RIBS = 2 * (RIB + PLAY)
"""m; by which a seat is wider than its controller, so that a cover's ribs can stand on it."""
BESIDE = 1e-3
"""m; between neighbouring standoffs: our choice."""
TURN = pi / 4
"""Posts stand at the middles of the plate's sides, so that no pocket meets those on top, which
stand towards its corners: the carrier stays low."""


def seat_for(brief: Brief, hardware: Hardware) -> SeatDesign:
    """The seat for the brief's controller; its material still to be chosen."""
    pattern = square_holes(brief.flight_controller.holes)
    size = pattern.screw or "M3"
    insert = hardware.inserts[size]
    box = brief.flight_controller
    pitch = 2 * pattern.positions[0][0] if pattern.positions else 0.0
    foot = pitch or 30.5e-3
    side = max(box.length, box.width, foot + insert.boss_diameter + 1e-3)
    side += FOR_RIBS if brief.frame.cover != "none" else 0.0
    hard = SeatDesign(
        side=side,
        thickness=max(3e-3, insert.length - 2e-3),
        post_height=max(10e-3, 2 * insert.length + 1e-3),
        post_diameter=insert.boss_diameter + 0.8e-3,
        screw=size,
        pitch=pitch,
        foot_pitch=foot,
        material="",
    )
    nuts = brief.frame.seat_threads == "nuts"
    if nuts:
        hard = with_nuts(hard, brief.frame.fit_gap, hardware)
    if brief.frame.seat == "hard":
        return hard
    soft = damped(hard, brief.standoffs)
    deep = slot_of(size, brief.frame.fit_gap, 0.0, hardware).deep if nuts else pocket_depth(insert)
    return replace(soft, post_height=deep)


def with_nuts(hard: SeatDesign, gap: float, hardware: Hardware) -> SeatDesign:
    """The hard seat with posts thick and high enough for two nuts each, one from either end."""
    slot = slot_of(hard.screw, gap, 0.0, hardware)
    both = slot.deep + slot.hung
    wide = max(hard.post_diameter, slot.width + 2 * WALL)
    return replace(
        hard, threads="nuts", post_diameter=wide, post_height=max(10e-3, both),
        side=max(hard.side, hard.foot_pitch + wide),
    )  # fmt: skip


def damped(hard: SeatDesign, standoffs: Standoffs) -> SeatDesign:
    """The carrier in place of the hard seat: low, its posts on ears as far out as the hard seat's.

    Wide apart, standoffs tilt less; low, the carrier's sway couples less into tilt.
    """
    out = max(hard.foot_pitch, standoffs.diameter + BESIDE) / sqrt(2)
    return replace(
        hard,
        foot_pitch=out * sqrt(2),
        rise=standoffs.height,
        standoff_mass=standoffs.mass,
        turn=TURN,
    )
