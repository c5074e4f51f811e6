"""Screws and inserts against the formulas that the standards print."""

from math import pi, sqrt

import pytest

from refledge.errors import InputError
from refledge.inputs.fasteners import hardware, insert, screw, screw_lengths
from refledge.model.fasteners import Insert, Screw

HARDWARE = hardware()
each_screw = pytest.mark.parametrize("each", HARDWARE.screws.values(), ids=lambda each: each.size)
each_insert = pytest.mark.parametrize("each", HARDWARE.inserts.values(), ids=lambda each: each.size)


def test_sizes() -> None:
    assert list(HARDWARE.screws) == ["M2", "M2.5", "M3", "M4", "M5"]
    assert list(HARDWARE.inserts) == ["M2", "M2.5", "M3", "M4", "M5"]


@each_screw
def test_stress_area_follows_the_thread(each: Screw) -> None:
    """ISO 898-1, nominal stress area: At = pi/4 (d - 0.938194 p)^2; tables print three figures."""
    area = pi / 4 * (each.diameter - 0.938194 * each.pitch) ** 2
    assert each.stress_area == pytest.approx(area, rel=5e-3)


@each_screw
def test_sizes_nest(each: Screw) -> None:
    assert each.size == f"M{each.diameter * 1e3:g}"
    assert each.diameter < each.clearance_hole < each.head_diameter < each.washer_diameter
    assert each.head_height == each.diameter  # ISO 4762: the head is as high as the thread is wide
    assert each.clearance_hole < each.nut_width
    assert each.nut_height >= each.diameter
    assert each.proof_stress == 580e6
    assert each.source


def test_m3() -> None:
    """Figures of ISO 4762, ISO 273, ISO 7089 and a hexagon of 5.5 mm, from memory."""
    m3 = screw("M3")
    assert m3.head_diameter == 5.5e-3
    assert m3.clearance_hole == 3.4e-3
    assert m3.washer_diameter == 9e-3
    assert m3.nut_width * sqrt(3) / 2 == pytest.approx(5.5e-3)


@each_insert
def test_inserts_nest(each: Insert) -> None:
    thread = float(each.size.removeprefix("M")) / 1e3
    assert thread < each.hole_diameter < each.outer_diameter < each.boss_diameter
    assert each.source


def test_boss_wall_of_the_tested_size() -> None:
    """Kastner et al., J. Manuf. Mater. Process. 2023, 7(1), 42 (abstract): 2.4 mm of wall."""
    m3 = insert("M3")
    assert (m3.boss_diameter - m3.hole_diameter) / 2 == pytest.approx(2.4e-3)
    assert "2.4 mm" in m3.pull_out_note


@pytest.mark.parametrize("size", list(HARDWARE.screws))
def test_lengths_rise(size: str) -> None:
    lengths = screw_lengths(size)
    assert list(lengths) == sorted(set(lengths))
    assert 3e-3 < lengths[0] < lengths[-1] <= 0.1


def test_m3_is_sold_in_forty() -> None:
    assert 0.040 in screw_lengths("M3")


@pytest.mark.parametrize("find", [screw, insert, screw_lengths])
def test_an_unknown_size_lists_the_known(find: object) -> None:
    with pytest.raises(InputError, match=r"M2, M2\.5, M3") as caught:
        find("M3.5")  # type: ignore[operator]
    assert "M3.5" in caught.value.problems[0].given
