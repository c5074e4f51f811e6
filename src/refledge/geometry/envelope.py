"""Outside of a printed arm: side view, depth along it, where it is hollow; how it is named."""

import numpy as np

from refledge.errors import GeometryError
from refledge.geometry.holes import LEAST_LIGAMENT
from refledge.geometry.profile import Point
from refledge.model.parts import ArmDesign

SHOULDER = 4e-3
"""Solid beyond each end of a lap, m: ties a tongue to all four walls. Our choice."""


def underside(arm: ArmDesign, x: float) -> float:
    """Height of the outer underside at ``x``, m: level, falling depth over the span, level."""
    top, stations = arm.depth_root / 2, (arm.root_length, arm.length - arm.tenon_length)
    return float(np.interp(x, stations, (top - arm.depth_root, top - arm.depth_tip)))


def side_view(arm: ArmDesign) -> list[Point]:
    """Corners of the outside in (x, z), m."""
    top, start, end = arm.depth_root / 2, arm.root_length, arm.length - arm.tenon_length
    low, high = top - arm.depth_root, top - arm.depth_tip
    under: list[Point] = [(0.0, low), (start, low), (end, high), (arm.length, high)]
    if arm.depth_root == arm.depth_tip:
        under = [under[0], under[3]]
    return [*under, (arm.length, top), (0.0, top)]


def block(arm: ArmDesign) -> tuple[float, float] | None:
    """Where the arm is solid about its lap, x from and to, m; None for an arm in one piece."""
    if not arm.split:
        return None
    reach = arm.lap / 2 + SHOULDER
    return arm.split - reach, arm.split + reach


def stretches(arm: ArmDesign) -> list[tuple[float, float]]:
    """Where the arm is hollow between its solid ends and blocks, x from and to, m."""
    start, end, solid = arm.root_length, arm.length - arm.tenon_length, block(arm)
    return [(start, end)] if solid is None else [(start, solid[0]), (solid[1], end)]


def room(arm: ArmDesign, where: str, found: float, least: float = LEAST_LIGAMENT) -> None:
    """Raise GeometryError unless ``found`` reaches ``least``, m."""
    if found < least - 1e-9:
        raise GeometryError(
            f"{named(arm)}: {found * 1e3:.2f} mm {where}; at least {least * 1e3:.1f} mm needed"
        )


def named(arm: ArmDesign) -> str:
    """Family and size, for messages."""
    size = " x ".join(f"{1e3 * each:.1f}" for each in (arm.length, arm.width, arm.depth_root))
    return f"arm ({arm.family}, {size} mm)"
