"""Mass conservation: lumps, mass table and beam structure hold the same mass in the same place."""

from dataclasses import replace

import numpy as np
import pytest

from refledge.airframe.inventory import (
    box_inertia,
    centre_of_mass,
    cylinder_inertia,
    lumps,
    mass_table,
    rod_inertia,
    total_mass,
)
from refledge.airframe.places import part_centres
from refledge.airframe.sizing import Sized
from refledge.airframe.task import Task
from refledge.analysis.beam import rigid_body_mass
from refledge.geometry.parts import part_quantities
from refledge.model.hung import STRAP
from tests.airframe.building import built


def test_all_up_mass_is_items_and_frame(task: Task, sized: Sized) -> None:
    """Item by item from the brief, and the frame's own parts and bolts."""
    b = task.brief
    rotor = b.motor.mass + b.propeller.mass + b.speed_controller.mass
    items = b.battery.mass + b.flight_controller.mass + b.payload.mass + b.wiring
    items += 6 * rotor + sum(other.mass for other in b.others)
    total = total_mass(sized.assessment.lumps)
    assert total == pytest.approx(items + sized.frame_mass, rel=1e-12)


def test_structure_carries_all_but_the_slung_payload(task: Task, sized: Sized) -> None:
    body = rigid_body_mass(sized.assessment.structure.frame)
    total = total_mass(sized.assessment.lumps)
    assert body.mass + task.brief.payload.mass == pytest.approx(total, rel=1e-9)


def test_a_fixed_payload_is_part_of_the_structure(task: Task, sized: Sized) -> None:
    brief = replace(task.brief, payload=replace(task.brief.payload, slung=False, below=0.1))
    made = built(task, sized.frame, sized.layout, brief)
    body = rigid_body_mass(made.structure.frame)
    assert body.mass == pytest.approx(total_mass(made.lumps), rel=1e-9)


def test_a_payload_without_a_place_hangs_right_under_the_battery(task: Task, sized: Sized) -> None:
    payload = replace(task.brief.payload, slung=False, below=None)
    found = built(task, sized.frame, sized.layout, replace(task.brief, payload=payload)).lumps
    named = {lump.name: lump for lump in found}
    pack, hung = named[task.brief.battery.name], named[payload.name]
    bottom = pack.centre[2] - task.brief.battery.height / 2
    assert hung.centre[2] + payload.height / 2 == pytest.approx(bottom - STRAP)


def test_centre_of_mass_is_that_of_lumps_and_beams(sized: Sized) -> None:
    """Point masses where their lumps lie, beams at their middles: as the mass matrix has it."""
    found, structure = sized.assessment.lumps, sized.assessment.structure
    nodes = structure.frame.nodes
    solid = [lump for lump in found if lump.fixed and lump.part not in ("arm", "tube", "leg")]
    moment = sum((lump.mass * lump.centre for lump in solid), start=np.zeros(3))
    mass = sum(lump.mass for lump in solid)
    for bar in structure.bars:
        middle = (bar.start(nodes) + nodes[bar.b]) / 2 + np.array([0.0, 0.0, bar.height])
        moment, mass = moment + bar.mass(nodes) * middle, mass + bar.mass(nodes)
    body = rigid_body_mass(structure.frame)
    assert body.mass == pytest.approx(mass, rel=1e-9)
    np.testing.assert_allclose(body.centre, moment / mass, atol=1e-9)


def test_places_of_arms_and_legs_agree_with_their_beams(task: Task, sized: Sized) -> None:
    """The lumps' estimated places of arms and legs move the centre by less than 2 mm."""
    brief = replace(task.brief, payload=replace(task.brief.payload, slung=False, below=0.1))
    made = built(task, sized.frame, sized.layout, brief)
    away = rigid_body_mass(made.structure.frame).centre - centre_of_mass(made.lumps)
    assert np.abs(away[:2]).max() < 1e-9
    assert abs(away[2]) < 2e-3


@pytest.mark.parametrize("part", ["arm", "leg"])
def test_parts_are_spread_over_their_beams_exactly(task: Task, sized: Sized, part: str) -> None:
    made = built(task, sized.frame, sized.layout)
    structure, nodes = made.structure, made.structure.frame.nodes
    for index in range(part_quantities(sized.frame)[part]):
        rows = structure.beams_of(part, index)
        spread = sum(structure.bars[row].mass(nodes) for row in rows)
        assert spread == pytest.approx(made.masses[part], rel=1e-12)


def test_table_adds_up_in_mass_and_moment(sized: Sized) -> None:
    found = sized.assessment.lumps
    table = mass_table(found)
    assert sum(line.total for line in table) == pytest.approx(total_mass(found), rel=1e-12)
    moment = sum((line.total * np.array(line.centre) for line in table), start=np.zeros(3))
    np.testing.assert_allclose(moment / total_mass(found), centre_of_mass(found), atol=1e-12)
    arms = next(line for line in table if line.name == "arm")
    assert (arms.quantity, arms.group) == (6, "printed")


def test_motors_stand_on_their_mounts_and_payload_hangs_below(task: Task, sized: Sized) -> None:
    frame, found = sized.frame, sized.assessment.lumps
    motor = next(lump for lump in found if lump.name == task.brief.motor.name)
    base = frame.arm.depth_root / 2 + frame.mount.thickness
    assert motor.centre[2] == pytest.approx(base + task.brief.motor.height / 2)
    payload = next(lump for lump in found if lump.group == "payload")
    under = -frame.arm.depth_root / 2 - frame.plate.thickness
    assert payload.centre[2] == pytest.approx(under - 1.5)
    assert not payload.fixed


def test_lower_motors_of_pairs_hang_upside_down(task: Task, sized: Sized) -> None:
    layout = replace(
        sized.layout, upper=(True, False) * 3, paired=True, arm_of_rotor=(0, 0, 1, 1, 2, 2)
    )
    frame = replace(sized.frame, mount=replace(sized.frame.mount, per_arm=2))
    counts = part_quantities(frame)
    masses = dict.fromkeys(counts, 0.01)
    found = lumps(task.brief, layout, frame, masses, part_centres(frame, layout), counts, ())
    motors = [lump for lump in found if lump.name == task.brief.motor.name]
    below = frame.arm.depth_root / 2 - frame.arm.depth_tip - frame.mount.thickness
    assert motors[1].centre[2] == pytest.approx(below - task.brief.motor.height / 2)
    assert motors[1].arm == motors[0].arm


def test_inertia_of_plain_bodies() -> None:
    """Boxes, cylinders and rods as in any mechanics text; a cube is the same about every axis."""
    np.testing.assert_allclose(box_inertia(12.0, (1.0, 2.0, 3.0)), np.diag([13.0, 10.0, 5.0]))
    np.testing.assert_allclose(cylinder_inertia(8.0, 2.0, 0.0), np.diag([2.0, 2.0, 4.0]))
    turning = rod_inertia(12.0, 1.0)
    assert turning[2, 2] == pytest.approx(1.0)
    assert np.trace(turning) == pytest.approx(2.0)
