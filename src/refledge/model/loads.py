"""Load cases: loads with a name and a reason."""

from dataclasses import dataclass

from refledge.typed import Floats


@dataclass(frozen=True, eq=False)
class LoadCase:
    """Forces on the free airframe in body axes. Inertia of every mass balances them."""

    key: str
    title: str
    reason: str
    kind: str
    """flight, landing, or handling: selects the factor on strength."""
    rotor_thrust: Floats
    """(n_rotors,), N, along each rotor axis, up."""
    rotor_torque: Floats
    """(n_rotors,), N m, reaction on the frame about z."""
    foot_force: Floats
    """(n_legs, 3), N, on each foot from the ground."""
    slung_force: float
    """N, pull of a slung payload on the lower plate, down."""
    held_arm: int = -1
    """Arm held by hand near the motor with the whole weight, or -1."""
    sustained: bool = False
    """True where creep counts."""
