"""Folding arms: statics of their two bolts by hand, stiffness, play, the choice of the lock."""

from dataclasses import replace
from math import hypot, pi

import numpy as np
import pytest

from refledge.airframe.assessment import assess
from refledge.airframe.bolt_room import plates_for
from refledge.airframe.bolting import STEEL, grip_of_clamp
from refledge.airframe.hinge import (
    friction_radius,
    hinge_grips,
    hinge_rows,
    lock_tension,
    locks_for,
    shear_bolts_for,
    tip_play,
    with_lock,
)
from refledge.airframe.hinge_checks import grip_moment, hinge_checks
from refledge.airframe.hinge_fold import fold_checks, fold_notes, fold_wires
from refledge.airframe.hinge_uses import (
    bolt_strength,
    drawn,
    hinge_uses,
    least_lock,
    lock_margins,
    lock_uses,
)
from refledge.airframe.joint_checks import joint_checks
from refledge.airframe.joints import clamp_preload
from refledge.airframe.judge import reserve
from refledge.airframe.making import make_solids
from refledge.airframe.places import part_centres
from refledge.airframe.pooling import settings_of
from refledge.airframe.sizing import PLATES, Sized, screen
from refledge.airframe.task import Task
from refledge.airframe.task_making import make_task, rotor_model
from refledge.airframe.use_titles import title_of
from refledge.airframe.weak_links import link_checks
from refledge.errors import GeometryError
from refledge.geometry import kernel
from refledge.geometry.hinge import hinge_of, lock_screw
from refledge.geometry.mesh import mesh_volume
from refledge.model.brief import Brief
from refledge.model.checks import Verdict
from refledge.model.parts import ClampDesign, FrameDesign

CLAMP = ClampDesign(screw="M3", root_radius=0.03, first=0.005, pitch_x=0.036, pitch_y=0.015)


def folding(brief: Brief, link: str = "none") -> Brief:
    wish = replace(brief.frame, arm_root="folding", weak_link=link, mast="")
    return replace(brief, frame=wish)


@pytest.fixture(scope="module")
def hinged_task(brief: Brief) -> Task:
    told = folding(brief)
    return make_task(told, "six-x", rotor_model(told), 3.2, {})


@pytest.fixture(scope="module")
def hinged(hinged_task: Task) -> Sized:
    return screen(hinged_task, "box", "ASA")


@pytest.fixture(scope="module")
def weak_task(hinged_task: Task, brief: Brief) -> Task:
    return replace(hinged_task, brief=folding(brief, "bolt"))


@pytest.fixture(scope="module")
def weak(weak_task: Task) -> Sized:
    return screen(weak_task, "box", "ASA")


def with_size(task: Task, frame: FrameDesign, size: str) -> FrameDesign:
    return replace(frame, hinge=with_lock(task.brief, hinge_of(frame), size, task.hardware))


def test_forces_on_pivot_and_lock_by_hand() -> None:
    """Bolts 36 mm apart along the arm and 15 mm across: 39 mm. A yaw moment of 3.9 N m makes a
    couple of 100 N; 39 N along the arm at its axis, 7.5 mm beside the pivot, another 7.5 N, and
    18 N along the line of the bolts on the lock (36 / 39 of it, halved)."""
    rows = hinge_rows(CLAMP)
    yaw = np.array([0.0, 0.0, 0.0, 0.0, 0.0, 3.9])
    assert rows.lock @ yaw == pytest.approx(100.0)
    assert rows.pivot @ yaw == pytest.approx(100.0)
    along = np.array([39.0, 0.0, 0.0, 0.0, 0.0, 0.0])
    assert rows.lock @ along == pytest.approx(7.5 + 18.0)
    assert rows.pivot @ along == pytest.approx(7.5 + 39.0)
    bending = np.array([0.0, 0.0, 20.0, 0.3, 7.2, 0.0])  # 10 N, 0.3 / 15 mm, 7.2 / 36 mm
    assert rows.pull @ bending == pytest.approx(10.0 + 20.0 + 200.0)
    assert rows.lock @ bending == rows.pivot @ bending == 0.0


