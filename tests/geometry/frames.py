"""Plausible frames, layouts and a brief to draw: an invented lake-sampling team's aircraft."""

from dataclasses import replace
from functools import cache
from math import pi

import numpy as np

from refledge.geometry.folding import fold_of
from refledge.geometry.kernel import Solid
from refledge.geometry.parts import make_parts
from refledge.inputs.fasteners import hardware
from refledge.model.fasteners import Hardware
from refledge.model.gear import FootDesign, SkidDesign
from refledge.model.hinge import HingeDesign
from refledge.model.hung import RailDesign
from refledge.model.layout import Layout
from refledge.model.parts import (
    ArmDesign,
    ClampDesign,
    ClipDesign,
    FrameDesign,
    GuardDesign,
    PlateDesign,
)
from tests.geometry.pieces import a_leg, a_mount, a_seat, a_tray

HARDWARE: Hardware = hardware()
_MM = 1e-3


def arm(family: str = "box", **changes: float) -> ArmDesign:
    """One arm; ``changes`` in mm."""
    shapes: dict[str, dict[str, float]] = {
        "box": {"side": 1.8, "top": 1.8, "bottom": 1.8, "pitch": 0, "web": 0, "bore": 7},
        "channel": {"side": 1.8, "top": 1.8, "bottom": 0, "pitch": 20, "web": 1.35, "bore": 7},
        "truss": {"side": 4.5, "top": 2.4, "bottom": 3.0, "pitch": 21.4, "web": 2.2, "bore": 7},
    }
    sizes: dict[str, float] = {"length": 200, "width": 22, "depth_root": 22, "depth_tip": 14}
    sizes |= {"root_length": 40, "tenon_length": 53, **shapes[family], **changes}
    millimetres = {key: value * _MM for key, value in sizes.items()}
    screw = "M3" if "split" in changes else ""
    return ArmDesign(family=family, material="petg", lap_screw=screw, **millimetres)


def tube_arm() -> ArmDesign:
    return ArmDesign(
        family="tube",
        material="carbon-tube-16x14",
        length=0.200,
        width=0.016,
        depth_root=0.016,
        depth_tip=0.016,
        root_length=0.040,
        tenon_length=0.053,
        side=0.0,
        top=0.0,
        bottom=0.0,
        pitch=0.0,
        web=0.0,
        bore=0.014,
    )


def frame(n_arms: int = 6, one_arm: ArmDesign | None = None, per_arm: int = 1) -> FrameDesign:
    one_arm = one_arm or arm()
    if one_arm.family == "tube":
        return _tube_frame(n_arms, one_arm, per_arm)
    return FrameDesign(
        arm=one_arm,
        n_arms=n_arms,
        clamp=ClampDesign(screw="M3", root_radius=0.034, first=0.008, pitch_x=0.024, pitch_y=0.012),
        plate=PlateDesign(
            outer_radius=0.0755,
            thickness=0.004,
            centre_bore=0.020,
            arm_pad_width=0.026,
            core_radius=0.052,
            material="petg",
        ),
        mount=a_mount(per_arm, width=0.022, pitch_y=0.012),
        leg=a_leg(n_arms),
        tray=a_tray(),
        seat=a_seat(),
        hole_allowance=0.0002,
        fit_gap=0.00015,
    )


def hinged_frame(n_arms: int = 6, one_arm: ArmDesign | None = None) -> FrameDesign:
    """Folding arms, the lock's bore wider than the pivot's; legs on every other arm."""
    base = frame(n_arms, one_arm)
    hinge = HingeDesign(lock="M3", kind="polyamide", pivot_bore=0.0031, lock_bore=0.0036)
    turn, lead = fold_of(
        replace(base, hinge=hinge), tuple(2 * pi / n_arms * k for k in range(n_arms))
    )
    return replace(base, hinge=replace(hinge, turn=turn, lead=lead))


def _tube_frame(n_arms: int, one_arm: ArmDesign, per_arm: int) -> FrameDesign:
    base = frame(n_arms, None, per_arm)
    return replace(
        base,
        arm=one_arm,
        clamp=replace(base.clamp, pitch_y=0.0215),
        plate=replace(base.plate, arm_pad_width=0.031),
        mount=a_mount(per_arm, width=0.031, pitch_y=0.0215),
        leg=replace(base.leg, thickness=0.030),
        block_width=0.031,
        block_height=0.024,
    )


def lined_frame() -> FrameDesign:
    """A payload's line hangs from webbing round the tray."""
    base = frame(6)
    return replace(base, tray=replace(base.tray, line=0.010))


def standing_frame() -> FrameDesign:
    """A frame whose tray stands off the lower plate on bosses."""
    base = frame()
    return replace(base, tray=replace(base.tray, fence=0.0, stand=0.0113, boss=0.009))


