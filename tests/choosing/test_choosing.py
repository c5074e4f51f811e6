"""The brief with a finalist in it: comments stay, and reading it gives what was chosen."""

from dataclasses import replace
from pathlib import Path

import pytest

from refledge.airframe.task_making import rotor_model
from refledge.choosing.candidates import gather
from refledge.choosing.choosing import chosen_brief
from refledge.inputs.also import Also, read_also
from refledge.inputs.brief import read_brief
from refledge.inputs.editing import edited
from tests.choosing.conftest import LAKE

TEXT = (LAKE / "brief.toml").read_text(encoding="utf-8")


def number_of(kind: str, also: Also, propeller: int = 0, pack: int = 0, motor: int = 0) -> int:
    candidates = gather(read_brief(LAKE / "brief.toml"), also)
    return next(
        n
        for n in range(candidates.grid.count)
        if [int(i[0]) for i in candidates.grid.indices(n, n + 1)]
        == [candidates.kinds.index(kind), propeller, pack, motor]
    )


@pytest.mark.parametrize("kind", ["three-pairs", "six-x turns ccw ccw cw ccw cw cw"])
def test_only_the_layout_changes(kind: str, tmp_path: Path) -> None:
    brief = read_brief(LAKE / "brief.toml")
    candidates = gather(brief, Also())
    target = tmp_path / "deep" / "chosen.toml"
    target.parent.mkdir()
    made = chosen_brief(TEXT, candidates, number_of(kind, Also()), target)
    target.write_text(made.text, encoding="utf-8")
    found = read_brief(target)
    name, _, turns = kind.partition(" turns ")
    assert (found.layout.kind, found.layout.turn_order) == (name, turns)
    assert made.tables == {}
    kept = replace(
        found,
        layout=brief.layout,
        propeller=brief.propeller,
        folder=brief.folder,
        assumed=brief.assumed,
    )
    assert kept == brief
    assert rotor_model(found).method == rotor_model(brief).method  # its table is found from there
    for line in TEXT.splitlines():
        if "#" in line:
            assert line in made.text


def test_items_change_with_their_whole_tables(tmp_path: Path) -> None:
    also = read_also(LAKE / "also.toml")
    candidates = gather(read_brief(LAKE / "brief.toml"), also)
    number = number_of("four-x", also, propeller=1, pack=2, motor=1)
    target = tmp_path / "chosen.toml"
    target.write_text(chosen_brief(TEXT, candidates, number, target).text, encoding="utf-8")
    found = read_brief(target)
    assert found.propeller == also.propeller[0]
    assert found.battery == also.battery[1]
    assert found.motor == also.motor[0]
    assert found.flight_controller == candidates.brief.flight_controller


def test_a_stand_run_becomes_coefficients_under_another_motor(tmp_path: Path) -> None:
    """With the new motor's constants the run's torque would come out wrong."""
    lake = read_brief(LAKE / "brief.toml")
    rotor = rotor_model(lake)
    rows = [(rpm, rotor.thrust(rpm * 0.10472, 1.1), rpm**3 * 9e-10) for rpm in (2000, 4000, 6000)]
    lines = ["rpm,thrust (N),power (W)", *(f"{a},{b:.4f},{c:.3f}" for a, b, c in rows)]
    (tmp_path / "stand.csv").write_text("\n".join(lines) + "\n")
    text = TEXT.replace('coefficients = "propeller-11x4.7.csv"', 'thrust_table = "stand.csv"')
    (tmp_path / "brief.toml").write_text(text, encoding="utf-8")
    brief, also = read_brief(tmp_path / "brief.toml"), read_also(LAKE / "also.toml")
    candidates = gather(brief, also)
    target = tmp_path / "chosen.toml"
    made = chosen_brief(text, candidates, number_of("six-x", also, motor=1), target)
    for name, content in {"chosen.toml": made.text, **made.tables}.items():
        (tmp_path / name).write_text(content, encoding="utf-8")
    found = read_brief(target)
    assert found.propeller.thrust_table == ""
    assert list(made.tables) == [found.propeller.coefficients]
    then, now = candidates.rotor_of(0), rotor_model(found)
    assert now.CT_curve.values == pytest.approx(then.CT_curve.values, abs=2e-6)
    assert now.CP_curve.values == pytest.approx(then.CP_curve.values, abs=2e-6)


def test_a_table_that_is_lacking_is_put_at_the_end() -> None:
    text = 'title = "x"  # mine\n'
    assert edited(text, {"layout": {"kind": "four-x"}}) == (
        'title = "x"  # mine\n\n[layout]\nkind = "four-x"\n'
    )
    assert edited(text + '[layout]\nkind = "six-x"  # why\n', {"layout": {"kind": "four-x"}}) == (
        'title = "x"  # mine\n[layout]\nkind = "four-x"  # why\n'
    )
