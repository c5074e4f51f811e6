"""Parts set out on beds: which copies print together, where each lies, and in which order.

Copies of one material are packed as rectangles with room between them; parts that the assembly
needs first go first, so that building can start while the rest prints.
"""

import random
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from rectpack import GuillotineBssfSas, MaxRectsBl, MaxRectsBssf, SkylineMwfl, newPacker
from rectpack.packer import SORT_AREA, SORT_LSIDE, SORT_NONE, SORT_PERI, SORT_SSIDE

from refledge.errors import GeometryError

GAP = 5e-3
"""m between parts (common practice, no source); the bed's edge is where the brief says."""
_UNIT = 1e-6
"""m; the packer counts in whole steps of this."""
_WAYS = (MaxRectsBssf, MaxRectsBl, SkylineMwfl, GuillotineBssfSas)
PATIENCE = 4000
"""Rectangles packed in all, in orders swapped at random, before the search gives up (a choice)."""
_ORDERS = (SORT_AREA, SORT_LSIDE, SORT_PERI, SORT_SSIDE)


Place = tuple[int, float, float, bool]
"""Number of the rectangle, x and y of its least corner (m), turned a quarter."""
Packing = list[list[Place]]
"""Places on each bed used."""


@dataclass(frozen=True)
class Piece:
    """One copy to print."""

    key: str
    copy: int
    """From 1."""
    length: float  # m, along x as posed
    width: float  # m
    seconds: float
    rank: int
    """When the assembly needs it; 0 first."""


@dataclass(frozen=True)
class Laid:
    """One copy on a bed."""

    piece: Piece
    x: float  # m, least corner
    y: float
    turned: bool
    """True where it lies a quarter turn from its pose."""

    @property
    def size(self) -> tuple[float, float]:
        """m along x and y on the bed."""
        piece = self.piece
        return (piece.width, piece.length) if self.turned else (piece.length, piece.width)


@dataclass(frozen=True)
class Bed:
    """Room that one printer has."""

    name: str
    length: float  # m
    width: float  # m


@dataclass(frozen=True)
class Plate:
    """One print: copies of one material on one bed."""

    bed: Bed
    material: str
    laid: tuple[Laid, ...]

    @property
    def seconds(self) -> float:
        """Of the copies one after the other, warm-up left out."""
        return sum(each.piece.seconds for each in self.laid)

    @property
    def rank(self) -> int:
        """When the assembly first needs something of it."""
        return min(each.piece.rank for each in self.laid)


def pack_rectangles(
    sizes: Sequence[tuple[float, float]],
    beds: Sequence[tuple[float, float]],
    gap: float,
    patience: int = PATIENCE,
) -> Packing:
    """Rectangles on as few beds as found: for each bed used, (number, x, y, turned).

    sizes, beds: (length, width), m; each bed may be used again and again. Several heuristics of
    the library are tried, then swapped orders, and the one that needs fewest beds is taken.
    Jylaenki, A Thousand Ways to Pack the Bin (2010), describes them. Raises GeometryError where a
    rectangle fits no bed.
    """
    for size in sizes:
        if not any(_fits(size, bed) for bed in beds):
            raise GeometryError(
                f"a part of {1e3 * size[0]:.0f} x {1e3 * size[1]:.0f} mm fits no bed"
            )
    plain = list(range(len(sizes)))
    tries = [_packed(sizes, plain, beds, gap, way, by) for way in _WAYS for by in _ORDERS]
    best = min(tries, key=lambda found: _score(found, sizes))
    return _climbed(best, sizes, beds, gap, patience)


