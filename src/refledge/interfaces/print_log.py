"""The user's own prints behind a plan's times: from the log, or as a build keeps them."""

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from refledge.inputs.print_records import PrintRow, read_print_records
from refledge.interfaces.keeping import opened
from refledge.model.logbook import Print
from refledge.planning.logged import rows_csv, usable_prints
from refledge.planning.plan import PrintPlan, calibrated, plan_prints
from refledge.planning.records import records_of
from refledge.printing.calibration import Calibration, calibrate
from refledge.printing.plates import Bed
from refledge.repair.interfaces import joints_of, revisions
from refledge.store import NAME
from refledge.study import Study

KEPT = "given/prints.csv"
"""Where a build keeps the prints that its times were fitted to."""
Found = tuple[PrintPlan, tuple[PrintRow, ...]]


def with_own_prints(
    study: Study, plan: PrintPlan, brief: Path, store: Path | None, beds: Sequence[Bed] = ()
) -> Found:
    """The plan by the prints of the log, and their rows; as it was where there are none.

    The log is the one named, else the one beside the brief, else what the build keeps of it.
    """
    rows, source = _own_rows(study, plan, brief, store)
    return by_rows(study, plan, rows, source, beds), rows


def own_times(study: Study, brief: Path, store: Path | None) -> Calibration | None:
    """The time model fitted to the prints of the log, sought as above; None without any."""
    if not _log(brief, store).is_file() and (store or not (brief.parent / KEPT).is_file()):
        return None
    plan = plan_prints(study)
    rows, source = _own_rows(study, plan, brief, store)
    return calibrate(records_of(study, plan, rows, source)) if rows else None


def _log(brief: Path, store: Path | None) -> Path:
    file = brief.parent / NAME if store is None else store
    return file / NAME if file.is_dir() else file


def _own_rows(
    study: Study, plan: PrintPlan, brief: Path, store: Path | None
) -> tuple[tuple[PrintRow, ...], str]:
    """Prints of this design, and where they came from; none and "" where there is no log."""
    file, kept = _log(brief, store), brief.parent / KEPT
    if file.is_file():
        return _from_log(study, plan, file)
    if store is None and kept.is_file():
        return read_print_records(kept), "the log, as the build keeps them"
    return (), ""


def by_rows(
    study: Study,
    plan: PrintPlan,
    rows: tuple[PrintRow, ...],
    source: str,
    beds: Sequence[Bed] = (),
) -> PrintPlan:
    """The plan with times by these prints; ``source`` says where they came from."""
    if not rows:
        return replace(plan, prints=source) if source else plan
    known = calibrate(records_of(study, plan, rows, source))
    return calibrated(study, plan, known, source, beds)


def kept_prints(rows: tuple[PrintRow, ...]) -> dict[str, bytes]:
    """Path in the build to contents: the prints alone, nothing else of the log."""
    return {KEPT: rows_csv(rows).encode("utf-8")} if rows else {}


def _from_log(study: Study, plan: PrintPlan, file: Path) -> tuple[tuple[PrintRow, ...], str]:
    """Prints of this design, and where they came from with what was left out."""
    with opened(file, reading=True) as book:
        prints = [each.entry for each in book.entries("print")]
    logged = [each for each in prints if isinstance(each, Print)]
    if not logged:
        return (), ""
    keys = [spec.key for spec in study.parts]
    current = revisions(joints_of(study.frame, study.layout, study.brief, keys))
    rows, left = usable_prints(plan, logged, current)
    return rows, f"the log in {file.name}" + (f" ({left})" if left else "")
