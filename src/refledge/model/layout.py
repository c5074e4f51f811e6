"""Where the rotors sit and which way they turn."""

from dataclasses import dataclass

from refledge.typed import Floats


@dataclass(frozen=True, eq=False)
class Layout:
    """Rotor positions in body axes (x nose, y left, z up), origin at the arms' mid-plane.

    Rotors are numbered clockwise from above, from the rotor nearest the nose on the right;
    in pairs the upper rotor of an arm comes first.
    """

    kind: str
    arm_angles: Floats
    """(n_arms,), rad, from the nose towards the left."""
    motor_radius: float
    """Centre to motor axis, m."""
    positions: Floats
    """(n_rotors, 3), m, propeller disc centres."""
    arm_of_rotor: tuple[int, ...]
    spin: tuple[int, ...]
    """+1 turns counter-clockwise seen from above, -1 clockwise."""
    upper: tuple[bool, ...]
    """False for the lower rotor of a pair (motor upside down)."""
    paired: bool
    tip_gap: float
    """Least gap between neighbouring propeller tips, m."""
    footprint: float
    """Greatest distance across the propeller discs, m."""
    allocation: Floats
    """(4, n_rotors): thrust (1), roll, pitch, yaw moments (m) per newton of each rotor."""

    @property
    def n_arms(self) -> int:
        return len(self.arm_angles)

    @property
    def n_rotors(self) -> int:
        return len(self.spin)
