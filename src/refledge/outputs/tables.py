"""The study's lists as tables: one set of rows, written as CSV and as JSON."""

import csv
import io
import json
import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass

from refledge.outputs.record import rounded
from refledge.study import Study
from refledge.typed import Floats, Json
from refledge.units import from_si

Cell = str | int | float | bool
_FIGURES = 6  # significant figures: finer than any tolerance here


@dataclass(frozen=True)
class Column:
    """One column: its name and the unit of the trade that its numbers are in."""

    name: str
    unit: str = ""
    si: str = ""
    """SI unit of the numbers given to it; "" for text and counts."""

    @property
    def heading(self) -> str:
        return f"{self.name} ({self.unit})" if self.unit and self.unit != "1" else self.name

    def cell(self, value: Cell) -> Cell:
        if isinstance(value, float) and not math.isfinite(value):
            return str(value)  # JSON has no word for it
        if isinstance(value, float):
            return rounded(from_si(value, self.si, self.unit), _FIGURES)
        return value


@dataclass(frozen=True)
class Table:
    """Rows in the units of the trade, ready to write."""

    name: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]

    def csv_text(self) -> str:
        out = io.StringIO()
        writer = csv.writer(out, lineterminator="\n")
        writer.writerow([column.heading for column in self.columns])
        writer.writerows([[_plain(cell) for cell in row] for row in self.rows])
        return out.getvalue()

    def json_text(self) -> str:
        names = [column.name for column in self.columns]
        document: Json = {
            "table": self.name,
            "units": {c.name: c.unit for c in self.columns if c.unit},
            "rows": [dict(zip(names, row, strict=True)) for row in self.rows],
        }
        return json.dumps(document, indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def tables(study: Study) -> tuple[Table, ...]:
    """Every table of the build folder."""
    makers: tuple[Callable[[Study], Table], ...] = (
        parts, bolts, shopping, masses, motors, allocation, checks,
    )  # fmt: skip
    return tuple(make(study) for make in makers)


def _plain(cell: Cell) -> str:
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, float):
        return f"{cell:.{_FIGURES}g}"
    return str(cell)


def _table(name: str, columns: tuple[Column, ...], rows: Iterable[tuple[Cell, ...]]) -> Table:
    made = (
        tuple(column.cell(value) for column, value in zip(columns, row, strict=True))
        for row in rows
    )
    return Table(name, columns, tuple(made))


def _length(name: str) -> Column:
    return Column(name, "mm", "m")


def _mass(name: str) -> Column:
    return Column(name, "g", "kg")


def parts(study: Study) -> Table:
    """Printed parts and cut tubes."""
    columns = (
        Column("key"), Column("name"), Column("quantity"), Column("material"), Column("printed"),
        _mass("mass each"), _mass("mass together"), Column("volume", "cm^3", "m^3"),
        _length("length"), _length("width"), _length("height"), Column("fits bed"), Column("note"),
    )  # fmt: skip
    rows = (
        (p.key, p.name, p.quantity, p.material, p.printed, p.mass, p.quantity * p.mass, p.volume,
         *p.size, p.fits_bed, p.print_note)
        for p in study.parts
    )  # fmt: skip
    return _table("parts", columns, rows)


def bolts(study: Study) -> Table:
    """Screws, nuts, inserts."""
    columns = (
        Column("name"), Column("quantity"), Column("where"), Column("torque", "N*m", "N*m"),
        _mass("mass each"), Column("note"),
    )  # fmt: skip
    rows = ((f.name, f.quantity, f.where, f.torque, f.mass, f.note) for f in study.fasteners)
    return _table("bolts", columns, rows)


def shopping(study: Study) -> Table:
    """What to buy and what to inspect."""
    names = ("name", "needed", "sound", "inspect", "buy", "why")
    rows = ((s.name, s.needed, s.sound, s.inspect, s.buy, s.why) for s in study.shopping)
    return _table("shopping", tuple(Column(name) for name in names), rows)


def masses(study: Study) -> Table:
    """Everything that flies, with where its mass sits."""
    columns = (
        Column("name"), Column("group"), Column("quantity"), _mass("each"), _mass("together"),
        _length("x"), _length("y"), _length("z"), Column("source"),
    )  # fmt: skip
    rows = (
        (m.name, m.group, m.quantity, m.each, m.total, *m.centre, m.source) for m in study.masses
    )
    return _table("masses", columns, rows)


def motors(study: Study) -> Table:
    """Rotors in order: place, turn, arm. x points to the nose, y to the left, z up."""
    columns = (
        Column("rotor"), _length("x"), _length("y"), _length("z"), Column("turn from above"),
        Column("arm"), Column("motor"),
    )  # fmt: skip
    layout = study.layout
    rows: list[tuple[Cell, ...]] = [
        (
            k + 1,
            *_floats(layout.positions[k]),
            turn_words(layout.spin[k]),
            layout.arm_of_rotor[k] + 1,
            "upright" if layout.upper[k] else "upside down",
        )
        for k in range(layout.n_rotors)
    ]
    return _table("motors", columns, rows)


def _floats(values: Floats) -> list[float]:
    return [float(v) for v in values]


def turn_words(spin: int) -> str:
    """Turn direction of a rotor seen from above, in words."""
    return "counter-clockwise" if spin > 0 else "clockwise"


def allocation(study: Study) -> Table:
    """Thrust and moments of the airframe for each newton of each rotor."""
    columns = (
        Column("per newton of"), Column("thrust", "1", "1"), Column("roll", "m", "m"),
        Column("pitch", "m", "m"), Column("yaw", "m", "m"),
    )  # fmt: skip
    rows: list[tuple[Cell, ...]] = [
        (f"rotor {k + 1}", *_floats(column)) for k, column in enumerate(study.layout.allocation.T)
    ]
    return _table("allocation", columns, rows)


def checks(study: Study) -> Table:
    """Every check; demand and capacity carry the unit in their own column."""
    names = (
        "key", "title", "group", "part", "load case", "must", "demand", "capacity", "unit",
        "margin", "spread", "verdict", "method", "source", "note",
    )  # fmt: skip
    rows = (
        (c.key, c.title, c.group, c.part, c.load_case, "reach" if c.at_least else "not exceed",
         from_si(c.demand, c.unit, c.shown), from_si(c.capacity, c.unit, c.shown), c.shown,
         c.margin, c.spread, str(c.verdict), c.method, c.source, c.note)
        for c in study.checks
    )  # fmt: skip
    return _table("checks", tuple(Column(name) for name in names), rows)
