"""Tool access: nothing stands where head, washer and driver must be."""

from collections.abc import Iterable, Iterator

import numpy as np
from scipy.spatial import KDTree

from refledge.geometry.clearance import cloud
from refledge.geometry.reaches import Reach
from refledge.model.results import Assembly, Placement
from refledge.typed import Floats

DRIVER = 60e-3
"""m; free length over the head that a straight driver or socket needs: our choice, that of a short
hexagon driver's shaft."""
SKIN = 0.3e-3
"""m; what the tool may graze: its own bearing face, the wall of its counterbore. Our choice."""


def blocked(assembly: Assembly, found: Iterable[Reach]) -> tuple[str, ...]:
    """Fasteners that no tool reaches, in words; empty is what is wanted.

    Bodies are looked at as points 2 mm apart on their surfaces: what stands in the way of a driver
    over 5 mm thick shows some of them.
    """
    points = {each.name: _placed(assembly, each) for each in assembly.placements}
    words = []
    for reach in found:
        for name, count in _in_the_way(assembly, reach, points):
            total = len(reach.points)
            words.append(f"{reach.where}: {name} in the way of {count} of {total}")
    return tuple(words)


def _placed(assembly: Assembly, each: Placement) -> Floats:
    """Surface points in body axes, (n, 3), m."""
    if each.group == "disc":
        return np.zeros((0, 3))
    points: Floats = cloud(assembly.meshes[each.key]) @ each.rotation.T + each.translation
    return points


def _in_the_way(
    assembly: Assembly, reach: Reach, points: dict[str, Floats]
) -> Iterator[tuple[str, int]]:
    """Names of bodies that stand in a tool's way, and at how many fasteners."""
    axes = np.array(reach.points)
    tree = KDTree(axes[:, :2])
    for each in assembly.placements:
        if not _present(each, reach) or not len(points[each.name]):
            continue
        count = _met(points[each.name], axes, tree, reach)
        if count:
            yield each.name, count


def _present(each: Placement, reach: Reach) -> bool:
    """True where the body is built in when the fastener is driven."""
    kinds = reach.present
    if each.key in kinds or (each.group == "part" and "parts" in kinds):
        return True
    if each.key == "mount" and "upper mounts" in kinds:
        return bool(each.rotation[2, 2] > 0.0)
    if each.key == "motor":
        return "motors" in kinds
    carried = each.key.startswith("other_")
    return carried and "items" in kinds


def _met(points: Floats, axes: Floats, tree: KDTree, reach: Reach) -> int:
    """Fasteners with a point in the space of head or nut, washer or driver."""
    screw, side = reach.screw, 1.0 if reach.up else -1.0
    tool = max(screw.nut_width, screw.head_diameter) if reach.nut else screw.head_diameter
    low = screw.washer_thickness + (screw.nut_height if reach.nut else screw.head_height)
    wide = screw.washer_diameter if reach.washer else tool
    level = side * axes[:, 2]
    at = side * points[:, 2]
    tried = points[(at > level.min()) & (at < level.max() + DRIVER)]
    away, nearest = tree.query(tried[:, :2])
    height = side * tried[:, 2] - level[np.asarray(nearest)]
    beside = np.asarray(away)
    head = (height > SKIN) & (height < low) & (beside < wide / 2 - SKIN)
    shaft = (height > SKIN) & (height < DRIVER) & (beside < tool / 2 - SKIN)
    return len(np.unique(np.asarray(nearest)[head | shaft]))
