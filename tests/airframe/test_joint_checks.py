"""Joints: bolt groups, preload, inserts, washers, tubes; each demand recomputed by hand."""

from dataclasses import replace
from math import hypot, pi

import numpy as np
import pytest

from refledge.airframe.assessment import Assessment
from refledge.airframe.joint_checks import clamp_pull, joint_checks
from refledge.airframe.joints import (
    LEAST_PRELOAD,
    WASHER_SHARE,
    bolt_share,
    clamp_preload,
    joint_stiffnesses,
)
from refledge.airframe.sizing import Sized, screen
from refledge.airframe.task import Task
from refledge.airframe.tube_checks import tube_checks
from refledge.airframe.working import working
from refledge.analysis.joints import INSERT_WALL, bolt_shear
from refledge.flight.air import GRAVITY
from refledge.inputs.fasteners import hardware
from refledge.model.checks import Check, Verdict
from refledge.model.materials import Property, PullOut

M3 = hardware().screws["M3"]
RING = pi / 4 * (M3.washer_diameter**2 - M3.clearance_hole**2)


def by_key(task: Task, sized: Sized, found: Assessment | None = None) -> dict[str, Check]:
    checks = joint_checks(task, sized.frame, found or sized.assessment)
    return {check.key: check for check in checks}


def worked(found: Assessment, factor: float) -> Assessment:
    """Every force in every beam, and every acceleration, times ``factor``."""
    results = tuple(
        replace(each, forces=factor * each.forces, acceleration=factor * each.acceleration)
        for each in found.results
    )
    return replace(found, results=results)


def root_ends(sized: Sized) -> list[np.ndarray]:
    """Of each case, forces at the outer bolts of every arm, (n_arms, 6)."""
    structure = sized.assessment.structure
    rows = [structure.beams_of("arm", arm)[1] for arm in range(len(structure.tips))]
    return [np.abs(result.forces[rows, 0]) for result in sized.assessment.results]


def test_hardest_bolt_of_four(sized: Sized) -> None:
    """Against the general bolt group (Shigley): never less than the hardest bolt's share."""
    px, py = sized.frame.clamp.pitch_x, sized.frame.clamp.pitch_y
    places = np.array([[x, y] for x in (-px / 2, px / 2) for y in (-py / 2, py / 2)])
    for force, moment in ((0.0, 3.0), (40.0, 0.0), (25.0, 2.0)):
        diagonal = places[3] / np.linalg.norm(places[3])
        across = np.array([-diagonal[1], diagonal[0]])
        exact = bolt_shear(places, force * across, moment)
        worst = np.linalg.norm(exact, axis=1).max()
        assert bolt_share(force, moment, px, py) == pytest.approx(worst)


def test_bearing_and_tear_out_of_the_worst_arm(task: Task, sized: Sized) -> None:
    """Force on the hardest bolt over both plates, by the worst of all cases."""
    clamp, t = sized.frame.clamp, sized.frame.plate.thickness
    found = by_key(task, sized)["clamp-bearing"]
    shares = [
        bolt_share(hypot(end[0], end[1]), end[5], clamp.pitch_x, clamp.pitch_y)
        for ends in root_ends(sized)
        for end in ends
    ]
    assert found.demand == pytest.approx(max(shares) / (3e-3 * 2 * t))
    tear = by_key(task, sized)["clamp-tear-out"]
    edge = M3.washer_diameter / 2 + 1e-3
    assert tear.demand / found.demand == pytest.approx(3e-3 / (2 * (edge - 1.5e-3)))
    assert tear.capacity == pytest.approx(found.capacity / 2)


def test_preload_is_what_the_washers_allow(task: Task, sized: Sized) -> None:
    """A fifth of the plastic's strength under the washer; steel would allow more."""
    strength = task.materials["ASA"].strength_xy
    found = clamp_preload(sized.frame, task.materials, task.hardware)
    assert found == pytest.approx(WASHER_SHARE * strength * RING)
    hard = {key: replace(each, strength_xy=1e12) for key, each in task.materials.items()}
    steel = clamp_preload(sized.frame, hard, task.hardware)
    assert steel == pytest.approx(0.75 * M3.stress_area * M3.proof_stress)


def test_pressure_under_washers_is_preload_and_the_root_moment(task: Task, sized: Sized) -> None:
    """Preload alone when nothing bears on the arms; the moment adds a part of its couple."""
    preload = clamp_preload(sized.frame, task.materials, task.hardware)
    idle = by_key(task, sized, worked(sized.assessment, 0.0))["clamp-washer"]
    assert idle.demand == pytest.approx(preload / RING)
    once = by_key(task, sized)["clamp-washer"]
    twice = by_key(task, sized, worked(sized.assessment, 2.0))["clamp-washer"]
    assert twice.demand - idle.demand == pytest.approx(2 * (once.demand - idle.demand))
    pulls = [clamp_pull(end, sized.frame.clamp) for ends in root_ends(sized) for end in ends]
    bolt, plastic = joint_stiffnesses(sized.frame, task.materials, task.hardware)
    whole = bolt / (bolt + plastic) * max(pulls) / RING
    assert once.demand - idle.demand == pytest.approx(whole)
    assert f"{max(pulls):.0f} N" in once.note


def test_pull_of_the_hardest_clamp_bolt_is_statics(sized: Sized) -> None:
    """A force at the tip, up and off the arm's axis: moments about the inner pair, and across."""
    clamp, force, reach, aside = sized.frame.clamp, 40.0, 0.2, 5e-3
    ends = np.array([0.0, 0.0, force, force * aside, force * reach, 0.0])
    outer = force * (reach + clamp.pitch_x) / clamp.pitch_x
    assert clamp_pull(ends, clamp) == pytest.approx(outer / 2 + force * aside / clamp.pitch_y)


