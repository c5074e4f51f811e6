"""From a brief to its finalists: sweep, front, frames sized in full."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from refledge.airframe.making import make_solids
from refledge.analysis.solve import rigid_body_mass
from refledge.choosing import compare as comparing
from refledge.choosing import kept
from refledge.choosing.candidates import gather, kinds_for
from refledge.choosing.compare import SWEEP, Comparison, compare
from refledge.choosing.finalist import Dropped
from refledge.choosing.inertia import whole_body
from refledge.choosing.making_cost import making_of
from refledge.choosing.picking import Front, front_of, pick, survey
from refledge.choosing.sized import Closed, size_layout
from refledge.choosing.surrogate import LEAST, Surrogate
from refledge.errors import FlightError
from refledge.flight.air import GRAVITY
from refledge.inputs.also import Also
from refledge.model.brief import Brief
from refledge.printing.calibration import PLASTIC_SPREAD
from refledge.printing.orienting import figures_as_laid
from refledge.study import design
from refledge.sweeps.frame_mass import PETG_BOX
from refledge.sweeps.run import sweep
from tests.choosing.conftest import SMALL

ALIKE = "six-x turns ccw ccw cw ccw cw cw"


@pytest.fixture(scope="session")
def closed(brief: Brief) -> Closed:
    candidates = gather(brief, Also())
    return size_layout(candidates.brief_of(candidates.own), candidates.rotor_of(0), 3.2)


def no_look(_candidates: object, _tell: object) -> Surrogate:
    return Surrogate(PETG_BOX, (), "box", "PETG")


def test_kinds_from_four_to_eight_flat_and_paired_and_a_hardier_order(brief: Brief) -> None:
    assert kinds_for(brief) == (
        "four-x", "six-x", ALIKE, "eight-x", "three-pairs", "four-pairs",
    )  # fmt: skip
    plus = replace(brief, layout=replace(brief.layout, kind="six-plus"))
    assert "six-plus" in kinds_for(plus)
    assert "six-x" not in kinds_for(plus)
    own = "ccw cw cw ccw cw ccw"
    turned = replace(brief, layout=replace(brief.layout, turn_order=own))
    assert kinds_for(turned)[-3] == f"six-x turns {own}"


def test_candidates_are_the_brief_with_other_items(brief: Brief) -> None:
    candidates = gather(brief, Also(propeller=(SMALL,)))
    assert candidates.grid.count == 12
    assert candidates.own == 2  # the second kind, its first propeller
    assert candidates.brief_of(2) == replace(
        brief, layout=replace(brief.layout, turn_order="", motor_radius=None)
    )
    other = candidates.brief_of(5)
    assert (other.layout.kind, other.propeller) == ("six-x", SMALL)
    assert other.layout.turn_order == ALIKE.removeprefix("six-x turns ")
    assert candidates.rotor_of(5).method.startswith("estimate")
    assert np.all(np.isfinite(candidates.grid.reach))


def test_the_closed_frame_is_what_design_starts_from(closed: Closed) -> None:
    assert abs(closed.residual) <= 1e-3
    assert closed.task.all_up_mass == pytest.approx(closed.all_up_mass, abs=1e-3)
    assert closed.sized.feasible
    assert closed.task.hover.total_thrust == pytest.approx(closed.all_up_mass * GRAVITY, rel=1e-3)


@pytest.mark.slow
def test_design_with_solids_agrees(closed: Closed, brief: Brief) -> None:
    """Formulas against solids: 5 % of the frame's mass is what docs/layouts.md states."""
    study = design(brief)
    assert study.layout.kind == closed.sized.layout.kind
    assert study.frame_mass == pytest.approx(closed.sized.frame_mass, rel=0.05)


def test_inertia_is_that_of_the_beam_frame(closed: Closed) -> None:
    """Two ways: rods and bodies summed here, the mass matrix and rigid motions there; they differ
    by the rotary inertia of the beams' sections."""
    assessment = closed.sized.assessment
    mine, theirs = whole_body(assessment), rigid_body_mass(assessment.structure.frame)
    assert mine.mass == pytest.approx(theirs.mass, rel=1e-9)
    assert mine.centre == pytest.approx(theirs.centre, abs=1e-9)
    assert mine.inertia == pytest.approx(theirs.inertia, rel=2e-3, abs=2e-5)
    payload = closed.task.brief.payload.mass
    assert mine.mass == pytest.approx(closed.all_up_mass - payload, rel=1e-6)  # it hangs on a line


