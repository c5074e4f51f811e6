"""Finalists and Pareto set as tables, written as CSV."""

from refledge.choosing.compare import Comparison
from refledge.choosing.finalist import Finalist
from refledge.choosing.flying import Steering
from refledge.flight.turns import split_kind
from refledge.outputs.flying_words import loss_short
from refledge.outputs.tables import Cell, Column, Table

_FINALISTS = (
    Column("key"), Column("layout"), Column("turn order"), Column("propeller"), Column("pack"),
    Column("motor"), Column("all-up mass", "kg", "kg"), Column("frame mass", "g", "kg"),
    Column("arms"), Column("hover power", "W", "W"), Column("hover time", "min", "s"),
    Column("hover time, standard uncertainty", "min", "s"), Column("thrust over weight", "1", "1"),
    Column("limited by"), Column("centre to motor", "mm", "m"), Column("across", "mm", "m"),
    Column("rotors"), Column("losses held level"), Column("losses with heading"),
    Column("one rotor stops"), Column("yaw moment", "N*m", "N*m"),
    Column("roll", "rad/s^2", "rad/s^2"), Column("pitch", "rad/s^2", "rad/s^2"),
    Column("yaw", "rad/s^2", "rad/s^2"), Column("printing", "h", "h"),
    Column("printing, standard uncertainty", "h", "h"),
    Column("plastic, low price"), Column("plastic, high price"),
    Column("printed parts"), Column("different parts"), Column("frame holds"),
    Column("wishes missed"),
)  # fmt: skip
_FRONT = (
    Column("layout"), Column("turn order"), Column("propeller"), Column("pack"), Column("motor"),
    Column("candidate"), Column("all-up mass", "kg", "kg"), Column("frame mass", "g", "kg"),
    Column("hover power", "W", "W"), Column("hover time", "min", "s"),
    Column("thrust over weight", "1", "1"), Column("across", "mm", "m"),
    Column("one rotor lost (0 falls, 1 level, 2 heading)"), Column("losses with heading"),
)  # fmt: skip


def finalists_table(comparison: Comparison) -> Table:
    """One row a finalist."""
    return _table("layouts", _FINALISTS, [_row(each) for each in comparison.finalists])


def front_table(comparison: Comparison) -> Table:
    """The Pareto set of the sweep, longest hover first."""
    candidates, columns = comparison.candidates, comparison.front.columns
    rows: list[tuple[Cell, ...]] = []
    for at, number in enumerate(columns["candidate"].tolist()):
        brief = candidates.brief_of(number)
        figures = ("all_up_mass", "frame_mass", "hover_power", "endurance", "thrust_margin",
                   "footprint")  # fmt: skip
        counts = ("rotor_lost", "heading_kept")
        rows.append(
            (brief.layout.kind, brief.layout.turn_order, brief.propeller.name, brief.battery.name,
             brief.motor.name, number, *(float(columns[name][at]) for name in figures),
             *(int(columns[name][at]) for name in counts))
        )  # fmt: skip
    return _table("pareto", _FRONT, rows)


def _row(one: Finalist) -> tuple[Cell, ...]:
    kind, turns = split_kind(one.kind)
    flying, making, steering = one.flying, one.making, one.flying.steering
    nothing = Steering(0.0, (0.0, 0.0, 0.0))
    steers = steering if isinstance(steering, Steering) else nothing
    return (
        one.key, kind, turns, one.propeller, one.pack, one.motor, one.all_up_mass, one.frame_mass,
        one.arm, flying.hover.power, flying.endurance.value, flying.endurance.uncertainty,
        flying.thrust_margin, flying.full.limited_by, one.motor_radius, one.footprint, one.rotors,
        sum(loss.level for loss in flying.losses), sum(loss.heading for loss in flying.losses),
        loss_short(flying.losses), steers.yaw, *steers.turning, making.hours,
        making.hours_spread, making.price_low, making.price_high, making.parts, making.different,
        one.feasible,
        "; ".join(miss.what for miss in one.misses),
    )  # fmt: skip


def _table(name: str, columns: tuple[Column, ...], rows: list[tuple[Cell, ...]]) -> Table:
    made = (
        tuple(column.cell(value) for column, value in zip(columns, row, strict=True))
        for row in rows
    )
    return Table(name, columns, tuple(made))
