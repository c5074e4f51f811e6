"""Items to try beside those of a brief: motors, propellers and packs, from TOML or CSV."""

import csv
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, TypeVar

from refledge.errors import InputError, Problem
from refledge.inputs.files import read_text
from refledge.inputs.rules import check_field
from refledge.inputs.schema import Kind, fields_of
from refledge.inputs.toml_lines import Path as TomlPath
from refledge.inputs.toml_lines import locate
from refledge.inputs.tree import TreeReader
from refledge.inputs.values import FieldError, as_given
from refledge.model.fields import part
from refledge.model.items import Battery, Motor, Propeller

T = TypeVar("T", Motor, Propeller)
_TABLES = ("coefficients", "blade_geometry", "thrust_table")
_TO_BUY = {"to_buy": 1}
_ITEM = "item"
_HEAD = "a header such as item,name,mass,diameter,pitch"


@dataclass(frozen=True, kw_only=True)
class Also:
    """Candidates beside the brief's own items."""

    motor: tuple[Motor, ...] = part("motors to try", default=())
    propeller: tuple[Propeller, ...] = part("propellers to try", default=())
    battery: tuple[Battery, ...] = part("packs to try", default=())


def read_also(path: str | Path) -> Also:
    """The items of a .toml or .csv file; raises InputError with every problem.

    Fields are those of the brief; one that states no condition is to be bought. Tables that
    they name are looked for beside the file.
    """
    file = Path(path)
    text = read_text(file, "a list of items to try")
    tree, lines = _csv_tree(text, file.name) if file.suffix == ".csv" else _toml(text, file.name)
    reader = TreeReader(file.name, lines)
    for items in tree.values():
        for item in items if isinstance(items, list) else ():
            if isinstance(item, dict):
                item.setdefault("condition", dict(_TO_BUY))
    found: Also | None = reader.read(Also, tree)
    _check_names(reader)
    if reader.problems or found is None:
        raise InputError(*reader.problems)
    return replace(
        found,
        motor=tuple(_beside(each, file.parent) for each in found.motor),
        propeller=tuple(_beside(each, file.parent) for each in found.propeller),
    )


def _toml(text: str, where: str) -> tuple[dict[str, Any], Mapping[TomlPath, int]]:
    try:
        return tomllib.loads(text), locate(text)
    except tomllib.TOMLDecodeError as error:
        step = "head each item with [[motor]], [[propeller]] or [[battery]]"
        raise InputError(Problem(where, "file", str(error), "TOML", step)) from error


def _csv_tree(text: str, where: str) -> tuple[dict[str, Any], Mapping[TomlPath, int]]:
    """One row an item; the column ``item`` says which kind, empty cells are not stated."""
    tree: dict[str, Any] = {}
    lines: dict[TomlPath, int] = {}
    rows = [
        (number, row)
        for number, row in enumerate(csv.reader(text.splitlines()), start=1)
        if any(cell.strip() for cell in row) and not row[0].startswith("#")
    ]
    header = [cell.strip() for cell in rows[0][1]] if rows else []
    if _ITEM not in header:
        given = as_given(",".join(header)) if header else "no header"
        raise InputError(Problem(f"{where}:1", "header", given, _HEAD, "name the columns"))
    for line, row in rows[1:]:
        if len(row) != len(header):
            given, wanted = f"{len(row)} cells", f"{len(header)}, as the header"
            raise InputError(Problem(f"{where}:{line}", "row", given, wanted, "complete this line"))
        cells = {name: cell.strip() for name, cell in zip(header, row, strict=True) if cell.strip()}
        kind = cells.pop(_ITEM, "")
        items = tree.setdefault(kind, [])
        lines[kind, len(items)] = line
        lines.setdefault((kind,), line)
        items.append({name: _typed(kind, name, cell) for name, cell in cells.items()})
    return tree, lines


def _typed(kind: str, name: str, cell: str) -> Any:
    """A count as a whole number; everything else is text as in a brief."""
    models = {spec.name: spec.model for spec in fields_of(Also)}
    specs = fields_of(models[kind]) if kind in models else ()
    whole = any(spec.name == name and spec.kind is Kind.COUNT for spec in specs)
    return int(cell) if whole and cell.isdigit() else cell


def _check_names(reader: TreeReader) -> None:
    """Rules of the brief that know a field by its path, such as the motor's hole pattern."""
    for field, value in list(reader.found.items()):
        kind, _, name = field.partition("].")
        try:
            check_field(f"{kind.split('[')[0]}.{name}", value)
        except FieldError as fault:
            number = int(kind.split("[")[1]) - 1
            reader.fault((kind.split("[")[0], number, name), fault)


def _beside(item: T, folder: Path) -> T:
    """Tables by their full path, so that they are found from wherever the brief stands."""
    named = {name: getattr(item, name, "") for name in _TABLES}
    full: dict[str, Any] = {
        name: str((folder / file).resolve()) for name, file in named.items() if file
    }
    return replace(item, **full)
