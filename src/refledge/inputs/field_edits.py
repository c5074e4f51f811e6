"""Edits of a brief's TOML text, as typed, that keep the user's comments, order and ways.

Text goes in as it would be typed into a form; ``editing.py`` beside this puts in values in SI.
"""

import re
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import AoT, Item

from refledge.errors import BriefError, Problem
from refledge.inputs.schema import FieldSpec, Kind, fields_of
from refledge.inputs.toml_lines import Path, line_of, locate
from refledge.inputs.tree import dotted
from refledge.model.brief import Brief
from refledge.model.items import Condition

_STEP = re.compile(r"([A-Za-z_][A-Za-z0-9_]*)(?:\[([1-9][0-9]{0,3})\])?")
_NUMBER = re.compile(r"[-+]?\d+(?:\.\d+)?(?:[eE][-+]?\d+)?")
_FLAGS = {"true": True, "yes": True, "false": False, "no": False}


@dataclass(frozen=True)
class Edit:
    """One change of one field, or an item put in or taken out.

    ``value`` None strikes the line out. ``add``: fields of a new item at the end of the list at
    ``path``. ``remove``: take out the item at ``path``.
    """

    path: str
    value: Any = None
    add: Mapping[str, Any] | None = None
    remove: bool = False


def edited(text: str, edits: Iterable[Edit], where: str = "brief.toml") -> str:
    """``text`` with ``edits`` made, otherwise letter for letter the same.

    Only the form of each edit is checked here: read the result to know whether it is valid.
    Raises BriefError where an edit names no field of a brief.
    """
    for edit in edits:
        try:
            text = _applied(text, edit, where)
        except TOMLKitError as error:
            raise _refused(where, edit.path, str(error), "a value that TOML can say") from error
    return text


def _applied(text: str, edit: Edit, where: str) -> str:
    path = parsed_path(edit.path, where)
    spec = field_spec(path, where)
    document = tomlkit.parse(text)
    if edit.add is not None:
        _add(document, path, spec, edit.add, where)
    elif edit.remove:
        _remove(document, path, spec, where)
    elif spec.nested and spec.model is not Condition:
        raise _refused(where, edit.path, "a whole table", "one field of it, such as motor.mass")
    elif edit.value is None:
        _strike(document, path)
    elif len(path) == 1 and path[0] not in document:
        return _with_top_line(text, str(path[0]), typed(spec, edit.value))
    else:
        _set(document, path, typed(spec, edit.value), where)
    return tomlkit.dumps(document)


def parsed_path(text: str, where: str = "brief.toml") -> Path:
    """Keys and list places (from 0) of a dotted path such as ``others[2].mass``."""
    path: Path = ()
    for step in text.split("."):
        match = _STEP.fullmatch(step)
        if not match:
            raise _refused(where, text, "no path of a field", "such as motor.mass, others[1].x")
        path = (*path, match[1]) if not match[2] else (*path, match[1], int(match[2]) - 1)
    return path


def field_spec(path: Path, where: str = "brief.toml") -> FieldSpec:
    """The field of a brief at ``path``; raises BriefError where there is none."""
    model: type[Any] = Brief
    spec: FieldSpec | None = None
    for step in path:
        if isinstance(step, int):
            if spec is None or spec.kind is not Kind.TABLES:
                raise _refused(where, dotted(path), "a list place", "only tables come in lists")
            continue
        has_fields = hasattr(model, "__dataclass_fields__")
        names = {each.name: each for each in fields_of(model)} if has_fields else {}
        if step not in names:
            raise _refused(where, dotted(path), "an unknown field", ", ".join(names) or "nothing")
        spec = names[step]
        model = spec.model
    assert spec is not None  # parsed_path gives at least one step
    return spec


def typed(spec: FieldSpec, value: Any) -> Any:
    """What was typed into a form, as TOML would have it: text stays text where units are needed."""
    if not isinstance(value, str):
        return value
    text = value.strip()
    if spec.kind is Kind.COUNT or (spec.kind is Kind.QUANTITY and spec.info.unit == "1"):
        return _number(text)
    if spec.kind is Kind.FLAG:
        return _FLAGS.get(text.lower(), text)
    if spec.kind in (Kind.TEXTS, Kind.ANGLES):
        return [each.strip() for each in text.split(",") if each.strip()]
    if spec.model is Condition:
        return _condition(text)
    return text


