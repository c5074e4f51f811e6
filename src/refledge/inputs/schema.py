"""What a brief may hold, read off the fields of the models and their metadata."""

from dataclasses import MISSING, dataclass, fields, is_dataclass
from enum import Enum, auto
from types import NoneType, UnionType
from typing import Any, get_args, get_origin, get_type_hints

from refledge.model.brief import Brief
from refledge.model.fields import FieldInfo, info_of

FILLED = frozenset({"assumed", "folder"})
"""Fields of Brief that the reader fills; no file may state them."""
_ANGLE = FieldInfo("angle", "rad", "deg")


class Kind(Enum):
    """How a field is written in the file."""

    QUANTITY = auto()
    COUNT = auto()
    TEXT = auto()
    FLAG = auto()
    TABLE = auto()
    TABLES = auto()
    TEXTS = auto()
    ANGLES = auto()


@dataclass(frozen=True)
class FieldSpec:
    """One field of a model, as a reader needs it."""

    name: str
    kind: Kind
    info: FieldInfo
    default: Any
    """MISSING where the field is required."""
    model: type[Any]
    """The nested model of a table or of a list of tables; otherwise the type of the value."""

    @property
    def required(self) -> bool:
        return self.default is MISSING

    @property
    def nested(self) -> bool:
        return self.kind in (Kind.TABLE, Kind.TABLES)


def fields_of(model: type[Any]) -> tuple[FieldSpec, ...]:
    """The fields that a file may state for ``model``, in the order of declaration."""
    hints = get_type_hints(model)
    specs = []
    for each in fields(model):
        if model is Brief and each.name in FILLED:
            continue
        kind, inner = _classify(hints[each.name], info_of(each))
        info = info_of(each)
        if kind is Kind.ANGLES:  # a list carries no unit in its metadata; the only one holds angles
            info = FieldInfo(info.meaning, _ANGLE.unit, _ANGLE.shown, reason=info.reason)
        specs.append(FieldSpec(each.name, kind, info, each.default, inner))
    return tuple(specs)


def _classify(hint: Any, info: FieldInfo) -> tuple[Kind, Any]:
    if get_origin(hint) is UnionType:
        (hint,) = (each for each in get_args(hint) if each is not NoneType)
    if get_origin(hint) is tuple:
        inner = get_args(hint)[0]
        if is_dataclass(inner):
            return Kind.TABLES, inner
        return (Kind.TEXTS, str) if inner is str else (Kind.ANGLES, float)
    if is_dataclass(hint):
        return Kind.TABLE, hint
    if hint is float:
        return Kind.QUANTITY, float
    if hint is int and info.whole:
        return Kind.COUNT, int
    plain = {bool: Kind.FLAG, str: Kind.TEXT}
    if hint not in plain:
        raise TypeError(f"no way to write a field of type {hint} in a brief")
    return plain[hint], hint
