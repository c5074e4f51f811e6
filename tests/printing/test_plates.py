"""Plates: nothing overlaps or leaves the bed; close to packings whose optimum is known."""

import itertools
import json
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from refledge.errors import GeometryError
from refledge.printing.plates import GAP, Bed, Piece, Plate, lay_out, pack_rectangles

BED = Bed("printer", 0.25, 0.21)
SIZES = st.tuples(st.integers(5, 250), st.integers(5, 210))


def _pieces(sizes: list[tuple[int, int]]) -> list[Piece]:
    return [Piece("p", k + 1, a / 1e3, b / 1e3, 60.0 * k, 0) for k, (a, b) in enumerate(sizes)]


def _apart(plate: Plate, gap: float) -> bool:
    """Every two of the plate keep ``gap`` between them along x or along y."""
    boxes = [(e.x, e.y, e.x + e.size[0], e.y + e.size[1]) for e in plate.laid]
    return all(
        a[2] + gap <= b[0] + 1e-9
        or b[2] + gap <= a[0] + 1e-9
        or a[3] + gap <= b[1] + 1e-9
        or b[3] + gap <= a[1] + 1e-9
        for a, b in itertools.combinations(boxes, 2)
    )


def _on_bed(plate: Plate) -> bool:
    bed = plate.bed
    return all(
        e.x >= -1e-9
        and e.y >= -1e-9
        and e.x + e.size[0] <= bed.length + 1e-9
        and e.y + e.size[1] <= bed.width + 1e-9
        for e in plate.laid
    )


@settings(max_examples=1000, deadline=None)
@given(st.lists(SIZES, min_size=1, max_size=12))
def test_nothing_overlaps_leaves_the_bed_or_is_forgotten(sizes: list[tuple[int, int]]) -> None:
    pieces = _pieces(sizes)
    plates = lay_out(pieces, [BED], "PLA", patience=24)
    laid = [each.piece for plate in plates for each in plate.laid]
    assert sorted(piece.copy for piece in laid) == [piece.copy for piece in pieces]
    assert all(_apart(plate, GAP) and _on_bed(plate) for plate in plates)


PUBLISHED = json.loads((Path(__file__).parent / "hopper_turton_2001.json").read_text())["sets"]


@pytest.mark.parametrize("name", PUBLISHED)
def test_within_a_tenth_of_a_published_optimum(name: str) -> None:
    """Every published set goes onto one sheet a tenth longer than the sheet it was cut from.

    Hopper and Turton (2001), European Journal of Operational Research 128, 34-57; the optimum is
    the sheet itself, whose area the pieces fill.
    """
    length, width = PUBLISHED[name]["sheet"]
    pieces = PUBLISHED[name]["pieces"]
    assert sum(a * b for a, b in pieces) == length * width
    sizes = [(a / 1e3, b / 1e3) for a, b in pieces]
    assert len(pack_rectangles(sizes, [(length / 1e3, 1.1 * width / 1e3)], 0.0)) == 1


def test_what_the_assembly_needs_first_prints_first() -> None:
    first = [Piece("plate", 1, 0.12, 0.12, 600.0, 0)]
    later = [Piece("leg", k, 0.2, 0.1, 9000.0, 3) for k in (1, 2, 3)]
    plates = lay_out(later + first, [BED], "PLA")
    assert plates[0].rank == 0
    assert any(each.piece.key == "plate" for each in plates[0].laid)


def test_a_large_part_goes_to_the_printer_that_has_room() -> None:
    small, large = Bed("small", 0.18, 0.18), Bed("large", 0.4, 0.4)
    pieces = [Piece("arm", 1, 0.3, 0.05, 60.0, 0), Piece("leg", 1, 0.05, 0.05, 60.0, 0)]
    plates = lay_out(pieces, [small, large], "PLA")
    assert {each.piece.key: p.bed.name for p in plates for each in p.laid} == {
        "arm": "large",
        "leg": "small",
    }


def test_a_part_for_no_bed_is_refused() -> None:
    with pytest.raises(GeometryError, match="300 x 300 mm fits no bed"):
        lay_out([Piece("plate", 1, 0.3, 0.3, 60.0, 0)], [BED], "PLA")
