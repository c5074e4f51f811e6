"""Frames with holders and a cover on their upper plates."""

from dataclasses import replace
from math import pi
from typing import Any

from refledge.model.parts import FrameDesign
from refledge.model.upper import AntennaHolderDesign, CoverDesign, ReceiverHolderDesign
from tests.geometry.frames import frame


def receiver_holder(**changes: Any) -> ReceiverHolderDesign:
    one = ReceiverHolderDesign(
        item="receiver", arm=1, upright=False, length=0.035, depth=0.008, height=0.020,
        across=0.022, flange_thickness=0.003, wall=0.0018, tongue=0.011, lip=0.0008,
        material="petg",
    )  # fmt: skip
    return replace(one, **changes)


def antenna_holder(**changes: Any) -> AntennaHolderDesign:
    one = AntennaHolderDesign(
        item="receiver", arm=4, count=2, diameter=0.0025, length=0.031, lead=0.0012, tilt=pi / 4,
        grip=0.012, wall=0.0018, out=0.003, mouth=0.0108, across=0.022, flange_thickness=0.003,
        material="petg",
    )  # fmt: skip
    return replace(one, **changes)


def held_frame(**antennas: Any) -> FrameDesign:
    """A frame with both holders; antennas: changes to theirs."""
    return replace(frame(), receiver_holder=receiver_holder(),
                   antenna_holder=antenna_holder(**antennas), fit_gap=0.0002)  # fmt: skip


def cover(**changes: Any) -> CoverDesign:
    one = CoverDesign(
        room=0.020, wall=0.0018, roof=0.0016, tongue=0.012, lip=0.0008, material="petg"
    )
    return replace(one, **changes)


def covered_frame() -> FrameDesign:
    """A frame with a cover on its seat."""
    return replace(frame(), cover=cover(), fit_gap=0.0002)


def parted_legs() -> FrameDesign:
    """A frame on tall legs in two parts."""
    one = frame()
    leg = replace(
        one.leg, height=0.26, splay=0.1, depth_top=0.010, depth_foot=0.0045, split=0.137,
        lap=0.045, lap_depth=0.0126, lap_screw="M3",
    )  # fmt: skip
    return replace(one, leg=leg, fit_gap=0.0002)
