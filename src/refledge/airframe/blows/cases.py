"""How it may hit the ground: attitude, speed, turn; with reasons and how often each is seen."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import radians

import numpy as np

from refledge.airframe.blows.places import Contact
from refledge.airframe.structure import Structure
from refledge.errors import AnalysisError
from refledge.typed import Floats

GROUND_MODULUS = 20e6
"""Pa; firm soil with grass: from memory; soft clay has a tenth of it, a gravel road five times."""
GROUND_POISSON = 0.35  # from memory, typical of soil
BOUNCE = 0.3
"""Speed after over speed before on turf: a guess, no source."""
FRICTION = 0.4
"""Plastic and metal on grass: from memory, typical."""
SPEED = 5.0
"""m/s; median speed of a crash: a fall from 1.3 m, or flown into the ground gently. A guess."""
SPEED_SPREAD = 0.35
"""Standard deviation of the logarithm of speed: a guess."""
ATTITUDE_SPREAD = radians(6.0)
"""rad; scatter of the attitude about that of the case: a guess."""
BESIDE = radians(10.0)
"""rad; tilt beyond the one at which an arm's end comes lower than any foot (a choice)."""


@dataclass(frozen=True, eq=False)
class CrashCase:
    """One way to hit the ground; directions in body axes."""

    key: str
    title: str
    reason: str
    up: Floats
    """(3,), unit: away from the ground."""
    velocity: Floats
    """(3,), unit: the way the aircraft moves."""
    turn: Floats
    """(3,), rad/m: rate of turn for each m/s of speed."""
    share: float
    """Of all crashes, before any is logged (1): a guess."""


def crash_cases(structure: Structure, points: Sequence[Contact]) -> tuple[CrashCase, ...]:
    """The five cases of this airframe."""
    z, nose = np.array([0.0, 0.0, 1.0]), np.array([1.0, 0.0, 0.0])
    tips = structure.frame.nodes[list(structure.tips)]
    arm = int(np.argmin(tips[:, 1]))  # furthest to the right
    out = tips[arm] / np.linalg.norm(tips[arm])
    tilt = _tilt_to(points, out, arm + 1)
    foot = structure.frame.nodes[structure.feet[0]] * np.array([1.0, 1.0, 0.0])
    foot = foot / np.linalg.norm(foot)
    lean, down, flat = _up(z, out, tilt), _up(z, foot, np.radians(12.0)), _up(z, nose, 1.4)
    edge = _up(z, out, max(np.pi / 2, tilt))
    along = np.cross(z, out)
    speed = along * np.cos(0.7) - edge * np.sin(0.7)
    radius = float(np.linalg.norm(tips[arm]))
    return (
        CrashCase("arm-tip", "onto one arm's tip", f"rolled {np.degrees(tilt):.0f} degrees, "
                  "falling: the arm's end or its motor meets the ground first", lean, -lean,
                  np.zeros(3), 0.35),
        CrashCase("nose-in", "nose first", "pitched 80 degrees nose down and falling", flat, -flat,
                  np.zeros(3), 0.15),
        CrashCase("flat-drop", "flat on its legs", "power lost in a low hover", z, -z, np.zeros(3),
                  0.15),
        CrashCase("one-leg", "onto one leg", "level but for 12 degrees, falling", down, -down,
                  np.zeros(3), 0.20),
        CrashCase("cartwheel", "on edge and rolling", "on its side at 40 degrees to the ground, "
                  "turning as a wheel would at half that speed", edge, speed, z * 0.5 / radius,
                  0.15),
    )  # fmt: skip


def _up(z: Floats, towards: Floats, tilt: float) -> Floats:
    """The ground's normal once the side ``towards`` has dropped by ``tilt`` (rad)."""
    return np.asarray(np.cos(tilt) * z - np.sin(tilt) * towards)


def _tilt_to(points: Sequence[Contact], out: Floats, arm: int) -> float:
    """Least tilt (rad) towards ``out`` at which an arm or its motor is lowest, and some more.

    Beyond a right angle where tall legs reach further out than the motors: rolled on its back.
    """
    z = np.array([0.0, 0.0, 1.0])
    for degrees in range(10, 160):
        up = _up(z, out, float(np.radians(degrees)))
        low = min(points, key=lambda point: float(point.place @ up))
        if low.owner in (f"arm {arm}", f"mount {arm}"):
            return radians(degrees) + BESIDE
    raise AnalysisError(
        f"crash onto arm {arm}'s tip: however it rolls, legs or what stands on top meet the ground "
        "first; next: shorter legs, or a lower mast"
    )


def ground_stiffness(radius: float) -> float:
    """N/m of a round flat patch of ``radius`` (m) on an elastic half-space: 2 E a / (1 - nu^2).

    Johnson, Contact Mechanics, rigid flat punch.
    """
    return 2 * GROUND_MODULUS * radius / (1 - GROUND_POISSON**2)


def hunt_crossley(speed: Floats, bounce: float = BOUNCE) -> Floats:
    """Factor (s/m) on the rate of depth for a coefficient of restitution ``bounce``.

    Hunt and Crossley (1975): e = 1 - alpha v for small loss and lambda = 3/2 alpha k.
    """
    return np.asarray(1.5 * (1 - bounce) / np.maximum(speed, 0.1))
