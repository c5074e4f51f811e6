"""A craft that three-inch propellers carry: small screws make it small."""

from dataclasses import replace

import pytest

from refledge.airframe.body import TRAY_PITCH
from refledge.airframe.bolt_room import deepest, plates_for
from refledge.airframe.candidates import DEPTHS, LEAST_TIP
from refledge.airframe.fastening import bolts_mass
from refledge.airframe.pooling import settings_of
from refledge.airframe.sizing import PLATES, Sized, screen
from refledge.airframe.small_craft import HEAVY_SHARE, fastener_notes
from refledge.airframe.task import Task
from refledge.airframe.task_making import make_task, rotor_model
from refledge.errors import WishError
from refledge.inputs.brief import read_brief
from refledge.model.brief import Brief
from tests.airframe.conftest import BRIEFS


@pytest.fixture(scope="module")
def small() -> Brief:
    return read_brief(BRIEFS / "small.toml")


def task_with(brief: Brief, size: str) -> Task:
    brief = replace(brief, frame=replace(brief.frame, rod_screw=size))
    return make_task(brief, "four-x", rotor_model(brief), 0.4, {})


@pytest.fixture(scope="module")
def tasks(small: Brief) -> dict[str, Task]:
    return {size: task_with(small, size) for size in ("M2", "M2.5", "M3")}


@pytest.fixture(scope="module")
def found(tasks: dict[str, Task]) -> dict[str, Sized]:
    return {size: screen(task, "truss", "ASA") for size, task in tasks.items()}


def test_smaller_screws_make_a_lighter_and_smaller_frame(found: dict[str, Sized]) -> None:
    masses = [found[size].frame_mass for size in ("M2", "M2.5", "M3")]
    assert masses == sorted(masses)
    assert masses[0] < 0.75 * masses[2]
    assert all(each.feasible for each in found.values())
    assert found["M2"].layout.motor_radius < found["M3"].layout.motor_radius


def test_plates_too_thick_for_the_longest_bolts_are_not_tried(tasks: dict[str, Task]) -> None:
    settings = {size: settings_of(task, "truss") for size, task in tasks.items()}
    tried = {size: plates_for(task, settings[size], PLATES) for size, task in tasks.items()}
    assert tried["M3"] == PLATES
    assert set(tried["M2"]) < set(PLATES)
    body = settings["M2"][0].body
    for plate in PLATES:
        root, tip = deepest(tasks["M2"], body, plate)
        assert (plate in tried["M2"]) == (root >= DEPTHS[0] and tip >= LEAST_TIP)
    with pytest.raises(WishError, match="the shallowest arm"):
        plates_for(tasks["M2"], settings["M2"], (20e-3,))


@pytest.mark.parametrize(
    ("width", "pitch"), [(20e-3, TRAY_PITCH[0]), (30e-3, 20e-3), (0.06, 30e-3)]
)
def test_screws_of_the_tray_stand_as_wide_as_the_battery_covers(
    small: Brief, width: float, pitch: float
) -> None:
    brief = replace(small, battery=replace(small.battery, width=width))
    tray = settings_of(task_with(brief, "M3"), "truss")[0].body.tray
    assert tray.pitch_y == pytest.approx(pitch)


def test_a_craft_that_is_small_for_its_screws_is_told_so(
    tasks: dict[str, Task], found: dict[str, Sized]
) -> None:
    for size, smaller in (("M3", "M2.5 or M2 in place of M3"), ("M2.5", "M2 in place of M2.5")):
        fasteners = found[size].assessment.fasteners
        (note,) = fastener_notes(tasks[size], fasteners)
        assert smaller in note
        mass = bolts_mass(fasteners)
        for share, told in ((0.99 * HEAVY_SHARE, 0), (1.01 * HEAVY_SHARE, 1)):
            one = replace(tasks[size], all_up_mass=mass / share)
            assert len(fastener_notes(one, fasteners)) == told
    tiny = replace(tasks["M2"], all_up_mass=0.01)
    assert fastener_notes(tiny, found["M2"].assessment.fasteners) == ()
