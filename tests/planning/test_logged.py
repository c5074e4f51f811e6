"""Prints of the log behind a plan's times: which count, what they change, and that it is said."""

from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from refledge.inputs.print_records import read_print_records
from refledge.interfaces import print_log
from refledge.interfaces.mending import lines
from refledge.interfaces.print_log import KEPT, kept_prints, own_times, with_own_prints
from refledge.model.logbook import Flight, Print
from refledge.outputs.print_plan import fitted_words, time_words
from refledge.outputs.repair_files import read_record, repair_json
from refledge.planning.logged import rows_csv, usable_prints
from refledge.planning.plan import PlannedPart, PrintPlan
from refledge.printing.calibration import calibrate
from refledge.printing.plates import Bed
from refledge.printing.posed import time_posed
from refledge.repair.interfaces import joints_of, revisions
from refledge.repair.mending import mend, parse_broken
from refledge.repair.record import build_record
from refledge.store.logbook import Logbook
from refledge.study import Study
from tests.outputs.fake_study import fake_study

HUGE = Bed("huge", 2.0, 2.0)
SLOWER = 1.3


@pytest.fixture(scope="module")
def study() -> Study:
    return fake_study()


def planned(study: Study, key: str) -> PlannedPart:
    """As ``plan_prints`` has it, without the search for a pose."""
    spec = next(each for each in study.parts if each.key == key)
    mesh, brief = study.assembly.meshes[key], study.brief
    figures = time_posed(mesh, spec.print_rotation, brief.frame, brief.printer)
    chosen: Any = SimpleNamespace(figures=figures, label="as sized")
    seconds, spread = calibrate().seconds(figures)
    return PlannedPart(
        spec=spec, chosen=chosen, others=(), has_loads=False, seconds=seconds, spread=spread,
        mass=figures.plastic * study.cards[spec.material].rho.value, length=1.0,
        price=(1.0, 2.0), energy=1.0, reason="", next_best="",
    )  # fmt: skip


@pytest.fixture(scope="module")
def plan(study: Study) -> PrintPlan:
    parts = tuple(planned(study, key) for key in ("arm", "mount"))
    return PrintPlan(parts, (), calibrate(), (), "", ())


def current(study: Study) -> dict[str, str]:
    keys = [spec.key for spec in study.parts]
    return dict(revisions(joints_of(study.frame, study.layout, study.brief, keys)))


def arm_print(plan: PrintPlan, **changes: Any) -> Print:
    """One arm that took longer than the model says and weighed more."""
    arm = plan.parts[0]
    seconds, kilograms = SLOWER * arm.chosen.figures.seconds, 1.1 * arm.mass
    return replace(Print(part="arm", seconds=seconds, mass=kilograms), **changes)


def logged(folder: Path, *prints: Print) -> Path:
    with Logbook(folder) as book:
        book.add("2026-05-01", Flight(seconds=600.0, note="over the lake"))
        for each in prints:
            book.add("2026-05-02", each)
    return folder / "brief.toml"


def test_only_prints_of_this_design_as_it_is_count(study: Study, plan: PrintPlan) -> None:
    here = current(study)
    good = arm_print(plan, revision=here["arm"], material=plan.parts[0].spec.material)
    wrong = {
        "of parts": arm_print(plan, part="keel"),
        "that failed": arm_print(plan, failure="came off the bed"),
        "has changed": arm_print(plan, revision="0000"),
        "other settings": arm_print(plan, settings="0.3 mm layers"),
        "another plastic": arm_print(plan, material="PC"),
    }
    rows, left = usable_prints(plan, [*wrong.values(), good, arm_print(plan)], here)
    assert [(row.part, row.line) for row in rows] == [("arm", 7), ("arm", 8)]
    assert left.count("left out: 1 ") == 5
    assert all(words in left for words in wrong)
    assert usable_prints(plan, [good], here)[1] == ""


def test_the_log_beside_the_brief_sets_times_and_grams(
    study: Study, plan: PrintPlan, tmp_path: Path
) -> None:
    """Eight arms 30 % slower and 10 % heavier than the model; mounts follow, poses stay."""
    brief = logged(tmp_path, *[arm_print(plan) for _ in range(8)], arm_print(plan, part="keel"))
    found, rows = with_own_prints(study, plan, brief, None, (HUGE,))
    assert len(rows) == found.calibration.records == 8
    for before, after in zip(plan.parts, found.parts, strict=True):
        assert after.seconds == pytest.approx(SLOWER * before.seconds, rel=0.04)
        assert after.mass == pytest.approx(1.1 * before.mass, rel=0.02)
        assert after.spread < before.spread
        assert after.chosen is before.chosen
    assert found.plates
    said = "fitted to 8 of your prints, from the log in bench.sqlite (left out: 1 of parts"
    assert said in time_words(found)


