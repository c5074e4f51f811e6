"""Feet that the brief asks for: legs shorter by the sole, lists, masses at the feet, a check."""

from dataclasses import replace

import numpy as np
import pytest

from refledge.airframe.body import body_for
from refledge.airframe.foot_checks import end_area, foot_checks
from refledge.airframe.making import make_solids
from refledge.airframe.sizing import Sized, screen
from refledge.airframe.task import Task
from refledge.airframe.task_making import make_task, rotor_model
from refledge.inputs.fasteners import hardware
from refledge.model.brief import Brief
from tests.airframe.test_body import ANGLES, WIDTH


@pytest.fixture(scope="module")
def padded(brief: Brief) -> Brief:
    return replace(brief, frame=replace(brief.frame, feet="pads"))


@pytest.fixture(scope="module")
def padded_task(padded: Brief) -> Task:
    return make_task(padded, "six-x", rotor_model(padded), 3.2, {})


@pytest.fixture(scope="module")
def shod(padded_task: Task) -> Sized:
    return screen(padded_task, "box", "ASA")


def test_the_ground_stays_as_far_below(brief: Brief, padded: Brief) -> None:
    bare, pads = (
        body_for(each, ANGLES["six"], False, WIDTH, hardware()) for each in (brief, padded)
    )
    assert bare.foot is None
    assert pads.foot is not None
    assert pads.leg.height + pads.foot.sole == pytest.approx(bare.leg.height)


def test_nothing_changes_without_them(task: Task, sized: Sized) -> None:
    assert sized.frame.foot is None
    assert foot_checks(task, sized.frame, sized.assessment) == ()
    assert not any("feet" in line.where for line in sized.assessment.fasteners)


def test_they_are_listed_weighed_and_ride_at_the_feet(shod: Sized) -> None:
    (glue,) = (line for line in shod.assessment.fasteners if "feet" in line.where)
    assert glue.quantity == shod.frame.leg.count
    lumps = [lump for lump in shod.assessment.lumps if lump.part == "foot"]
    assert len(lumps) == shod.frame.leg.count
    structure = shod.assessment.structure
    nodes = structure.frame.nodes[list(structure.feet)]
    for lump, node in zip(lumps, nodes, strict=True):
        assert np.linalg.norm(lump.centre - node) < 15e-3
        same = (each for each in structure.frame.masses if each.mass == lump.mass)
        (mass,) = (
            each
            for each in same
            if np.allclose(structure.frame.nodes[each.node] + each.offset, lump.centre)
        )
        assert mass.node in structure.feet


def test_solids_fit_and_weigh_about_the_estimate(padded_task: Task, shod: Sized) -> None:
    made = make_solids(padded_task, shod.frame, shod.layout)
    assert made.assembly.overlaps == ()
    assert made.made.masses["foot"] == pytest.approx(shod.part_masses["foot"], rel=0.25)
    lumps = [lump.centre for lump in shod.assessment.lumps if lump.part == "foot"]
    assert np.allclose(made.made.centres["foot"], lumps, atol=8e-3)


def test_pressure_under_the_hardest_landing(padded_task: Task, shod: Sized) -> None:
    (check,) = foot_checks(padded_task, shod.frame, shod.assessment)
    forces = [
        float(np.abs(each.case.foot_force[:, 2]).max())
        for each in shod.assessment.results
        if each.case.kind == "landing"
    ]
    assert check.demand == pytest.approx(max(forces) / end_area(padded_task, shod.frame))
    assert check.margin > 0.0
    thin = replace(shod.frame, leg=replace(shod.frame.leg, thickness=2e-3))
    (worse,) = foot_checks(padded_task, thin, shod.assessment)
    assert worse.margin < check.margin
