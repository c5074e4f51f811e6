"""Frozen dataclasses to what JSON can say and back, read off their type hints; exact to the bit."""

from dataclasses import fields, is_dataclass
from types import NoneType, UnionType
from typing import Any, get_args, get_origin, get_type_hints

import numpy as np

from refledge.typed import Json


def plain(value: Any) -> Json:
    """``value`` as what the json module writes: dataclasses as objects, arrays as lists."""
    if is_dataclass(value) and not isinstance(value, type):
        return {each.name: plain(getattr(value, each.name)) for each in fields(value)}
    if isinstance(value, (np.ndarray, np.generic)):
        return value.tolist()
    if isinstance(value, tuple):
        return [plain(each) for each in value]
    if value is None or isinstance(value, (str, int, float)):
        return value
    raise TypeError(f"a {type(value).__name__} cannot be kept")


def rebuilt(hint: Any, told: Json) -> Any:
    """The value of type ``hint`` of which ``told`` is the plain form.

    Raises KeyError, TypeError or ValueError where it is not.
    """
    origin = get_origin(hint)
    if isinstance(hint, type) and is_dataclass(hint):
        hints = get_type_hints(hint)
        return hint(**{e.name: rebuilt(hints[e.name], told[e.name]) for e in fields(hint)})
    if origin is UnionType:
        return rebuilt(_member(get_args(hint), told), told)
    if origin is tuple:
        inner = get_args(hint)
        if len(inner) == 2 and inner[1] is Ellipsis:
            return tuple(rebuilt(inner[0], each) for each in told)
        return tuple(rebuilt(each, one) for each, one in zip(inner, told, strict=True))
    if origin is np.ndarray:
        return np.array(told, dtype=float)
    return _single(hint, told)


def _member(members: tuple[Any, ...], told: Json) -> Any:
    """Which of a union's members ``told`` is: text, nothing, or an object."""
    for member in members:
        if member is NoneType and told is None:
            return member
        if member is str and isinstance(told, str):
            return member
        if is_dataclass(member) and isinstance(told, dict):
            return member
    raise TypeError(f"{told!r} is none of {members}")


def _single(hint: Any, told: Json) -> Any:
    if hint is NoneType and told is None:
        return None
    allowed = (int, float) if hint is float else (hint,)
    if hint not in (str, int, float, bool) or not isinstance(told, allowed):
        raise TypeError(f"{told!r} is no {hint}")
    return hint(told)