def _climbed(
    best: Packing,
    sizes: Sequence[tuple[float, float]],
    beds: Sequence[tuple[float, float]],
    gap: float,
    patience: int,
) -> Packing:
    """The packing improved by swapping parts in the order of packing, never made worse."""
    rng = random.Random(len(sizes))  # always the same tries for the same parts
    way = MaxRectsBssf
    order = sorted(range(len(sizes)), key=lambda n: -max(sizes[n]))
    score = _score(_packed(sizes, order, beds, gap, way, SORT_NONE), sizes)
    least = _least_beds(sizes, beds, gap)
    for _ in range(patience // len(sizes)):
        if len(best) <= least:
            break
        swapped = order.copy()
        for _ in range(rng.choice((1, 2, 3))):
            a, b = rng.sample(range(len(sizes)), 2) if len(sizes) > 1 else (0, 0)
            swapped[a], swapped[b] = swapped[b], swapped[a]
        found = _packed(sizes, swapped, beds, gap, way, SORT_NONE)
        if _score(found, sizes) <= score:
            order, score = swapped, _score(found, sizes)
        best = min(best, found, key=lambda each: _score(each, sizes))
    return best


def _least_beds(
    sizes: Sequence[tuple[float, float]], beds: Sequence[tuple[float, float]], gap: float
) -> int:
    """Beds that the area alone asks for."""
    room = max((length + gap) * (width + gap) for length, width in beds)
    return int(np.ceil(sum((a + gap) * (b + gap) for a, b in sizes) / room - 1e-9))


def lay_out(
    pieces: Sequence[Piece],
    beds: Sequence[Bed],
    material: str,
    gap: float = GAP,
    patience: int = PATIENCE,
) -> list[Plate]:
    """Plates of one material, those that the assembly waits for first, then the longest."""
    if not pieces:
        return []
    ordered = sorted(pieces, key=lambda piece: (piece.rank, -piece.seconds, piece.key, piece.copy))
    sizes = [(piece.length, piece.width) for piece in ordered]
    plates = []
    for found in _by_bed(sizes, beds, gap, patience):
        bed, places = found
        laid = tuple(Laid(ordered[n], x, y, turned) for n, x, y, turned in places)
        plates.append(Plate(bed, material, laid))
    return sorted(plates, key=lambda plate: (plate.rank, -plate.seconds))


def _by_bed(
    sizes: list[tuple[float, float]], beds: Sequence[Bed], gap: float, patience: int
) -> list[tuple[Bed, list[Place]]]:
    """Everything that the smallest fitting bed can take goes to the first bed that fits it."""
    left: dict[int, list[int]] = {}
    for number, size in enumerate(sizes):
        home = next((b for b, bed in enumerate(beds) if _fits(size, (bed.length, bed.width))), 0)
        left.setdefault(home, []).append(number)
    found = []
    for b, numbers in sorted(left.items()):
        room = [(beds[b].length, beds[b].width)]
        for places in pack_rectangles([sizes[n] for n in numbers], room, gap, patience):
            found.append((beds[b], [(numbers[n], x, y, turned) for n, x, y, turned in places]))
    return found


def on_some_bed(size: tuple[float, float], beds: Sequence[Bed]) -> bool:
    """True where a part of ``size`` (m) can lie on one of the beds, turned a quarter if need be."""
    return any(_fits(size, (bed.length, bed.width)) for bed in beds)


def _fits(size: tuple[float, float], bed: tuple[float, float]) -> bool:
    room = (bed[0] + 1e-7, bed[1] + 1e-7)  # the whole steps of the packer
    return any(a <= room[0] and b <= room[1] for a, b in (size, size[::-1]))


def _packed(
    sizes: Sequence[tuple[float, float]],
    order: Sequence[int],
    beds: Sequence[tuple[float, float]],
    gap: float,
    way: type,
    sort: object,
) -> Packing:
    packer = newPacker(pack_algo=way, sort_algo=sort, rotation=True)
    for length, width in beds:
        packer.add_bin(_whole(length + gap), _whole(width + gap), count=float("inf"))
    for number in order:
        length, width = sizes[number]
        packer.add_rect(_up(length + gap), _up(width + gap), rid=number)
    packer.pack()
    return [[_place(rect, sizes[rect.rid], gap) for rect in found] for found in packer]


def _place(rect: object, size: tuple[float, float], gap: float) -> Place:
    x, y, width, number = rect.x, rect.y, rect.width, rect.rid  # type: ignore[attr-defined]
    turned = width != _up(size[0] + gap)
    return number, x * _UNIT, y * _UNIT, turned


def _whole(length: float) -> int:
    return int(length / _UNIT + 1e-3)


def _up(length: float) -> int:
    return int(np.ceil(length / _UNIT - 1e-3))


def _score(found: Packing, sizes: Sequence[tuple[float, float]]) -> tuple[int, float]:
    """Beds used, then area left for the last one: less of both is better."""
    last = sum(sizes[n][0] * sizes[n][1] for n, *_ in found[-1])
    return len(found), last
