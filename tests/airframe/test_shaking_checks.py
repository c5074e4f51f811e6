"""Modes against what excites them, what the flight controller feels: at and beyond the limit."""

from dataclasses import replace
from math import pi

import numpy as np
import pytest

from refledge.airframe.assessment import Assessment
from refledge.airframe.felt import FELT
from refledge.airframe.modeshapes import describe_modes, mode_kinds
from refledge.airframe.shaking_checks import shaking_checks
from refledge.airframe.sizing import Sized
from refledge.airframe.task import Task
from refledge.analysis.beam import rigid_shapes
from refledge.model.checks import Check, Verdict
from tests.airframe.test_other_checks import keyed


def with_modes(found: Assessment, frequencies: list[float], felt: list[float]) -> Assessment:
    count = len(frequencies)
    modes = replace(
        found.modes,
        frequencies=np.array(frequencies),
        felt=np.array(felt),
        labels=found.modes.labels[:count],
        shapes=found.modes.shapes[:count],
    )
    return replace(found, modes=modes)


def shaken(
    task: Task, sized: Sized, frequencies: list[float], felt: list[float]
) -> dict[str, Check]:
    return keyed(shaking_checks(task, sized.frame, with_modes(sized.assessment, frequencies, felt)))


def test_a_felt_mode_at_the_excitation_fails(task: Task, sized: Sized) -> None:
    turn = task.speeds.hover_speeds[0] / (2 * pi)
    blade = task.speeds.blades * turn
    strong = [2 * FELT, 2 * FELT]
    at_turn = shaken(task, sized, [turn, 9 * blade], strong)
    assert at_turn["once-per-turn"].verdict is Verdict.FAILS
    assert at_turn["blade-pass"].verdict is not Verdict.FAILS
    at_blade = shaken(task, sized, [turn / 2, 1.1 * blade], strong)
    assert at_blade["blade-pass"].demand == pytest.approx(0.1)
    assert at_blade["blade-pass"].verdict is Verdict.FAILS
    assert at_blade["once-per-turn"].demand == pytest.approx(0.5)


def test_a_mode_that_is_not_felt_may_lie_anywhere(task: Task, sized: Sized) -> None:
    turn = task.speeds.hover_speeds[0] / (2 * pi)
    found = shaken(task, sized, [turn, 2 * turn], [0.5 * FELT, 0.5 * FELT])
    assert found["once-per-turn"].verdict is Verdict.HOLDS
    assert found["once-per-turn"].note == "no mode is felt"


def test_felt_modes_alone_are_held_apart(task: Task, sized: Sized) -> None:
    """An unfelt mode at the excitation hides nothing: the felt one beside it is what counts."""
    turn = task.speeds.hover_speeds[0] / (2 * pi)
    found = shaken(task, sized, [turn, 1.25 * turn], [0.5 * FELT, 2 * FELT])
    assert found["once-per-turn"].demand == pytest.approx(0.25)


def test_pairs_are_held_against_both_their_speeds(task: Task, sized: Sized) -> None:
    speeds = replace(task.speeds, hover_speeds=(400.0, 450.0))
    found = shaken(replace(task, speeds=speeds), sized, [450.0 / 2 / pi, 1e3], [9.0, 9.0])
    assert found["once-per-turn-lower"].verdict is Verdict.FAILS
    assert found["once-per-turn-upper"].demand == pytest.approx(450 / 400 - 1)
    assert {"blade-pass-upper", "blade-pass-lower"} <= set(found)


def test_lowest_mode_against_control(task: Task, sized: Sized) -> None:
    """Twice 8 Hz is asked."""
    limit = task.brief.limits.control_bandwidth * task.brief.limits.bandwidth_ratio
    low = shaken(task, sized, [0.99 * limit, 500.0], [0.0, 0.0])["first-mode"]
    assert (low.capacity, low.verdict) == (limit, Verdict.FAILS)
    high = shaken(task, sized, [2 * limit, 500.0], [0.0, 0.0])["first-mode"]
    assert high.verdict is Verdict.HOLDS


def test_felt_acceleration_by_hand(task: Task, sized: Sized) -> None:
    """F phi_tip phi_hub / (2 zeta m), motors out of step; F = m G omega (ISO 21940-11)."""
    modes, structure = sized.assessment.modes, sized.assessment.structure
    turning = 0.6 * task.brief.motor.mass + task.brief.propeller.mass
    force = turning * task.brief.limits.balance_grade * max(task.speeds.hover_speeds)
    shape = modes.shapes[3]
    kinetic = 0.0
    for each in structure.frame.masses:
        moved, turned = shape[each.node, :3], shape[each.node, 3:]
        kinetic += each.mass * np.sum((moved + np.cross(turned, each.offset)) ** 2)
        kinetic += turned @ each.inertia @ turned
    for bar in structure.bars:
        middle = (shape[bar.a, :3] + shape[bar.b, :3]) / 2
        kinetic += bar.mass(structure.frame.nodes) * np.sum(middle**2)
    tips = np.sqrt(np.sum(shape[list(structure.tips), :3] ** 2))
    hub = np.linalg.norm(shape[structure.hub, :3])
    expected = hub * tips * force / (2 * task.materials["ASA"].damping * kinetic)
    assert modes.felt[3] == pytest.approx(expected, rel=0.1)  # beams' masses at their middles


def test_mode_words(sized: Sized) -> None:
    """A heave of the tips, a sway of the tips, a heave of all as one body."""
    structure = sized.assessment.structure
    nodes, tips = structure.frame.nodes, list(structure.tips)
    up, against, sway = (np.zeros((len(nodes), 6)) for _ in range(3))
    up[tips, 2] = 1.0
    against[tips, 2] = [1, -1, 1, -1, 1, -1]
    out = nodes[tips, :2] / np.linalg.norm(nodes[tips, :2], axis=1)[:, None]
    sway[tips, 0], sway[tips, 1] = -out[:, 1], out[:, 0]
    body = (rigid_shapes(nodes) @ np.array([1.0, 0, 0, 0, 0, 0])).reshape(-1, 6)
    body[tips] = 0.0
    shapes = np.array([up, against, sway, body])
    words = describe_modes(structure, shapes)
    assert words[0] == "arms bend up and down, all in step"
    assert words[1] == "arms bend up and down, against each other"
    assert words[2] == "arms bend sideways, all in step"
    assert mode_kinds(structure, shapes) == ("vertical", "vertical", "lateral", "body")
