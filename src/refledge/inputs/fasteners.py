"""Screws, inserts and plain nuts from the tables of those names."""

from collections.abc import Mapping
from functools import cache
from math import sqrt
from types import MappingProxyType
from typing import Any, TypeVar

from refledge.data.tables import number, read_rows
from refledge.errors import InputError, Problem
from refledge.model.fasteners import Hardware, Insert, Nut, Screw, ShearBolt

Row = dict[str, str]
T = TypeVar("T")


@cache
def hardware() -> Hardware:
    """Every screw, insert, plain nut and shear bolt that the tables know."""
    screws = {row["size"]: _screw(row) for row in read_rows("screws")}
    inserts = {row["size"]: _insert(row) for row in read_rows("inserts")}
    nuts = {row["size"]: _nut(row) for row in read_rows("nuts")}
    shear = {row["size"]: _shear_bolt(row) for row in read_rows("shear_bolts")}
    return Hardware(
        MappingProxyType(screws),
        MappingProxyType(inserts),
        MappingProxyType(nuts),
        MappingProxyType(shear),
    )


def screw(size: str) -> Screw:
    """The screw of a size such as "M3"."""
    return _pick(hardware().screws, size, "screw")


def insert(size: str) -> Insert:
    """The heat-set insert of a thread such as "M3"."""
    return _pick(hardware().inserts, size, "insert")


def screw_lengths(size: str) -> tuple[float, ...]:
    """Lengths under the head in which a screw is sold, m, rising."""
    rows = {row["size"]: row for row in read_rows("screws")}
    return tuple(float(mm) / 1e3 for mm in _pick(rows, size, "screw")["lengths_mm"].split())


def shear_bolt_lengths(size: str) -> tuple[float, ...]:
    """Lengths under the head in which a polyamide screw is sold, m, rising."""
    rows = {row["size"]: row for row in read_rows("shear_bolts")}
    return tuple(float(mm) / 1e3 for mm in _pick(rows, size, "shear bolt")["lengths_mm"].split())


def _pick(table: Mapping[str, T], size: str, what: str) -> T:
    if size not in table:
        known = ", ".join(table)
        raise InputError(Problem("fasteners", what, repr(size), known, "take one of these sizes"))
    return table[size]


def _screw(row: Row) -> Screw:
    proof = number(row, "proof_stress_MPa", "screws") * 1e6
    return Screw(**_measures(row, "screws"), proof_stress=proof, source=row["source"])


def _shear_bolt(row: Row) -> ShearBolt:
    tensile = number(row, "tensile_MPa", "shear_bolts") * 1e6
    return ShearBolt(
        **_measures(row, "shear_bolts"),
        proof_stress=tensile,
        source=row["source"],
        tensile=tensile,
        modulus=number(row, "modulus_MPa", "shear_bolts") * 1e6,
        density=number(row, "density_kg_m3", "shear_bolts"),
    )


def _measures(row: Row, table: str) -> dict[str, Any]:
    """Size and lengths (m) of a screw with its nut and washer."""

    def mm(column: str) -> float:
        return number(row, f"{column}_mm", table) / 1e3

    plain = (
        "diameter", "pitch", "clearance_hole", "head_diameter", "head_height", "nut_height",
        "washer_diameter", "washer_thickness",
    )  # fmt: skip
    return {
        "size": row["size"],
        "nut_width": mm("across_flats") * 2 / sqrt(3),  # across the corners of a sharp hexagon
        "stress_area": number(row, "stress_area_mm2", table) / 1e6,
        **{name: mm(name) for name in plain},
    }


def _insert(row: Row) -> Insert:
    def mm(column: str) -> float:
        return number(row, f"{column}_mm", "inserts") / 1e3

    return Insert(
        size=row["size"],
        hole_diameter=mm("hole_diameter"),
        length=mm("length"),
        outer_diameter=mm("outer_diameter"),
        boss_diameter=mm("hole_diameter") + 2 * mm("wall"),
        pull_out_note=row["pull_out_note"],
        source=row["source"],
    )


def _nut(row: Row) -> Nut:
    width, height = (number(row, f"{each}_mm", "nuts") / 1e3 for each in ("across_flats", "height"))
    return Nut(size=row["size"], width=width, height=height, source=row["source"])
