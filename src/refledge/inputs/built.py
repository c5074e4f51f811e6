"""What a build folder says of its frame: read back from ``study.json``."""

import json
from dataclasses import MISSING, dataclass, fields, is_dataclass, replace
from pathlib import Path
from typing import Any, get_args, get_origin, get_type_hints

from refledge.errors import InputError, Problem
from refledge.inputs.files import read_text
from refledge.inputs.grown import read_grown_arm
from refledge.model.materials import MaterialCard
from refledge.model.parts import FrameDesign
from refledge.model.printer import Printer
from refledge.model.wishes import FrameWish

MODE_SETS = ("arm", "airframe")
GIVEN_ARM = "given/arm.toml"
"""Record of a grown arm in a build."""


@dataclass(frozen=True, eq=False)
class Built:
    """The designed frame of one build, and the modes that were predicted for it."""

    title: str
    version: str
    frame: FrameDesign
    card: MaterialCard
    """Of the arms."""
    arm_mass: float  # kg, as printed
    printer: Printer
    wish: FrameWish
    modes: dict[str, tuple[tuple[str, float], ...]]
    """Label and Hz of each mode: ``arm`` (motor on, plates held) and ``airframe``."""


def read_built(path: str | Path) -> Built:
    """From a build folder or its ``study.json``; raises InputError."""
    file = Path(path)
    file = file / "study.json" if file.is_dir() else file
    try:
        study = json.loads(read_text(file, "the study.json of a build"))["study"]
        return _built(study, file.parent)
    except (ValueError, KeyError, TypeError) as error:
        given = f"no study of this version ({type(error).__name__}: {error})"
        step = "design the build again with this version"
        raise InputError(
            Problem(str(file), "file", given, "the study.json of a build", step)
        ) from error


def _built(study: dict[str, Any], folder: Path) -> Built:
    frame: FrameDesign = loaded(FrameDesign, study["frame"])
    if frame.arm.family == "grown":
        grown = read_grown_arm(folder / GIVEN_ARM)
        frame = replace(frame, arm=replace(frame.arm, grown=grown))
    return Built(
        title=str(study["brief"]["title"]),
        version=str(study["version"]),
        frame=frame,
        card=loaded(MaterialCard, study["cards"][frame.arm.material]),
        arm_mass=sum(p["mass"] for p in study["parts"] if p["key"].startswith("arm")),
        printer=loaded(Printer, study["brief"]["printer"]),
        wish=loaded(FrameWish, study["brief"]["frame"]),
        modes={name: _modes(study[f"{name}_modes"]) for name in MODE_SETS},
    )


def _modes(given: dict[str, Any]) -> tuple[tuple[str, float], ...]:
    """Labels made to differ where several modes move alike."""
    found: list[tuple[str, float]] = []
    counts: dict[str, int] = {}
    for label, hertz in zip(given["labels"], given["frequencies"], strict=True):
        counts[label] = counts.get(label, 0) + 1
        found.append((label if counts[label] == 1 else f"{label} ({counts[label]})", hertz))
    return tuple(found)


def loaded(model: type[Any], given: Any) -> Any:
    """A frozen dataclass of numbers, texts and others like it, from what JSON made of it."""
    hints, values = get_type_hints(model), {}
    for each in fields(model):
        if each.name not in given:
            if each.default is MISSING:
                raise KeyError(f"{model.__name__}.{each.name}")
            continue
        value, hint = given[each.name], hints[each.name]
        if is_dataclass(hint) and isinstance(hint, type):
            value = loaded(hint, value)
        elif hint is float:
            value = float(value)
        elif get_origin(hint) is tuple and is_dataclass(get_args(hint)[0]):
            value = [loaded(get_args(hint)[0], each) for each in value]
        values[each.name] = tuple(value) if isinstance(value, list) else value
    return model(**values)
