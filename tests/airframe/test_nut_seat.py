"""A seat whose screws hold in nuts: sizes, lists, checks, solids that fit."""

from dataclasses import replace

import pytest

from refledge.airframe.access_checks import access_checks
from refledge.airframe.body import body_for
from refledge.airframe.joint_checks import joint_checks
from refledge.airframe.making import make_solids
from refledge.airframe.nut_checks import nut_checks, pull_held, turning_held
from refledge.airframe.seat_fastening import seat_lines
from refledge.airframe.sizing import Sized, screen
from refledge.airframe.task import Task
from refledge.airframe.task_making import make_task, rotor_model
from refledge.errors import GeometryError
from refledge.geometry.nut_slot import frame_slot
from refledge.inputs.fasteners import hardware, screw_lengths
from refledge.model.brief import Brief
from refledge.model.checks import Verdict
from tests.airframe.test_body import ANGLES, WIDTH


@pytest.fixture(scope="module")
def nutted(brief: Brief) -> Brief:
    return replace(brief, frame=replace(brief.frame, seat_threads="nuts"))


@pytest.fixture(scope="module")
def nut_task(nutted: Brief) -> Task:
    return make_task(nutted, "six-x", rotor_model(nutted), 3.2, {})


@pytest.fixture(scope="module")
def made(nut_task: Task) -> Sized:
    return screen(nut_task, "box", "ASA")


def test_inserts_stay_as_they_were(task: Task, sized: Sized) -> None:
    assert sized.frame.seat.threads == "inserts"
    assert nut_checks(task, sized.frame, sized.assessment) == ()
    keys = {each.key for each in joint_checks(task, sized.frame, sized.assessment)}
    assert "insert-pull-out" in keys


def test_nuts_take_the_inserts_place(nut_task: Task, made: Sized) -> None:
    keys = {each.key for each in joint_checks(nut_task, made.frame, made.assessment)}
    assert {"nut-pull-out", "nut-turning"} <= keys
    assert "insert-pull-out" not in keys
    lines = {each.name: each for each in made.assessment.fasteners}
    assert lines["M3 hexagon nut, ISO 4032"].quantity == 8
    assert not any("insert" in name for name in lines)


@pytest.mark.parametrize("plate", [3e-3, 4e-3, 5e-3, 6e-3, 8e-3])
def test_screws_fill_their_nuts_and_end_in_the_room_beyond(made: Sized, plate: float) -> None:
    frame = replace(made.frame, plate=replace(made.frame.plate, thickness=plate))
    slot = frame_slot(frame, hardware())
    below, top, _ = seat_lines(frame, hardware(), screw_lengths)
    for line, grip in ((below, plate + slot.ledge), (top, 3e-3 + frame.seat.thickness)):
        length = float(line.name.split()[2]) / 1e3
        assert grip + slot.height <= length <= grip + slot.height + 2.2e-3


def test_a_screw_that_is_not_sold_is_refused(made: Sized) -> None:
    with pytest.raises(GeometryError, match=r"frame\.seat_threads"):
        seat_lines(made.frame, hardware(), lambda _: (5e-3, 20e-3))


@pytest.mark.parametrize("holes", ["M2 20x20", "M2.5 25.5x25.5", "M3 45x45", "none"])
@pytest.mark.parametrize("seat", ["hard", "damped"])
def test_every_controller_gets_a_seat_that_can_be_made(
    nutted: Brief, holes: str, seat: str
) -> None:
    controller = replace(nutted.flight_controller, holes=holes)
    wish = replace(nutted.frame, seat=seat)
    brief = replace(nutted, flight_controller=controller, frame=wish)
    found = body_for(brief, ANGLES["six"], False, WIDTH, hardware()).seat
    assert found.threads == "nuts"
    assert found.side >= found.foot_pitch * (0.5 if found.turn else 1.0)


def test_checks_hold_and_worse_ones_fail(nut_task: Task, made: Sized) -> None:
    checks = nut_checks(nut_task, made.frame, made.assessment)
    assert {each.verdict for each in checks} == {Verdict.HOLDS}
    slim = replace(made.frame, seat=replace(made.frame.seat, post_diameter=6.4e-3))
    assert pull_held(nut_task, slim) < 0.5 * pull_held(nut_task, made.frame)
    weak = {key: replace(each, strength_xy=each.strength_xy / 100)
            for key, each in nut_task.materials.items()}  # fmt: skip
    soft = replace(nut_task, materials=weak)
    assert turning_held(soft, made.frame) == pytest.approx(turning_held(nut_task, made.frame) / 100)
    verdicts = {each.key: each.verdict for each in nut_checks(soft, made.frame, made.assessment)}
    assert verdicts["nut-turning"] is Verdict.FAILS


def test_solids_fit_are_reached_and_weigh_about_the_estimate(nut_task: Task, made: Sized) -> None:
    solids = make_solids(nut_task, made.frame, made.layout)
    assert solids.assembly.overlaps == ()
    assert solids.made.masses["seat"] == pytest.approx(made.part_masses["seat"], rel=0.2)
    (check,) = access_checks(nut_task, made.frame, made.layout, solids.assembly)
    assert check.verdict is Verdict.HOLDS, check.note
