"""The example briefs can be read, and stand for what they claim."""

from pathlib import Path

import pytest

from refledge.inputs.brief import parse_brief, read_brief
from refledge.inputs.tables import read_coefficients
from refledge.inputs.writing import write_brief_text
from refledge.model.brief import Brief

EXAMPLES = Path(__file__).parents[2] / "examples"
NAMES = ("lake-sampler", "three-pairs", "impossible")


def brief(name: str) -> Brief:
    return read_brief(EXAMPLES / name / "brief.toml")


def mass_without_frame(brief: Brief, rotors: int) -> float:
    each = brief.motor.mass + brief.propeller.mass + brief.speed_controller.mass
    items = (brief.battery, brief.flight_controller, brief.payload, *brief.others)
    return rotors * each + sum(item.mass for item in items) + brief.wiring


@pytest.mark.parametrize("name", NAMES)
def test_an_example_reads_and_writes(name: str) -> None:
    found = brief(name)
    assert "nvented" in found.note
    assert parse_brief(write_brief_text(found), folder=found.folder) == found


@pytest.mark.parametrize("name", NAMES)
def test_the_propellers_table_is_the_measured_one(name: str) -> None:
    """UIUC Propeller Database, 11 x 4.7 in static run: last row 6021 rpm, 0.1259, 0.0493."""
    table = read_coefficients(EXAMPLES / name / brief(name).propeller.coefficients)
    assert "UIUC Propeller Database" in table.source
    assert table.rpm[-1] == pytest.approx(6021)
    assert (table.CT[-1], table.CP[-1]) == (0.1259, 0.0493)


def test_one_motor_of_the_wreck_is_scrap() -> None:
    condition = brief("lake-sampler").motor.condition
    assert condition.sound + condition.suspect + condition.scrap == 6
    assert condition.scrap == 1


def test_a_frame_fits_under_the_all_up_limit_where_it_should() -> None:
    for name in ("lake-sampler", "three-pairs"):
        found = brief(name)
        left = found.mission.all_up_limit - mass_without_frame(found, 6)
        assert left > 0.6  # kg, more than a printed frame of this size


def test_the_impossible_one_leaves_no_mass_for_a_frame() -> None:
    found = brief("impossible")
    assert mass_without_frame(found, 6) > found.mission.all_up_limit


def test_layouts() -> None:
    kinds = [brief(name).layout.kind for name in NAMES]
    assert kinds == ["six-x", "three-pairs", "choose"]
