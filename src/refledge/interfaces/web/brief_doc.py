"""The brief for the page: every field with what is known about it, and what stands in the file."""

import tomllib
from collections.abc import Iterator
from dataclasses import MISSING
from functools import lru_cache
from typing import Any

from refledge.inputs.describe import allowed, shown
from refledge.inputs.schema import FieldSpec, Kind, fields_of
from refledge.inputs.toml_lines import Path, line_of, locate
from refledge.inputs.tree import dotted
from refledge.interfaces.web.session import Session
from refledge.interfaces.web.wording import json_ready
from refledge.interfaces.web.wording import shown as length
from refledge.live.dimensions import Dimension
from refledge.model.brief import Brief
from refledge.model.items import Condition

TOP = "general"
"""Group of the fields before the first table."""


def brief_doc(session: Session, dimensions: tuple[Dimension, ...], sized: Any) -> dict[str, Any]:
    """The document ``Brief``. sized: path of a dimension to what sizing gave it, m."""
    reader = _Reader(session.brief, session.text)
    return {
        "text": session.text,
        "hash": session.hash,
        "title": session.brief.title,
        "problems": [],
        "undo": session.undoes,
        "redo": session.redoes,
        "groups": list(reader.groups()),
        "dimensions": [_dimension(each, session, sized) for each in dimensions],
    }


def _dimension(each: Dimension, session: Session, sized: Any) -> dict[str, Any]:
    return {
        "path": each.path,
        "label": each.label,
        "part": each.part,
        "value": json_ready(each.value),
        "text": length(each.value, "m", "mm", 4),
        "unit": "m",
        "shown": "mm",
        "low": json_ready(each.low),
        "high": json_ready(each.high),
        "step": json_ready(each.step),
        "by_hand": each.path in session.by_hand,
        "sized": json_ready(sized(each.path)),
    }


def field_texts(brief: Brief, text: str) -> dict[str, tuple[str, str]]:
    """Path of every field to its label and what stands in the file (or is assumed)."""
    groups = _Reader(brief, text).groups()
    return {
        field["path"]: (field["label"], field["text"])
        for group in groups
        for field in group["fields"]
    }


@lru_cache(maxsize=50)
def _specs(model: Any) -> tuple[FieldSpec, ...]:
    """Fields of a model, read off once."""
    return fields_of(model)


@lru_cache(maxsize=1000)
def _fixed(spec: FieldSpec) -> dict[str, Any]:
    """What never changes about a field."""
    info = spec.info
    numeric = spec.kind in (Kind.QUANTITY, Kind.COUNT, Kind.ANGLES)
    return {
        "name": spec.name,
        "label": info.meaning,
        "kind": "condition" if spec.model is Condition else spec.kind.name.lower(),
        "unit": info.unit if numeric else "",
        "shown": info.shown if numeric else "",
        "required": spec.required,
        "default": None if spec.default is MISSING else shown(spec.default, spec),
        "reason": info.reason,
        "low": info.low,
        "high": info.high,
        "allowed": allowed(spec),
        "choices": list(info.choices),
    }


class _Reader:
    """Walks brief and file side by side."""

    def __init__(self, brief: Brief, text: str) -> None:
        self.brief = brief
        self.tree = tomllib.loads(text)
        self.lines = locate(text)

    def groups(self) -> Iterator[dict[str, Any]]:
        specs = _specs(Brief)
        own = [spec for spec in specs if not _is_group(spec)]
        yield self._group((), TOP, "name, note and wiring", own, self.brief, self.tree)
        for spec in specs:
            if not _is_group(spec):
                continue
            if spec.kind is Kind.TABLE:
                yield self._table((spec.name,), spec, getattr(self.brief, spec.name), False)
                continue
            for index, item in enumerate(getattr(self.brief, spec.name)):
                yield self._table((spec.name, index), spec, item, True)

    def _table(self, path: Path, spec: FieldSpec, item: Any, repeats: bool) -> dict[str, Any]:
        model: Any = spec.model
        inner = list(_specs(model))
        table: Any = self.tree
        for step in path:
            table = table[step] if isinstance(step, int) else table.get(step, {})
        label = item.name if repeats else spec.info.meaning
        return self._group(path, dotted(path), label, inner, item, table, repeats=repeats)

    def _group(
        self,
        path: Path,
        name: str,
        label: str,
        specs: list[FieldSpec],
        model: Any,
        table: dict[str, Any],
        *,
        repeats: bool = False,
    ) -> dict[str, Any]:
        fields = [self._field((*path, spec.name), spec, model, table) for spec in specs]
        return {"path": name, "label": label, "repeats": repeats, "fields": fields}

    def _field(
        self, path: Path, spec: FieldSpec, model: Any, table: dict[str, Any]
    ) -> dict[str, Any]:
        stated = spec.name in table
        value = getattr(model, spec.name)
        return _fixed(spec) | {
            "path": dotted(path),
            "text": _as_typed(table[spec.name]) if stated else shown(value, spec),
            "value": json_ready(value),
            "stated": stated,
            "line": line_of(self.lines, path) if stated else None,
        }


def _is_group(spec: FieldSpec) -> bool:
    return spec.nested and spec.model is not Condition


def _as_typed(raw: Any) -> str:
    """A value of the file as one would type it into a form."""
    if isinstance(raw, bool):
        return "true" if raw else "false"
    if isinstance(raw, list):
        return ", ".join(str(each) for each in raw)
    if isinstance(raw, dict):
        return ", ".join(f"{name} = {count}" for name, count in raw.items())
    return str(raw)
