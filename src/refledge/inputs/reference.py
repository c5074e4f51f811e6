"""The reference of the brief's fields for docs/, made from the metadata that the reader uses."""

from collections.abc import Iterable
from typing import Any

from refledge.inputs.describe import about, allowed, shown
from refledge.inputs.holes import common_patterns
from refledge.inputs.rules import keys_of
from refledge.inputs.schema import FieldSpec, Kind, fields_of
from refledge.model.brief import Brief
from refledge.model.items import Condition

_INTRO = """\
# The brief

<!-- Made by refledge.inputs.reference from the fields' metadata; a test keeps the two alike. -->

A brief is a TOML file (v1.0.0). Numbers with a unit are texts, such as `"250 mm"`; a bare number is
refused where a unit is needed. Counts are whole numbers; fractions are numbers or texts such as
`"40 %"`. Reading it reports all its problems at once. Every default that is used is listed in the
result. `refledge new` writes a commented starter.

A condition says how many of an item are sound, suspect, scrap or to buy:
`condition = { sound = 5, scrap = 1 }`; for one of an item `condition = "sound"` will do.
"""
_HEAD = "| field | meaning | allowed | without it |\n|---|---|---|---|"


def brief_reference() -> str:
    """docs/brief.md as text."""
    top = [spec for spec in fields_of(Brief) if not spec.nested]
    parts = [_INTRO, "## At the top\n", _HEAD, *map(_row, top)]
    for spec in fields_of(Brief):
        if spec.nested:
            parts += _section(spec)
    parts += ["\n## Names\n", *_names()]
    return "\n".join(parts) + "\n"


def _section(spec: FieldSpec) -> list[str]:
    mark = f"[{spec.name}]" if spec.kind is Kind.TABLE else f"[[{spec.name}]]"
    rows = [_row(each) for each in fields_of(spec.model)]
    return [f"\n## {mark}\n", about(spec) + "\n", _HEAD, *rows]


def _row(spec: FieldSpec) -> str:
    cells = (f"`{spec.name}`", spec.info.meaning, allowed(spec), _without(spec))
    return "| " + " | ".join(cell.replace("|", "\\|") for cell in cells) + " |"


def _without(spec: FieldSpec) -> str:
    if spec.required:
        return "required"
    value = _default(spec.default, spec)
    return f"{value}: {spec.info.reason}" if spec.info.reason else value


def _default(value: Any, spec: FieldSpec) -> str:
    return "none" if spec.model is Condition else shown(value, spec)


def _names() -> Iterable[str]:
    yield f"Printed materials: {', '.join(keys_of('printed'))}.\n"
    yield f"Tubes: {', '.join(keys_of('tube'))}.\n"
    yield f"Motor hole patterns in common use: {', '.join(common_patterns('motor'))}. The numbers"
    yield "are the diameters of the two circles on which two screws each face each other.\n"
    yield f"Controller hole patterns in common use: {', '.join(common_patterns('controller'))}. The"
    yield "numbers are the spacing of the square; `none` is a controller held by tape."
