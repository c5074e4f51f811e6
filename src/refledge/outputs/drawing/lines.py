"""Lines of a view made fit for paper: doubles removed, clipped, hatched."""

from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise

import numpy as np

from refledge.geometry.kernel import View
from refledge.typed import Floats

_STEP = 1e-5
"""Lines nearer than this are one, m: a fifth of the narrowest line on paper at 1:5."""
Span = tuple[float, float]


def tidy(view: View) -> View:
    """Every line once; hidden lines only where no visible line covers them."""
    view = View(_unbent(view.visible), _unbent(view.hidden))
    seen, curves = _straight(view.visible), _curves(view.visible)
    behind = {
        key: _without(spans, seen.get(key, [])) for key, spans in _straight(view.hidden).items()
    }
    bent = {key: line for key, line in _curves(view.hidden).items() if key not in curves}
    return View(
        (*_drawn(seen), *curves.values()),
        (*_drawn(behind), *bent.values()),
    )


def _unbent(lines: Iterable[Floats]) -> tuple[Floats, ...]:
    """Curves seen edge on, as circles from the side, become the straight lines that they cover."""
    return tuple(_chord(line) for line in lines)


def _chord(line: Floats) -> Floats:
    if len(line) == 2:
        return line
    middle = line - line.mean(axis=0)
    way = np.linalg.svd(middle, full_matrices=False)[2][0]
    if np.abs(middle @ np.array([-way[1], way[0]])).max() > _STEP:
        return line
    along = middle @ way
    return np.stack([line[int(np.argmin(along))], line[int(np.argmax(along))]])


def _is_straight(line: Floats) -> bool:
    return len(line) == 2


Key = tuple[int, int, int]


def _straight(lines: Iterable[Floats]) -> dict[Key, list[Span]]:
    """Straight lines by direction and distance from the origin, overlapping ones joined."""
    found: dict[Key, list[Span]] = {}
    for a, b in (each for each in lines if _is_straight(each)):
        way = (b - a) / np.linalg.norm(b - a)
        if way[0] < -1e-9 or (abs(way[0]) <= 1e-9 and way[1] < 0):
            way = -way
        away = float(a @ np.array([-way[1], way[0]]))
        key = (round(float(way[0]) * 1e4), round(float(way[1]) * 1e4), round(away / _STEP))
        found.setdefault(key, []).append(tuple(sorted((float(a @ way), float(b @ way)))))  # type: ignore[arg-type]
    return {key: _joined(spans) for key, spans in found.items()}


def _joined(spans: Sequence[Span]) -> list[Span]:
    whole: list[Span] = []
    for low, high in sorted(spans):
        if whole and low <= whole[-1][1] + _STEP:
            whole[-1] = (whole[-1][0], max(whole[-1][1], high))
        else:
            whole.append((low, high))
    return whole


def _without(spans: Sequence[Span], cover: Sequence[Span]) -> list[Span]:
    left = list(spans)
    for low, high in cover:
        left = [
            piece
            for a, b in left
            for piece in ((a, min(b, low)), (max(a, high), b))
            if piece[1] - piece[0] > _STEP
        ]
    return left


def _drawn(lines: dict[Key, list[Span]]) -> Iterator[Floats]:
    for (x, y, away), spans in lines.items():
        way = np.array([x, y]) / np.hypot(x, y)
        foot = away * _STEP * np.array([-way[1], way[0]])
        for low, high in spans:
            yield np.stack([foot + low * way, foot + high * way])


def _curves(lines: Iterable[Floats]) -> dict[tuple[int, ...], Floats]:
    found: dict[tuple[int, ...], Floats] = {}
    for line in (each for each in lines if not _is_straight(each)):
        ends = sorted([tuple(np.round(line[0] / _STEP)), tuple(np.round(line[-1] / _STEP))])
        key = tuple(int(c) for c in (*ends[0], *ends[1], *np.round(line[len(line) // 2] / _STEP)))
        found.setdefault(key, line)
    return found


def clipped(line: Floats, low: Floats, high: Floats) -> list[Floats]:
    """Pieces of a polyline (n, 2) inside the rectangle from ``low`` (2,) to ``high`` (2,).

    Each segment by Liang and Barsky, "A new concept and method for line clipping", ACM TOG 1984.
    """
    pieces: list[list[Floats]] = []
    for a, b in pairwise(line):
        d = b - a
        with np.errstate(divide="ignore", invalid="ignore"):
            first, second = (low - a) / d, (high - a) / d
        if np.any((d == 0) & ((a < low) | (a > high))):
            continue
        moving = d != 0
        start = max([0.0, *np.minimum(first, second)[moving]])
        end = min([1.0, *np.maximum(first, second)[moving]])
        if end <= start:
            continue
        p, q = a + start * d, a + end * d
        if pieces and np.allclose(pieces[-1][-1], p, atol=1e-12):
            pieces[-1].append(q)
        else:
            pieces.append([p, q])
    return [np.array(piece) for piece in pieces]


def hatching(loops: Sequence[Floats], pitch: float) -> list[Floats]:
    """Lines at 45 degrees, ``pitch`` apart, inside closed loops (n, 2) by the even-odd rule."""
    turn = np.array([[1.0, 1.0], [-1.0, 1.0]]) / np.sqrt(2)
    turned = [loop @ turn.T for loop in loops]
    if not turned:
        return []
    levels = np.concatenate([loop[:, 1] for loop in turned])
    found = []
    for k in range(int(np.floor(levels.min() / pitch)), int(np.ceil(levels.max() / pitch)) + 1):
        y = k * pitch + 1e-7
        cross = np.sort(np.concatenate([_crossings(loop, y) for loop in turned]))
        for a, b in zip(cross[::2], cross[1::2], strict=False):
            found.append(np.array([[a, y], [b, y]]) @ turn)
    return found


def _crossings(loop: Floats, y: float) -> Floats:
    a, b = loop, np.roll(loop, -1, axis=0)
    spans = (a[:, 1] > y) != (b[:, 1] > y)
    a, b = a[spans], b[spans]
    found: Floats = a[:, 0] + (y - a[:, 1]) / (b[:, 1] - a[:, 1]) * (b[:, 0] - a[:, 0])
    return found


def extent(lines: Iterable[Floats]) -> tuple[Floats, Floats]:
    """Least and greatest corner of polylines (n, 2)."""
    points = np.concatenate(list(lines))
    return points.min(axis=0), points.max(axis=0)
