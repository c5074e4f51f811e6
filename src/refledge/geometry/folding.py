"""How far folding arms turn beside the body, and where everything on them then lies."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import combinations
from math import cos, hypot, pi, radians, sin

import numpy as np

from refledge.errors import GeometryError
from refledge.geometry.hinge import hinge_of, pivot_point
from refledge.model.layout import Layout
from refledge.model.parts import FrameDesign
from refledge.model.results import Placement
from refledge.typed import Bools, Floats

STEP = radians(5.0)
"""Turns tried, and the step of the way there: our choice."""
MOST, LEAST = radians(130.0), radians(45.0)
"""Furthest turn tried; least that is worth a hinge: our choice."""
GAP = 0.8e-3
"""m; between two arms on the way: our choice, two printed lines."""
INSIDE = 1e-3
"""m; nearer than this within the arms' inner ends stand nuts and screw heads: our choice, as
clamped arms keep it."""
ON_ARMS = frozenset(
    ("arm", "arm_inner", "arm_outer", "mount", "clip", "guard", "guard_left", "guard_right",
     "motor")
)  # fmt: skip
"""What turns with an arm. Propellers come off first."""


@dataclass(frozen=True)
class Sweep:
    """What the search for a turn reads; hashable, so that a known answer is not sought again."""

    angles: tuple[float, ...]
    root: float
    """Centre to the arms' inner ends, m."""
    pivot: tuple[float, float]
    outlines: tuple[tuple[tuple[float, float], ...], ...]
    """Convex outlines of arm and tip in arm axes, m; the tip's last."""
    plate: float
    """Radius of the plates, which nothing on the tip may meet, m."""


def folded_outlines(frame: FrameDesign, layout: Layout) -> tuple[Floats, ...]:
    """Closed outlines of every arm and what is on it, folded, from above: (k, 2), m."""
    turn = np.array([hinge_of(frame).turn])
    sweep = _sweep(frame, tuple(map(float, layout.arm_angles)))
    found = []
    for angle in sweep.angles:
        for each in sweep.outlines:
            points = _placed(np.array(each), sweep, angle, turn)[0]
            found.append(np.vstack([points, points[:1]]))
    return tuple(found)


def fold_of(frame: FrameDesign, angles: tuple[float, ...]) -> tuple[float, float]:
    """Turn of the folded arms and lead of one over its neighbours, rad; arms at ``angles``.

    Raises GeometryError where the arms meet before they have turned ``LEAST``.
    """
    return _search(_sweep(frame, angles))


def _sweep(frame: FrameDesign, angles: tuple[float, ...]) -> Sweep:
    tips = tuple(_tip(frame))
    half, long = frame.arm.width / 2, frame.arm.length
    arm = ((0.0, -half), (long, -half), (long, half), (0.0, half))
    pivot = pivot_point(frame.clamp)
    return Sweep(angles, frame.clamp.root_radius, pivot, (arm, *tips), frame.plate.outer_radius)


def _tip(frame: FrameDesign) -> Iterator[tuple[tuple[float, float], ...]]:
    """Outlines of mount and motor seat, of clips and of a guard, in arm axes: what stands as high
    as the upper plate."""
    x, mount = frame.arm.axis, frame.mount
    half, long = max(mount.seat_radius, mount.width / 2), max(mount.seat_radius, mount.length / 2)
    yield ((x - long, -half), (x + long, -half), (x + long, half), (x - long, half))
    clip = frame.clip
    if clip is not None:
        half = max(frame.arm.width, clip.bundle + 2 * clip.wall) / 2
        for at in clip.places:
            low, high = at - clip.length / 2, at + clip.length / 2
            yield ((low, -half), (high, -half), (high, half), (low, half))
    guard = frame.guard
    if guard is not None:
        out = guard.radius + guard.rim
        turns = np.linspace(-guard.span / 2, guard.span / 2, 13)
        arc = [(x + out * cos(each), out * sin(each)) for each in turns]
        yield ((x, -half), *arc, (x, half))


@lru_cache(maxsize=256)
def _search(sweep: Sweep) -> tuple[float, float]:
    turns = np.arange(0.0, MOST + STEP / 2, STEP)
    placed = [
        [_placed(np.array(each), sweep, angle, turns) for each in sweep.outlines]
        for angle in sweep.angles
    ]
    clear = _apart(placed, 0) & _outside(placed, sweep)
    steps = int(np.argmin(clear)) if not clear.all() else len(turns)
    if steps == 0 or turns[steps - 1] < LEAST:
        reached = turns[max(steps - 1, 0)]
        raise GeometryError(
            f"folding arms meet once they have turned {np.degrees(reached):.0f} degrees; "
            "next: fewer arms, or clamped ones (frame.arm_root)"
        )
    ways = [[each[:steps] for each in arm] for arm in placed]
    lead = 0
    while lead + 1 < steps and bool(_apart(ways, lead + 1).all()):
        lead += 1
    return float(turns[steps - 1]), float(turns[lead])


