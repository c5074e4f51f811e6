"""Receiver and antenna holders: formulas, where they stand, what they add to lists and checks."""

from dataclasses import replace
from math import pi

import numpy as np
import pytest

from refledge.airframe.holder_checks import holder_checks
from refledge.airframe.holders import (
    deck_arms,
    item_named,
    sized_pocket,
    stands_clear,
)
from refledge.airframe.making import Solids, make_solids
from refledge.airframe.sizing import Sized, screen
from refledge.airframe.snaps import LIPS, snap_hold, snap_strain, strain_limit
from refledge.airframe.task import Task
from refledge.airframe.task_making import make_task, rotor_model
from refledge.analysis.beam import BeamFrame, all_dofs, solve_static
from refledge.errors import GeometryError
from refledge.geometry.clearance import rod_to_disc
from refledge.inputs.fasteners import hardware
from refledge.model.antennas import Antennas
from refledge.model.brief import Brief
from refledge.model.upper import AntennaHolderDesign, ReceiverHolderDesign
from tests.geometry.holders import receiver_holder

NAME = "radio receiver"


@pytest.fixture(scope="module")
def asked(brief: Brief) -> Brief:
    """The demo with its receiver and two antennas in holders."""
    wish = replace(brief.frame, receiver_holder=NAME, antenna_holder=NAME)
    return replace(brief, frame=wish)


@pytest.fixture(scope="module")
def asked_task(asked: Brief) -> Task:
    return make_task(asked, "six-x", rotor_model(asked), 3.2, {})


@pytest.fixture(scope="module")
def holding(asked_task: Task) -> Sized:
    return screen(asked_task, "box", "ASA")


@pytest.fixture(scope="module")
def made(asked_task: Task, holding: Sized) -> Solids:
    return make_solids(asked_task, holding.frame, holding.layout)


def holders(holding: Sized) -> tuple[ReceiverHolderDesign, AntennaHolderDesign]:
    found = holding.frame.receiver_holder, holding.frame.antenna_holder
    assert found[0] is not None
    assert found[1] is not None
    return found[0], found[1]


def tongue(E: float, inertia: float, height: float) -> BeamFrame:
    """One upright beam that only bends."""
    one, none = np.ones(1), np.zeros(1)
    return BeamFrame(
        nodes=np.array([[0.0, 0.0, 0.0], [0.0, 0.0, height]]), elements=np.array([[0, 1]]),
        E=E * one, G=E * one, A=one, Iy=inertia * one, Iz=inertia * one, J=one,
        Ay=np.inf * one, Az=np.inf * one, mass_per_length=one, rotary_x=none, rotary_y=none,
        rotary_z=none, z_axis=np.array([[1.0, 0.0, 0.0]]), offsets=np.zeros((1, 2, 3)),
    )  # fmt: skip


def test_strain_of_a_snap_by_hand() -> None:
    """1.8 mm thick, 0.8 mm aside, 20 mm long: 3 x 1.8 x 0.8 / (2 x 400)."""
    assert snap_strain(1.8e-3, 0.8e-3, 20e-3) == pytest.approx(0.0054)


def test_strain_and_side_force_are_a_clamped_beam_s(task: Task) -> None:
    """Against the beam solver: a tongue pushed aside at its end."""
    material, holder = task.materials["ASA"], receiver_holder(height=0.04)
    inertia = holder.tongue * holder.wall**3 / 12
    load = np.zeros((2, 6))
    load[1, 0] = 1.0
    frame = tongue(material.E_z, inertia, holder.height)
    moved = float(solve_static(frame, load, all_dofs(0)).displacements[1, 0])
    push = holder.lip / moved
    stress = push * holder.height * holder.wall / 2 / inertia
    found = snap_strain(holder.wall, holder.lip, holder.height)
    assert stress / material.E_z == pytest.approx(found, rel=0.01)
    size = (holder.tongue, holder.wall, holder.lip, holder.height, material.E_z)
    assert snap_hold(*size, friction=0.0) == pytest.approx(2 * push, rel=0.01)
    assert snap_hold(*size, friction=0.3) == pytest.approx(2 * push * 1.3 / 0.7, rel=0.01)


def test_the_deepest_lip_and_then_the_thickest_wall_that_the_strain_allows(
    asked: Brief, asked_task: Task, holding: Sized
) -> None:
    material, clamp = asked_task.materials["ASA"], holding.frame.clamp
    screw, line = hardware().screws["M3"], asked.printer.extrusion_width
    found = sized_pocket(receiver_holder(), asked, material, clamp, screw)
    assert found.lip == LIPS[0]
    assert snap_strain(found.wall, found.lip, found.height) < strain_limit(material)
    assert snap_strain(found.wall + line, found.lip, found.height) > strain_limit(material) / 1.3
    low = sized_pocket(receiver_holder(height=0.010), asked, material, clamp, screw)
    assert low.lip < found.lip or low.wall < found.wall


def test_each_wish_has_an_arm_of_its_own(asked: Brief) -> None:
    item = asked.others[0]
    angles = tuple(np.radians([45.0, -45.0, -135.0, 135.0]))
    everything = replace(
        asked, frame=replace(asked.frame, mast=asked.others[1].name),
        others=(replace(item, x=0.05, y=0.04), *asked.others[1:]),
    )  # fmt: skip
    found = deck_arms(everything, angles, ())
    assert sorted(found) == ["antenna_holder", "mast", "receiver_holder"]
    assert len(set(found.values())) == 3
    assert found["antenna_holder"] == 0  # nearest to the receiver's place
    assert deck_arms(everything, angles, (0,))["antenna_holder"] != 0
    with pytest.raises(GeometryError, match="more arms than there are"):
        deck_arms(everything, angles[:2], ())


