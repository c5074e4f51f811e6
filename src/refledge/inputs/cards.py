"""Material cards from the tables ``materials`` and ``tubes``."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import MISSING, fields
from functools import cache
from types import MappingProxyType
from typing import Any

from refledge.data.tables import number, read_rows
from refledge.errors import DataError
from refledge.model.materials import MaterialCard, Property
from refledge.units import UnitError, to_si

Row = dict[str, str]
_SI = {"MPa": "Pa", "degC": "K", "kg/m**3": "kg/m**3", "1/kg": "1/kg", "1": "1"}
_FLAGS = {"yes": True, "no": False}


@cache
def material_cards() -> Mapping[str, MaterialCard]:
    """Every material and every stock tube by key, in the order of the tables."""
    rows: dict[str, dict[str, Row]] = defaultdict(dict)
    for row in read_rows("materials"):
        if rows[row["material"]].setdefault(row["property"], row) is not row:
            raise DataError(f"materials: {row['property']} of {row['material']} stands twice")
    tubes = read_rows("tubes")
    bases = {tube["material"] for tube in tubes}
    cards = [build_card(key, found) for key, found in rows.items() if key not in bases]
    cards += [_tube(tube, rows) for tube in tubes]
    return MappingProxyType({card.key: card for card in cards})


def build_card(
    key: str, rows: Mapping[str, Row], outer: float = 0.0, bore: float = 0.0
) -> MaterialCard:
    """A card from its rows by property; ``outer`` and ``bore`` in m for a tube."""
    given: dict[str, Any] = {"key": key, "outer": outer, "bore": bore}
    wanted = {each.name: each for each in fields(MaterialCard) if each.name not in given}
    strange = rows.keys() - wanted.keys()
    missing = {name for name, each in wanted.items() if each.default is MISSING} - rows.keys()
    if strange or missing:
        raise DataError(f"materials: {key} lacks {sorted(missing)}, has unknown {sorted(strange)}")
    for name, row in rows.items():
        given[name] = _value(row, wanted[name].type)
    return MaterialCard(**given)


def _value(row: Row, kind: Any) -> Property | float | bool | str:
    what = f"materials: {row['property']} of {row['material']}"
    if kind is str:
        return row["value"]
    if kind is bool:
        if row["value"] not in _FLAGS:
            raise DataError(f"{what}: {row['value']!r} is neither yes nor no")
        return _FLAGS[row["value"]]
    if row["unit"] not in _SI:
        raise DataError(f"{what}: unit {row['unit']!r} is not one of {sorted(_SI)}")
    try:
        value = to_si(f"{row['value']} {row['unit']}".removesuffix(" 1"), _SI[row["unit"]])
    except UnitError as error:
        raise DataError(f"{what}: {error}") from error
    if kind is float:
        return value
    return Property(value, number(row, "spread", "materials"), _source(row))


def _source(row: Row) -> str:
    """Source with the note on how the figure was made from it."""
    return f"{row['source']}: {row['note']}" if row["note"] else row["source"]


def _tube(tube: Row, rows: Mapping[str, Mapping[str, Row]]) -> MaterialCard:
    if tube["material"] not in rows:
        raise DataError(f"tubes: {tube['key']} is made of unknown {tube['material']!r}")
    outer, bore = (number(tube, name, "tubes") for name in ("outer_mm", "bore_mm"))
    found = dict(rows[tube["material"]])
    name = f"{found['name']['value']}, {outer:g} mm outside, {bore:g} mm inside"
    found["name"] = found["name"] | {"value": name}
    return build_card(tube["key"], found, outer / 1e3, bore / 1e3)
