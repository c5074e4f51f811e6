"""What a child process can do. Payloads and results hold no solid: those stay where they are."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

Progress = Callable[[str, float], None]
Task = Callable[[Any, Progress], Any]


def warm_up() -> None:
    """Load what takes seconds, before it is needed."""
    from refledge import study  # noqa: F401, PLC0415
    from refledge.geometry import kernel  # noqa: PLC0415

    kernel.box((0.0, 0.0, 0.0), (1e-3, 1e-3, 1e-3))


def design_task(payload: Any, progress: Progress) -> Any:
    """(brief, its path) to study, with what the bench taught, as ``refledge design`` has it."""
    from refledge.interfaces.bench_options import learned_for  # noqa: PLC0415
    from refledge.study import design  # noqa: PLC0415 - only in the child

    brief, path = payload
    learned = learned_for(brief, Path(path))
    return replace(design(brief, learned=learned, progress=progress), solids={})


def solids_task(payload: Any, progress: Progress) -> Any:
    """Task, frame and layout to what was drawn."""
    from refledge.live.follow import follow  # noqa: PLC0415

    progress("making solids", 0.0)
    return follow(*payload)


def verify_task(payload: Any, progress: Progress) -> Any:
    """Study without solids to what solid elements say of it."""
    from refledge.interfaces.designing import cache_folder, part_of  # noqa: PLC0415
    from refledge.verify.run import verify  # noqa: PLC0415

    progress("making solids", 0.0)
    study, _ = _planned(_with_solids(payload))
    return verify(study, cache=cache_folder(), whole=True, progress=part_of(progress, 0.02, 1.0))


def build_task(payload: Any, progress: Progress) -> Any:
    """(study, its brief's path, folder, verified) to the names of the files written."""
    from refledge.interfaces.bench_options import learned_for, taught_files  # noqa: PLC0415
    from refledge.interfaces.designing import part_of  # noqa: PLC0415
    from refledge.interfaces.given import given_files  # noqa: PLC0415
    from refledge.interfaces.print_log import kept_prints, with_own_prints  # noqa: PLC0415
    from refledge.outputs.build import prepare, write_build  # noqa: PLC0415
    from refledge.outputs.print_plan import plan_files  # noqa: PLC0415

    study, path, folder, verified = payload
    target = Path(folder)
    prepare(target)
    progress("making solids", 0.0)
    study, plan = _planned(_with_solids(study))
    plan, prints = with_own_prints(study, plan, Path(path), None)
    if verified is not None:
        study = replace(study, checks=study.checks + verified.checks)
    taught = taught_files(learned_for(study.brief, Path(path)))
    files = given_files(study.brief) | taught | plan_files(study, plan) | kept_prints(prints)
    report = write_build(
        study, target, files, verified=verified,
        calibration=plan.calibration if prints else None, progress=part_of(progress, 0.3, 1.0),
    )  # fmt: skip
    return report.files


def layouts_task(payload: Any, progress: Progress) -> Any:
    """(brief, its path) to the comparison as its record says it, with the front's columns."""
    import json  # noqa: PLC0415
    import tempfile  # noqa: PLC0415

    from refledge.choosing.compare import compare  # noqa: PLC0415
    from refledge.inputs.also import Also  # noqa: PLC0415
    from refledge.interfaces.bench_options import learned_for  # noqa: PLC0415
    from refledge.outputs.layouts_files import record_json  # noqa: PLC0415
    from refledge.outputs.record import plain  # noqa: PLC0415

    brief, path = payload
    learned = learned_for(brief, Path(path))
    with tempfile.TemporaryDirectory(prefix="refledge-") as folder:
        found = compare(brief, Also(), Path(folder), learned=learned, progress=progress)
        briefs = [found.candidates.brief_of(n) for n in found.front.columns["candidate"].tolist()]
        names = {
            "kind": [each.layout.kind for each in briefs],
            "propeller": [each.propeller.name for each in briefs],
            "battery": [each.battery.name for each in briefs],
            "motor": [each.motor.name for each in briefs],
        }
        front = plain(found.front.columns)
        return {"record": json.loads(record_json(found)), "front": front | names}


def crash_task(payload: Any, progress: Progress) -> Any:
    """(study, its brief's path, what is asked) to what breaks first, for the page."""
    from refledge.interfaces.crashing import crashed  # noqa: PLC0415
    from refledge.interfaces.web.crash_doc import crash_doc  # noqa: PLC0415

    study, path, asked = payload
    return crash_doc(crashed(study, asked, Path(path), None, progress))


def shape_task(payload: Any, progress: Progress) -> Any:
    """(study, its brief's path, folder, (wish, whether solved)) to what became of the arm, for the
    page.

    Files go into the folder.
    """
    from refledge.interfaces.bench_options import learned_for  # noqa: PLC0415
    from refledge.interfaces.designing import part_of  # noqa: PLC0415
    from refledge.interfaces.growing import grow  # noqa: PLC0415
    from refledge.interfaces.shaping import named_record, rounds_asked, write  # noqa: PLC0415
    from refledge.interfaces.web.shape_doc import shape_doc  # noqa: PLC0415
    from refledge.outputs.shape_files import prepare_shape  # noqa: PLC0415

    study, path, folder, (wish, solids) = payload
    target = Path(folder)
    prepare_shape(target)
    progress("making solids", 0.0)
    found = grow(
        _with_solids(study), wish, target, part_of(progress, 0.05, 1.0),
        rounds=rounds_asked(None, solids=solids), learned=learned_for(study.brief, Path(path)),
    )  # fmt: skip
    return shape_doc(found, write(found, target), named_record(found, target))


def _planned(study: Any) -> Any:
    """(study, plan): every part posed for printing as its plan lays it, as ``design`` does."""
    from refledge.planning.plan import as_planned, plan_prints  # noqa: PLC0415

    plan = plan_prints(study)
    return as_planned(study, plan), plan


def _with_solids(study: Any) -> Any:
    """The study with its notes written and its solids made from its own frame: the same ones."""
    from refledge.airframe.making import make_solids  # noqa: PLC0415
    from refledge.live.evaluate import renoted  # noqa: PLC0415

    solids = make_solids(study.task, study.frame, study.layout)
    return replace(renoted(study), solids=solids.bodies)


TASKS: Mapping[str, Task] = {
    "design": design_task,
    "solids": solids_task,
    "verify": verify_task,
    "build": build_task,
    "layouts": layouts_task,
    "crash": crash_task,
    "shape": shape_task,
}
