"""Legs in two parts: split where the bed asks for it, the joint no weaker than the strut."""

from dataclasses import replace

import numpy as np
import pytest

from refledge.airframe.fastening import bolts_list
from refledge.airframe.leg_beams import LEG_LAP_BEAM, strut_edges
from refledge.airframe.leg_lap import (
    bolt_force,
    fits_bed,
    lap_depth,
    leg_lap_checks,
    side_pull,
    with_lap,
)
from refledge.airframe.making import Solids, make_solids
from refledge.airframe.sizing import Sized, screen
from refledge.airframe.stressing import bar_stress
from refledge.airframe.task import Task
from refledge.airframe.task_making import make_task, rotor_model
from refledge.inputs.fasteners import hardware
from refledge.model.brief import Brief
from tests.airframe.building import built


@pytest.fixture(scope="module")
def tall(brief: Brief) -> Brief:
    """The demo on legs that its bottle stands between."""
    return replace(brief, frame=replace(brief.frame, payload_room="slung"))


@pytest.fixture(scope="module")
def tall_task(tall: Brief) -> Task:
    return make_task(tall, "six-x", rotor_model(tall), 3.2, {})


@pytest.fixture(scope="module")
def parted(tall_task: Task) -> Sized:
    return screen(tall_task, "box", "ASA")


@pytest.fixture(scope="module")
def made(tall_task: Task, parted: Sized) -> Solids:
    return make_solids(tall_task, parted.frame, parted.layout)


def test_a_leg_is_split_only_where_the_bed_asks_for_it(brief: Brief, parted: Sized) -> None:
    leg, screw = parted.frame.leg, hardware().screws["M3"]
    assert leg.split > 0.0
    assert not fits_bed(leg, brief.printer)
    long_bed = replace(brief, printer=replace(brief.printer, bed_length=0.5))
    assert with_lap(leg, long_bed, screw, 3.6e-3).split == 0.0
    long = np.hypot(leg.height - leg.flange_thickness, leg.splay)
    assert leg.split == pytest.approx(long / 2)


def test_both_parts_fit_the_bed_stand_clear_and_weigh_what_was_estimated(
    parted: Sized, made: Solids
) -> None:
    assert made.assembly.overlaps == ()
    for key in ("leg_upper", "leg_lower"):
        (spec,) = (each for each in made.specs if each.key == key)
        assert spec.fits_bed
        assert parted.part_masses[key] == pytest.approx(made.made.masses[key], rel=0.1)


@pytest.mark.parametrize("strut", [5e-3, 8e-3, 12e-3])
def test_a_tongue_with_its_hole_bends_as_the_strut_does(strut: float) -> None:
    """Section moduli of half the thickness less the hole, and of the strut; a line less fails."""
    hole, line, thickness = 3.6e-3, 0.45e-3, 24e-3

    def modulus(deep: float) -> float:
        return (thickness / 2) * (deep**3 - hole**3) / 12 / (deep / 2)

    found = lap_depth(strut, hole, line)
    assert modulus(found) >= thickness * strut**2 / 6
    assert modulus(found - line) < thickness * strut**2 / 6
    assert found / line == pytest.approx(round(found / line))


def test_the_frame_s_joint_is_no_weaker_than_the_strut_above_it(
    parted: Sized,
) -> None:
    """One moment on all three beams of a leg: most stress at its thin foot, least in the joint's
    deeper tongue or about as much as the strut where it begins."""
    structure = parted.assessment.structure
    bars = [structure.bars[row] for row in structure.beams_of("leg", 0)]
    moment = np.zeros((2, 6))
    moment[:, 4] = 1.0
    stress = [float(bar_stress(bar, moment)[0].max()) for bar in bars]
    leg = parted.frame.leg
    edge = strut_edges(leg)[1]
    depth = leg.depth_top + (leg.depth_foot - leg.depth_top) * edge
    beside = 6.0 / (leg.thickness * depth**2)
    assert stress[LEG_LAP_BEAM] <= beside
    assert stress[LEG_LAP_BEAM] > 0.5 * beside
    assert bars[LEG_LAP_BEAM].section["area"] == pytest.approx(leg.thickness / 2 * leg.lap_depth)


def test_a_split_leg_is_as_long_and_about_as_stiff(tall_task: Task, parted: Sized) -> None:
    whole = replace(
        parted.frame, leg=replace(parted.frame.leg, split=0.0, lap=0.0, lap_depth=0.0, lap_screw="")
    )
    both = [built(tall_task, each, parted.layout).structure for each in (parted.frame, whole)]
    ends = [each.frame.nodes[list(each.feet)] for each in both]
    assert np.allclose(*ends)
    assert strut_edges(parted.frame.leg)[1] < 0.5 < strut_edges(parted.frame.leg)[2]


def test_two_bolts_carry_the_moment_as_a_couple() -> None:
    """By hand: 2 N m over 30 mm, 10 N across and 20 N along shared by both."""
    ends = np.array([20.0, 0.0, 10.0, 0.0, 2.0, 0.0])
    assert bolt_force(ends, 0.03) == pytest.approx(np.hypot(2 / 0.03 + 5.0, 10.0))
    assert side_pull(np.array([0.0, 4.0, 0.0, 0.0, 0.0, 1.0]), 0.05) == pytest.approx(42.0)


def test_checks_hold_and_each_can_fail(tall_task: Task, parted: Sized, sized: Sized) -> None:
    leg, found = parted.frame.leg, parted.assessment

    def margins(factor: float = 1.0, **changes: float) -> dict[str, float]:
        frame = replace(parted.frame, leg=replace(leg, **changes))
        limits = replace(tall_task.brief.limits, joint_factor=factor)
        task = replace(tall_task, brief=replace(tall_task.brief, limits=limits))
        return {each.key: each.margin for each in leg_lap_checks(task, frame, found)}

    good = margins(tall_task.brief.limits.joint_factor)
    assert set(good) == {"leg-lap-bearing", "leg-lap-tear-out", "leg-lap-washer"}
    assert min(good.values()) > 0.0
    assert max(margins(60.0).values()) < 0.0
    short = margins(tall_task.brief.limits.joint_factor, lap=0.02)
    assert all(short[key] < good[key] for key in good)
    assert list(leg_lap_checks(tall_task, sized.frame, sized.assessment)) == []


def test_bolts(tall_task: Task, parted: Sized) -> None:
    found = bolts_list(parted.frame, parted.layout, tall_task.hardware, tall_task.lengths, 500.0)
    (line,) = (each for each in found if each.where == "joints of the legs")
    assert line.quantity == 2 * parted.frame.leg.count
    assert "M3 x 30" in line.name or "M3 x 35" in line.name
