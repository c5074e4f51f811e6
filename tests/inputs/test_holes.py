"""Hole patterns: positions from texts, and texts that are refused."""

from itertools import combinations
from math import hypot

import pytest
from hypothesis import given
from hypothesis import strategies as st

from refledge.errors import DataError
from refledge.inputs.holes import common_patterns
from refledge.model.holes import motor_holes, square_holes

tenths = st.integers(100, 800).map(lambda n: n / 10)


def gaps(positions: tuple[tuple[float, float], ...]) -> list[float]:
    return sorted(hypot(a[0] - b[0], a[1] - b[1]) for a, b in combinations(positions, 2))


def test_motor_screws_face_each_other_on_two_circles() -> None:
    pattern = motor_holes("M3 16x19")
    assert pattern.screw == "M3"
    (ax, ay), (bx, by), (cx, cy), (dx, dy) = pattern.positions
    assert hypot(ax - cx, ay - cy) == pytest.approx(0.016)
    assert hypot(bx - dx, by - dy) == pytest.approx(0.019)
    assert (ax, cx) == (ay, cy)  # on y = x
    assert (bx, dx) == (-by, -dy)  # on y = -x


@given(tenths, tenths)
def test_motor_patterns_are_centred_and_keep_clear_of_the_arms_middle(a: float, b: float) -> None:
    positions = motor_holes(f"M3 {a}x{b}").positions
    assert sum(x for x, _ in positions) == pytest.approx(0, abs=1e-12)
    assert sum(y for _, y in positions) == pytest.approx(0, abs=1e-12)
    assert min(abs(y) for _, y in positions) == pytest.approx(min(a, b) / 2e3 * 0.5**0.5)


@given(tenths)
def test_a_square_has_four_sides_and_two_diagonals(side: float) -> None:
    found = gaps(square_holes(f"M3 {side}x{side}").positions)
    metres = side / 1e3
    assert found == pytest.approx([metres] * 4 + [metres * 2**0.5] * 2)


def test_spaces_and_crosses_may_vary() -> None:
    assert square_holes(" M2.5  25.5 × 25.5 ") == square_holes("M2.5 25.5x25.5")


def test_tape_needs_no_holes() -> None:
    pattern = square_holes("none")
    assert (pattern.screw, pattern.positions) == ("", ())


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "not a screw"),
        ("16x19", "not a screw"),
        ("M3", "not a screw"),
        ("M6 16x19", "not a screw"),
        ("M3 16", "not a screw"),
        ("M3 16x19x22", "not a screw"),
        ("M3 -16x19", "not a screw"),
        ("M3 16x190", "190 mm lies outside"),
        ("M3 1x19", "1 mm lies outside"),
        ("none", "not a screw"),
    ],
)
def test_motor_texts_refused(text: str, said: str) -> None:
    with pytest.raises(ValueError, match=said):
        motor_holes(text)


@pytest.mark.parametrize(
    ("text", "said"), [("M3 30.5x20", "not a square"), ("tape", "not a screw"), ("M3 5x5", "5 mm")]
)
def test_square_texts_refused(text: str, said: str) -> None:
    with pytest.raises(ValueError, match=said):
        square_holes(text)


def test_common_patterns_can_be_read() -> None:
    assert "M3 16x19" in common_patterns("motor")
    assert all(len(motor_holes(text).positions) == 4 for text in common_patterns("motor"))
    assert all(
        len(square_holes(text).positions) in (0, 4) for text in common_patterns("controller")
    )
    with pytest.raises(DataError, match="door"):
        common_patterns("door")
