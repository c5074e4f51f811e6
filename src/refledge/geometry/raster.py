"""Which triangle is seen at each pixel: a depth buffer filled span by span, all by arrays."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from refledge.typed import Floats, Ints

Keys = NDArray[np.uint64]

_AT_ONCE = 1 << 18  # rows, or pixels, worked on in one go
_NOTHING = np.uint64(0xFFFFFFFFFFFFFFFF)
_STEPS = 2**32 - 2  # depth in whole steps of the upper half of a key


@dataclass(frozen=True, eq=False)
class Seen:
    """The nearest triangle at each pixel."""

    triangle: Ints
    """(height, width), index, -1 where there is none."""
    depth: Floats
    """(height, width), m, infinite where there is nothing."""
    weights: Floats
    """(height, width, 3), share of each corner at the pixel's centre."""


def rasterise(corners: Floats, width: int, height: int) -> Seen:
    """Depth-buffer (m, 3, 3) projected corners (pixels right, pixels down, depth in m)."""
    planes, drawable = _edge_functions(corners)
    slope = np.einsum("mkj,mk->mj", planes, corners[..., 2])  # depth = slope . (x, y, 1)
    low, span = float(corners[..., 2].min()), float(np.ptp(corners[..., 2]))
    best = np.full(width * height, _NOTHING, dtype=np.uint64)
    for triangle, row in _rows(corners, drawable, height):
        first, count = _spans(planes[triangle], row, width)
        for which, column in _pixels(first, count):
            index, y = triangle[which], row[which]
            depth = slope[index, 0] * (column + 0.5) + slope[index, 1] * (y + 0.5)
            depth += slope[index, 2]
            step = np.clip((depth - low) * (_STEPS / max(span, 1e-12)), 0, _STEPS)
            key = (step.astype(np.uint64) << np.uint64(32)) | index.astype(np.uint64)
            np.minimum.at(best, y * width + column, key)
    return _seen(best, planes, slope, width, height)


def _edge_functions(corners: Floats) -> tuple[Floats, Ints]:
    """Planes (m, 3, 3) with weight k = planes[k] . (x, y, 1), and which triangles have an area."""
    x, y = corners[..., 0], corners[..., 1]
    x1, x2 = np.roll(x, -1, axis=1), np.roll(x, -2, axis=1)
    y1, y2 = np.roll(y, -1, axis=1), np.roll(y, -2, axis=1)
    planes = np.stack([y1 - y2, x2 - x1, x1 * y2 - x2 * y1], axis=-1)
    area = planes[..., 2].sum(axis=1)
    seen_flat = np.abs(area) > 1e-12  # pixels squared: less is seen edge on
    scaled: Floats = planes / np.where(seen_flat, area, 1.0)[:, None, None]
    return scaled, np.flatnonzero(seen_flat)


def _rows(corners: Floats, drawable: Ints, height: int) -> Iterator[tuple[Ints, Ints]]:
    """Pairs of triangle and pixel row that it may cover, some hundred thousand at a time."""
    y = corners[drawable, :, 1]
    first = np.clip(np.ceil(y.min(axis=1) - 0.5), 0, height).astype(np.int64)
    after = np.clip(np.floor(y.max(axis=1) - 0.5) + 1, 0, height).astype(np.int64)
    for which, row in _pixels(first, np.maximum(after - first, 0)):
        yield drawable[which], row


def _spans(planes: Floats, row: Ints, width: int) -> tuple[Ints, Ints]:
    """First pixel and number of pixels of each triangle (n, 3, 3) on each row (n,)."""
    along = np.ascontiguousarray(planes[..., 0].T)
    rest = planes[..., 1].T * (row + 0.5) + planes[..., 2].T
    with np.errstate(divide="ignore", invalid="ignore"):
        crossing = -rest / along
    start = np.where(along > 0, crossing, -np.inf).max(axis=0)
    end = np.where(along < 0, crossing, np.inf).min(axis=0)
    outside = ((along == 0) & (rest < 0)).any(axis=0)
    first = np.clip(np.ceil(start - 0.5), 0, width).astype(np.int64)
    after = np.clip(np.floor(end - 0.5) + 1, 0, width).astype(np.int64)
    return first, np.where(outside, 0, np.maximum(after - first, 0))


def _pixels(first: Ints, count: Ints) -> Iterator[tuple[Ints, Ints]]:
    """Each span from ``first`` with ``count`` places, one by one: its index and the place."""
    total = np.concatenate([[0], np.cumsum(count)])
    for begin in range(0, int(total[-1]), _AT_ONCE):
        place = np.arange(begin, min(begin + _AT_ONCE, int(total[-1])))
        which = np.searchsorted(total, place, side="right") - 1
        yield which, first[which] + place - total[which]


def _seen(best: Keys, planes: Floats, slope: Floats, width: int, height: int) -> Seen:
    pixels = np.flatnonzero(best != _NOTHING)
    index = (best[pixels] & np.uint64(0xFFFFFFFF)).astype(np.int64)
    triangle = np.full(width * height, -1)
    triangle[pixels] = index
    x, y = pixels % width + 0.5, pixels // width + 0.5
    weights = np.zeros((width * height, 3))
    for k in range(3):
        plane = planes[index, k]
        weights[pixels, k] = plane[:, 0] * x + plane[:, 1] * y + plane[:, 2]
    depth = np.full(width * height, np.inf)
    depth[pixels] = slope[index, 0] * x + slope[index, 1] * y + slope[index, 2]
    shape = (height, width)
    return Seen(triangle.reshape(shape), depth.reshape(shape), weights.reshape(*shape, 3))
