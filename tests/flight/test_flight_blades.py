"""Blade geometry from a file of the brief to a rotor.

Reference: UIUC Propeller Database, geometry and static run of the 11x4.7 slow-fly propeller
(tests/reference/data/SOURCES.txt). The polar was identified on its sister, so thrust within 5 % and
power within 6 % of the measured run say that the file's path is right, not the theory
(docs/flight.md has the theory's own errors).
"""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from refledge.airframe.task_making import rotor_model
from refledge.errors import BriefError, InputError, Problem
from refledge.flight.blade_element import THEORY_SPREAD
from refledge.inputs.blades import read_blade_geometry, read_blade_rows
from refledge.inputs.brief import parse_brief
from refledge.inputs.starter import starter_text
from refledge.model.brief import Brief
from refledge.model.items import Propeller
from tests.reference import uiuc

ROWS = "r/R,c/R,twist (deg)\n" + "\n".join(
    f"{r},{c},{b}" for r, c, b in uiuc.table("11x4.7_geometry").tolist()
)


def written(folder: Path, text: str) -> Path:
    file = folder / "blade.csv"
    file.write_text(text)
    return file


def faults(folder: Path, text: str) -> list[Problem]:
    with pytest.raises(InputError) as caught:
        read_blade_rows(written(folder, text))
    return list(caught.value.problems)


def test_shares_of_the_radius_or_lengths_give_one_blade(
    tmp_path: Path, propeller: Propeller
) -> None:
    wanted = uiuc.blade("11x4.7")
    found = read_blade_geometry(written(tmp_path, ROWS), propeller)
    assert found.radius == pytest.approx(wanted.radius)
    assert found.chord == pytest.approx(wanted.chord)
    assert found.twist == pytest.approx(wanted.twist)
    tip = 1e3 * propeller.diameter / 2
    lines = [f"{r * tip},{c * tip},{b}" for r, c, b in uiuc.table("11x4.7_geometry").tolist()]
    text = "radius (mm),chord (mm),twist (deg)\n" + "\n".join(lines)
    long = read_blade_geometry(written(tmp_path, text), propeller)
    assert long.radius == pytest.approx(found.radius)
    assert long.chord == pytest.approx(found.chord)


def test_the_brief_flies_on_its_blade(tmp_path: Path, brief: Brief) -> None:
    written(tmp_path, ROWS)
    own = replace(
        brief,
        folder=str(tmp_path),
        propeller=replace(brief.propeller, blade_geometry="blade.csv"),
    )
    rotor = rotor_model(own)
    assert rotor.method.startswith("blade-element momentum theory")
    assert rotor.spread == THEORY_SPREAD
    for speed, _, CT, CP in uiuc.static("11x4.7"):
        assert rotor.CT(float(speed)) == pytest.approx(CT, rel=0.05)
        assert rotor.CP(float(speed)) == pytest.approx(CP, rel=0.06)


def test_what_is_measured_comes_first(tmp_path: Path, brief: Brief) -> None:
    written(tmp_path, ROWS)
    (tmp_path / "run.csv").write_text("rpm,CT,CP\n3000,0.1,0.04\n6000,0.11,0.045\n")
    both = replace(brief.propeller, blade_geometry="blade.csv", coefficients="run.csv")
    rotor = rotor_model(replace(brief, folder=str(tmp_path), propeller=both))
    assert rotor.method.startswith("measured coefficients")


@pytest.mark.parametrize(
    ("text", "where", "said"),
    [
        (ROWS.replace("c/R", "width"), "blade.csv:1", '"c/R" or "chord (mm)"'),
        (ROWS.replace("r/R,", "r/R,radius (mm),", 1).replace("\n", "\n1,"), "blade.csv:1", "both"),
        ("\n".join(ROWS.splitlines()[:4]), "blade.csv:1", "3 rows"),
        (ROWS.replace("0.2,", "0.10,", 1), "blade.csv:3", "rising"),
        (ROWS.replace("twist (deg)", "twist (mm)"), "blade.csv:1", "twist (deg)"),
    ],
)
def test_one_fault(tmp_path: Path, text: str, where: str, said: str) -> None:
    found = faults(tmp_path, text)
    assert any(each.where == where and said in str(each) for each in found), found


def test_a_blade_longer_than_the_propeller(tmp_path: Path, propeller: Propeller) -> None:
    text = "radius (mm),chord (mm),twist (deg)\n" + "\n".join(
        f"{40 * k},20,15" for k in range(1, 5)
    )
    with pytest.raises(InputError, match="up to the tip"):
        read_blade_geometry(written(tmp_path, text), propeller)
    assert read_blade_geometry(written(tmp_path, text), replace(propeller, diameter=0.35)).radius[
        -1
    ] == pytest.approx(160 / 175)


def test_a_brief_points_at_the_row(tmp_path: Path) -> None:
    written(tmp_path, ROWS.replace("0.2,", "0.10,", 1))
    text = starter_text().replace("[propeller]", '[propeller]\nblade_geometry = "blade.csv"')
    with pytest.raises(BriefError) as caught:
        parse_brief(text, folder=str(tmp_path))
    assert [each.where for each in caught.value.problems] == ["blade.csv:3"]
    assert np.all(read_blade_rows(written(tmp_path, ROWS)).chord > 0)
