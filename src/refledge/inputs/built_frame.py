"""What a build folder says of its whole airframe, to be held against another's."""

import json
from collections.abc import Iterable, Mapping
from math import inf, isfinite
from pathlib import Path
from typing import Any

from refledge.errors import InputError, Problem
from refledge.inputs.files import read_text
from refledge.model.checks import Verdict
from refledge.model.frame_figures import BORNE, FULL, LANDING, FrameFigures

PLAN = "tables/print_plan.json"


def read_built_frame(path: str | Path) -> FrameFigures:
    """From a build folder, or its ``study.json``; named as the folder. Raises InputError."""
    folder = Path(path)
    folder = folder.parent if folder.name == "study.json" else folder
    try:
        study = json.loads(read_text(folder / "study.json", "the study.json of a build"))["study"]
        rows = json.loads(read_text(folder / PLAN, "the print plan of a build"))["rows"]
        return _figures(folder.resolve().name, study, rows)
    except (ValueError, KeyError, TypeError, StopIteration) as error:
        given = f"no study of this version ({type(error).__name__}: {error})"
        step = "design the build again with this version"
        raise InputError(Problem(str(folder), "file", given, "a build", step)) from error


def _figures(name: str, study: Mapping[str, Any], rows: list[dict[str, Any]]) -> FrameFigures:
    loads = {each["key"]: each for each in study["loads"]}
    full = next(d for d in study["deflected"] if d["load_case"] == loads[FULL]["title"])
    use, worst = worst_of(study["checks"])
    arm = study["frame"]["arm"]
    return FrameFigures(
        name=name,
        arms=f"{arm['family']}, {arm['material']}",
        all_up_mass=float(study["all_up_mass"]),
        frame_mass=float(study["frame_mass"]),
        arm_mass=sum(p["mass"] for p in study["parts"] if p["key"].startswith("arm")),
        hover_time=float(study["hover"]["endurance"]),
        first_mode=float(study["airframe_modes"]["frequencies"][0]),
        tilt=float(max(full["motor_tilt"])),
        deflection=float(max(full["tip_deflection"])),
        felt=float(max(study["airframe_modes"]["felt"])),
        landing=float(sum(force[2] for force in loads[LANDING]["foot_force"])),
        use=use,
        worst=worst,
        seconds=_sum(rows, "time each"),
        filament=_sum(rows, "filament each"),
        support=_sum(rows, "support each"),
        price=(_sum(rows, "price each, low"), _sum(rows, "price each, high")),
        verdicts=tuple(
            (str(each), sum(check["verdict"] == each for check in study["checks"]))
            for each in Verdict
        ),
    )


def worst_of(checks: Iterable[Mapping[str, Any]]) -> tuple[float, str]:
    """Greatest share of what may be borne, factors in (1), and by which part in what; checks that
    nobody could answer aside."""
    uses = [
        (_use(float(check["margin"])), ", ".join(filter(None, (check["part"], check["load_case"]))))
        for check in checks
        if check["group"] in BORNE and isfinite(float(check["margin"]))
    ]
    return max(uses, default=(0.0, "nothing"))


def _use(margin: float) -> float:
    return 1.0 / (1.0 + margin) if margin > -1.0 else inf


def _sum(rows: list[dict[str, Any]], name: str) -> float:
    """Of every copy of every part."""
    return float(sum(row["copies"] * row[name] for row in rows))
