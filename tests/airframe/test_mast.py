"""The mast: formulas against a beam solved, where it stands, what it adds to lists and checks."""

from dataclasses import replace
from math import pi
from typing import Any

import numpy as np
import pytest

from refledge.airframe.fastening import bolts_list
from refledge.airframe.holders import deck_arms
from refledge.airframe.making import make_solids
from refledge.airframe.mast import (
    carried_by_mast,
    least_frequency,
    mast_frequency,
    mast_stress,
    sized_mast,
)
from refledge.airframe.mast_checks import mast_checks
from refledge.airframe.sizing import Sized, screen
from refledge.airframe.task import Task
from refledge.airframe.task_making import make_task, rotor_model
from refledge.errors import GeometryError
from refledge.geometry import kernel
from refledge.geometry.mast import make_mast, mast_of
from refledge.geometry.parts import make_parts
from refledge.inputs.fasteners import hardware
from refledge.model.brief import Brief
from refledge.model.upper import MastDesign
from refledge.typed import Floats


@pytest.fixture(scope="module")
def lofty(brief: Brief) -> Brief:
    """The demo with its GNSS receiver on a printed mast."""
    return replace(brief, frame=replace(brief.frame, mast=brief.others[1].name))


@pytest.fixture(scope="module")
def lofty_task(lofty: Brief) -> Task:
    return make_task(lofty, "six-x", rotor_model(lofty), 3.2, {})


@pytest.fixture(scope="module")
def raised(lofty_task: Task) -> Sized:
    return screen(lofty_task, "box", "ASA")


def some_mast(**changes: Any) -> MastDesign:
    one = MastDesign(
        item="GNSS receiver", arm=0, height=0.09, thickness=0.024, depth=0.0045,
        flange_thickness=0.0046, platform_length=0.05, platform_thickness=0.003, material="ASA",
    )  # fmt: skip
    return replace(one, **changes)


def test_a_column_without_an_item_swings_as_a_clamped_beam_does() -> None:
    """First mode of a cantilever: 3.516 / 2 pi sqrt(EI / m L^4); Rayleigh is 1.5 % above (Blevins).

    The platform is made as good as weightless.
    """
    one, E, rho = some_mast(platform_length=1e-9), 2e9, 1200.0
    length = one.height - one.flange_thickness
    line = rho * one.thickness * one.depth
    exact = 3.516 / (2 * pi) * np.sqrt(E * one.thickness * one.depth**3 / 12 / line / length**4)
    assert mast_frequency(one, 0.0, 0.0, E, rho) == pytest.approx(exact, rel=0.02)


def test_a_heavy_item_swings_on_the_column_as_on_a_spring() -> None:
    one, E = some_mast(platform_length=1e-9), 2e9
    spring = 3 * E * one.thickness * one.depth**3 / 12 / (one.height - one.flange_thickness) ** 3
    expected = np.sqrt(spring / 0.5) / (2 * pi)
    assert mast_frequency(one, 0.5, 0.0, E, 1e-6) == pytest.approx(expected, rel=1e-6)


def test_stress_by_hand() -> None:
    """50 g at 10 g, 0.1 m above the flange: M = 0.49 N m over 24 x 4.5 mm."""
    one = some_mast(height=0.1046)
    expected = 0.05 * 98.1 * 0.1 / (0.024 * 0.0045**2 / 6)
    assert mast_stress(one, 0.05, 0.0, 98.1) == pytest.approx(expected)


def test_it_stands_on_the_arm_asked_for_that_has_no_leg(lofty: Brief) -> None:
    angles = tuple(np.radians([45.0, -45.0, -135.0, 135.0]))

    def arm(legs: tuple[int, ...], **place: float) -> int:
        item = replace(lofty.others[1], **place)
        return deck_arms(replace(lofty, others=(item,)), angles, legs)["mast"]

    assert arm(()) in (2, 3)
    assert arm((), x=0.05, y=0.04) == 0
    assert arm((0, 1), x=0.05, y=0.04) == 3
    assert arm((0, 1, 2, 3), x=0.05, y=0.04) == 0


def test_the_column_grows_until_it_swings_faster_than_the_control(
    lofty: Brief, lofty_task: Task, raised: Sized
) -> None:
    material, screw = lofty_task.materials["ASA"], hardware().screws["M3"]
    clamp, mast = raised.frame.clamp, mast_of(raised.frame)
    item = carried_by_mast(lofty)
    found = sized_mast(replace(mast, height=0.13), lofty, material, clamp, screw)
    assert found.depth > mast.depth
    aim = least_frequency(lofty)
    assert mast_frequency(found, item.mass, item.height, material.E, material.rho) > aim
    thinner = replace(found, depth=found.depth - lofty.printer.extrusion_width)
    assert mast_frequency(thinner, item.mass, item.height, material.E, material.rho) < 1.3 * aim


