"""Ready-made layout kinds: how many arms, where the first, which are stacked in pairs."""

from refledge.errors import FlightError

PAIRED = ("three-pairs", "four-pairs")
FIRST_ARM = {  # kind -> (arms, angle of the first arm from the nose to the right, degrees)
    "four-x": (4, 45.0),
    "four-plus": (4, 0.0),
    "six-x": (6, 30.0),
    "six-plus": (6, 0.0),
    "eight-x": (8, 22.5),
    "eight-plus": (8, 0.0),
    "three-pairs": (3, 60.0),
    "four-pairs": (4, 45.0),
}


def rotor_count(kind: str) -> int:
    """Rotors of a ready-made layout kind."""
    if kind not in FIRST_ARM:
        raise FlightError(f"layout {kind!r} has no fixed number of rotors")
    return FIRST_ARM[kind][0] * (2 if kind in PAIRED else 1)
