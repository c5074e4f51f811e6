"""From a TOML tree to models, noting every fault and every default on the way."""

from collections.abc import Mapping
from typing import Any

from refledge.errors import Problem
from refledge.inputs.describe import allowed, shown
from refledge.inputs.rules import check_field, nearest
from refledge.inputs.schema import FieldSpec, Kind, fields_of
from refledge.inputs.toml_lines import Path, line_of
from refledge.inputs.values import FieldError, as_given, read_value
from refledge.model.brief import Assumed, Brief
from refledge.model.items import Condition


class TreeReader:
    """Reads one parsed file; what it finds stands in ``problems``, ``found`` and ``assumed``."""

    def __init__(self, where: str, lines: Mapping[Path, int]) -> None:
        self.where = where
        self.lines = lines
        self.problems: list[Problem] = []
        self.found: dict[str, Any] = {}
        """Good values by dotted path, defaults included."""
        self.assumed: list[Assumed] = []

    def read(self, model: type[Any], table: Mapping[str, Any], path: Path = ()) -> Any:
        """The model, or None where anything in it is wrong."""
        before = len(self.problems)
        specs = fields_of(model)
        misspelt = self._unknown(specs, table, path)
        values = {}
        for spec in specs:
            if spec.name in table:
                values[spec.name] = self._given(spec, table[spec.name], (*path, spec.name))
            elif not spec.required:
                values[spec.name] = self._default(model, spec, (*path, spec.name))
            elif spec.name not in misspelt:
                self._missing(spec, path)
        return model(**values) if len(self.problems) == before and not misspelt else None

    def fault(self, path: Path, fault: FieldError) -> None:
        """Note a fault at ``path``."""
        where = f"{self.where}:{line_of(self.lines, path)}"
        field = dotted(path)
        self.problems.append(Problem(where, field, fault.given, fault.allowed, fault.next_step))

    def _unknown(
        self, specs: tuple[FieldSpec, ...], table: Mapping[str, Any], path: Path
    ) -> set[str]:
        """Note unknown keys; names of required fields that one of them seems to mean."""
        names = [spec.name for spec in specs]
        lacking = [spec.name for spec in specs if spec.name not in table]
        meant = set()
        for key in table:
            if key in names:
                continue
            hint = nearest(key, lacking) or nearest(key, names)
            meant.add(hint)
            step = f'did you mean "{hint}"?' if hint else _elsewhere(key)
            given = "an unknown table" if isinstance(table[key], dict) else "an unknown key"
            self.fault((*path, key), FieldError(given, ", ".join(names), step))
        return meant & {spec.name for spec in specs if spec.required}

    def _given(self, spec: FieldSpec, raw: Any, path: Path) -> Any:
        if spec.kind is Kind.TABLES:
            return self._tables(spec, raw, path)
        if spec.kind is Kind.TABLE:
            return self._table(spec, raw, path)
        try:
            value = read_value(spec, raw)
            check_field(dotted(path), value)
        except FieldError as fault:
            self.fault(path, fault)
            return None
        self.found[dotted(path)] = value
        return value

    def _table(self, spec: FieldSpec, raw: Any, path: Path) -> Any:
        if spec.model is Condition and raw in [each.name for each in fields_of(Condition)]:
            raw = {raw: 1}
        if not isinstance(raw, dict):
            self.fault(path, FieldError(as_given(raw), allowed(spec), "write it in this form"))
            return None
        return self.read(spec.model, raw, path)

    def _tables(self, spec: FieldSpec, raw: Any, path: Path) -> Any:
        if not isinstance(raw, list) or not all(isinstance(each, dict) for each in raw):
            step = f"head each of them with [[{spec.name}]]"
            self.fault(path, FieldError(as_given(raw), allowed(spec), step))
            return None
        return tuple(self.read(spec.model, each, (*path, i)) for i, each in enumerate(raw))

    def _default(self, model: type[Any], spec: FieldSpec, path: Path) -> Any:
        if spec.kind is Kind.TABLE:
            return self.read(spec.model, {}, path)
        self.found[dotted(path)] = spec.default
        if model is not Condition and (spec.info.reason or spec.default not in ("", ())):
            value, reason = shown(spec.default, spec), spec.info.reason or "not stated"
            self.assumed.append(Assumed(dotted(path), value, reason))
        return spec.default

    def _missing(self, spec: FieldSpec, path: Path) -> None:
        what = f"a table [{spec.name}]" if spec.kind is Kind.TABLE and not path else spec.name
        fault = FieldError("nothing", allowed(spec), f"add {what}: {spec.info.meaning}")
        self.fault((*path, spec.name), fault)


def dotted(path: Path) -> str:
    """Such as ``motor.mass`` or ``others[1].mass``; list elements are counted from 1."""
    text = ""
    for step in path:
        text += f"[{step + 1}]" if isinstance(step, int) else f".{step}"
    return text.removeprefix(".")


def _elsewhere(key: str) -> str:
    """Where a misplaced key belongs, in words."""
    for table in fields_of(Brief):
        if table.name == key:
            return "it belongs at the top, before the first table"
        if table.nested and key in [spec.name for spec in fields_of(table.model)]:
            return f"it belongs in [{table.name}], or strike it out"
    return "strike it out"
