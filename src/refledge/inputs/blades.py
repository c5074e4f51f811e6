"""Blade geometry that a brief names: chord and twist against radius."""

from dataclasses import dataclass
from math import pi
from pathlib import Path

import numpy as np

from refledge.inputs.columns import Column, Table, TableReader
from refledge.model.items import Propeller
from refledge.model.rotors import BladeGeometry
from refledge.typed import Floats

_LEAST_ROWS = 4  # a blade's twist bends, and three points cannot show it
_COLUMNS = (
    Column("r/R", "1", "r/R", "1", high=1.0),
    Column("radius", "m", "radius (mm)", high=1.0),
    Column("c/R", "1", "c/R", "1", high=1.0),
    Column("chord", "m", "chord (mm)", high=0.5),
    Column("twist", "rad", "twist (deg)", low=-pi / 18, high=pi / 2),
)


@dataclass(frozen=True, eq=False)
class BladeRows:
    """The table as it stands; a propeller's diameter turns it into a blade."""

    radius: Floats
    """(n,), rising; over the tip radius, or m."""
    radius_is_share: bool
    chord: Floats
    """(n,), over the tip radius, or m."""
    chord_is_share: bool
    twist: Floats
    """(n,), rad."""
    source: str


def read_blade_rows(path: str | Path) -> BladeRows:
    """Columns r/R or radius, c/R or chord, twist; raises InputError with every problem."""
    reader = TableReader(Path(path), _COLUMNS)
    table = reader.read()
    radius = _one_of(reader, table, "r/R", "radius")
    chord = _one_of(reader, table, "c/R", "chord")
    twist = _one_of(reader, table, "twist", "twist")
    reader.stop()
    if len(table.lines) < _LEAST_ROWS:
        given = f"{len(table.lines)} rows"
        reader.fault(1, "rows", given, f"at least {_LEAST_ROWS}", "add measured radii")
    for i in np.flatnonzero(np.diff(table.values[radius]) <= 0):
        line = table.lines[i + 1]
        reader.fault(line, radius, "a radius no larger than the last", "rising radii", "sort them")
    reader.stop()
    values = table.values
    return BladeRows(
        values[radius], radius == "r/R", values[chord], chord == "c/R", values[twist], table.source
    )


def read_blade_geometry(path: str | Path, propeller: Propeller) -> BladeGeometry:
    """The blade of ``propeller``; raises InputError where its rows reach beyond the tip."""
    rows = read_blade_rows(path)
    tip = propeller.diameter / 2
    share = rows.radius if rows.radius_is_share else rows.radius / tip
    if share[-1] > 1 + 1e-9:
        reader = TableReader(Path(path), _COLUMNS)
        given = f"{1e3 * rows.radius[-1]:.1f} mm"
        reader.fault(1, "radius", given, f"up to the tip, {1e3 * tip:.1f} mm", "check the diameter")
        reader.stop()
    return BladeGeometry(
        diameter=propeller.diameter,
        blades=propeller.blades,
        radius=share,
        chord=rows.chord * tip if rows.chord_is_share else rows.chord,
        twist=rows.twist,
        source=rows.source,
    )


def _one_of(reader: TableReader, table: Table, *names: str) -> str:
    """The column of ``names`` that the table has; notes a fault where it has none or both."""
    found = [name for name in dict.fromkeys(names) if name in table.values]
    written = " or ".join(f'"{reader.columns[n.casefold()].written}"' for n in dict.fromkeys(names))
    if len(found) != 1:
        given = "no such column" if not found else "both columns"
        reader.fault(1, names[-1], given, written, f"have one column headed {written}")
    return found[0] if found else names[0]
