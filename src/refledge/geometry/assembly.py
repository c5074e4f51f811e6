"""The whole airframe: everything in its place, what overlaps, how near the discs come."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from refledge.geometry import kernel
from refledge.geometry.clearance import disc_gap
from refledge.geometry.items import disc_thickness, make_items
from refledge.geometry.kernel import Solid
from refledge.geometry.placing import place_all
from refledge.model.brief import Brief
from refledge.model.layout import Layout
from refledge.model.parts import FrameDesign
from refledge.model.results import Assembly, Placement
from refledge.typed import Floats

LEAST_OVERLAP = 1e-9
"""Common volume that counts as an overlap, m3: 1 mm3."""
_TOUCH = 1e-6  # boxes that share less than this depth only touch, m


@dataclass(frozen=True, eq=False)
class _Boxed:
    """A placed body with the box that encloses it in its own axes."""

    placement: Placement
    solid: Solid
    centre: Floats
    """(3,), m, in body axes."""
    half: Floats
    """(3,), m."""
    radius: float
    """Of the sphere round the box, m."""


def assemble(
    frame: FrameDesign, layout: Layout, brief: Brief, solids: Mapping[str, Solid]
) -> Assembly:
    """Put ``solids`` (from make_parts) and the items of the brief together and check them.

    Fasteners are not modelled. A slung payload hangs clear on its line: it is drawn, not checked.
    """
    bodies = dict(solids) | make_items(brief)
    placements = place_all(frame, layout, brief)
    meshes = {key: kernel.tessellate(solid) for key, solid in bodies.items()}
    checked = [p for p in placements if not (p.key == "payload" and brief.payload.slung)]
    overlaps = find_overlaps(checked, bodies)
    thickness = disc_thickness(brief.propeller)
    gap = disc_gap(placements, meshes, brief.propeller.diameter, thickness)
    return Assembly(meshes, placements, overlaps, gap)


def find_overlaps(placements: Sequence[Placement], bodies: Mapping[str, Solid]) -> tuple[str, ...]:
    """Pairs of bodies that share more than LEAST_OVERLAP, in words.

    Boxes sort out most pairs; pairs of the same two bodies in the same relative pose are computed
    once.
    """
    boxes = {key: kernel.bounds(solid) for key, solid in bodies.items()}
    boxed = [_boxed(each, bodies[each.key], boxes[each.key]) for each in placements]
    known: dict[tuple[object, ...], float] = {}
    found = []
    for one, other in combinations(boxed, 2):
        if _mated(one.placement, other.placement) or not _boxes_meet(one, other):
            continue
        pose = _relative(one.placement, other.placement)
        if pose not in known:
            known[pose] = _shared(one, other)
        if known[pose] > LEAST_OVERLAP:
            names = f"{one.placement.name} and {other.placement.name}"
            found.append(f"{names} share {known[pose] * 1e9:.0f} mm³")
    return tuple(found)


def _mated(one: Placement, other: Placement) -> bool:
    """A motor and its own disc: the propeller's hub sits on the motor."""
    if {one.key, other.key} != {"motor", "disc"}:
        return False
    return one.name.split()[-1] == other.name.split()[-1]


def _boxed(placement: Placement, solid: Solid, box: Floats) -> _Boxed:
    centre = placement.rotation @ box.mean(axis=0) + placement.translation
    half = (box[1] - box[0]) / 2
    return _Boxed(placement, solid, centre, half, float(np.linalg.norm(half)))


def _boxes_meet(one: _Boxed, other: _Boxed) -> bool:
    """Separating axes of two turned boxes: 3 + 3 face normals and 9 cross products.

    Gottschalk, Lin and Manocha, "OBBTree", SIGGRAPH 1996: the separating axis theorem.
    """
    between = other.centre - one.centre
    if between @ between > (one.radius + other.radius) ** 2:
        return False
    a, b = one.placement.rotation, other.placement.rotation
    crosses = np.cross(a.T[:, None, :], b.T[None, :, :]).reshape(9, 3)
    lengths = np.linalg.norm(crosses, axis=1)
    axes = np.vstack([a.T, b.T, crosses[lengths > 1e-9] / lengths[lengths > 1e-9, None]])
    reach = np.abs(axes @ a) @ one.half + np.abs(axes @ b) @ other.half
    return bool(np.all(np.abs(axes @ between) < reach - _TOUCH))


def _relative(one: Placement, other: Placement) -> tuple[object, ...]:
    """The two bodies and where the second stands as the first sees it, to a micrometre."""
    rotation = one.rotation.T @ other.rotation
    shift = one.rotation.T @ (other.translation - one.translation)
    numbers = np.concatenate([rotation.ravel(), shift])
    return (one.key, other.key, *(int(each) for each in np.round(numbers * 1e6)))


def _shared(one: _Boxed, other: _Boxed) -> float:
    """Common volume of two placed bodies, m3."""
    placed = [
        kernel.move(each.solid, each.placement.rotation, each.placement.translation)
        for each in (one, other)
    ]
    return kernel.volume(kernel.common(placed[0], placed[1]))