def test_no_play_without_clearance_and_by_hand_with_it(hinged_task: Task, hinged: Sized) -> None:
    frame, hardware = hinged.frame, hinged_task.hardware
    hinge, clamp = hinge_of(frame), frame.clamp
    tight = replace(frame, hinge=replace(hinge, pivot_bore=3e-3, lock_bore=3e-3))
    assert tip_play(tight, hardware) == pytest.approx(0.0, abs=1e-12)
    loose = replace(frame, hinge=replace(hinge, pivot_bore=3.1e-3, lock_bore=3.2e-3))
    lever = hypot(clamp.pitch_x, clamp.pitch_y)
    reach = frame.arm.axis - clamp.first - clamp.pitch_x / 2
    assert tip_play(loose, hardware) == pytest.approx(0.3e-3 / lever * reach)


def test_turning_about_a_bolt_pushes_nothing_sideways(hinged_task: Task, hinged: Sized) -> None:
    """Stiffness as felt at the arm's axis, beside the bolts: whose own axis is still its own."""
    task = hinged_task
    (upper, _), (steady, _) = hinge_grips(hinged.frame, task.materials, task.hardware)
    half = hinged.frame.clamp.pitch_y / 2
    for stiffness, y in ((upper, half), (steady, -half)):
        assert np.allclose(stiffness, stiffness.T)
        assert np.linalg.eigvalsh(stiffness).min() > 0.0
        turn = np.array([y, 0.0, 0.0, 0.0, 0.0, 1.0])  # about the bolt: the axis moves by y
        assert (stiffness @ turn)[:2] == pytest.approx(
            [0.0, 0.0], abs=1e-6 * stiffness[0, 0] * half
        )


def test_a_stiffer_lock_tilts_the_motors_less(
    hinged_task: Task, hinged: Sized, weak_task: Task
) -> None:
    """The same frame with locks of polyamide, thicker ones, then steel, its mass kept."""
    masses = dict(hinged.part_masses)
    centres = part_centres(hinged.frame, hinged.layout)
    nylon = replace(hinged.frame, hinge=replace(hinge_of(hinged.frame), kind="polyamide"))
    tried = [
        (weak_task, with_size(weak_task, nylon, "M3")),
        (weak_task, with_size(weak_task, nylon, "M5")),
        (hinged_task, hinged.frame),
    ]
    found = [assess(task, each, hinged.layout, masses, centres) for task, each in tried]
    tilts = [float(each.result("full-thrust").motor_tilt.max()) for each in found]
    assert tilts[0] > tilts[1] > tilts[2]
    assert tilts[0] < 1.2 * tilts[2]  # the block lies between the plates whatever the lock


def test_a_folding_root_is_softer_than_a_clamped_one_of_the_same_bolts(
    task: Task, hinged_task: Task, hinged: Sized
) -> None:
    centres = part_centres(hinged.frame, hinged.layout)
    clamped = replace(hinged.frame, hinge=None)
    masses = dict(hinged.part_masses)
    two = [
        assess(told, each, hinged.layout, masses, centres).modes.frequencies[0]
        for told, each in ((task, clamped), (hinged_task, hinged.frame))
    ]
    assert 0.8 < two[1] / two[0] < 1.0


def test_checks_of_a_hinge_stand_in_for_those_of_a_clamp(hinged_task: Task, hinged: Sized) -> None:
    found = {c.key: c for c in joint_checks(hinged_task, hinged.frame, hinged.assessment)}
    wanted = {f"hinge-{one}-{what}" for one in ("pivot", "lock")
              for what in ("bolt", "bearing", "tear-out", "washer")}  # fmt: skip
    assert wanted | {"hinge-play", "hinge-grip"} <= set(found)
    assert not {"clamp-bearing", "clamp-tear-out", "clamp-washer"} & set(found)
    assert all(c.verdict is Verdict.HOLDS for c in found.values() if c.key.startswith("hinge"))


