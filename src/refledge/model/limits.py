"""What must hold: the limits that the brief sets."""

from dataclasses import dataclass
from math import radians

from refledge.model.fields import quantity


@dataclass(frozen=True, kw_only=True)
class Limits:
    """What must hold. Every default is visible in the result."""

    motor_tilt: float = quantity(
        "motor tilt at full thrust",
        "rad",
        "deg",
        low=1e-4,
        high=0.2,
        default=radians(1.0),
        reason="1 degree; common practice, no source",
    )
    tip_deflection: float = quantity(
        "arm tip deflection at full thrust over arm length",
        "1",
        "%",
        low=1e-4,
        high=0.2,
        default=0.02,
        reason="common practice, no source",
    )
    flight_factor: float = quantity(
        "factor on strength in flight",
        "1",
        low=1.0,
        high=10.0,
        default=2.0,
        reason="printed parts vary; from memory, typical",
    )
    landing_factor: float = quantity(
        "factor on strength in landing and handling",
        "1",
        low=1.0,
        high=10.0,
        default=1.3,
        reason="from memory, typical",
    )
    joint_factor: float = quantity(
        "factor on bolts, inserts and bearing",
        "1",
        low=1.0,
        high=10.0,
        default=2.0,
        reason="from memory, typical",
    )
    flights: float = quantity(
        "flights that arms and plates are to last, each as long as the hover time wanted",
        "1",
        low=1.0,
        high=1e6,
        default=300.0,
        reason="our choice, no source: a few seasons of weekends",
    )
    pulls: float = quantity(
        "pulls from rest to full thrust in a minute of flight",
        "1",
        low=0.0,
        high=120.0,
        default=6.0,
        reason="our choice, no source: gusts and stops, all counted as full thrust",
    )
    creep_stress: float = quantity(
        "hover stress over short-time strength",
        "1",
        "%",
        low=0.01,
        high=1.0,
        default=0.2,
        reason="linear creep range is wider than this (Polymers 2025, 17, 2075 for PETG: 50 %)",
    )
    heat_reserve: float = quantity(
        "part temperature below softening",
        "K",
        "K",
        low=0.0,
        high=100.0,
        default=10.0,
        reason="common practice, no source",
    )
    control_bandwidth: float = quantity(
        "attitude-rate control bandwidth",
        "Hz",
        low=1.0,
        high=100.0,
        default=8.0,
        reason="from memory, typical with propellers near 11 in; small craft are faster",
    )
    bandwidth_ratio: float = quantity(
        "lowest frame mode over control bandwidth",
        "1",
        low=1.0,
        high=20.0,
        default=2.0,
        reason="common practice, no source: keep a factor of two",
    )
    separation: float = quantity(
        "modes away from rotor excitation at hover",
        "1",
        "%",
        low=0.0,
        high=1.0,
        default=0.15,
        reason="common practice, no source",
    )
    seat_passes: float = quantity(
        "share of the rotors' once-per-turn shaking that a damped seat may pass on",
        "1",
        "%",
        low=0.01,
        high=1.0,
        default=0.5,
        reason="common practice, no source: less than half is felt as softer",
    )
    thrust_margin: float = quantity(
        "full thrust over all-up weight",
        "1",
        low=1.05,
        high=10.0,
        default=1.8,
        reason="common practice, no source",
    )
    centre_offset: float = quantity(
        "centre of mass from the rotors' centre, over motor radius",
        "1",
        "%",
        low=0.0,
        high=1.0,
        default=0.05,
        reason="common practice, no source",
    )
    tip_angle: float = quantity(
        "slope that it stands on without tipping over, all loaded",
        "rad",
        "deg",
        low=0.0,
        high=1.2,
        default=radians(20.0),
        reason="20 degrees: a meadow's slope and a gust on top; our choice, no source",
    )
    tip_play: float = quantity(
        "play of a folding arm's tip to either side, by its hinge's bores",
        "m",
        "mm",
        low=0.0,
        high=0.05,
        default=3e-3,
        reason="our choice, no source: two neighbours lose twice this of their propellers' gap",
    )
    balance_grade: float = quantity(
        "balance grade of motor with propeller (ISO 21940-11), mm/s",
        "m/s",
        "mm/s",
        low=1e-4,
        high=0.1,
        default=6.3e-3,
        reason="G 6.3, general machinery; from memory",
    )
