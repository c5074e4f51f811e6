"""Mount, leg, tray and seat of the frames to draw."""

from refledge.model.gear import LegDesign
from refledge.model.hung import TrayDesign
from refledge.model.parts import MountDesign
from refledge.model.upper import SeatDesign


def a_mount(per_arm: int, width: float, pitch_y: float) -> MountDesign:
    return MountDesign(
        per_arm=per_arm,
        length=0.053,
        width=width,
        seat_radius=0.0175,
        thickness=0.005,
        holes="M3 16x19",
        head_depth=0.0032,
        shaft_bore=0.008,
        screw="M3",
        pitch_x=0.044,
        pitch_y=pitch_y,
        material="petg",
    )


def a_leg(n_arms: int) -> LegDesign:
    arms = {3: (0, 1, 2), 4: (0, 1, 2, 3), 6: (0, 2, 3, 5), 8: (1, 3, 5, 7)}[n_arms]
    return LegDesign(
        count=len(arms),
        arms=arms,
        height=0.120,
        splay=0.030,
        thickness=0.018,
        depth_top=0.009,
        depth_foot=0.006,
        flange_thickness=0.005,
        material="petg",
    )


def a_tray() -> TrayDesign:
    return TrayDesign(
        length=0.105,
        width=0.042,
        thickness=0.003,
        yaw=0.0,
        fence=0.010,
        strap_width=0.020,
        screw="M3",
        pitch_x=0.056,
        pitch_y=0.030,
        material="petg",
    )


def a_seat() -> SeatDesign:
    return SeatDesign(
        side=0.042,
        thickness=0.003,
        post_height=0.014,
        post_diameter=0.009,
        screw="M3",
        pitch=0.0305,
        foot_pitch=0.0305,
        material="petg",
    )
