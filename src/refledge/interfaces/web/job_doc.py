"""Jobs for the page."""

import time
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Any

from refledge.interfaces.web.job_kinds import KINDS
from refledge.interfaces.web.jobs import Job
from refledge.interfaces.web.results_doc import check_doc
from refledge.interfaces.web.wording import json_ready
from refledge.model.learning import Score
from refledge.study import Study
from refledge.verify.results import PartVerified, Verified

TRADE = {"m": "mm", "rad": "deg"}
"""Unit of the trade for an SI unit that has another."""

if TYPE_CHECKING:
    from refledge.interfaces.web.workbench import Workbench


def kinds_doc() -> list[dict[str, Any]]:
    """What this version can do."""
    return [
        {"kind": key, "title": kind.title, "about": kind.about, "wants": kind.wants}
        for key, kind in KINDS.items()
    ]


def job_doc(bench: "Workbench", job: Job) -> dict[str, Any]:
    """The document ``Job``."""
    end = job.ended or time.time()
    return {
        "id": job.id,
        "kind": job.kind,
        "title": job.title,
        "state": job.state,
        "share": round(job.share, 4),
        "what": job.what,
        "started": round(job.started, 3),
        "took_s": round(end - job.started, 3),
        "revision": job.revision,
        "current": bench.is_current(job),
        "error": _error(job),
        "has_result": job.state == "done",
    }


def _error(job: Job) -> dict[str, Any] | None:
    if job.error is None:
        return None
    return {
        "kind": job.error.kind,
        "message": job.error.message,
        "problems": [json_ready(each) for each in job.error.problems],
    }


def verified_doc(study: Study, found: Verified) -> dict[str, Any]:
    """What solid elements say of every part."""
    names = {spec.name: spec.key for spec in study.parts}
    return {
        "checks": [check_doc(study, each, names, False) for each in found.checks],
        "parts": [_part(each) for each in found.parts],
        "failed": [{"key": key, "why": why} for key, why in found.failed],
        "whole": json_ready(found.whole),
        "measured": [each for part in found.parts for each in _held_against(part, names)],
    }


def _held_against(part: PartVerified, names: dict[str, str]) -> list[dict[str, Any]]:
    """Figures of the beams against the solid's, in the form of GET /api/charts/measured."""
    name = next((name for name, key in names.items() if key == part.key), part.key)
    return [
        {
            "what": f"{each.name}, {name}",
            "unit": each.unit,
            "shown": TRADE.get(each.unit, each.unit),
            "predicted": json_ready(each.beam),
            "predicted_spread": None,
            "measured": json_ready(each.finest),
            "measured_spread": _relative(each.error, each.finest),
            "date": "",
        }
        for each in part.figures
        if each.beam is not None
    ]


def measured_doc(scores: Iterable[Score]) -> list[dict[str, Any]]:
    """Predictions of the bench's store against their tests, oldest first."""
    return [
        {
            "what": each.prediction.name,
            "unit": each.prediction.unit,
            "shown": TRADE.get(each.prediction.unit, each.prediction.unit),
            "predicted": each.prediction.value,
            "predicted_spread": _relative(each.prediction.uncertainty, each.prediction.value),
            "measured": each.measured,
            "measured_spread": _relative(each.measured_uncertainty, each.measured),
            "date": each.scored,
        }
        for each in scores
    ]


def _relative(uncertainty: float, value: float) -> float | None:
    """Standard uncertainty over value (1); None for a value of nought."""
    return abs(uncertainty / value) if value else None


def _part(part: PartVerified) -> dict[str, Any]:
    return {
        "key": part.key,
        "figures": [json_ready(each) | {"difference": each.difference} for each in part.figures],
        "spots": json_ready(part.spots),
        "unknowns": part.dofs,
        "edges_m": json_ready(part.sizes),
        "worst_case": part.worst_case,
        "most_use": json_ready(float(part.use.max())),
    }


def build_doc(bench: "Workbench", files: tuple[str, ...]) -> dict[str, Any]:
    """What was written where."""
    folder: Path = bench.build_folder
    size = sum((folder / name).stat().st_size for name in files if (folder / name).is_file())
    shown = folder.relative_to(bench.folder)
    return {"folder": str(shown), "files": list(files), "bytes": size}
