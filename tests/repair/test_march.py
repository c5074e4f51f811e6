"""The march: invariants of motion, reduction against the full frame, breaking."""

from dataclasses import replace

import numpy as np
import pytest

from refledge.airframe.blows.cases import FRICTION, CrashCase, hunt_crossley
from refledge.analysis.frame import PointMass
from refledge.analysis.modal import modes
from refledge.analysis.solve import rigid_body_mass
from refledge.repair import kernel, marching
from refledge.repair.marching import (
    Crashes,
    Model,
    _ground,
    first_motion,
    follow,
    gaps,
    time_step,
)
from refledge.repair.reduced import RIGID, Reduced, reduce_frame, without


def crash(model: Model, case: CrashCase, speed: float, strength: float = 1.0) -> Crashes:
    one, factors = np.ones((1, 1)), np.full((1, len(model.parts)), strength)
    return Crashes(one * case.up, speed * one * case.velocity, speed * one * case.turn, factors,
                   factors)  # fmt: skip


def test_modes_are_those_of_the_frame(model: Model) -> None:
    """Condensed and dense against the block Lanczos of the beam frame."""
    reduced, _ = model.reduced(frozenset())
    frequencies, _ = modes(model.frame, 20)
    ours = np.sqrt(reduced.squares[RIGID : RIGID + 20]) / (2 * np.pi)
    assert ours == pytest.approx(frequencies, rel=1e-6)


def test_shapes_have_unit_modal_mass(model: Model) -> None:
    reduced, _ = model.reduced(frozenset())
    assert reduced.shapes.T @ reduced.mass_shapes == pytest.approx(
        np.eye(len(reduced.squares)), abs=1e-9
    )


def test_static_correction_makes_the_give_complete(model: Model) -> None:
    """Modes kept and modes left out together give what all modes give."""
    few, _ = model.reduced(frozenset())
    all_of_them = reduce_frame(model.frame, model.frame, model.points, model.where, frozenset(),
                               kept=1e9)  # fmt: skip
    assert np.all(all_of_them.give < 1e-15)
    assert np.abs(all_of_them.steady).max() == 0.0

    def gives(reduced: Reduced) -> np.ndarray:
        at = reduced.points[:, :, RIGID:] ** 2 / reduced.squares[RIGID:]
        return np.asarray(at.sum(axis=(1, 2)) / 3)

    assert gives(few) + few.give == pytest.approx(gives(all_of_them), rel=1e-9)


def test_a_piece_taken_off_takes_its_mass_with_it(model: Model) -> None:
    """An arm goes with its motor; only what lies between its clamp bolts stays."""
    before = rigid_body_mass(model.frame).mass
    after = rigid_body_mass(without(model.frame, model.structure, frozenset({"arm 2"}))).mass
    tips = sum(m.mass for m in model.frame.masses if m.node == model.structure.tips[1])
    arm = sum(model.structure.bars[n].mass(model.frame.nodes)
              for n in model.structure.beams_of("arm", 1)[1:])  # fmt: skip
    assert before - after == pytest.approx(tips + arm, rel=1e-3)
    reduced, _ = model.reduced(frozenset({"arm 2", "leg 1", "tray"}))
    assert reduced.present.sum() < len(model.points)


def test_what_is_at_a_leg_s_end_goes_with_the_leg(model: Model) -> None:
    """A foot, or half a skid: its mass must not hang in the air where a leg was."""
    masses = tuple(PointMass(node, 0.01) for node in model.structure.feet)
    shod = replace(model.frame, masses=(*model.frame.masses, *masses))
    left = without(shod, model.structure, frozenset({"leg 2"}))
    bare = without(model.frame, model.structure, frozenset({"leg 2"}))
    more = rigid_body_mass(left).mass - rigid_body_mass(bare).mass
    assert more == pytest.approx(0.01 * (len(masses) - 1))
    reduced = reduce_frame(shod, left, model.points, model.where, frozenset({"leg 2"}))
    assert reduced.present.sum() == len(model.points) - 1


def test_momentum_goes_over_to_what_is_left(model: Model) -> None:
    """A body that moves without turning moves on at its speed once an arm has come off."""
    old, _ = model.reduced(frozenset())
    new, _ = model.reduced(frozenset({"arm 2"}))
    moving = np.zeros((len(model.frame.nodes), 6))
    moving[:, 2] = -4.0
    v = moving.ravel() @ old.mass_shapes
    carried = new.shapes @ (new.mass_shapes.T @ (old.shapes @ v))
    tips = [tip for arm, tip in enumerate(model.structure.tips) if arm != 1]
    assert carried.reshape(-1, 6)[tips, 2] == pytest.approx(-4.0, abs=1e-6)


def test_nothing_breaks_in_a_touch_and_everything_in_a_bomb(
    model: Model, cases: dict[str, CrashCase]
) -> None:
    soft = follow(model, crash(model, cases["flat-drop"], 0.1), 0.02)
    assert soft.first[0] == -1
    assert not soft.broken.any()
    hard = follow(model, crash(model, cases["flat-drop"], 25.0), 0.02)
    assert hard.first[0] >= 0


def test_use_falls_as_strength_grows_and_breaking_follows_it(
    model: Model, cases: dict[str, CrashCase]
) -> None:
    weak = follow(model, crash(model, cases["arm-tip"], 1.0), 0.02, breaks=0)
    strong = follow(model, crash(model, cases["arm-tip"], 1.0, 2.0), 0.02, breaks=0)
    assert strong.peak == pytest.approx(weak.peak / 2, rel=1e-9)
    greatest = weak.peak.max()
    just = follow(model, crash(model, cases["arm-tip"], 1.0, greatest * 1.001), 0.02)
    below = follow(model, crash(model, cases["arm-tip"], 1.0, greatest * 0.999), 0.02)
    assert just.first[0] == -1
    assert below.first[0] == int(np.argmax(weak.peak[0]))


def test_the_answer_does_not_hang_on_the_time_step(
    model: Model, cases: dict[str, CrashCase], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A third of the step changes the peaks by a few percent at most: stresses are looked at every
    fourth step, and a peak may fall between two looks."""
    coarse = follow(model, crash(model, cases["arm-tip"], 3.0), 0.01, breaks=0).peak
    monkeypatch.setattr(marching, "time_step", lambda *given: time_step(*given) / 3)
    fine = follow(model, crash(model, cases["arm-tip"], 3.0), 0.01, breaks=0).peak
    assert coarse == pytest.approx(fine, rel=0.05, abs=0.02)


def test_the_ground_takes_energy_and_gives_none(model: Model, cases: dict[str, CrashCase]) -> None:
    """Kinetic and strain energy after the blow are less than before, but not nothing."""
    one = crash(model, cases["flat-drop"], 2.0)
    reduced, table = model.reduced(frozenset())
    v = first_motion(model, reduced, one)
    ground = _ground(model, reduced)
    alive = np.zeros((1, len(model.parts)), dtype=bool)
    _, _, _, q_end, v_end = kernel.run(
        np.zeros_like(v), v, np.zeros(1), 0.02, one.up, gaps(model, one.up), alive, one.plane,
        one.across, reduced.squares, np.zeros(len(reduced.squares)), reduced.points, ground,
        hunt_crossley(np.array([2.0])), FRICTION, reduced.recover, reduced.steady, table.normal,
        table.shear, table.strength, table.layers, table.part_of, time_step(reduced, ground), 4,
    )  # fmt: skip
    start = float((v**2).sum())
    end = float((v_end**2).sum() + (reduced.squares * q_end**2).sum())
    assert 0.02 * start < end < start
