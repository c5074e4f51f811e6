"""What ``refledge shape`` does, and what it says."""

import os
import signal
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from types import FrameType

from refledge.errors import AnalysisError
from refledge.inputs.brief import read_brief
from refledge.inputs.grown_text import RECORD, SURFACE, grown_files
from refledge.interfaces.bench_options import amount, learned_for, wrong
from refledge.interfaces.designing import part_of
from refledge.outputs.shape_files import (
    PICTURE,
    prepare_shape,
    shape_json,
    shape_lines,
    write_shape,
)
from refledge.outputs.shape_pictures import growing_png
from refledge.shaping.aloft import aloft
from refledge.shaping.keeping import kept_arm
from refledge.shaping.printable import laid, least_wall, of_drawn, printable
from refledge.shaping.reanalysis import reanalyse
from refledge.shaping.result import Result
from refledge.shaping.shape import LIGHTEST_USE, USE, Growing, Wish, shape_arm
from refledge.shaping.space import COARSEST, FINEST
from refledge.shaping.strength import asked_again
from refledge.study import Study, design
from refledge.units import show
from refledge.whole import write_whole

Progress = Callable[[str, float], None]
_PICTURE_EVERY = 5  # iterations


def asked(
    part: str,
    voxel: str,
    iterations: int,
    device: str,
    goal: str = "stiffness",
    *,
    support_free: bool = False,
    strength: bool = True,
) -> Wish:
    """The options in SI."""
    if part != "arm":
        raise wrong("--part", f'"{part}"', "arm", "only arms are grown")
    if device not in ("cpu", "gpu", "auto"):
        raise wrong("--device", f'"{device}"', "cpu, gpu, auto", "choose one of these")
    if goal not in ("stiffness", "mass"):
        raise wrong("--goal", f'"{goal}"', "stiffness, mass", "choose one of these")
    size = amount("--voxel", voxel, "m")
    if not FINEST <= size <= COARSEST:
        allowed = f"{show(FINEST, 'm', 'mm')} to {show(COARSEST, 'm', 'mm')}"
        raise wrong("--voxel", f'"{voxel}"', allowed, "give another size")
    usual = LIGHTEST_USE if goal == "mass" else USE
    return Wish(
        voxel=size, iterations=iterations, device=device, support_free=support_free,
        goal="mass" if goal == "mass" else "stiffness", use=usual if strength else None,
    )  # fmt: skip


@dataclass
class Stop:
    """Whether the user has asked to stop once."""

    asked: bool = False


def run(
    brief: Path, wish: Wish, out: Path, store: Path | None, progress: Progress, *, solids: bool
) -> Result:
    """Design from a brief, or from that of a build, and grow its arm; work is kept in ``out``.

    solids: whether both arms are solved again as printed.
    """
    file = brief / "brief.toml" if brief.is_dir() else brief
    wanted = read_brief(file)
    prepare_shape(out)
    learned = learned_for(wanted, file, store)
    study = design(wanted, learned=learned, progress=part_of(progress, 0.0, 0.2))
    with _stopping() as stop:
        return grow(study, wish, out, part_of(progress, 0.2, 1.0), stop, solids=solids)


def grow(
    study: Study,
    wish: Wish,
    out: Path,
    progress: Progress,
    stop: Stop | None = None,
    *,
    solids: bool = False,
) -> Result:
    """Grow the arm of a study whose solids are made; work and picture are kept in ``out``.

    With ``solids``, an arm grown for strength that does not hold as printed is grown once more,
    to as much less as it uses more.
    """
    stop = stop or Stop()
    if not solids:
        return _grown(study, wish, out, part_of(progress, 0.0, 0.9), stop)
    found = _grown(study, wish, out, part_of(progress, 0.0, 0.3), stop)
    progress("present arm as printed", 0.3)
    before = reanalyse(study, of_drawn(study.solids["arm"], found.body.least_wall))
    progress("grown arm as printed", 0.4)
    after = reanalyse(study, found.body, keep=True)
    if wish.use is not None and after.use * (1 + after.errors[3]) > 1 and not stop.asked:
        again = replace(wish, use=asked_again(wish.use, after.use))
        found = _grown(study, again, out, part_of(progress, 0.55, 0.8), stop)
        progress("grown anew to hold, as printed", 0.8)
        after = reanalyse(study, found.body, keep=True)
    progress("airframe with grown arms", 0.97)
    return flown(replace(found, solids=(before, after)))


def _grown(study: Study, wish: Wish, out: Path, progress: Progress, stop: Stop) -> Result:
    """From study to bed, not solved again."""
    shaped = shape_arm(study, wish, _teller(progress, out, stop), keep=out)
    progress("surface", 1.0)
    body = printable(shaped.grown, least_wall(study.brief.printer))
    lies = laid(body.mesh, body.print_rotation, study.brief.frame, study.brief.printer)
    return Result(study, shaped, body, lies)


def flown(found: Result) -> Result:
    """With the airframe that has grown arms, or why there is none."""
    assert found.solids is not None  # it was just made
    try:
        made = aloft(found.study, found.body, found.spec.mass, found.solids[1])
    except AnalysisError as error:
        return replace(found, grounded=str(error))
    return replace(found, aloft=made)


def _teller(progress: Progress, out: Path, stop: Stop) -> Callable[[Growing], bool]:
    def told(now: Growing) -> bool:
        if now.iteration % _PICTURE_EVERY == 0:  # first, so that who hears of the step finds it
            growing_png(now.picture(), out / PICTURE)
        mass = show(now.mass, "kg", "g")
        progress(f"growing, step {now.iteration}, {mass}", now.share)
        return not stop.asked

    return told


@contextmanager
def _stopping() -> Iterator[Stop]:
    """The first interrupt keeps the best so far; a second one breaks off."""
    stop = Stop()

    def heard(_number: int, _frame: FrameType | None) -> None:
        if stop.asked:
            raise KeyboardInterrupt
        stop.asked = True

    before = signal.signal(signal.SIGINT, heard)
    try:
        yield stop
    finally:
        signal.signal(signal.SIGINT, before)


def _keep(found: Result, out: Path) -> Iterator[Path]:
    """The record last: it fits its surface only when both are there."""
    if found.solids is None or found.grounded:
        return
    files = grown_files(kept_arm(found))
    for name in (SURFACE, RECORD):
        yield write_whole(out / name, files[name])


def use_lines(found: Result, out: Path) -> Iterator[str]:
    """How the arm gets into the airframe, or why it cannot."""
    if found.grounded:
        yield f"design cannot take this arm: {found.grounded}"
    elif found.solids is None:
        yield "for a record of the arm that design takes, run the same with --verify"
    else:
        yield "to give the airframe this arm, add to the brief, under [frame]:"
        yield f'  grown_arm = "{named_record(found, out)}"'


def named_record(found: Result, out: Path) -> str:
    """The record's path as the brief would name it; "" where there is none."""
    if found.solids is None or found.grounded:
        return ""
    beside = Path(found.study.brief.folder or ".").resolve()
    return Path(os.path.relpath((out / RECORD).resolve(), beside)).as_posix()


def lines(found: Result) -> Iterator[str]:
    """For a person."""
    return shape_lines(found)


def as_json(found: Result, out: Path) -> str:
    """For machines."""
    return shape_json(found, out)


def write(found: Result, out: Path) -> tuple[Path, ...]:
    """The page, the figures and the files to print; the arm that ``design`` takes, where it was
    solved."""
    return (*write_shape(found, out), *_keep(found, out))
