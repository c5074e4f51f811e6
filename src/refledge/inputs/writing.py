"""A Brief as TOML text, so that reading it back gives the same Brief."""

from collections.abc import Iterable
from typing import Any

import tomlkit

from refledge.inputs.schema import FieldSpec, Kind, fields_of
from refledge.inputs.toml_lines import Path
from refledge.inputs.tree import dotted
from refledge.model.brief import Brief
from refledge.model.fields import FieldInfo
from refledge.model.items import Condition
from refledge.units import from_si, to_si


def write_brief_text(brief: Brief) -> str:
    """TOML text of ``brief``; fields that it marks as assumed are left to be assumed again."""
    assumed = {each.field for each in brief.assumed}
    lines = list(_table(brief, (), assumed))
    return "\n".join(lines).strip() + "\n"


def _table(model: Any, path: Path, assumed: set[str]) -> Iterable[str]:
    """Lines of one model: its own keys first, then its tables."""
    specs = fields_of(type(model))
    for spec in specs:
        value = getattr(model, spec.name)
        if not _own_table(spec) and _stated(value, spec, (*path, spec.name), assumed):
            yield f"{spec.name} = {literal(value, spec)}"
    for spec in specs:
        if not _own_table(spec):
            continue
        value = getattr(model, spec.name)
        mark = f"[{spec.name}]" if spec.kind is Kind.TABLE else f"[[{spec.name}]]"
        each_path: Path
        for index, each in enumerate(value if spec.kind is Kind.TABLES else (value,)):
            each_path = (spec.name, index) if spec.kind is Kind.TABLES else (spec.name,)
            lines = list(_table(each, (*path, *each_path), assumed))
            if lines or spec.required or spec.kind is Kind.TABLES:
                yield from ("", mark, *lines)


def _own_table(spec: FieldSpec) -> bool:
    return spec.nested and spec.model is not Condition


def _stated(value: Any, spec: FieldSpec, path: Path, assumed: set[str]) -> bool:
    """False where the value is a default that the next reading assumes again, or nothing."""
    return value is not None and not (dotted(path) in assumed and value == spec.default)


def literal(value: Any, spec: FieldSpec) -> str:
    """A value (SI) as TOML, exactly: reading it gives the same number."""
    if spec.model is Condition:
        counts = {each.name: getattr(value, each.name) for each in fields_of(Condition)}
        inner = ", ".join(f"{name} = {count}" for name, count in counts.items() if count)
        return f"{{ {inner} }}" if inner else "{}"
    if spec.kind is Kind.ANGLES:
        return "[" + ", ".join(f'"{exact(each, spec.info)}"' for each in value) + "]"
    if spec.kind is Kind.QUANTITY:
        return repr(value) if spec.info.unit == "1" else f'"{exact(value, spec.info)}"'
    plain = list(value) if spec.kind is Kind.TEXTS else value
    return str(tomlkit.item(plain).as_string())


def exact(value: float, info: FieldInfo) -> str:
    """``value`` (SI) in the shown unit with the fewest digits that give it back exactly.

    Falls back on the SI unit where rounding in the conversion leaves no such text.
    """
    shown = from_si(value, info.unit, info.shown)
    for digits in (3, 6, 9, 12, 15, 16, 17):
        text = f"{_plain(float(f'{shown:.{digits}g}'))} {info.shown}"
        if to_si(text, info.unit) == value:
            return text
    return f"{_plain(value)} {info.unit}"


def _plain(number: float) -> str:
    return repr(number).removesuffix(".0")
