"""Where the centre of mass lies, and how far the battery must move to bring it to the middle."""

from dataclasses import dataclass

from refledge.study import Study


@dataclass(frozen=True)
class Balance:
    """In body axes: x to the nose, y to the left, m."""

    x: float
    y: float
    """Of the centre of mass."""
    allowed: float
    """How far from the rotors' centre it may lie, m."""
    battery_x: float
    battery_y: float
    """How far the battery must move, m."""
    each_centimetre: float
    """Motion of the centre of mass for 10 mm of battery, m."""


_LEVEL = 0.5e-3
"""Nearer to the middle than this needs no move, m: a scale and a strap are no finer."""


def balance(study: Study) -> Balance:
    """From the mass table; the battery's share of the mass is the lever."""
    total = sum(line.total for line in study.masses)
    x, y = (sum(line.total * line.centre[k] for line in study.masses) / total for k in (0, 1))
    middle = study.layout.positions.mean(axis=0)
    share = study.brief.battery.mass / total
    dx, dy = (0.0 if abs(d) < _LEVEL else float(d) for d in (x - middle[0], y - middle[1]))
    return Balance(
        dx, dy, study.brief.limits.centre_offset * study.layout.motor_radius, -dx / share,
        -dy / share, 0.01 * share,
    )  # fmt: skip


def direction(x: float, y: float) -> str:
    """Such as ``12 mm towards the nose and 3 mm to the left``; empty under half a millimetre."""
    pairs = ((x, "towards the nose", "towards the tail"), (y, "to the left", "to the right"))
    said = [
        f"{abs(1e3 * value):.0f} mm {ahead if value > 0 else back}"
        for value, ahead, back in pairs
        if abs(value) >= 0.5e-3
    ]
    return " and ".join(said)