def test_bolts_mass_place_and_checks(lofty: Brief, lofty_task: Task, raised: Sized) -> None:
    lines = {line.where: line for line in raised.assessment.fasteners}
    assert lines["mast on the upper plate, through its arm"].quantity == 4
    clamped = sum(n.quantity for where, n in lines.items() if "arms between" in where)
    assert clamped == 4 * raised.frame.n_arms - 4
    item = next(x for x in raised.assessment.lumps if x.name == lofty.frame.mast)
    top = raised.frame.plate_gap / 2 + raised.frame.plate.thickness
    assert item.centre[2] == pytest.approx(top + 90e-3)  # as the demo's brief says
    checks = {each.key: each for each in mast_checks(lofty_task, raised.frame, raised.assessment)}
    assert set(checks) == {"mast-mode", "mast-strength"}
    assert all(each.margin > 0.0 for each in checks.values())
    long = replace(raised.frame, mast=replace(mast_of(raised.frame), height=0.3))
    worse = {each.key: each for each in mast_checks(lofty_task, long, raised.assessment)}
    assert all(worse[key].margin < 0.0 for key in worse)


def test_a_leg_under_the_mast_takes_longer_bolts_still(raised: Sized, lofty_task: Task) -> None:
    frame = raised.frame
    frame = replace(frame, mast=replace(mast_of(frame), arm=frame.leg.arms[0]))
    shallow = replace(frame, arm=replace(frame.arm, depth_root=0.02))
    found = bolts_list(shallow, raised.layout, lofty_task.hardware, lofty_task.lengths, 500.0)
    lines = {line.where: line for line in found}
    assert lines["mast on the upper plate, through its arm"].quantity == 2
    assert lines["mast on the upper plate, through its arm and leg"].quantity == 2
    assert lines["arms between the plates, with leg flange"].quantity == 2 * frame.leg.count - 2
    clamps = [line for where, line in lines.items() if "arms" in where or "mast on" in where]
    total = sum(line.quantity for line in clamps if "motor" not in line.where)
    assert total == 4 * frame.n_arms


@pytest.mark.slow
def test_the_solid_stands_clear_and_weighs_what_was_estimated(
    lofty_task: Task, raised: Sized
) -> None:
    made = make_solids(lofty_task, raised.frame, raised.layout)
    assert made.assembly.overlaps == ()
    (spec,) = (each for each in made.specs if each.key == "mast")
    assert spec.quantity == 1
    assert spec.fits_bed
    assert raised.part_masses["mast"] == pytest.approx(made.made.masses["mast"], rel=0.1)
    assert np.allclose(made.made.centres["mast"][0][:2], _item_place(raised, lofty_task)[:2])


def _item_place(raised: Sized, task: Task) -> Floats:
    name = task.brief.frame.mast
    return next(each.centre for each in raised.assessment.lumps if each.name == name)


def test_its_height_and_holes(raised: Sized) -> None:
    solid = make_mast(raised.frame, hardware())
    mast, low_high = mast_of(raised.frame), kernel.bounds(solid)
    assert low_high[1, 2] == pytest.approx(mast.height)
    assert low_high[0, 2] == pytest.approx(0.0)
    holes = [each for each in kernel.rounds(solid) if abs(each.axis[2]) > 0.99]
    assert len(holes) == 4


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"depth": 0.02}, "between washers"),
        ({"height": 0.01}, "higher place"),
        ({"thickness": 0.012}, "beside its bolts"),
    ],
)
def test_a_mast_that_cannot_be_made_is_refused(
    raised: Sized, changes: dict[str, Any], said: str
) -> None:
    frame = replace(raised.frame, mast=replace(mast_of(raised.frame), **changes))
    with pytest.raises(GeometryError, match=said):
        make_mast(frame, hardware())


def test_a_name_that_is_no_item_is_refused(brief: Brief) -> None:
    wrong = replace(brief, frame=replace(brief.frame, mast="antenna"))
    with pytest.raises(GeometryError, match='"antenna", which is no item; known under others'):
        carried_by_mast(wrong)


def test_no_mast_is_made_unasked(sized: Sized, task: Task) -> None:
    assert sized.frame.mast is None
    assert "mast" not in make_parts(sized.frame, sized.layout, hardware())
    assert mast_checks(task, sized.frame, sized.assessment) == ()
