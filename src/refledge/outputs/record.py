"""study.json: everything of a study except solids and triangles, SI, with units stated by path.

Numbers that JSON has no word for are the texts "inf", "-inf" and "nan".
"""

import json
import math
from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass
from enum import StrEnum
from typing import Any

import numpy as np

from refledge.model.fields import info_of
from refledge.outputs.result_units import RESULT_UNITS
from refledge.study import Study
from refledge.typed import Json

SCHEMA = 1
_FIGURES = 9  # beyond these the order of sums shows, which a library may change from run to run
_NOUGHT = 1e-12  # no quantity here has meaning so near nought in its SI unit
_LEFT_OUT = {
    "Study.solids",
    "Study.task",
    "Study.assessment",
    "Assembly.meshes",
    "Brief.folder",
    "ArmDesign.grown",
}


def study_json(study: Study) -> str:
    """The study as JSON text with sorted keys; the same study gives the same text."""
    document = {
        "schema": f"refledge study {SCHEMA}",
        "axes": "x to the nose, y to the left, z up; origin half-way between the plates",
        "verdict": str(study.verdict),
        "study": plain(study),
        "units": dict(sorted(set(units_by_path(study)))),
    }
    text = json.dumps(document, indent=1, sort_keys=True, ensure_ascii=False, allow_nan=False)
    return text + "\n"


def plain(value: Any) -> Json:
    """``value`` as what JSON can say: dataclasses as objects, arrays as lists."""
    if is_dataclass(value) and not isinstance(value, type):
        return {name: plain(item) for name, item in _kept(value)}
    if isinstance(value, Mapping):
        return {str(key): plain(item) for key, item in value.items()}
    if isinstance(value, (np.ndarray, np.generic)):
        return plain(value.tolist())
    if isinstance(value, (tuple, list)):
        return [plain(item) for item in value]
    return _single(value)


def rounded(value: float, figures: int = _FIGURES) -> float:
    """``value`` to some significant figures; what is left of noughts by rounding becomes 0."""
    return 0.0 if abs(value) < _NOUGHT else float(f"{value:.{figures}g}")


def _single(value: Any) -> Json:
    if isinstance(value, float) and math.isfinite(value):
        return rounded(value)
    if isinstance(value, float):
        return str(value)
    if value is None or isinstance(value, (str, int)):
        return str(value) if isinstance(value, StrEnum) else value
    raise TypeError(f"a study holds a {type(value).__name__}, which study.json cannot say")


def units_by_path(value: Any, path: str = "") -> Iterator[tuple[str, str]]:
    """Pairs of path, such as ``brief.mission.gust``, and SI unit of every number with a unit."""
    if is_dataclass(value) and not isinstance(value, type):
        for each in fields(value):
            if f"{type(value).__name__}.{each.name}" in _LEFT_OUT:
                continue
            here = f"{path}.{each.name}" if path else each.name
            unit = unit_of(type(value), each.name)
            if unit:
                yield here, unit
            yield from units_by_path(getattr(value, each.name), here)
    elif isinstance(value, Mapping):
        for key in value:
            yield from units_by_path(value[key], f"{path}.*")
    elif isinstance(value, (tuple, list)):
        for item in value:
            yield from units_by_path(item, f"{path}[]")


def unit_of(model: type[Any], name: str) -> str:
    """SI unit of one field: from the field's metadata, else from the table of results."""
    declared = next(each for each in fields(model) if each.name == name)
    try:
        return info_of(declared).unit
    except TypeError:
        return RESULT_UNITS.get(f"{model.__name__}.{name}", "")


def _kept(value: Any) -> Iterator[tuple[str, Any]]:
    for each in fields(value):
        if f"{type(value).__name__}.{each.name}" not in _LEFT_OUT:
            yield each.name, getattr(value, each.name)
