"""Tables and study.json."""

import csv
import json
import types
import typing
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from refledge.model.brief import Brief
from refledge.outputs.record import _LEFT_OUT, plain, study_json, unit_of, units_by_path
from refledge.outputs.result_units import RESULT_UNITS
from refledge.outputs.tables import tables
from refledge.study import Study
from tests.outputs.fake_study import check, fake_study


def _read(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


def test_parts_table_is_in_the_units_of_the_trade(built: Path) -> None:
    arm = _read(built / "parts.csv")[0]
    assert (arm["key"], arm["quantity"]) == ("arm", "6")
    assert (arm["mass each (g)"], arm["mass together (g)"]) == ("46", "276")
    assert (arm["length (mm)"], arm["printed"]) == ("300", "yes")


def test_motor_table_says_place_and_turn(built: Path) -> None:
    first, second = _read(built / "motors.csv")[:2]
    assert float(first["x (mm)"]) == pytest.approx(310 * np.cos(np.pi / 6), rel=1e-5)
    assert float(first["y (mm)"]) == pytest.approx(-155, rel=1e-5)
    assert first["turn from above"] == "counter-clockwise"
    assert second["turn from above"] == "clockwise"


def test_checks_carry_the_unit_of_their_own_row(built: Path) -> None:
    rows = {row["key"]: row for row in _read(built / "checks.csv")}
    tilt = rows["motor-tilt"]
    assert float(tilt["demand"]) == pytest.approx(np.rad2deg(0.0142), rel=1e-5)
    assert (tilt["unit"], tilt["must"]) == ("deg", "not exceed")
    assert rows["first-mode"]["must"] == "reach"
    assert float(rows["heat"]["demand"]) == pytest.approx(60.0)


def test_json_tables_say_the_same_as_csv(built: Path, study: Study) -> None:
    for table in tables(study):
        written = json.loads((built / "tables" / f"{table.name}.json").read_text())
        assert len(written["rows"]) == len(_read(built / f"{table.name}.csv"))
    masses = json.loads((built / "tables" / "masses.json").read_text())
    assert masses["units"]["each"] == "g"
    assert masses["rows"][0] == {
        "name": "motors", "group": "items", "quantity": 6, "each": 85.0, "together": 510.0,
        "x": 0.0, "y": 0.0, "z": 30.0, "source": "brief",
    }  # fmt: skip


def test_study_json_is_si_with_units_and_without_triangles(built: Path) -> None:
    written = json.loads((built / "study.json").read_text())
    assert written["verdict"] == "fails"
    assert written["study"]["brief"]["mission"]["hover_time"] == 720.0
    assert written["units"]["brief.mission.hover_time"] == "s"
    assert written["units"]["parts[].mass"] == "kg"
    assert written["units"]["cards.*.E_xy"] == "Pa"
    assert "solids" not in written["study"]
    assert "meshes" not in written["study"]["assembly"]
    assert "folder" not in written["study"]["brief"]
    assert len(written["study"]["layout"]["positions"]) == 6


def test_what_json_has_no_number_for_is_said_in_words() -> None:
    checks = (check("free", margin=float("inf")), check("odd", margin=float("nan")))
    written = json.loads(study_json(fake_study(checks=checks)))
    assert [c["margin"] for c in written["study"]["checks"]] == ["inf", "nan"]


def test_tables_say_unlimited_margins_in_words() -> None:
    study = fake_study(checks=(check("free", margin=float("inf")),))
    table = next(table for table in tables(study) if table.name == "checks")
    assert json.loads(table.json_text())["rows"][0]["margin"] == "inf"
    assert "inf" in table.csv_text()


def test_numbers_are_rounded_where_only_noise_is_left() -> None:
    found = plain({"noise": 3e-17, "sum": 0.1 + 0.2, "big": np.float64(1234567890.5)})
    assert found == {"noise": 0.0, "sum": 0.3, "big": 1234567890.0}


def test_what_cannot_be_said_is_refused() -> None:
    with pytest.raises(TypeError, match="complex"):
        plain(1 + 2j)


def _models(kind: Any) -> Iterator[type[Any]]:
    """Every dataclass that a type holds."""
    for part in (kind, *typing.get_args(kind)):
        if part is not kind:
            yield from _models(part)
        elif is_dataclass(part) and isinstance(part, type):
            yield part
            for name, hint in typing.get_type_hints(part).items():
                if f"{part.__name__}.{name}" not in _LEFT_OUT:
                    yield from _models(hint)


def _numbers(hint: Any) -> bool:
    parts = typing.get_args(hint) if isinstance(hint, types.UnionType) else (hint,)
    if typing.get_origin(hint) is tuple:
        parts = typing.get_args(hint)
    return any(
        part is float or (typing.get_origin(part) is np.ndarray and "float64" in str(part))
        for part in parts
    )


def test_every_number_of_a_study_has_a_unit() -> None:
    skipped = {"Solid", "TriMesh", "Brief"}
    without = {
        f"{model.__name__}.{each.name}"
        for model in set(_models(Study))
        if model.__name__ not in skipped
        for each in fields(model)
        if _numbers(typing.get_type_hints(model)[each.name]) and not unit_of(model, each.name)
    }
    assert without - {"LayoutWish.arm_angles"} == set()


def test_the_table_of_units_names_no_field_that_is_gone() -> None:
    known = {f"{m.__name__}.{each.name}" for m in set(_models(Study)) for each in fields(m)}
    assert set(RESULT_UNITS) <= known


def test_units_by_path_covers_the_brief(study: Study) -> None:
    paths = dict(units_by_path(study.brief))
    assert paths["others[].mass"] == "kg"
    assert paths["motor.Kv"] == "rad/s/V"
    assert isinstance(study.brief, Brief)
