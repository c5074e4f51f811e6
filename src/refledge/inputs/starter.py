"""The starter brief: every field with its meaning, invented values where one is needed."""

from collections.abc import Iterable
from textwrap import wrap
from typing import Any

from refledge.data.tables import read_rows
from refledge.errors import DataError
from refledge.inputs.describe import about, bounds
from refledge.inputs.rules import keys_of
from refledge.inputs.schema import FieldSpec, Kind, fields_of
from refledge.inputs.toml_lines import Path
from refledge.inputs.tree import dotted
from refledge.inputs.writing import literal
from refledge.model.brief import Brief
from refledge.model.items import Condition

_INTRO = """\
A brief: what is left, what the aircraft must do, what can be printed, what must hold.
Lines marked "invented" must be replaced by your own figures: weigh, measure, read the label.
Lines that start with # are defaults; take the # away and change the value to state your own.
Numbers with a unit are texts: "250 mm", "1.5 kg", "35 degC". Counts and fractions are plain."""
_WIDTH = 98


def starter_text() -> str:
    """A commented brief that can be read as it stands."""
    invented = {row["field"]: row["value"] for row in read_rows("starter")}
    lines = [*_comment(_INTRO), "", *_table(Brief, (), invented)]
    if invented:
        raise DataError(f"starter: values for no such field: {sorted(invented)}")
    return "\n".join(lines) + "\n"


def _table(model: type[Any], path: Path, invented: dict[str, str]) -> Iterable[str]:
    """Lines of one table; takes what it uses out of ``invented``."""
    specs = fields_of(model)
    for spec in specs:
        if not spec.nested or spec.model is Condition:
            yield from _field(spec, (*path, spec.name), invented)
    for spec in specs:
        if spec.nested and spec.model is not Condition:
            mark = f"[{spec.name}]" if spec.kind is Kind.TABLE else f"[[{spec.name}]]"
            yield from ("", "", *_comment(_heading(spec)), mark)
            yield from _table(spec.model, (*path, spec.name), invented)


def _field(spec: FieldSpec, path: Path, invented: dict[str, str]) -> Iterable[str]:
    """One field: an invented value, else its default, else an example of what it may say."""
    limits = bounds(spec.info) or ", ".join(spec.info.choices)
    yield from ("", *_comment(f"{spec.info.meaning}: {limits}" if limits else spec.info.meaning))
    value = invented.pop(dotted(path), None)
    defaults = not spec.required and spec.default not in (None, ())
    if value is None and not defaults:
        raise DataError(f"starter: no value for {dotted(path)}")
    if value is None:
        why = f"the default: {spec.info.reason}" if spec.info.reason else "the default"
        yield f"# {spec.name} = {literal(spec.default, spec)}  # {why}"
    elif spec.required or defaults:
        yield f"{spec.name} = {value}  # invented"
    else:
        yield f"# {spec.name} = {value}  # not the default: {spec.info.reason or 'none given'}"


def _heading(spec: FieldSpec) -> str:
    text = about(spec)
    if spec.kind is Kind.TABLES:
        text += f" One [[{spec.name}]] table for each; none is fine."
    names = {"printer": ("Materials", "printed"), "frame": ("Tubes", "tube")}
    if spec.name in names:
        title, kind = names[spec.name]
        text += f" {title}: {', '.join(keys_of(kind))}."
    return text


def _comment(text: str) -> list[str]:
    return [
        f"# {line}"
        for part in text.splitlines()
        for line in wrap(part, _WIDTH, break_on_hyphens=False)
    ]
