"""Rotor tables that a brief names: propeller coefficients and thrust-stand runs."""

from dataclasses import replace
from math import pi, sqrt
from pathlib import Path

import numpy as np

from refledge.inputs.columns import Column, Table, TableReader
from refledge.model.rotor_tables import CoefficientTable, ThrustTable
from refledge.typed import Floats

_RAD_PER_S = 2 * pi / 60
_SPEED = Column("rpm", "rad/s", "rpm", "rpm", high=200_000 * _RAD_PER_S)
_LARGEST = 0.5  # CT and CP of propellers are about 0.15 and 0.1 at most; from memory, typical
_COEFFICIENTS = (
    _SPEED,
    Column("CT", "1", "CT", "1", high=_LARGEST),
    Column("CP", "1", "CP", "1", high=_LARGEST),
)
_THRUST = (
    _SPEED,
    Column("speed", "rad/s", "speed (rad/s)"),
    Column("thrust", "N", "thrust (gf)"),
    Column("power", "W", "power (W)"),
    Column("current", "A", "current (A)"),
    Column("voltage", "V", "voltage (V)"),
    Column("torque", "N*m", "torque (N*m)"),
    Column("throttle", "1", "throttle (%)", low=-1e-9, high=1.0),
)
_LEAST_ROWS = 2  # to interpolate between


def read_coefficients(path: str | Path) -> CoefficientTable:
    """A table with columns rpm, CT, CP (static); raises InputError with every problem."""
    reader = TableReader(Path(path), _COEFFICIENTS)
    table = reader.read()
    _need(reader, table, "rpm", "CT", "CP")
    table = _rising(reader, table, "rpm")
    _check_figure_of_merit(reader, table)
    reader.stop()
    values = table.values
    return CoefficientTable(values["rpm"] / _RAD_PER_S, values["CT"], values["CP"], table.source)


def read_thrust_table(path: str | Path) -> ThrustTable:
    """A thrust-stand run: rpm, thrust, and power or current with voltage; raises InputError.

    Torque and throttle are read where the stand gives them.
    """
    reader = TableReader(Path(path), _THRUST)
    table = reader.read()
    speed = "speed" if "speed" in table.values else "rpm"
    if "power" in table.values:
        _need(reader, table, speed, "thrust")
    else:
        _need(reader, table, speed, "thrust", "current", "voltage")
    table = _rising(reader, table, speed)
    power, current, voltage = _electrical(table)
    return ThrustTable(
        table.values[speed],
        table.values["thrust"],
        power,
        current,
        voltage,
        table.source,
        torque=table.values.get("torque", np.empty(0)),
        throttle=table.values.get("throttle", np.empty(0)),
        lines=table.lines,
    )


def _electrical(table: Table) -> tuple[Floats, Floats, Floats]:
    """Power, current and voltage, (n,) each, the third from the other two where it is lacking."""
    values = table.values
    if "power" not in values:
        return values["current"] * values["voltage"], values["current"], values["voltage"]
    power = values["power"]
    current, voltage = values.get("current"), values.get("voltage")
    unknown = np.full_like(power, np.nan)
    if current is None:
        current = unknown if voltage is None else power / voltage
    if voltage is None:
        voltage = unknown if "current" not in values else power / current
    return power, current, voltage


def _need(reader: TableReader, table: Table, *names: str) -> None:
    for name in names:
        if name not in table.values:
            written = reader.columns[name.casefold()].written
            step = f'add a column headed "{written}"'
            reader.fault(1, name, "no such column", f'a column "{written}"', step)
    reader.stop()
    if len(table.lines) < _LEAST_ROWS:
        given = f"{len(table.lines)} rows"
        reader.fault(1, "rows", given, f"at least {_LEAST_ROWS}", "add measured rows")
    reader.stop()


def _rising(reader: TableReader, table: Table, speed: str) -> Table:
    """The table in rising speed; a speed that comes twice is a problem."""
    order = np.argsort(table.values[speed], kind="stable")
    lines = tuple(table.lines[i] for i in order)
    sorted_speed = table.values[speed][order]
    for i in np.flatnonzero(np.diff(sorted_speed) == 0):
        step = f"strike out this line or line {lines[i]}: stands may copy their last row"
        reader.fault(lines[i + 1], speed, "the same speed again", "each speed once", step)
    reader.stop()
    values = {name: column[order] for name, column in table.values.items()}
    return replace(table, lines=lines, values=values)


def _check_figure_of_merit(reader: TableReader, table: Table) -> None:
    """No rotor needs less than ideal power: sqrt(2/pi) CT^1.5 / CP is at most 1.

    Leishman, Principles of Helicopter Aerodynamics, figure of merit, in propeller coefficients.
    """
    merit = sqrt(2 / pi) * table.values["CT"] ** 1.5 / table.values["CP"]
    for i in np.flatnonzero(merit > 1):
        given = f"CT and CP that give a figure of merit of {merit[i]:.2f}"
        step = "check whether CT and CP are exchanged or not of the T = CT rho n^2 D^4 kind"
        reader.fault(table.lines[i], "CT", given, "at most 1", step)