def test_preload_left_falls_with_creep(task: Task, sized: Sized) -> None:
    """Bolt and plastic in series: with no creep all is left, and never less than the modulus."""

    def left(creep: float) -> float:
        changed = {k: replace(m, creep_factor=creep) for k, m in task.materials.items()}
        return by_key(replace(task, materials=changed), sized)["clamp-preload"].demand

    assert left(1.0) == pytest.approx(1.0)
    assert left(0.8) > left(0.5) > 0.5
    assert by_key(task, sized)["clamp-preload"].capacity == LEAST_PRELOAD


def test_inserts_bear_seat_and_controller(task: Task, sized: Sized) -> None:
    """Four inserts share both masses at the hardest acceleration and 1 g besides."""
    found = by_key(task, sized)["insert-pull-out"]
    carried = task.brief.flight_controller.mass + sized.part_masses["seat"]
    hardest = max(abs(r.acceleration[2]) for r in sized.assessment.results)
    assert found.demand == pytest.approx(carried * (hardest + GRAVITY) / 4)
    insert = hardware().inserts["M3"]
    whole = pi * insert.outer_diameter * insert.length * task.materials["ASA"].shear_z
    assert found.capacity <= whole / task.brief.limits.joint_factor


@pytest.mark.parametrize("thread", ["M3", "M4"])
def test_an_insert_that_the_bench_pulled_out_holds_what_it_held_there(
    task: Task, sized: Sized, thread: str
) -> None:
    """Of its own thread only; half of it where the post's wall is half of what it asks for."""
    hole = hardware().inserts["M3"].hole_diameter
    seat = replace(sized.frame.seat, post_diameter=hole + INSERT_WALL)
    sized = replace(sized, frame=replace(sized.frame, seat=seat))
    load = Property(100.0, 0.04, "measured here: 1 sessions", measured_here=True)
    plastic = replace(task.materials[seat.material], pull_outs=(PullOut(thread, load),))
    taught = replace(task, materials={**task.materials, seat.material: plastic})
    before, found = (by_key(each, sized)["insert-pull-out"] for each in (task, taught))
    if thread != seat.screw:
        assert found == before
        return
    assert found.capacity == pytest.approx(50.0 / task.brief.limits.joint_factor)
    assert found.spread == 0.04
    assert found.source.startswith("measured here: 1 sessions; ")
    assert "measured 100 N ± 4%" in found.note
    whole = before.capacity * task.brief.limits.joint_factor / 0.5
    assert f"the tables gives {whole:.0f} N" in found.note


def test_what_the_bench_pulled_out_is_less_in_warm_wet_plastic(task: Task) -> None:
    load = Property(100.0, 0.04, "measured here", measured_here=True)
    card = replace(task.cards["PA6-GF"], pull_outs=(PullOut("M3", load),))
    found = working(card, task.brief)
    (out,) = found.pull_outs
    share = found.shear_z / card.shear_z.value
    assert share < 1.0
    assert out.load.value == pytest.approx(100.0 * share)


def test_every_joint_fails_when_forces_are_absurd(task: Task, sized: Sized) -> None:
    checks = by_key(task, sized, worked(sized.assessment, 1e4))
    loaded = {"clamp-bearing", "clamp-tear-out", "clamp-washer", "insert-pull-out"}
    assert all(checks[key].verdict is Verdict.FAILS for key in loaded)
    assert checks["clamp-preload"].verdict is by_key(task, sized)["clamp-preload"].verdict


def test_tubes_alone_can_turn_in_their_clamp(task: Task, sized: Sized) -> None:
    assert "tube-slip" not in by_key(task, sized)
    tube = screen(task, "tube", "ASA")
    checks = joint_checks(task, tube.frame, tube.assessment)
    slip = next(check for check in checks if check.key == "tube-slip")
    preload = clamp_preload(tube.frame, task.materials, task.hardware)
    torque = 2 * 0.2 * 4 * preload * LEAST_PRELOAD * 0.016 / 2
    assert slip.capacity == pytest.approx(torque / task.brief.limits.joint_factor)
    structure = tube.assessment.structure
    rows = [structure.beams_of("tube", arm)[1] for arm in range(6)]
    twists = [np.abs(r.forces[rows, 0, 3]).max() for r in tube.assessment.results]
    assert slip.demand == pytest.approx(max(twists))


def test_tubes_are_held_along_and_about_at_both_ends(task: Task) -> None:
    tube = screen(task, "tube", "ASA")
    found = {each.key: each for each in tube_checks(task, tube.frame, tube.assessment)}
    assert set(found) == {"tube-slip", "tube-slide", "tube-slip-end", "tube-slide-end"}
    preload = clamp_preload(tube.frame, task.materials, task.hardware)
    along = 2 * 0.2 * 4 * preload * LEAST_PRELOAD / task.brief.limits.joint_factor
    structure = tube.assessment.structure
    for key, bar in (("tube-slide", 1), ("tube-slide-end", 2)):
        rows = [structure.beams_of("tube", arm)[bar] for arm in range(6)]
        pulls = [np.abs(r.forces[rows, 0, 0]).max() for r in tube.assessment.results]
        assert found[key].capacity == pytest.approx(along)
        assert found[key].demand == pytest.approx(max(pulls))
    inner = [structure.frame.elements[structure.beams_of("tube", arm)[2]] for arm in range(6)]
    assert [int(each[1]) for each in inner] == list(structure.tips), "the beam to the motor"
