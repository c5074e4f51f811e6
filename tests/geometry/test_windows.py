"""Windows between zig-zag bars, against areas and places written out for plain cases."""

from math import hypot

import numpy as np
import pytest

from refledge.geometry.profile import Loop, polyline
from refledge.geometry.windows import windows

HEIGHT, PITCH = 0.02, 0.03


def area(loop: Loop) -> float:
    x, y = polyline(loop).T
    return float(abs(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2)


def between(thickness: float, first: str = "upper", bars: int = 4) -> list[Loop]:
    nodes = [PITCH * i for i in range(bars + 1)]
    return windows(nodes, lambda _: 0.0, lambda _: HEIGHT, thickness, first, 0.0)


def test_windows_and_bars_fill_the_strip() -> None:
    """Bars of thickness t take t times their length; where two meet they share a small kite, and
    their feet stick out of the strip: both are of order t squared, so they fade as t falls."""
    for thickness in (1e-4, 1e-5):
        bars = 4 * thickness * hypot(PITCH, HEIGHT)
        missing = 4 * PITCH * HEIGHT - bars - sum(area(each) for each in between(thickness))
        assert abs(missing) < 40 * thickness**2


def test_the_first_bar_starts_at_the_edge_that_is_named() -> None:
    """The corner of the end window lies on the other edge."""
    for first, edge in (("upper", 0.0), ("lower", HEIGHT)):
        corners = np.vstack([polyline(each) for each in between(1e-3, first)])
        assert np.any(np.all(np.isclose(corners, (0.0, edge), atol=1e-12), axis=1))
        assert not np.any(np.all(np.isclose(corners, (0.0, HEIGHT - edge), atol=1e-12), axis=1))


def test_one_window_to_each_node_and_one_at_each_end() -> None:
    assert [len(between(1e-3, bars=n)) for n in (1, 2, 5)] == [2, 3, 6]


def test_sloping_edge_is_followed() -> None:
    nodes = [PITCH * i for i in range(5)]
    slope = 0.1
    found = windows(nodes, lambda x: slope * x, lambda _: HEIGHT, 1e-3, "upper", 0.0)
    for loop in found:
        x, y = polyline(loop).T
        assert np.all(y >= slope * x - 1e-12)
        assert np.all(y <= HEIGHT + 1e-12)


@pytest.mark.parametrize("thickness", [0.030, 0.045, 0.060])
def test_bars_that_overlap_leave_no_window(thickness: float) -> None:
    """Half the gap between neighbouring bars' middle lines, at the edge, is PITCH x HEIGHT / length
    = 16.6 mm; bars thicker than twice that cross beyond the edge and must not open a new window."""
    left = between(thickness)
    assert len(left) == (0 if thickness > 2 * PITCH * HEIGHT / hypot(PITCH, HEIGHT) else 5)


def test_fillets_round_every_corner() -> None:
    nodes = [PITCH * i for i in range(5)]
    rounded = windows(nodes, lambda _: 0.0, lambda _: HEIGHT, 1e-3, "upper", 0.001)
    sharp = between(1e-3)
    for one, other in zip(rounded, sharp, strict=True):
        assert sum(each.via is not None for each in one) == 3
        assert area(one) < area(other)
