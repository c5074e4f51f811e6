"""The cover: sized from its controller, its tongues checked, heads of clamp bolts left free."""

from dataclasses import replace
from math import hypot

import pytest

from refledge.airframe.access_checks import access_checks
from refledge.airframe.body import body_for
from refledge.airframe.cover import LINES, cover_checks, cover_for, covered_side
from refledge.airframe.making import Solids, make_solids
from refledge.airframe.sizing import Sized, screen
from refledge.airframe.snaps import snap_strain, strain_limit
from refledge.airframe.task import Task
from refledge.airframe.task_making import make_task, rotor_model
from refledge.errors import GeometryError, WishError
from refledge.geometry.cover import RIB, cover_outside, tongue_length
from refledge.inputs.fasteners import hardware
from refledge.model.brief import Brief


@pytest.fixture(scope="module")
def lidded(brief: Brief) -> Brief:
    return replace(brief, frame=replace(brief.frame, cover="lid"))


@pytest.fixture(scope="module")
def lidded_task(lidded: Brief) -> Task:
    return make_task(lidded, "six-x", rotor_model(lidded), 3.2, {})


@pytest.fixture(scope="module")
def covered(lidded_task: Task) -> Sized:
    return screen(lidded_task, "box", "ASA")


@pytest.fixture(scope="module")
def made(lidded_task: Task, covered: Sized) -> Solids:
    return make_solids(lidded_task, covered.frame, covered.layout)


def test_it_clears_the_controller_by_the_room_asked_for(lidded: Brief, covered: Sized) -> None:
    cover, box = covered.frame.cover, lidded.flight_controller
    assert cover is not None
    assert cover.room == pytest.approx(box.height + lidded.frame.cover_room)
    assert covered.frame.seat.side - 2 * RIB > max(box.length, box.width)
    assert cover.wall <= LINES * lidded.printer.extrusion_width + 1e-12


def test_the_seat_s_plate_lies_over_no_clamp_bolt(
    brief: Brief, lidded_task: Task, covered: Sized, made: Solids
) -> None:
    """Which the demo's wider seat would, did the arms' ends not move out."""
    plain = body_for(brief, lidded_task.angles, False, covered.frame.arm.width, hardware())
    assert covered.frame.clamp.root_radius > plain.clamp.root_radius + 1e-3
    (check,) = access_checks(lidded_task, covered.frame, covered.layout, made.assembly)
    assert check.note == ""
    assert check.margin > 0.0


def test_solids_stand_clear_and_weigh_what_was_estimated(covered: Sized, made: Solids) -> None:
    assert made.assembly.overlaps == ()
    assert covered.part_masses["cover"] == pytest.approx(made.made.masses["cover"], rel=0.1)
    assert made.made.centres["cover"][0][2] == pytest.approx(
        next(x.centre[2] for x in covered.assessment.lumps if x.part == "cover"), abs=2e-3
    )


def test_checks_hold_and_each_can_fail(lidded_task: Task, covered: Sized) -> None:
    cover = covered.frame.cover
    assert cover is not None

    def margins(**changes: float) -> dict[str, float]:
        frame = replace(covered.frame, cover=replace(cover, **changes))
        return {x.key: x.margin for x in cover_checks(lidded_task, frame, covered.assessment)}

    assert set(margins()) == {"cover-strain", "cover-hold"}
    assert min(margins().values()) > 0.0
    assert margins(room=0.008)["cover-strain"] < 0.0
    assert margins(wall=0.9e-3)["cover-hold"] < 0.0
    hold = next(
        x for x in cover_checks(lidded_task, covered.frame, covered.assessment) if "hold" in x.key
    )
    felt = max(hypot(*each.felt) for each in covered.assessment.results)
    weight = covered.part_masses["cover"] * felt * lidded_task.brief.limits.landing_factor
    assert hold.demand == pytest.approx(weight)
    plain = replace(covered.frame, cover=None)
    assert list(cover_checks(lidded_task, plain, covered.assessment)) == []
    strain = snap_strain(cover.wall, cover.lip, tongue_length(covered.frame))
    assert strain < strain_limit(lidded_task.materials["ASA"])


def test_holders_stand_clear_of_a_cover(lidded: Brief) -> None:
    """The receiver's pocket beside the seat alone, and beside the cover: further out."""
    screws = hardware()
    angles = tuple(k * 3.14159265 / 3 + 0.5235987756 for k in range(6))
    wish = replace(lidded.frame, receiver_holder="radio receiver")
    wide = replace(lidded.flight_controller, length=0.056, width=0.056)
    held = replace(lidded, frame=wish, flight_controller=wide)
    body = body_for(held, angles, False, 0.024, screws)
    assert body.cover is not None
    near = body.clamp.root_radius + body.clamp.first + body.clamp.pitch_x / 2 - 8e-3
    assert near > body.seat.side / 2 + held.frame.fit_gap + body.cover.wall


def test_none_over_a_damped_seat_or_higher_than_a_mast(lidded: Brief, covered: Sized) -> None:
    soft = replace(covered.frame.seat, rise=8e-3)
    with pytest.raises(WishError, match=r"frame.cover: .*next: cover = "):
        cover_for(lidded, soft, None)
    tall = replace(lidded, frame=replace(lidded.frame, cover_room=0.06, mast=lidded.others[1].name))
    with pytest.raises(GeometryError, match="higher than the mast's platform"):
        make_task(tall, "six-x", rotor_model(tall), 3.2, {})


def test_a_cover_is_only_as_wide_as_the_seat_and_two_walls(lidded: Brief, covered: Sized) -> None:
    frame = covered.frame
    assert frame.cover is not None
    wanted = frame.seat.side / 2 + frame.fit_gap + frame.cover.wall
    assert cover_outside(frame) == pytest.approx(wanted)
    assert covered_side(lidded, frame.seat) == pytest.approx(2 * wanted)
    bare = replace(lidded, frame=replace(lidded.frame, cover="none"))
    assert covered_side(bare, frame.seat) == frame.seat.side
