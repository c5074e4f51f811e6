"""What a field allows, in words: for error messages, the starter and the reference."""

import inspect
from collections.abc import Iterable
from typing import Any

from refledge.inputs.schema import FieldSpec, Kind, fields_of
from refledge.model.fields import FieldInfo
from refledge.model.items import Condition
from refledge.units import EXAMPLES, figure, from_si, show


def typed(value: float, info: FieldInfo) -> str:
    """``value`` (SI) in the field's shown unit as one would type it, four figures."""
    number = figure(from_si(value, info.unit, info.shown), 4)
    if "." in number and "e" not in number:
        number = number.rstrip("0").rstrip(".")
    return number if info.shown in ("", "1") else f"{number} {info.shown}"


def bounds(info: FieldInfo) -> str:
    """The bounds, such as "between 0.4 mm and 2 mm"; "" where there are none."""
    if info.low is not None and info.high is not None:
        return f"between {typed(info.low, info)} and {typed(info.high, info)}"
    if info.low is not None:
        return f"{typed(info.low, info)} or more"
    return "" if info.high is None else f"{typed(info.high, info)} or less"


def listed(names: Iterable[str]) -> str:
    """Names in quotes, as a TOML file has them."""
    return ", ".join(f'"{name}"' for name in names)


def form(spec: FieldSpec) -> str:
    """The form of the value, such as 'a text with a unit: "250 mm", "11 in"'."""
    info = spec.info
    forms = {
        Kind.QUANTITY: f"a text with a unit: {_example(spec)}",
        Kind.COUNT: "a whole number",
        Kind.TEXT: f"one of {listed(info.choices)}" if info.choices else "a text in quotes",
        Kind.FLAG: "true or false",
        Kind.TABLE: f"a table with {_names(spec.model)}" if spec.nested else "",
        Kind.TABLES: f"[[{spec.name}]] tables with {_names(spec.model)}" if spec.nested else "",
        Kind.TEXTS: 'a list of texts: ["...", "..."]',
        Kind.ANGLES: 'a list of angles: ["60 deg", "-60 deg"]',
    }
    if spec.model is Condition:
        return f"{{ sound = 5, scrap = 1 }}, or for one of it {listed(_condition_names())}"
    if spec.kind is Kind.QUANTITY and info.unit == "1":
        if info.shown == "1":
            return "a number"
        return f"a fraction, as a number or as a text: {EXAMPLES['1']}"
    return forms[spec.kind]


def allowed(spec: FieldSpec) -> str:
    """Form and bounds together."""
    limits = bounds(spec.info)
    return f"{form(spec)}, {limits}" if limits else form(spec)


def shown(value: Any, spec: FieldSpec) -> str:
    """A value (SI) as people read it."""
    if value is None or value in ("", ()):
        return "none"
    if spec.kind is Kind.ANGLES:
        return ", ".join(show(each, spec.info.unit, spec.info.shown) for each in value)
    if spec.kind is Kind.QUANTITY:
        return show(value, spec.info.unit, spec.info.shown)
    if spec.kind is Kind.FLAG:
        return "yes" if value else "no"
    return ", ".join(value) if spec.kind is Kind.TEXTS else str(value)


def _example(spec: FieldSpec) -> str:
    if isinstance(spec.default, float):
        return f'"{typed(spec.default, spec.info)}"'
    return EXAMPLES.get(spec.info.unit, spec.info.shown)


def about(spec: FieldSpec) -> str:
    """What a table holds, in words."""
    text = inspect.getdoc(spec.model) or spec.info.meaning
    return f"{spec.info.meaning}. {text}" if spec.kind is Kind.TABLES else text


def _names(model: type[Any]) -> str:
    return ", ".join(each.name for each in fields_of(model) if each.required)


def _condition_names() -> Iterable[str]:
    return (each.name for each in fields_of(Condition))