def test_a_holder_keeps_to_its_sector_and_off_the_controller(holding: Sized) -> None:
    clamp, screw = holding.frame.clamp, hardware().screws["M3"]
    six = tuple(np.radians([30.0, 90.0, 150.0, -150.0, -90.0, -30.0]))
    assert stands_clear(0.015, 1, six, clamp, screw, 0.044)
    assert not stands_clear(0.030, 1, six, clamp, screw, 0.044)
    assert not stands_clear(0.015, 1, six, clamp, screw, 0.090)


def test_bolts_masses_and_places(asked: Brief, holding: Sized) -> None:
    frame, found = holding.frame, holding.assessment
    pocket, antennas = holders(holding)
    lines = {line.where: line for line in found.fasteners}
    for words in ("receiver holder", "antenna holder"):
        assert lines[f"{words} on the upper plate, through its arm"].quantity == 2
    clamped = sum(n.quantity for where, n in lines.items() if "arms between" in where)
    assert clamped == 4 * frame.n_arms - 4
    assert lines["antenna holder, round each antenna"].quantity == 2
    item = next(each for each in found.lumps if each.name == NAME)
    angle = holding.layout.arm_angles[pocket.arm]
    assert np.arctan2(item.centre[1], item.centre[0]) == pytest.approx(angle)
    size = sorted((asked.others[0].length, asked.others[0].width, asked.others[0].height))
    about = np.linalg.eigvalsh(item.inertia)[-1]  # about its thin side, now level
    assert about == pytest.approx(item.mass / 12 * (size[1] ** 2 + size[2] ** 2))
    rods = [each for each in found.lumps if each.name == "antenna"]
    assert sum(each.mass for each in rods) == pytest.approx(2 * asked.antennas.mass)
    assert pocket.arm != antennas.arm


def test_checks_hold_and_each_can_fail(asked_task: Task, holding: Sized, made: Solids) -> None:
    def margins(**changes: object) -> dict[str, float]:
        frame = replace(holding.frame, **changes)
        found = holder_checks(asked_task, frame, holding.assessment, made.assembly)
        return {each.key: each.margin for each in found}

    pocket, antennas = holders(holding)
    good = margins()
    assert set(good) == {
        "receiver-strain", "receiver-hold", "antenna-disc", "antenna-clear", "antenna-bend",
    }  # fmt: skip
    assert min(good.values()) > 0.0
    assert margins(receiver_holder=replace(pocket, height=0.008))["receiver-strain"] < 0.0
    assert margins(receiver_holder=replace(pocket, height=0.08))["receiver-hold"] < 0.0
    wide = replace(asked_task.brief.propeller, diameter=0.52)
    near = replace(asked_task, brief=replace(asked_task.brief, propeller=wide))
    found = holder_checks(near, holding.frame, holding.assessment, made.assembly)
    assert next(each.margin for each in found if each.key == "antenna-disc") < 0.0
    far = replace(asked_task.brief.antennas, clear=0.04)
    wanted = replace(asked_task, brief=replace(asked_task.brief, antennas=far))
    found = holder_checks(wanted, holding.frame, holding.assessment, made.assembly)
    assert next(each.margin for each in found if each.key == "antenna-clear") < 0.0
    assert margins(antenna_holder=replace(antennas, lead=0.002))["antenna-bend"] < 0.0
    plain = replace(holding.frame, receiver_holder=None, antenna_holder=None)
    assert holder_checks(asked_task, plain, holding.assessment, made.assembly) == ()


def test_solids_stand_clear_and_weigh_what_was_estimated(holding: Sized, made: Solids) -> None:
    assert made.assembly.overlaps == ()
    for key in ("receiver_holder", "antenna_holder"):
        assert holding.part_masses[key] == pytest.approx(made.made.masses[key], rel=0.2)
    names = [each.name for each in made.assembly.placements if each.key == "antenna"]
    assert names == ["antenna 1", "antenna 2"]


def test_a_rod_s_distance_from_a_disc() -> None:
    """Beside it, above it, and aslant past its edge."""
    size = (0.2, 0.02)
    assert rod_to_disc(np.array([[0.15, 0.0, -1.0], [0.15, 0.0, 1.0]]), *size) == pytest.approx(
        0.05
    )
    assert rod_to_disc(np.array([[0.0, 0.0, 0.05], [0.3, 0.0, 0.05]]), *size) == pytest.approx(0.04)
    aslant = np.array([[0.1, 0.0, 0.05], [0.14, 0.0, 0.01]])
    assert rod_to_disc(aslant, *size) == pytest.approx(0.04 * np.sin(pi / 4), abs=1e-5)


def test_defaults_are_a_quarter_wave_and_the_near_field() -> None:
    """At 2.4 GHz, from the speed of light."""
    wave = 299_792_458.0 / 2.4e9
    assert Antennas().length == pytest.approx(wave / 4, rel=0.02)
    assert Antennas().clear == pytest.approx(wave / (2 * pi), rel=0.02)


def test_a_name_that_is_no_item_is_refused(brief: Brief) -> None:
    wrong = replace(brief, frame=replace(brief.frame, antenna_holder="whip"))
    with pytest.raises(GeometryError, match=r'frame.antenna_holder names "whip", which is no item'):
        item_named(wrong, "antenna_holder")
