"""Field metadata: unit, meaning, bounds and default's reason stand once, beside the field.

Readers, help texts, reports and docs all take them from here through ``info_of``.
"""

from dataclasses import MISSING, Field, dataclass, field, fields
from typing import Any

_KEY = "refledge"


@dataclass(frozen=True)
class FieldInfo:
    """What is known about one field of a model."""

    meaning: str
    unit: str = ""
    """SI unit; "1" for a plain number or fraction, "" for a field that is not a number."""
    shown: str = ""
    """Unit of the trade used in outputs."""
    low: float | None = None
    high: float | None = None
    choices: tuple[str, ...] = ()
    reason: str = ""
    """Why the default is what it is, and where it comes from."""
    whole: bool = False
    """True for a count."""


def _declare(info: FieldInfo, default: Any) -> Any:
    if default is MISSING:
        return field(metadata={_KEY: info})
    return field(default=default, metadata={_KEY: info})


def quantity(
    meaning: str,
    unit: str,
    shown: str = "",
    *,
    low: float | None = None,
    high: float | None = None,
    default: Any = MISSING,
    reason: str = "",
) -> Any:
    """A number with a unit, held in SI, shown in ``shown``; bounds are in SI and inclusive."""
    return _declare(FieldInfo(meaning, unit, shown or unit, low, high, (), reason), default)


def count(
    meaning: str,
    *,
    low: int | None = None,
    high: int | None = None,
    default: Any = MISSING,
    reason: str = "",
) -> Any:
    """A whole number."""
    return _declare(FieldInfo(meaning, "1", "1", low, high, (), reason, whole=True), default)


def text(
    meaning: str, *, choices: tuple[str, ...] = (), default: Any = MISSING, reason: str = ""
) -> Any:
    """A text, perhaps one of ``choices``."""
    return _declare(FieldInfo(meaning, choices=choices, reason=reason), default)


def part(meaning: str, *, default: Any = MISSING, reason: str = "") -> Any:
    """Anything else: a nested model, a list, a flag."""
    return _declare(FieldInfo(meaning, reason=reason), default)


def info_of(declared: Field[Any]) -> FieldInfo:
    """The metadata of a dataclass field declared with the functions above."""
    info = declared.metadata.get(_KEY)
    if not isinstance(info, FieldInfo):
        raise TypeError(f"field {declared.name} has no metadata")
    return info


def infos(model: type[Any]) -> dict[str, FieldInfo]:
    """Field name to metadata, in the order of declaration."""
    return {each.name: info_of(each) for each in fields(model)}