def test_without_prints_all_is_as_it_was(study: Study, plan: PrintPlan, tmp_path: Path) -> None:
    assert with_own_prints(study, plan, tmp_path / "brief.toml", None) == (plan, ())
    assert with_own_prints(study, plan, logged(tmp_path), None) == (plan, ())
    assert time_words(plan) == "Time model: no print of yours yet."


def test_prints_of_other_parts_alone_are_said_and_change_nothing(
    study: Study, plan: PrintPlan, tmp_path: Path
) -> None:
    brief = logged(tmp_path, arm_print(plan, part="keel"))
    found, rows = with_own_prints(study, plan, brief, None)
    assert rows == ()
    assert found.parts == plan.parts
    assert "no print of yours that fits this design" in time_words(found)
    assert "left out: 1 of parts that this airframe has not" in time_words(found)


def test_a_build_keeps_the_prints_and_gives_the_same_times_again(
    study: Study, plan: PrintPlan, tmp_path: Path
) -> None:
    """Nothing else of the log goes with them."""
    brief = logged(tmp_path, *[arm_print(plan, seconds=7000.1 + k) for k in range(3)])
    first, rows = with_own_prints(study, plan, brief, None, (HUGE,))
    (kept,) = kept_prints(rows).values()
    assert b"lake" not in kept
    build = tmp_path / "build"
    (build / "given").mkdir(parents=True)
    (build / KEPT).write_bytes(kept)
    again, _ = with_own_prints(study, plan, build / "brief.toml", None, (HUGE,))
    assert [p.seconds for p in again.parts] == pytest.approx([p.seconds for p in first.parts])
    assert "as the build keeps them" in time_words(again)
    assert kept_prints(()) == {}


def test_rows_come_back_from_their_csv(plan: PrintPlan, tmp_path: Path) -> None:
    prints = [arm_print(plan, copies=2), arm_print(plan, mass=0.0)]
    rows, _ = usable_prints(plan, prints, {})
    (tmp_path / "prints.csv").write_text(rows_csv(rows))
    back = read_print_records(tmp_path / "prints.csv")
    assert [(r.part, r.copies, r.line) for r in back] == [("arm", 2, 2), ("arm", 1, 3)]
    np.testing.assert_allclose([r.seconds for r in back], [r.seconds for r in rows])
    np.testing.assert_allclose([r.kilograms for r in back], [r.kilograms for r in rows])


def test_repair_takes_the_times_of_the_prints_and_says_so(
    study: Study, plan: PrintPlan, tmp_path: Path
) -> None:
    brief = logged(tmp_path, *[arm_print(plan) for _ in range(8)])
    found, _ = with_own_prints(study, plan, brief, None, (HUGE,))
    said = {}
    for name, known in (("plain", None), ("own", found.calibration)):
        (tmp_path / name).write_text(repair_json(study, known))
        record = read_record(tmp_path / name)
        mending = mend(parse_broken(["arm 1"], record), record)
        said[name] = (mending.jobs[0].part, "\n".join(lines(mending, tmp_path)))
    (plain, words), (own, own_words) = said["plain"], said["own"]
    assert own.seconds == pytest.approx(SLOWER * plain.seconds, rel=0.04)
    assert own.plastic == pytest.approx(1.1 * plain.plastic, rel=0.02)
    assert own.cost > plain.cost
    assert "by the model alone" in words
    assert "fitted to 8 of your prints" in own_words


def test_spares_and_crashes_take_the_same_times(
    study: Study, plan: PrintPlan, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Eight arms 30 % slower: what a crash costs is counted with them, else by the model alone."""
    monkeypatch.setattr(print_log, "plan_prints", lambda _study: plan)
    flights, own = tmp_path / "flights", tmp_path / "own"
    flights.mkdir()
    own.mkdir()
    assert own_times(study, tmp_path / "brief.toml", None) is None
    assert own_times(study, logged(flights), None) is None, "flights alone"
    known = own_times(study, logged(own, *[arm_print(plan) for _ in range(8)]), None)
    assert known is not None
    record, model = build_record(study, known), build_record(study)
    slow, fast = record.part("arm"), model.part("arm")
    assert slow is not None
    assert fast is not None
    assert slow.seconds == pytest.approx(SLOWER * fast.seconds, rel=0.05)
    assert "8 of your prints" in fitted_words(record.prints)
    assert "model alone" in fitted_words(model.prints)
