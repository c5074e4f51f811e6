"""Mounting hole patterns: the text of the brief to positions."""

import re
from dataclasses import dataclass
from math import sqrt

_SCREW = r"(M(?:2|2\.5|3|4|5))"
_PATTERN = re.compile(rf"\s*{_SCREW}\s+(\d+(?:\.\d+)?)\s*[xX×]\s*(\d+(?:\.\d+)?)\s*")
_MOTOR_RANGE = (5.0, 80.0)  # mm: from the smallest outrunners to about 10 kg of thrust; our limit
_SQUARE_RANGE = (10.0, 100.0)  # mm: our limit
MOTOR_EXAMPLES = '"M3 16x19", "M3 25x25", "M4 30x30"'
SQUARE_EXAMPLES = '"M3 30.5x30.5", "M2 20x20", "none"'


@dataclass(frozen=True)
class HolePattern:
    """Holes in the plane of the seat, centred on the item."""

    screw: str
    """Such as ``M3``; "" for a pattern without holes."""
    positions: tuple[tuple[float, float], ...]
    """(x, y) of each hole, m."""


def motor_holes(text: str) -> HolePattern:
    """Holes under a motor from a text such as "M3 16x19": screw, two circle diameters in mm.

    Two screws face each other on each circle. They stand at 45 degrees to the arm, as is common:
    the first pair on the line y = x, the second on y = -x, so that none lies on the arm's middle.
    """
    screw, first, second = _split(text, MOTOR_EXAMPLES, _MOTOR_RANGE)
    a, b = first / 2 * sqrt(0.5), second / 2 * sqrt(0.5)
    return HolePattern(screw, ((a, a), (-b, b), (-a, -a), (b, -b)))


def square_holes(text: str) -> HolePattern:
    """Holes under a flight controller from a text such as "M3 30.5x30.5": screw, spacing in mm.

    "none" is a controller held by tape: a pattern without holes.
    """
    if text.strip().lower() == "none":
        return HolePattern("", ())
    screw, along, across = _split(text, SQUARE_EXAMPLES, _SQUARE_RANGE)
    if along != across:
        raise ValueError(f"{text!r} is not a square: both spacings must be the same")
    half = along / 2
    return HolePattern(screw, ((half, half), (-half, half), (-half, -half), (half, -half)))


def _split(text: str, examples: str, limits: tuple[float, float]) -> tuple[str, float, float]:
    match = _PATTERN.fullmatch(text)
    if not match:
        raise ValueError(f"{text!r} is not a screw and two lengths in mm, such as {examples}")
    lengths = float(match[2]), float(match[3])
    for length in lengths:
        if not limits[0] <= length <= limits[1]:
            low, high = limits
            raise ValueError(f"{text!r}: {length:g} mm lies outside {low:g} mm to {high:g} mm")
    return match[1], lengths[0] / 1e3, lengths[1] / 1e3
