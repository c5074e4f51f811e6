"""Tool access: nothing stands where head, nut, washer and tool must be.

Screws are turned by a straight driver from the head's side. A nut is only held: by a socket from
below, or by an open spanner that comes in from the side between two parts.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np
from scipy.spatial import KDTree

from refledge.geometry.clearance import cloud
from refledge.geometry.reaches import Reach
from refledge.model.fasteners import Screw
from refledge.model.results import Assembly, Placement
from refledge.typed import Floats

DRIVER = 60e-3
"""m; free length over the head that a straight driver or socket needs: our choice, that of a short
hexagon driver's shaft."""
SKIN = 0.3e-3
"""m; what the tool may graze: its own bearing face, the wall of its counterbore. Our choice."""


JAWS = 1.06
"""Half width of an open spanner's jaws over the nut's width across corners; from memory, typical of
thin spanners."""
TIPS = 1e-3
"""m; how far the jaws reach past the nut's corners: from memory, typical."""
DIRECTIONS = 24
"""Directions from which a spanner is tried: one each 15 degrees, half of what it can be turned by
flipping it over."""


@dataclass(frozen=True)
class Covered:
    """Fasteners of one kind that no tool reaches."""

    where: str
    what: tuple[str, ...]
    """What stands in the way."""
    count: int
    total: int

    @property
    def words(self) -> str:
        things = " and ".join(self.what)
        return f"{self.where}: {things} in the way of {self.count} of {self.total}"


def covered(assembly: Assembly, found: Iterable[Reach]) -> tuple[Covered, ...]:
    """Fasteners that no tool reaches, by kind; empty is what is wanted.

    Bodies are looked at as points 2 mm apart on their surfaces: what stands in the way of a tool
    over 5 mm thick shows some of them.
    """
    points = {each.name: _placed(assembly, each) for each in assembly.placements}
    met = (_kind(assembly, reach, points) for reach in found)
    return tuple(each for each in met if each is not None)


def _kind(assembly: Assembly, reach: Reach, points: dict[str, Floats]) -> Covered | None:
    """What covers fasteners of one kind, or None."""
    around = {
        each.name: points[each.name]
        for each in assembly.placements
        if _present(each, reach) and len(points[each.name])
    }
    straight = {name: _met(each, reach) for name, each in around.items()}
    shut = np.any([*straight.values()], axis=0) if straight else np.zeros(0, bool)
    if not shut.any():
        return None
    if reach.nut:
        beside = _level_with(np.concatenate([*around.values()]), reach)
        shut[shut] = [not _held(beside, reach, int(each)) for each in np.flatnonzero(shut)]
    if not shut.any():
        return None
    names = tuple(name for name, each in straight.items() if np.any(each & shut))
    return Covered(reach.where, names, int(shut.sum()), len(reach.points))


def _placed(assembly: Assembly, each: Placement) -> Floats:
    """Surface points in body axes, (n, 3), m."""
    if each.group == "disc":
        return np.zeros((0, 3))
    points: Floats = cloud(assembly.meshes[each.key]) @ each.rotation.T + each.translation
    return points


def _present(each: Placement, reach: Reach) -> bool:
    """True where the body is built in when the fastener is driven."""
    kinds = reach.present
    if each.key == "cover":  # it comes on last, and off without a tool
        return False
    if each.key in kinds or (each.group == "part" and "parts" in kinds):
        return True
    if each.key == "mount" and "upper mounts" in kinds:
        return bool(each.rotation[2, 2] > 0.0)
    if each.key == "motor":
        return "motors" in kinds
    carried = each.key.startswith("other_")
    return carried and "items" in kinds


def _height(reach: Reach) -> float:
    """Of washer and head, or washer, nut and end of thread, m."""
    screw = reach.screw
    if reach.nut:
        return screw.washer_thickness + screw.nut_height + reach.thread
    return screw.washer_thickness + screw.head_height


def _met(points: Floats, reach: Reach) -> np.ndarray:
    """Which fasteners have a point in the space of head or nut, washer or driver, (n,), bool."""
    screw, side = reach.screw, 1.0 if reach.up else -1.0
    axes = np.array(reach.points)
    tree = KDTree(axes[:, :2])
    tool = max(screw.nut_width, screw.head_diameter) if reach.nut else screw.head_diameter
    low = _height(reach)
    wide = screw.washer_diameter if reach.washer else tool
    level = side * axes[:, 2]
    at = side * points[:, 2]
    tried = points[(at > level.min()) & (at < level.max() + DRIVER)]
    away, nearest = tree.query(tried[:, :2])
    height = side * tried[:, 2] - level[np.asarray(nearest)]
    beside = np.asarray(away)
    head = (height > SKIN) & (height < low) & (beside < wide / 2 - SKIN)
    shaft = (height > SKIN) & (height < DRIVER) & (beside < tool / 2 - SKIN)
    met = np.zeros(len(axes), bool)
    met[np.asarray(nearest)[head | shaft]] = True
    return met


def _level_with(points: Floats, reach: Reach) -> Floats:
    """Those of the points (n, 3), m, that stand at the height of some washer, nut or thread."""
    side = 1.0 if reach.up else -1.0
    levels = [side * z for _, _, z in reach.points]
    at = side * points[:, 2]
    return points[(at > min(levels)) & (at < max(levels) + _height(reach))]


def _held(points: Floats, reach: Reach, number: int) -> bool:
    """True where washer, nut and thread stand free and a spanner comes in from some side."""
    screw, side = reach.screw, 1.0 if reach.up else -1.0
    x, y, z = reach.points[number]
    away = np.column_stack([points[:, 0] - x, points[:, 1] - y])
    height = side * (points[:, 2] - z)
    level = (height > SKIN) & (height < _height(reach) - SKIN)
    near = np.hypot(*away.T) < screw.washer_diameter / 2 - SKIN
    if np.any(level & near):
        return False
    jaws = level & (height < screw.washer_thickness + screw.nut_height)
    jaws &= height > screw.washer_thickness
    return any(_free(away[jaws], screw, turn) for turn in _turns())


def _turns() -> Iterator[float]:
    return (2 * np.pi * k / DIRECTIONS for k in range(DIRECTIONS))


def _free(away: Floats, screw: Screw, turn: float) -> bool:
    """True where a strip as wide as the jaws, from past the nut outwards, holds no point."""
    along = away @ [np.cos(turn), np.sin(turn)]
    across = away @ [-np.sin(turn), np.cos(turn)]
    strip = (along > -screw.nut_width / 2 - TIPS) & (along < DRIVER)
    return not np.any(strip & (np.abs(across) < JAWS * screw.nut_width))
