"""One value of a brief: from TOML to SI, or a fault that says what would be right."""

import json
import math
from typing import Any

from refledge.inputs.describe import allowed, listed
from refledge.inputs.schema import FieldSpec, Kind
from refledge.units import UnitError, to_si


class FieldError(ValueError):
    """Why a value cannot be used."""

    def __init__(self, given: str, allowed: str, next_step: str) -> None:
        super().__init__(f"given {given}; allowed: {allowed}; {next_step}")
        self.given = given
        self.allowed = allowed
        self.next_step = next_step


def as_given(raw: Any) -> str:
    """A TOML value as the user would recognise it, shortened."""
    if isinstance(raw, dict):
        shown = "a table"
    elif isinstance(raw, bool | str | int | float | list):
        shown = json.dumps(raw, ensure_ascii=False, default=str)
    else:
        shown = str(raw)
    return shown if len(shown) <= 60 else f"{shown[:57]}..."


def read_value(spec: FieldSpec, raw: Any) -> Any:
    """The value (SI) of a field that is no table; raises FieldError."""
    readers = {
        Kind.QUANTITY: _quantity,
        Kind.COUNT: _count,
        Kind.TEXT: _text,
        Kind.FLAG: _flag,
        Kind.TEXTS: _texts,
        Kind.ANGLES: _angles,
    }
    return readers[spec.kind](spec, raw)


def _quantity(spec: FieldSpec, raw: Any) -> float:
    unit = spec.info.unit
    if isinstance(raw, bool) or not isinstance(raw, int | float | str):
        raise _wrong_kind(spec, raw)
    if isinstance(raw, str):
        value = _converted(spec, raw)
    elif unit == "1":
        value = float(raw)
    else:
        example = f'"{raw} {spec.info.shown}"'
        raise FieldError(
            f"{as_given(raw)}, a number without a unit",
            allowed(spec),
            f"write it with its unit in quotes, such as {example} if that is what you mean",
        )
    return float(_within(spec, raw, value))


def _converted(spec: FieldSpec, raw: str) -> float:
    try:
        return to_si(raw, spec.info.unit)
    except UnitError as error:
        if "," in raw:
            step = "write the decimal mark as a point and no thousands mark"
        else:
            step = f"{error}: correct it"
        raise FieldError(as_given(raw), allowed(spec), step) from error


def _count(spec: FieldSpec, raw: Any) -> int:
    if isinstance(raw, bool) or not isinstance(raw, int):
        raise _wrong_kind(spec, raw)
    return int(_within(spec, raw, raw))


def _within(spec: FieldSpec, raw: Any, value: float) -> float:
    low, high = spec.info.low, spec.info.high
    if not math.isfinite(value):
        raise FieldError(as_given(raw), allowed(spec), "give a finite number")
    if low is not None and value < low:
        raise FieldError(
            as_given(raw), allowed(spec), "it is too small: give more, or check the unit"
        )
    if high is not None and value > high:
        raise FieldError(
            as_given(raw), allowed(spec), "it is too great: give less, or check the unit"
        )
    return value


def _text(spec: FieldSpec, raw: Any) -> str:
    if not isinstance(raw, str):
        raise _wrong_kind(spec, raw)
    if spec.info.choices and raw not in spec.info.choices:
        raise FieldError(
            as_given(raw), f"one of {listed(spec.info.choices)}", "choose one of these"
        )
    if spec.required and not raw.strip():
        raise FieldError("an empty text", allowed(spec), f"write the {spec.info.meaning}")
    return raw


def _flag(spec: FieldSpec, raw: Any) -> bool:
    if not isinstance(raw, bool):
        raise _wrong_kind(spec, raw)
    return raw


def _texts(spec: FieldSpec, raw: Any) -> tuple[str, ...]:
    if not isinstance(raw, list) or not all(isinstance(each, str) for each in raw):
        raise _wrong_kind(spec, raw)
    return tuple(raw)


def _angles(spec: FieldSpec, raw: Any) -> tuple[float, ...]:
    if not isinstance(raw, list):
        raise _wrong_kind(spec, raw)
    return tuple(_quantity(spec, each) for each in raw)


def _wrong_kind(spec: FieldSpec, raw: Any) -> FieldError:
    return FieldError(as_given(raw), allowed(spec), "write it in this form")