def test_no_checks_of_a_hinge_on_clamped_arms(task: Task, sized: Sized) -> None:
    assert hinge_checks(task, sized.frame, sized.assessment) == ()
    assert fold_wires(task, sized.frame) == ()
    assert lock_uses(task, sized.frame, sized.assessment) == {}
    assert least_lock(task, sized.frame, sized.assessment) == ""


def test_grip_is_friction_at_the_lock_and_round_the_pivot(hinged_task: Task, hinged: Sized) -> None:
    """Twice the preload holds twice the moment; a pivot alone holds by its ring."""
    frame = hinged.frame
    tight = clamp_preload(frame, hinged_task.materials, hinged_task.hardware)
    lever = hypot(frame.clamp.pitch_x, frame.clamp.pitch_y)
    held = grip_moment(hinged_task, frame)
    lock_alone = 2 * 0.2 * 0.6 * tight * lever
    assert lock_alone < held < 1.3 * lock_alone
    assert friction_radius(2.0, 1.0) == pytest.approx(2 / 3 * 7 / 3)
    assert friction_radius(1.0, 0.0) == pytest.approx(2 / 3)


def test_a_polyamide_lock_feels_its_preload_until_the_pull_opens_the_joint(
    weak_task: Task, weak: Sized
) -> None:
    lock = lock_screw(weak.frame, weak_task.hardware)
    snug = lock_tension(lock, 1e9)
    assert snug == pytest.approx(0.2 * 60e6 * lock.stress_area)
    assert drawn(weak_task, weak.frame, lock, 0.5 * snug) == snug
    assert drawn(weak_task, weak.frame, lock, 2.0 * snug) == 2.0 * snug
    steel = weak_task.hardware.screws["M3"]
    assert drawn(weak_task, weak.frame, steel, 100.0) > drawn(weak_task, weak.frame, steel, 0.0)


def test_the_lock_is_the_smallest_sold_that_bears_flight_and_landing(
    weak_task: Task, weak: Sized
) -> None:
    frame, found = weak.frame, weak.assessment
    sizes = locks_for(weak_task.brief, frame.clamp, frame.arm.bore, weak_task.hardware)
    uses = [
        max(lock_uses(weak_task, with_size(weak_task, frame, size), found).values())
        for size in sizes
    ]
    assert uses == sorted(uses, reverse=True)
    chosen = sizes.index(least_lock(weak_task, frame, found))
    assert all(use > 1.0 for use in uses[:chosen])
    assert uses[chosen] <= 1.0 or chosen == len(sizes) - 1
    assert hinge_of(frame).lock == sizes[chosen]
    flight, landing = lock_margins(weak_task, frame, found)
    assert flight > landing > 0.0


def test_a_lock_must_leave_plastic_beside_the_wires_bore(weak_task: Task) -> None:
    """15 mm across, a 6 mm bore: 7.5 - 3 - 0.4 - 0.1 mm is left on that side, twice it less 0.3."""
    wide = replace(CLAMP, first=0.02)
    sizes = shear_bolts_for(weak_task.brief, wide, 6e-3, weak_task.hardware)
    assert sizes == ("M3", "M4", "M5", "M6")
    narrow = replace(wide, pitch_y=0.012)
    assert shear_bolts_for(weak_task.brief, narrow, 6e-3, weak_task.hardware) == ("M3", "M4")
    near = replace(wide, first=0.0035)
    assert shear_bolts_for(weak_task.brief, near, 6e-3, weak_task.hardware) == ("M3", "M4")


def test_both_margins_of_the_shear_bolt_are_told(weak_task: Task, weak: Sized) -> None:
    found = {c.key: c for c in link_checks(weak_task, weak.frame, weak.assessment)}
    assert list(found) == ["weak-link-first", "weak-link-flight", "weak-link-landing"]
    assert all(c.part == "lock bolt" for c in found.values())
    assert found["weak-link-first"].demand > 1.0  # it goes before plates, mounts, electronics
    flight, landing = lock_margins(weak_task, weak.frame, weak.assessment)
    assert found["weak-link-flight"].margin == pytest.approx(flight)
    assert found["weak-link-landing"].margin == pytest.approx(landing)
    assert (
        found["weak-link-flight"].spread
        == bolt_strength(lock_screw(weak.frame, weak_task.hardware))[1]
    )


