"""The starter brief can be read as it stands, and with its defaults uncommented."""

import re

import pytest

from refledge.data.tables import read_rows
from refledge.errors import DataError
from refledge.inputs import starter
from refledge.inputs.brief import parse_brief
from refledge.inputs.schema import fields_of
from refledge.inputs.starter import starter_text
from refledge.model.brief import Brief

# A line that states a default: "# name = value  # the default".
DEFAULT = re.compile(r"^# (?=(\w+) = .*  # (?:not )?the default)", re.MULTILINE)


def test_the_starter_is_a_good_brief() -> None:
    brief = parse_brief(starter_text())
    assert brief.title
    assert brief.layout.kind == "choose"


def test_invented_values_are_marked() -> None:
    stated = [line for line in starter_text().splitlines() if re.match(r"\w+ = ", line)]
    assert len(stated) > 40
    assert all(line.endswith("  # invented") for line in stated)


def test_every_field_is_in_it() -> None:
    text = starter_text()
    for spec in fields_of(Brief):
        names = [inner.name for inner in fields_of(spec.model)] if spec.nested else [spec.name]
        for name in names:
            assert re.search(rf"^(# )?{name} = ", text, re.MULTILINE), f"{spec.name}.{name}"


def test_defaults_uncommented_change_nothing_but_what_is_assumed() -> None:
    """Leaves out the arm angles, which only a free layout may have, and values not the default."""
    text = starter_text()
    own = {"arm_angles", "motor_radius", "z", "spools", "drawn_power", "below"}
    stated = DEFAULT.sub(lambda match: match[0] if match[1] in own else "", text)
    assert stated.count("\n# ") < text.count("\n# ") - 40
    before, after = parse_brief(text), parse_brief(stated)
    for spec in fields_of(Brief):
        assert getattr(after, spec.name) == getattr(before, spec.name), spec.name
    left = {"layout.motor_radius", "others[1].z", "printer.spools", "payload.below"}
    left |= {f"{item}.drawn_power" for item in ("flight_controller", "payload", "others[1]")}
    assert {each.field for each in after.assumed} == left


def test_examples_of_what_has_no_default_can_be_read() -> None:
    stated = DEFAULT.sub("", starter_text()).replace('kind = "choose"', 'kind = "free"')
    brief = parse_brief(stated)
    assert len(brief.layout.arm_angles) == 3
    assert brief.layout.motor_radius == 0.31
    assert brief.others[0].z == 0.04
    assert brief.assumed == ()


def test_no_default_shows_the_crumbs_of_a_conversion() -> None:
    assert not re.findall(r"\d\.\d*(?:0{6}|9{6})\d*", starter_text())


@pytest.mark.parametrize(
    ("rows", "said"),
    [
        (read_rows("starter")[1:], "no value for title"),
        ((*read_rows("starter"), {"field": "motor.colour", "value": "1"}), "motor.colour"),
    ],
)
def test_a_table_that_does_not_fit_the_fields_is_refused(
    rows: object, said: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(starter, "read_rows", lambda _: rows)
    with pytest.raises(DataError, match=said):
        starter_text()
