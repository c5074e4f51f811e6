"""Any brief that can be read can be written and read again, unchanged; any text gives a verdict."""

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from refledge.errors import InputError, Problem
from refledge.inputs.brief import parse_brief
from refledge.inputs.rules import keys_of
from refledge.inputs.schema import FieldSpec, Kind, fields_of
from refledge.inputs.starter import starter_text
from refledge.inputs.writing import write_brief_text
from refledge.model.brief import Brief
from tests.inputs.texts import GOOD

PATTERNS = {"motor": st.sampled_from(["M3 16x19", "M4 30x30"])}
PATTERNS["flight_controller"] = st.sampled_from(["M3 30.5x30.5", "none"])
texts = st.text(st.characters(codec="utf-8", exclude_categories=["Cs"]), max_size=20)


def value_of(spec: FieldSpec) -> st.SearchStrategy[Any]:
    """Any value within the bounds of a field."""
    info = spec.info
    spools = st.lists(st.sampled_from(keys_of("printed")), min_size=1, unique=True)
    choices = [choice for choice in info.choices if choice != "free"]
    words = texts.map(lambda text: f"{text}x") if spec.required else st.just(spec.default)
    by_kind = {
        Kind.QUANTITY: st.floats(info.low, info.high),
        Kind.COUNT: st.integers(int(info.low or 0), 50 if info.high is None else int(info.high)),
        Kind.FLAG: st.booleans(),
        Kind.TEXTS: spools.map(tuple),
        Kind.ANGLES: st.just(()),
        Kind.TEXT: st.sampled_from(choices) if choices else words,
    }
    return by_kind[spec.kind]


def model_of(model: type[Any], name: str = "") -> st.SearchStrategy[Any]:
    """Any instance of a model, field by field."""
    values: dict[str, st.SearchStrategy[Any]] = {}
    for spec in fields_of(model):
        if spec.kind is Kind.TABLE:
            values[spec.name] = model_of(spec.model, spec.name)
        elif spec.kind is Kind.TABLES:
            values[spec.name] = st.lists(model_of(spec.model), max_size=2).map(tuple)
        elif spec.name == "holes":
            values[spec.name] = PATTERNS[name]
        elif spec.name == "spools":
            values[spec.name] = st.dictionaries(
                st.sampled_from(keys_of("printed")), st.sampled_from(["grey 3", "2: black"])
            ).map(lambda found: tuple(f"{key}: {spool}" for key, spool in found.items()))
        else:
            values[spec.name] = value_of(spec)
    return st.builds(model, **values)


def agreeing(brief: Brief) -> Brief:
    """The brief with the fields that must fit one another made to fit."""
    longer, shorter = sorted((brief.printer.bed_length, brief.printer.bed_width), reverse=True)
    layer = min(brief.printer.layer, brief.printer.nozzle * 0.9)
    shelf = brief.printer.filaments
    spools = tuple(each for each in brief.printer.spools if each.split(":")[0] in shelf)
    printer = replace(
        brief.printer, bed_length=longer, bed_width=shorter, layer=layer, spools=spools
    )
    payload = replace(brief.payload, mass=min(brief.payload.mass, brief.mission.all_up_limit * 0.9))
    layout = replace(brief.layout, pairs=False)
    frame = brief.frame
    if frame.arm_family == "tube" or frame.weak_link == "bolt":
        root = "clamped" if frame.arm_family == "tube" else "folding"
        link = "none" if root == "clamped" else frame.weak_link
        frame = replace(frame, arm_root=root, weak_link=link)
    return replace(brief, printer=printer, payload=payload, layout=layout, frame=frame)


@settings(max_examples=25, deadline=None)
@given(model_of(Brief).map(agreeing))
def test_a_brief_with_everything_stated_comes_back(brief: Brief) -> None:
    assert parse_brief(write_brief_text(brief)) == brief


@given(
    st.floats(20, 25_000),
    st.sampled_from(["g", "kg", "lb", "oz"]),
    st.sampled_from(["in", "mm", "cm"]),
)
@settings(max_examples=25, deadline=None)
def test_a_brief_in_any_unit_comes_back(number: float, mass: str, length: str) -> None:
    factor = {"g": 1.0, "kg": 1e-3, "lb": 1 / 453.59237, "oz": 1 / 28.349523125}[mass]
    text = GOOD.replace('"84 g"', f'"{min(number, 19_999) * factor!r} {mass}"')
    text = text.replace('"11 in"', f'"{7.77 if length != "mm" else 77.7} {length}"')
    brief = parse_brief(text)
    assert parse_brief(write_brief_text(brief)) == brief


def test_defaults_stay_assumed() -> None:
    brief = parse_brief(starter_text())
    text = write_brief_text(brief)
    assert parse_brief(text) == brief
    assert "thrust_margin" not in text
    assert 'diameter = "11 in"' in text


def test_long_figures_stay_in_the_unit_of_the_trade() -> None:
    text = write_brief_text(parse_brief(GOOD.replace('"160 mm"', '"160.12345 mm"')))
    assert 'length = "160.12345 mm"' in text


def test_a_changed_default_is_written() -> None:
    brief = parse_brief(GOOD)
    changed = replace(brief, limits=replace(brief.limits, thrust_margin=2.5))
    text = write_brief_text(changed)
    assert "thrust_margin = 2.5" in text
    assert parse_brief(text).limits == changed.limits


@pytest.mark.parametrize("title", ['"quoted" \\ and\nbroken', "''' \"\"\"", "é ☂ \t \x01", "#[x]"])
def test_any_title_comes_back(title: str) -> None:
    brief = replace(parse_brief(GOOD), title=title)
    assert parse_brief(write_brief_text(brief)).title == title


@settings(max_examples=150, deadline=None)
@given(
    st.sampled_from([i for i, line in enumerate(GOOD.splitlines()) if "=" in line]),
    st.one_of(
        st.text(max_size=15).map(lambda text: "'" + text.replace("'", "") + "'"),
        st.from_regex(r'"[0-9]{1,3} ?[a-zA-Z/*()%^$.µ°]{0,6}"', fullmatch=True),
        st.text(max_size=15),
    ),
)
def test_a_spoilt_line_is_read_or_told_never_worse(index: int, value: str) -> None:
    lines = GOOD.splitlines()
    lines[index] = f"{lines[index].partition('=')[0]}= {value}"
    told: tuple[Problem, ...] = ()
    brief = None
    try:
        brief = parse_brief("\n".join(lines))
    except InputError as error:
        told = error.problems
    assert (brief is None) == bool(told)
    assert all(problem.where.startswith("brief.toml") for problem in told)