def test_bolts_list_has_pivots_locks_and_the_legs_own_screws(weak_task: Task, weak: Sized) -> None:
    lines = {line.where: line for line in weak.assessment.fasteners}
    frame = weak.frame
    legs, size = frame.leg.count, hinge_of(frame).lock
    assert lines["pivots of the arms"].quantity == frame.n_arms - legs
    assert lines["pivots of the arms, with leg flange"].quantity == legs
    assert lines["legs on the lower plate"].quantity == legs
    lock = lines["locks of the arms"]
    assert (lock.quantity, lock.name.split()[0]) == (frame.n_arms, size)
    assert "polyamide" in lock.name
    bolt = lock_screw(frame, weak_task.hardware)
    long = float(lock.name.split()[2]) / 1e3
    assert long >= grip_of_clamp(frame) + 2 * bolt.washer_thickness + bolt.nut_height
    shank = 0.9 * pi / 4 * bolt.diameter**2 * long * 1140.0
    assert shank < lock.mass < 3 * shank < 3 * shank * STEEL
    assert lock.torque == pytest.approx(0.2 * 0.2 * 60e6 * bolt.stress_area * bolt.diameter)


def test_solids_fold_without_meeting_and_keep_their_volume(weak_task: Task, weak: Sized) -> None:
    solids = make_solids(weak_task, weak.frame, weak.layout)
    assert solids.assembly.overlaps == ()
    (check,) = fold_checks(weak_task, weak.frame, weak.layout, solids)
    assert (check.key, check.verdict) == ("hinge-fold", Verdict.HOLDS)
    too_far = replace(weak.frame, hinge=replace(hinge_of(weak.frame), turn=2.4))
    (check,) = fold_checks(weak_task, too_far, weak.layout, solids)
    assert check.verdict is Verdict.FAILS
    assert "arm 1" in check.note
    mesh = solids.assembly.meshes["arm"]
    assert mesh_volume(mesh) == pytest.approx(kernel.volume(solids.bodies["arm"]), rel=1e-3)
    (note,) = fold_notes(weak.frame, weak.layout, solids.assembly)
    assert note.startswith("Arms fold ")
    assert "across" in note


def test_thin_plates_are_not_tried_where_heads_must_sink(hinged_task: Task) -> None:
    settings = settings_of(hinged_task, "box")
    assert 3e-3 in plates_for(hinged_task, settings, PLATES)
    m5 = replace(hinged_task.brief, frame=replace(hinged_task.brief.frame, rod_screw="M5"))
    assert min(plates_for(replace(hinged_task, brief=m5), settings, PLATES)) == 4e-3
    clamped = replace(m5, frame=replace(m5.frame, arm_root="clamped"))
    assert min(plates_for(replace(hinged_task, brief=clamped), settings, PLATES)) == 3e-3


def test_an_unknown_lock_is_refused(hinged: Sized, hinged_task: Task) -> None:
    wrong = replace(
        hinged.frame, hinge=replace(hinge_of(hinged.frame), lock="M9", kind="polyamide")
    )
    with pytest.raises(GeometryError, match="no polyamide bolt M9; known: M3, M4, M5, M6"):
        lock_screw(wrong, hinged_task.hardware)


def test_sizing_counts_what_the_washers_press(hinged_task: Task, hinged: Sized) -> None:
    """The same figure as the check's, with the reserve that sizing aims at."""
    uses = hinge_uses(hinged_task, hinged.frame, hinged.assessment)
    assert hinged.uses.items() >= uses.items()
    found = {c.key: c for c in hinge_checks(hinged_task, hinged.frame, hinged.assessment)}
    worst = max(found[f"hinge-{one}-washer"].demand for one in ("pivot", "lock"))
    plates = hinged_task.materials[hinged.frame.plate.material]
    aim = 1.0 + reserve(plates.strength_spread)
    capacity = found["hinge-lock-washer"].capacity
    assert uses["hinge-washer"] == pytest.approx(aim * worst / capacity)
    assert title_of("hinge-washer") == "pressure under the hinges' washers"
