"""What ``refledge design`` does, and what it says at the end."""

import json
import os
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path

from refledge.inputs.brief import read_brief
from refledge.interfaces.bench_options import learned_for, taught_files, with_spools
from refledge.interfaces.given import given_files
from refledge.interfaces.print_log import kept_prints, with_own_prints
from refledge.model.checks import Verdict
from refledge.outputs.build import BuildReport, prepare, write_build
from refledge.outputs.print_plan import plan_files
from refledge.outputs.record import plain
from refledge.outputs.words import findings, headline, key_figures
from refledge.planning.plan import as_planned, plan_prints
from refledge.study import Study, design

Progress = Callable[[str, float], None]
_LISTED = 8
_TITLES = {
    Verdict.FAILS: "fails",
    Verdict.UNKNOWN: "cannot say",
    Verdict.NARROWLY: "holds narrowly",
}


def run(
    brief: Path,
    out: Path,
    progress: Progress,
    *,
    solids: bool = False,
    store: Path | None = None,
    spools: Sequence[str] = (),
) -> tuple[Study, BuildReport]:
    """Read, design with what the bench taught, verify as solids where asked, write.

    Without ``store`` the one beside the brief is used, where there is one; ``spools`` go before
    those that the brief names.
    A folder that may not be replaced is refused before the work.
    """
    wanted = with_spools(read_brief(brief), spools)
    prepare(out)
    learned = learned_for(wanted, brief, store)
    given = given_files(wanted) | taught_files(learned)
    making = partial(design, learned=learned) if learned else design
    first, second = (0.15, 0.9) if solids else (0.75, 0.75)
    study = making(wanted, progress=part_of(progress, 0.0, 0.9 * first))
    plan = plan_prints(study, progress=part_of(progress, 0.9 * first, first))
    plan, prints = with_own_prints(study, plan, brief, store)
    study = as_planned(study, plan)
    verified = None
    if solids:
        from refledge.verify.run import verify  # noqa: PLC0415 - loads the solid solver

        verified = verify(
            study, cache=cache_folder(), whole=True, progress=part_of(progress, first, second)
        )
        study = replace(study, checks=study.checks + verified.checks)
    tell = part_of(progress, second, 1.0)
    files = given | plan_files(study, plan) | kept_prints(prints)
    known = plan.calibration if prints else None
    return study, write_build(
        study, out, files, verified=verified, calibration=known, progress=tell
    )


def part_of(progress: Progress, start: float, end: float) -> Progress:
    """Progress that runs from ``start`` to ``end`` of the whole bar."""
    return lambda what, share: progress(what, start + (end - start) * share)


def cache_folder() -> Path:
    """Where solved parts are kept between runs: the user's cache folder."""
    root = os.environ.get("XDG_CACHE_HOME") or os.environ.get("LOCALAPPDATA")
    return (Path(root) if root else Path.home() / ".cache") / "refledge" / "solids"


def holds(study: Study) -> bool:
    """Narrowly counts as holding; what cannot be answered does not."""
    return study.verdict in (Verdict.HOLDS, Verdict.NARROWLY)


def summary_lines(study: Study, report: BuildReport) -> Iterator[str]:
    """The closing words: verdict, key figures, what needs reading, where the report is."""
    yield f"{study.brief.title}: {headline(study)}"
    yield ""
    width = max(len(name) for name, _ in key_figures(study))
    yield from (f"  {name:<{width}}  {value}" for name, value in key_figures(study))
    for verdict, title in _TITLES.items():
        found = findings(study, verdict)
        if found:
            yield ""
            yield f"{title}:"
            yield from (f"  {finding.text}" for finding in found[:_LISTED])
        if len(found) > _LISTED:
            yield f"  and {len(found) - _LISTED} more in the report"
    yield ""
    yield f"report: {report.report}"


def summary_json(study: Study, report: BuildReport) -> str:
    """The same for machines: SI values, one JSON object."""
    document = {
        "verdict": study.verdict,
        "version": study.version,
        "title": study.brief.title,
        "all_up_mass_kg": study.all_up_mass,
        "frame_mass_kg": study.frame_mass,
        "layout": study.layout.kind,
        "motor_radius_m": study.layout.motor_radius,
        "arm_family": study.frame.arm.family,
        "arm_material": study.frame.arm.material,
        "hover_time_s": study.hover.endurance,
        "arm_modes_Hz": study.arm_modes.frequencies,
        "airframe_modes_Hz": study.airframe_modes.frequencies,
        "checks": {
            str(verdict): [check.key for check in study.checks if check.verdict is verdict]
            for verdict in Verdict
        },
        "folder": str(report.folder),
        "report": str(report.report),
    }
    return json.dumps(plain(document), indent=1, ensure_ascii=False, allow_nan=False)