def _number(text: str) -> Any:
    if not _NUMBER.fullmatch(text):
        return text
    return int(text) if text.lstrip("+-").isdigit() else float(text)


def _condition(text: str) -> Any:
    """``sound = 4, scrap = 1`` (or the same with colons or braces) as a table; a word as it is."""
    pairs = re.findall(r"(\w+)\s*[=:]\s*(\d+)", text)
    return {name: int(number) for name, number in pairs} or text


def _set(document: tomlkit.TOMLDocument, path: Path, value: Any, where: str) -> None:
    table = _table_at(document, path[:-1], where)
    name = str(path[-1])
    if name in table:
        table[name] = _item(value)  # what stands before and behind the old value stays
    else:
        table.add(name, _item(value))


def _with_top_line(text: str, name: str, value: Any) -> str:
    """``text`` with one more line among those before the first table.

    It goes before the last of them: a value may run over lines, but a key begins its own.
    """
    lines = text.splitlines(keepends=True)
    own = [key for key, given in tomllib.loads(text).items() if not _is_table(given)]
    at = max((line_of(locate(text), (key,)) for key in own), default=1) - 1
    return "".join([*lines[:at], f"{name} = {_item(value).as_string()}\n", *lines[at:]])


def _is_table(value: Any) -> bool:
    """Whether a value read from TOML could be a table or a list of tables."""
    listed = isinstance(value, list) and bool(value) and isinstance(value[0], dict)
    return isinstance(value, dict) or listed


def _item(value: Any) -> Item:
    if isinstance(value, dict):
        table = tomlkit.inline_table()
        table.update(value)
        return table
    return tomlkit.item(value)  # type: ignore[no-any-return]  # untyped there


def _strike(document: tomlkit.TOMLDocument, path: Path) -> None:
    table: Any = document
    for step in path[:-1]:
        if not _has(table, step):
            return
        table = table[step]
    if path[-1] in table:
        table.remove(path[-1])


def _has(table: Any, step: str | int) -> bool:
    return step < len(table) if isinstance(step, int) else step in table


def _table_at(document: tomlkit.TOMLDocument, path: Path, where: str) -> Any:
    """The table at ``path``, made at the end of the file where there is none."""
    table: Any = document
    for depth, step in enumerate(path):
        if not _has(table, step):
            if isinstance(step, int):
                raise _refused(
                    where, dotted(path[: depth + 1]), "no such item", "one that is there"
                )
            if table is document:
                table.add(tomlkit.nl())
            table[step] = tomlkit.table()
        table = table[step]
    return table


def _add(
    document: tomlkit.TOMLDocument,
    path: Path,
    spec: FieldSpec,
    values: Mapping[str, Any],
    where: str,
) -> None:
    """A new item at the end of the list."""
    if spec.kind is not Kind.TABLES or len(path) != 1:
        raise _refused(where, dotted(path), "no list of items", "others")
    known = {each.name: each for each in fields_of(spec.model)}
    table = tomlkit.table()
    for name, value in values.items():
        if name not in known:
            raise _refused(where, f"{spec.name}.{name}", "an unknown field", ", ".join(known))
        table.add(name, _item(typed(known[name], value)))
    name = str(path[0])
    if name not in document:
        document.add(tomlkit.nl())
        document.add(name, tomlkit.aot())
    listed = document[name]
    assert isinstance(listed, AoT)
    table.add(tomlkit.nl())
    listed.append(table)


def _remove(document: tomlkit.TOMLDocument, path: Path, spec: FieldSpec, where: str) -> None:
    """Take one item out of its list; a list that is left empty goes too."""
    number = path[-1]
    listed: Any = document.get(str(path[0]), [])
    if spec.kind is not Kind.TABLES or not isinstance(number, int) or number >= len(listed):
        raise _refused(where, dotted(path), "no item of a list", "such as others[1]")
    del listed[number]
    if not listed:
        document.remove(str(path[0]))


def _refused(where: str, field: str, given: str, allowed: str) -> BriefError:
    return BriefError(Problem(where, field, given, allowed, "name a field that a brief has"))