def test_printing_is_the_plans_model_on_the_solids(closed: Closed) -> None:
    """Every part as it lies when sized; the plastic by slices lies within its spread of that by
    formula, a second way to it."""
    making, brief = making_of(closed.task, closed.sized), closed.task.brief
    solids = make_solids(closed.task, closed.sized.frame, closed.sized.layout)
    seconds = 0.0
    for spec in solids.specs:
        mesh = solids.assembly.meshes[spec.key]
        figures = figures_as_laid(mesh, spec.print_rotation, brief.frame, brief.printer)
        seconds += spec.quantity * figures.seconds
    assert making.hours == pytest.approx(seconds / 3600, rel=1e-9)
    assert 0.1 < making.hours_spread / making.hours < 0.5
    screws = sum(line.quantity * line.mass for line in closed.sized.assessment.fasteners)
    plastic = closed.sized.frame_mass - screws
    assert making.printed_mass == pytest.approx(plastic, rel=PLASTIC_SPREAD)
    price = closed.task.cards["ASA"].price_low.value
    assert making.price_low == pytest.approx(making.printed_mass * price, rel=1e-9)
    assert making.parts == sum(spec.quantity for spec in solids.specs)
    assert making.different == len(solids.specs) > 5


def test_finalists_with_their_reasons(comparison: Comparison) -> None:
    first, second = comparison.finalists
    assert (first.key, first.kind, first.reasons[0]) == ("A", "six-x", "as the brief has it")
    assert (second.key, second.kind) == ("B", "four-x")
    assert "longest hover" in second.reasons
    assert second.flying.endurance.value > first.flying.endurance.value
    assert first.holds == (first.feasible and not first.misses)
    assert first.flying.endurance.value == pytest.approx(first.flying.hover.endurance)
    assert comparison.survey.swept == 12
    assert comparison.survey.hovering == 12
    lacking = {buy.name: buy.needed - buy.sound for buy in first.to_buy}
    assert lacking[comparison.brief.motor.name] == 2


def test_the_sweep_foretells_the_frame(comparison: Comparison) -> None:
    """Its law was set by frames of this brief: within three times its stated spread."""
    law = comparison.surrogate.law
    assert len(comparison.surrogate.frames) >= LEAST
    assert law.spread < 0.15
    for each in comparison.finalists:
        off = each.swept_frame_mass / each.frame_mass - 1
        assert abs(off) < 3 * law.spread + 0.02


def test_losses_differ_as_the_layouts_do(comparison: Comparison) -> None:
    six, four = (each.flying.losses for each in comparison.finalists)
    assert all(loss.level and not loss.heading for loss in six)
    assert all(loss.seconds > 60 for loss in six)
    assert not any(loss.level for loss in four)
    assert "level" in four[0].why
    own = next(order for order in comparison.finalists[0].flying.orders if order.own)
    assert own.kept == 0
    assert comparison.finalists[0].flying.orders[0].kept == 4


def test_the_front_holds_wishes_or_says_that_nothing_does(brief: Brief, tmp_path: Path) -> None:
    candidates = gather(brief, Also(propeller=(SMALL,)))
    store = sweep(candidates.grid, tmp_path)
    front = front_of(store, brief)
    assert not front.relaxed
    assert np.all(front.columns["all_up_mass"] <= brief.mission.all_up_limit)
    greedy = replace(brief, mission=replace(brief.mission, hover_time=7200.0))
    assert front_of(store, greedy).relaxed
    found = survey(store, candidates)
    assert set(found.nearest) == set(candidates.kinds)
    longest = max(c["endurance"].max() for c in store)
    assert max(row["endurance"] for row in found.nearest.values()) == pytest.approx(longest)


