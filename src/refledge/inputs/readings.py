"""Readings of the bench: TOML, or CSV with a TOML head, to a Session; all faults at once.

A CSV of readings carries its head in lines that start with ``#:``; what follows the mark is TOML.
"""

import hashlib
import re
import tomllib
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

from refledge.errors import InputError, Problem
from refledge.inputs.cards import material_cards
from refledge.inputs.columns import Column, TableReader
from refledge.inputs.describe import listed
from refledge.inputs.fasteners import hardware
from refledge.inputs.files import read_text
from refledge.inputs.rules import nearest
from refledge.inputs.schema import FieldSpec, Kind
from refledge.inputs.toml_lines import Path as Keys
from refledge.inputs.toml_lines import locate
from refledge.inputs.tree import TreeReader
from refledge.inputs.values import FieldError, as_given
from refledge.model.bench import BenchFile, Reading, Series, Session, Specimen
from refledge.units import to_si

_HEAD = "#:"
_AT = re.compile(r"\s*\(at (?:line (\d+), column \d+|end of document)\)$")
_BELOW_ZERO = -1e-9  # so that a load or a time of zero is allowed
_COLUMNS = (
    Column("series", "1", "series", "1", high=1000.0),
    Column("mass", "kg", "mass (g)", low=_BELOW_ZERO, high=100.0),
    Column("load", "N", "load (N)", low=_BELOW_ZERO, high=1000.0),
    Column("read", "m", "read (mm)", low=-1.0, high=1.0),
    Column("time", "s", "time (s)", low=_BELOW_ZERO, high=1e8),
    Column("spread", "m", "spread (mm)", high=0.1),
)
_LOADED = ("cantilever", "three-point", "torsion", "creep")
_LEAST = 3  # readings in a series: two for the line, one to judge it by


def read_session(path: str | Path) -> Session:
    """The session in the file at ``path``; raises InputError with every problem."""
    file = Path(path)
    text = read_text(file, "readings")
    head = _head_of(text) if file.suffix.lower() == ".csv" else text
    reader = _Tree(file.name, locate(head) if _parses(head, file.name) else {})
    tree = tomllib.loads(head)
    found: BenchFile | None = reader.read(BenchFile, tree)
    tables, texts = _tables(reader, file, tree)
    if found is not None:
        found = _joined(found, tables)
    _check(reader, found)
    if reader.problems or found is None:
        raise InputError(*sorted(reader.problems, key=_line))
    whole = "\n".join([text, *texts])
    assumed = tuple(f"{a.field}: {a.value} ({a.reason})" for a in reader.assumed)
    digest = hashlib.sha256(whole.encode()).hexdigest()
    return Session(file=found, source=file.name, text=whole, digest=digest, assumed=assumed)


class _Table(TableReader):
    """A table of many readings: each unit is worked out once, doubtful cells the careful way."""

    def _cell(self, line: int, cell: str, column: Column, unit: str) -> float:
        try:
            value = float(cell) * _factor(unit, column.unit)
        except ValueError:
            return super()._cell(line, cell, column, unit)
        if column.low < value <= column.high:
            return value
        return super()._cell(line, cell, column, unit)


@cache
def _factor(unit: str, si: str) -> float:
    """How much one ``unit`` is; none of the columns has a unit with a zero of its own."""
    return to_si(f"1 {unit}", si)


class _Tree(TreeReader):
    """The brief's reader, for a session: optional tables, and hints that do not name a brief."""

    def _default(self, model: type[Any], spec: FieldSpec, path: Keys) -> Any:
        if spec.kind is Kind.TABLE and spec.name in ("arm", "stiff"):
            return None
        if spec.default is None and spec.kind is not Kind.TABLE:
            return None
        return super()._default(model, spec, path)

    def fault(self, path: Keys, fault: FieldError) -> None:
        step = fault.next_step
        if step.startswith("it belongs"):  # names a table of the brief
            step = "strike it out"
        super().fault(path, FieldError(fault.given, fault.allowed, step))


def _head_of(text: str) -> str:
    """The TOML in the marked lines; the others are left empty so that lines keep their numbers."""
    lines = (line[len(_HEAD) :] if line.startswith(_HEAD) else "" for line in text.splitlines())
    return "\n".join(lines)


def _parses(text: str, where: str) -> bool:
    try:
        tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        match = _AT.search(str(error))
        line = int(match[1]) if match and match[1] else max(1, len(text.splitlines()))
        allowed = 'TOML: tables in brackets, lines such as span = "120 mm"'
        step = "correct this line, then read it again"
        problem = Problem(f"{where}:{line}", "file", _AT.sub("", str(error)), allowed, step)
        raise InputError(problem) from error
    return True


def _tables(
    reader: _Tree, file: Path, tree: dict[str, Any]
) -> tuple[dict[int, tuple[Reading, ...]], list[str]]:
    """Readings from CSV by number of the series, and the texts of the tables."""
    given = tree.get("series", ())
    series = enumerate(given if isinstance(given, list) else ())
    named = [(i, s["table"]) for i, s in series if isinstance(s, dict) and s.get("table")]
    tables: dict[int, tuple[Reading, ...]] = {}
    texts = []
    for i, name in named:
        if not isinstance(name, str):
            continue  # noted already
        try:
            rows = _rows(_Table(file.parent / name, _COLUMNS))
            tables[i] = tuple(reading for _, reading in rows)
            texts.append(read_text(file.parent / name, "readings"))
        except InputError as error:
            reader.problems.extend(error.problems)
    if file.suffix.lower() == ".csv":
        try:
            for number, reading in _rows(_Table(file, _COLUMNS)):
                tables[number - 1] = (*tables.get(number - 1, ()), reading)
        except InputError as error:
            reader.problems.extend(error.problems)
    return tables, texts