def footed_frame() -> FrameDesign:
    """A frame whose legs stand on printed feet."""
    foot = FootDesign(sleeve=0.012, wall=0.0018, sole=0.003, flare=0.006, material="petg")
    return replace(frame(), foot=foot)


def guarded_frame(screw: str = "") -> FrameDesign:
    """A frame with propeller guards, in two halves where ``screw`` is given."""
    base = frame()
    guard = GuardDesign(
        radius=0.130,
        span=np.radians(120.0),
        strut_at=np.radians(37.0),
        thickness=0.007,
        strut=0.008,
        rim=0.0027,
        height=0.026,
        can=0.030,
        screw=screw,
        material="petg",
    )
    return replace(base, guard=guard)


def skidded_frame(lap: float = 0.0) -> FrameDesign:
    """A frame on two skids, each in two parts where ``lap`` (m) is given."""
    base = frame()
    skid = SkidDesign(
        turn=np.radians(30.0),
        nose=0.03,
        width=0.012,
        height=0.014,
        sleeve=0.015,
        wall=0.0024,
        sole=0.004,
        flare=0.002,
        lap=lap,
        screw="M3",
        material="petg",
    )
    leg = replace(base.leg, count=4, arms=(0, 2, 3, 5))
    return replace(base, skid=skid, leg=leg)


def railed_frame(strap_width: float = 0.0) -> FrameDesign:
    """A frame with payload rails under a tray on bosses."""
    base = standing_frame()
    rail = RailDesign(
        length=0.036,
        height=0.060,
        web=0.005,
        gap=0.006,
        flange=0.005,
        lip=0.004,
        reach=0.0125,
        carrier=0.004,
        strap_width=strap_width,
        screw="M3",
        material="petg",
    )
    tray = replace(
        base.tray,
        thickness=0.0052,
        shelf=0.0235,
        shelf_length=0.036,
        shelf_pitch_x=0.025,
        shelf_pitch_y=0.042 + 2 * 0.018,
    )
    return replace(base, tray=tray, rail=rail, fit_gap=0.0002)


def damped_frame() -> FrameDesign:
    """A frame whose flight controller rides on a carrier on elastic standoffs."""
    base = frame()
    seat = replace(base.seat, post_height=0.0067, rise=0.008, turn=pi / 4)
    return replace(base, seat=seat)


def nut_frame(*, damped: bool = False) -> FrameDesign:
    """A frame whose seat holds its screws in plain nuts."""
    base = damped_frame() if damped else frame()
    height = 0.0073 if damped else 0.0135
    seat = replace(base.seat, threads="nuts", post_height=height)
    return replace(base, seat=seat, fit_gap=0.00015)


def ring_frame() -> FrameDesign:
    """A frame whose plates have a rim."""
    base = frame()
    return replace(base, plate=replace(base.plate, style="ring", rim=0.008))


def clipped_frame() -> FrameDesign:
    """A frame whose motor wires run outside in clips."""
    clip = ClipDesign(bundle=0.006, places=(0.06, 0.11, 0.16), length=0.009, wall=0.0018, tie=0.004,
                      material="petg")  # fmt: skip
    return replace(frame(), clip=clip, fit_gap=0.0002)


_LAYOUTS = {
    "four-plus": (0, -90, 180, 90),
    "six-x": (-30, -90, -150, 150, 90, 30),
    "three-pairs": (60, 180, -60),
    "eight-x": tuple(-22.5 - 45 * i for i in range(8)),
}


def layout(kind: str, one_frame: FrameDesign) -> Layout:
    """Made by hand: turn directions and allocation play no part in drawing."""
    angles = np.radians(_LAYOUTS[kind])
    pairs = one_frame.mount.per_arm
    radius = one_frame.clamp.root_radius + one_frame.arm.axis
    arms = tuple(i for i in range(len(angles)) for _ in range(pairs))
    upper = tuple(k % pairs == 0 for k in range(len(arms)))
    turned = angles[list(arms)]
    flat = np.column_stack([np.cos(turned), np.sin(turned), 0 * turned]) * radius
    return Layout(
        kind=kind,
        arm_angles=angles,
        motor_radius=radius,
        positions=flat,
        arm_of_rotor=arms,
        spin=tuple(1 if k % 2 else -1 for k in range(len(arms))),
        upper=upper,
        paired=pairs == 2,
        tip_gap=0.02,
        footprint=2 * radius + 0.28,
        allocation=np.zeros((4, len(arms))),
    )


@cache
def solids(kind: str, one_frame: FrameDesign) -> dict[str, Solid]:
    """All parts of a frame, made once for all tests."""
    return make_parts(one_frame, layout(kind, one_frame), HARDWARE)