def test_picks_are_few_and_of_every_kind(brief: Brief, tmp_path: Path) -> None:
    candidates = gather(brief, Also(propeller=(SMALL,)))
    front = front_of(sweep(candidates.grid, tmp_path), brief)
    picks = pick(front, candidates, 26)
    assert len({each.candidate for each in picks}) == len(picks)
    assert picks[0].reasons[0] == "as the brief has it"
    kinds = [candidates.kinds[each.candidate // 2] for each in picks]
    assert {"six-x", "four-x", "three-pairs", "four-pairs"} <= set(kinds)
    assert [each.candidate for each in pick(front, candidates, 3)] == [
        each.candidate for each in picks[:3]
    ]
    best = front.columns["candidate"][np.argmax(front.columns["endurance"])]
    reasons = {each.candidate: each.reasons for each in picks}
    assert "longest hover" in reasons[int(best)]


def test_a_kind_that_is_there_is_not_sized_again_for_its_hover(brief: Brief) -> None:
    """A second six-rotor hovers longer than the brief's, but another kind is worth more room."""
    candidates = gather(brief, Also(propeller=(SMALL,)))
    four, own, longer, pairs = 0, 2, 3, 8  # kinds in their order, two propellers each
    columns = {
        "candidate": np.array([four, longer, own, pairs]),
        "endurance": np.array([1200.0, 1000.0, 900.0, 800.0]),
        "footprint": np.array([0.7, 0.9, 0.9, 0.8]),
        "all_up_mass": np.array([2.5, 3.2, 3.2, 3.0]),
        "thrust_margin": np.array([3.0, 2.0, 2.0, 2.5]),
        "rotor_lost": np.array([0, 1, 1, 2]),
    }
    picks = pick(Front(columns, relaxed=False), candidates, 26)
    assert [each.candidate for each in picks] == [own, four, pairs]


def stub(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing is sized; the sweep itself is real."""
    monkeypatch.setattr(comparing, "surrogate_for", no_look)
    monkeypatch.setattr(
        kept, "make_finalist", lambda wanted: Dropped(wanted.brief.layout.kind, "not now")
    )


def test_a_sweep_is_found_again_and_others_are_cleared(
    brief: Brief, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    stub(monkeypatch)
    compare(brief, Also(), tmp_path)
    (chunk,) = tmp_path.glob(f"{SWEEP}*/chunk-*.parquet")
    before = chunk.stat().st_mtime_ns
    found = compare(brief, Also(), tmp_path)
    assert chunk.stat().st_mtime_ns == before
    assert {each.why for each in found.dropped} == {"not now"}
    (tmp_path / "mine.txt").write_text("keep me")
    compare(brief, Also(propeller=(SMALL,)), tmp_path)
    assert not chunk.exists()
    assert len(list(tmp_path.glob(f"{SWEEP}*"))) == 1
    assert (tmp_path / "mine.txt").exists()


def test_nothing_that_hovers_is_said(
    brief: Brief, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    stub(monkeypatch)
    heavy = replace(brief, payload=replace(brief.payload, mass=15.0))
    with pytest.raises(FlightError, match="none of 6 candidates can hover"):
        compare(heavy, Also(), tmp_path)


def test_a_free_layout_is_the_first_finalist(
    brief: Brief, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    stub(monkeypatch)
    seen = []
    monkeypatch.setattr(
        kept, "make_finalist", lambda w: seen.append(w) or Dropped(w.brief.layout.kind, "")
    )
    angles = tuple(np.radians([40.0, -40.0, 140.0, -140.0]).tolist())
    free = replace(brief, layout=replace(brief.layout, kind="free", arm_angles=angles))
    compare(free, Also(), tmp_path, most=2)
    assert [each.key for each in seen] == ["A", "B"]
    assert seen[0].brief is free
    assert seen[0].pick.candidate == -1


@pytest.mark.slow
def test_processes_size_alike(comparison: Comparison, brief: Brief, tmp_path: Path) -> None:
    """Two processes give the same finalists, in the same order."""
    again = compare(brief, Also(propeller=(SMALL,)), tmp_path, most=2, jobs=2)
    for one, other in zip(comparison.finalists, again.finalists, strict=True):
        assert one.frame_mass == other.frame_mass
        assert one.flying.losses == other.flying.losses