def _placed(outline: Floats, sweep: Sweep, angle: float, turns: Floats) -> Floats:
    """(turns, k, 2), m: an outline in body axes, turned clockwise about its pivot."""
    pivot = np.array(sweep.pivot)
    at = _turned(outline - pivot, -turns) + pivot + np.array([sweep.root, 0.0])
    c, s = cos(angle), sin(angle)
    return np.asarray(at @ np.array([[c, s], [-s, c]]))


def _turned(points: Floats, angles: Floats) -> Floats:
    c, s = np.cos(angles), np.sin(angles)
    x, y = points[:, 0], points[:, 1]
    return np.stack([np.outer(c, x) - np.outer(s, y), np.outer(s, x) + np.outer(c, y)], axis=2)


def _apart(placed: list[list[Floats]], lead: int) -> Bools:
    """(turns,), bool: every two arms GAP apart, either of them ``lead`` steps ahead at most."""
    clear = np.ones(len(placed[0][0]), bool)
    rows = np.arange(len(clear))
    ahead = np.minimum(rows + lead, len(clear) - 1)
    for one, other in combinations(placed, 2):
        for a in one:
            for b in other:
                clear &= np.asarray(_gap(a[ahead], b[rows]) >= GAP)
                if lead:
                    clear &= np.asarray(_gap(a[rows], b[ahead]) >= GAP)
    return clear


def _gap(a: Floats, b: Floats) -> Floats:
    """(turns,), m: greatest gap along any edge's normal of convex outlines (turns, k, 2);
    negative where they overlap (separating axes)."""
    best = np.full(len(a), -np.inf)
    for own, other in ((a, b), (b, a)):
        edge = np.roll(own, -1, axis=1) - own
        normal = np.stack([edge[..., 1], -edge[..., 0]], axis=2)
        normal /= np.linalg.norm(normal, axis=2, keepdims=True)
        mine = np.einsum("tij,tkj->tik", normal, own)
        theirs = np.einsum("tij,tkj->tik", normal, other)
        best = np.maximum(best, (theirs.min(axis=2) - mine.max(axis=2)).max(axis=1))
    return best


def _outside(placed: list[list[Floats]], sweep: Sweep) -> Bools:
    """(turns,), bool: arms clear of what stands inside their inner ends, tips of the plates."""
    clear = np.ones(len(placed[0][0]), bool)
    for arm, *tips in placed:
        clear &= _nearest(arm) >= sweep.root - INSIDE
        for tip in tips:
            clear &= _nearest(tip) >= sweep.plate
    return clear


def _nearest(outline: Floats) -> Floats:
    """(turns,), m: from the middle to the edges of an outline (turns, k, 2)."""
    edge = np.roll(outline, -1, axis=1) - outline
    t = np.clip(-np.sum(outline * edge, axis=2) / np.sum(edge**2, axis=2), 0.0, 1.0)
    return np.asarray(np.linalg.norm(outline + t[..., None] * edge, axis=2).min(axis=1))


def fold_places(
    frame: FrameDesign, layout: Layout, placements: tuple[Placement, ...]
) -> tuple[Placement, ...]:
    """Everything with the arms folded and the propellers off."""
    found = []
    for each in placements:
        if each.group == "disc":
            continue
        found.append(_folded(frame, layout, each) if each.key in ON_ARMS else each)
    return tuple(found)


def _folded(frame: FrameDesign, layout: Layout, each: Placement) -> Placement:
    at = float(np.arctan2(each.translation[1], each.translation[0]))
    angles = np.asarray(layout.arm_angles, dtype=float)
    away = np.abs((angles - at + pi) % (2 * pi) - pi)
    angle = float(angles[int(np.argmin(away))])
    pivot, turn = _pivot(frame, angle), hinge_of(frame).turn
    c, s = cos(-turn), sin(-turn)
    rotation = np.array([[c, -s, 0.0], [s, c, 0.0], [0.0, 0.0, 1.0]])
    return replace(
        each,
        rotation=rotation @ each.rotation,
        translation=rotation @ (each.translation - pivot) + pivot,
    )


def _pivot(frame: FrameDesign, angle: float) -> Floats:
    """Axis of an arm's pivot in body axes, (3,), m, at the mid-plane."""
    x, y = pivot_point(frame.clamp)
    x += frame.clamp.root_radius
    reach, own = hypot(x, y), np.arctan2(y, x)
    return np.array([reach * cos(angle + own), reach * sin(angle + own), 0.0])
