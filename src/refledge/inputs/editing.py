"""A brief's text with some of its values changed, comments and order kept."""

from collections.abc import Mapping
from typing import Any

import tomlkit

from refledge.inputs.schema import FieldSpec, Kind, fields_of
from refledge.inputs.writing import literal
from refledge.model.brief import Brief

Changes = Mapping[str, Mapping[str, Any]]
"""Table name to field name to value in SI; None strikes the field out."""


def edited(text: str, changes: Changes) -> str:
    """``text``, a valid brief, with ``changes`` made; tables that it lacks are put at its end."""
    document = tomlkit.parse(text)
    models = {spec.name: spec.model for spec in fields_of(Brief)}
    for name, fields in changes.items():
        specs = {spec.name: spec for spec in fields_of(models[name])}
        if name not in document:
            document.add(tomlkit.nl())
            document.add(name, tomlkit.table())
        table: Any = document[name]
        for field, value in fields.items():
            _set(table, field, value, specs[field])
    made = tomlkit.dumps(document)
    return made if made.endswith("\n") else f"{made}\n"


def _set(table: Any, field: str, value: Any, spec: FieldSpec) -> None:
    if value is None:
        if field in table:
            table.remove(field)
        return
    written: Any = tomlkit.parse(f"x = {literal(value, spec)}")["x"]
    table[field] = written


def item_changes(item: Any) -> dict[str, Any]:
    """Every field of an item, for ``edited``: what stands at its default is struck out."""
    return {
        spec.name: None
        if not spec.required and getattr(item, spec.name) == spec.default
        else getattr(item, spec.name)
        for spec in fields_of(type(item))
        if spec.kind is not Kind.TABLES
    }
