"""The numbered list of everything that the general arrangement shows, and what it leaves out."""

from dataclasses import dataclass

from refledge.geometry.items import other_key
from refledge.model.results import MassLine
from refledge.outputs.drawing.lettering import width
from refledge.outputs.drawing.marks import Mark, Text, line
from refledge.outputs.drawing.title import shortened
from refledge.outputs.words import capital, material_name
from refledge.study import Study

ROW = 4.4
"""Height of a row, mm."""
HEADS = ("no.", "what", "pieces", "material", "each (g)", "together (g)")
_WIDE = (9.0, 0.0, 13.0, 42.0, 16.0, 21.0)
"""Columns, mm; the second takes what is left."""
_NUMBERS = (2, 4, 5)


@dataclass(frozen=True)
class Listed:
    """One row."""

    number: int
    """0 for what has no body in the drawing."""
    key: str
    name: str
    pieces: int
    material: str
    each: float  # kg
    together: float  # kg


def numbers(study: Study) -> dict[str, int]:
    """Number of every key: parts in the order of their drawings, then items."""
    keys = [*(spec.key for spec in study.parts), *_item_names(study)]
    return {key: number for number, key in enumerate(keys, 1)}


def listed(study: Study) -> tuple[Listed, ...]:
    """Every row of the mass table, the numbered ones first."""
    known, materials = numbers(study), {s.key: s.material for s in study.parts}
    left = {spec.key: spec.name for spec in study.parts} | _item_names(study)
    rows = []
    for mass in study.masses:
        key = next((key for key, name in left.items() if name == mass.name), "")
        left.pop(key, None)  # two items may bear one name
        made_of = material_name(study, materials[key]) if key in materials else ""
        rows.append(_row(mass, key, known.get(key, 0), made_of))
    return tuple(sorted(rows, key=lambda row: (row.number == 0, row.number)))


def _row(mass: MassLine, key: str, number: int, material: str) -> Listed:
    return Listed(number, key, mass.name, mass.quantity, material, mass.each, mass.total)


def _item_names(study: Study) -> dict[str, str]:
    """Name of every item that has a body, by key."""
    brief = study.brief
    found = {
        "motor": brief.motor.name,
        "disc": brief.propeller.name,
        "battery": brief.battery.name,
        "flight_controller": brief.flight_controller.name,
        "payload": brief.payload.name,
    }
    return found | {other_key(k): each.name for k, each in enumerate(brief.others)}


def list_height(rows: int) -> float:
    """Of a table with that many rows, its heads and its sum, mm."""
    return ROW * (rows + 2)


def table(rows: tuple[Listed, ...], x0: float, x1: float, top: float) -> list[Mark]:
    """The list between ``x0`` and ``x1``, mm, hanging from ``top``."""
    starts = _starts(x0, x1)
    marks = _cells(starts, x1, top - ROW, HEADS, bold=True)
    marks.append(line("rule", (x0, top - ROW), (x1, top - ROW)))
    for k, row in enumerate(rows, 2):
        foot = top - ROW * k
        marks += _cells(starts, x1, foot, _words(row))
        marks.append(line("fine", (x0, foot), (x1, foot)))
    foot = top - ROW * (len(rows) + 2)
    total = f"{1e3 * sum(row.together for row in rows):.0f}"
    marks += _cells(starts, x1, foot, ("", "ready to fly", "", "", "", total), bold=True)
    marks.append(line("rule", (x0, foot + ROW), (x1, foot + ROW)))
    return [*marks, line("rule", (x0, foot), (x1, foot))]


def _words(row: Listed) -> tuple[str, ...]:
    return (
        str(row.number) if row.number else "–",
        capital(row.name),
        str(row.pieces),
        row.material,
        f"{1e3 * row.each:.1f}",
        f"{1e3 * row.together:.1f}",
    )


def _starts(x0: float, x1: float) -> list[float]:
    rest = x1 - x0 - sum(_WIDE)
    found, x = [], x0
    for wide in _WIDE:
        found.append(x)
        x += wide or rest
    return found


def _cells(
    starts: list[float], x1: float, foot: float, words: tuple[str, ...], *, bold: bool = False
) -> list[Mark]:
    marks: list[Mark] = []
    for k, each in enumerate(words):
        left, right = starts[k], [*starts[1:], x1][k]
        cut = shortened(each, right - left - 2.0, 2.0, bold=bold)
        x = right - 1.0 - width(cut, 2.0, bold=bold) if k in _NUMBERS else left + 1.0
        if cut:
            marks.append(Text(x, foot + 1.2, cut, 2.0, bold=bold))
    return marks