def _rows(table_reader: TableReader) -> list[tuple[int, Reading]]:
    """Readings, each with the number of its series."""
    table = table_reader.read()
    v = table.values
    for names in (("mass", "load"), ("read",)):
        if not any(name in v for name in names):
            heads = " or ".join(f'"{table_reader.columns[n].written}"' for n in names)
            table_reader.fault(1, names[0], "no such column", heads, "add the column")
    table_reader.stop()
    present = [name for name in ("mass", "load", "read", "time", "spread") if name in v]
    series = v["series"].astype(int).tolist() if "series" in v else [1] * len(table.lines)
    columns = zip(*(v[name].tolist() for name in present), strict=True)
    return [
        (number, Reading(**dict(zip(present, row, strict=True))))
        for number, row in zip(series, columns, strict=True)
    ]


def _joined(found: BenchFile, tables: dict[int, tuple[Reading, ...]]) -> BenchFile:
    series = tuple(
        replace(each, readings=(*each.readings, *tables.get(i, ())))
        for i, each in enumerate(found.series)
    )
    return replace(found, series=series)


def _check(reader: _Tree, found: BenchFile | None) -> None:
    """Faults beyond unit and bounds; those of good fields are found even where others are bad."""
    material = reader.found.get("material")
    if material is not None and material not in material_cards():
        hint = nearest(material, material_cards())
        step = f'did you mean "{hint}"?' if hint else "choose one of these"
        reader.fault(("material",), FieldError(as_given(material), listed(material_cards()), step))
    day = reader.found.get("date")
    if day is not None and not _is_day(day):
        step = "write year, month, day"
        reader.fault(("date",), FieldError(as_given(day), 'a day such as "2026-05-31"', step))
    if found is None:
        return
    for path, fault in (*_pieces(found), *_series(found)):
        reader.fault(path, fault)


def _is_day(text: str) -> bool:
    try:
        date.fromisoformat(text)
    except ValueError:
        return False
    return True


def _pieces(found: BenchFile) -> Iterator[tuple[Keys, FieldError]]:
    if not found.specimen:
        yield (
            ("specimen",),
            FieldError("none", "at least one [[specimen]]", "add the piece as measured"),
        )
    if found.kind == "insert-pull" and found.insert not in hardware().inserts:
        given = as_given(found.insert) if found.insert else "nothing"
        yield ("insert",), FieldError(given, listed(hardware().inserts), "name the insert's thread")
    names = [each.name for each in found.specimen]
    for i, each in enumerate(found.specimen):
        if names.index(each.name) < i:
            step = "give each piece its own name"
            yield ("specimen", i, "name"), FieldError(as_given(each.name), "each name once", step)
        for name in _needed(found, each):
            if getattr(each, name) is None:
                words = f"a {name.replace('_', ' ')} for a {found.kind} test of a {each.shape}"
                yield ("specimen", i, name), FieldError("nothing", words, f"add {name}")
        if each.shape == "arm" and found.arm is None:
            step = "add a table [arm] with its dimensions"
            yield ("arm",), FieldError("nothing", "a table [arm]", step)


def _needed(found: BenchFile, each: Specimen) -> tuple[str, ...]:
    if found.kind == "density":
        return ("mass", "length", "width", "thickness")
    if found.kind == "layer-pull":
        return ("break_load", "width", "thickness")
    if found.kind == "insert-pull":
        return ("break_load",)
    return {"bar": ("width", "thickness"), "tube": ("width", "bore")}.get(each.shape, ())


def _series(found: BenchFile) -> Iterator[tuple[Keys, FieldError]]:
    if found.kind not in _LOADED:
        return
    if not found.series:
        yield ("series",), FieldError("none", "at least one [[series]]", "add the readings")
    names = [each.name for each in found.specimen]
    for i, each in enumerate(found.series):
        path: Keys = ("series", i)
        if each.bar == "stiff" and found.stiff is None:
            step = "add a table [stiff]"
            yield (*path, "bar"), FieldError('"stiff"', "a table [stiff] with its size", step)
        if each.bar == "piece" and each.specimen not in names:
            step = "name a piece of [[specimen]]"
            yield (*path, "specimen"), FieldError(as_given(each.specimen), listed(names), step)
        yield from ((path + more, fault) for more, fault in _one_series(found, each))


def _one_series(found: BenchFile, each: Series) -> Iterator[tuple[Keys, FieldError]]:
    for name in ("lever", "pointer") if found.kind == "torsion" else ():
        if getattr(each, name) is None:
            yield (name,), FieldError("nothing", f"a {name} in a torsion test", f"add {name}")
    counted = [r for r in each.readings if not r.excluded]
    if len(counted) < _LEAST:
        given = f"{len(counted)} readings to count"
        yield ("readings",), FieldError(given, f"at least {_LEAST}", "take more readings")
    for k, r in enumerate(each.readings):
        both = r.mass is not None and r.load is not None
        if both or (r.mass is None and r.load is None):
            given = "mass and load" if both else "neither mass nor load"
            yield ("readings", k), FieldError(given, "one of mass, load", "state one of the two")
        if found.kind == "creep" and r.time is None:
            yield ("readings", k), FieldError("no time", "a time in a creep test", "add time")
    loads = {r.mass if r.load is None else r.load for r in counted}
    if found.kind != "creep" and len(counted) >= _LEAST and len(loads) < 2:
        step = "read at two loads or more, one of them zero"
        yield ("readings",), FieldError("one load only", "at least two loads", step)


def _line(problem: Problem) -> tuple[str, int]:
    name, _, line = problem.where.rpartition(":")
    return (name, int(line)) if line.isdigit() else (problem.where, 0)
