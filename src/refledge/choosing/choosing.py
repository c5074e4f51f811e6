"""The chosen layout as changes to the brief, so that ``design`` uses it."""

import os
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from refledge.choosing.candidates import Candidates
from refledge.flight.rotor import TURN, RotorModel
from refledge.inputs.editing import Changes, edited, item_changes
from refledge.model.brief import Brief
from refledge.model.items import FittedMotor, Motor, Propeller

_TABLES = ("coefficients", "blade_geometry", "thrust_table")


@dataclass(frozen=True)
class Chosen:
    """What to write."""

    text: str
    """The brief."""
    tables: dict[str, str]
    """Name beside the brief to contents, of tables that had to be made."""


def chosen_brief(text: str, candidates: Candidates, number: int, target: Path) -> Chosen:
    """The brief's ``text`` with candidate ``number`` in it, to be written at ``target``.

    Only what differs from the brief is touched; tables are named from where ``target`` stands.
    """
    brief, wanted = candidates.brief, candidates.brief_of(number)
    propeller, tables = _propeller(candidates, number, target)
    changes: dict[str, dict[str, Any]] = {
        "layout": {
            "kind": wanted.layout.kind,
            "turn_order": wanted.layout.turn_order or None,
            "arm_angles": None,
            "pairs": None,
            "motor_radius": None,
        }
    }
    if wanted.propeller is not brief.propeller:
        changes["propeller"] = item_changes(propeller)
    else:
        changes["propeller"] = {n: getattr(propeller, n) or None for n in _TABLES}
    motor = _motor(candidates, number, target)
    if wanted.motor is not brief.motor:
        changes["motor"] = item_changes(motor)
    else:
        changes["motor"] = {"thrust_table": motor.thrust_table or None}
    if wanted.battery is not brief.battery:
        changes["battery"] = item_changes(wanted.battery)
    if brief.frame.grown_arm:
        changes["frame"] = {"grown_arm": _seen_from(target, brief, brief.frame.grown_arm)}
    made: Changes = changes
    return Chosen(edited(text, made), tables)


def _motor(candidates: Candidates, number: int, target: Path) -> Motor:
    """The motor as it was given, its stand run named as seen from ``target``."""
    brief = candidates.brief_of(number)
    motor = brief.motor.given if isinstance(brief.motor, FittedMotor) else brief.motor
    return replace(motor, thrust_table=_seen_from(target, brief, motor.thrust_table))


def _seen_from(target: Path, brief: Brief, file: str) -> str:
    """A table's name beside ``brief`` as one beside ``target``; "" stays."""
    if not file:
        return ""
    return Path(os.path.relpath(Path(brief.folder) / file, target.parent)).as_posix()


def _propeller(
    candidates: Candidates, number: int, target: Path
) -> tuple[Propeller, dict[str, str]]:
    """The propeller with its tables as seen from ``target``.

    A thrust table holds only with the motor that it was measured with; with another motor the
    coefficients found from it take its place, in a table of their own.
    """
    brief = candidates.brief_of(number)
    propeller = brief.propeller
    moved: dict[str, Any] = {
        name: _seen_from(target, brief, getattr(propeller, name)) for name in _TABLES
    }
    tables = {}
    if propeller.thrust_table and brief.motor is not candidates.brief.motor:
        name = f"{target.stem}-propeller.csv"
        tables[name] = _coefficients(candidates.rotor_of(number), brief)
        moved |= {"thrust_table": "", "coefficients": name}
    return replace(propeller, **moved), tables


def _coefficients(rotor: RotorModel, brief: Brief) -> str:
    """CSV of the rotor's static coefficients, which the reader of briefs understands."""
    rows = zip(rotor.CT_curve.knots, rotor.CT_curve.values, rotor.CP_curve.values, strict=True)
    lines = [f"{60 * speed / TURN:.1f},{CT:.6f},{CP:.6f}" for speed, CT, CP in rows]
    source = f"# {brief.propeller.name}: {rotor.method}"
    return "\n".join([source, "rpm,CT,CP", *lines]) + "\n"
