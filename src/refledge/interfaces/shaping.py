"""What ``refledge shape`` does, and what it says."""

import os
import signal
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from types import FrameType

from refledge.inputs.brief import read_brief
from refledge.inputs.grown_text import RECORD, SURFACE, grown_files
from refledge.interfaces.bench_options import amount, learned_for, wrong
from refledge.interfaces.designing import part_of
from refledge.interfaces.growing import Stop, grow
from refledge.outputs.shape_files import (
    prepare_shape,
    shape_json,
    shape_lines,
    write_shape,
)
from refledge.shaping.keeping import kept_arm
from refledge.shaping.result import Result
from refledge.shaping.rounds import MOST
from refledge.shaping.shape import LIGHTEST_USE, USE, Wish
from refledge.shaping.space import COARSEST, FINEST
from refledge.study import design
from refledge.units import show
from refledge.whole import write_whole

Progress = Callable[[str, float], None]


def asked(
    part: str,
    voxel: str,
    iterations: int,
    device: str,
    goal: str = "stiffness",
    *,
    mass: str = "",
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
    if mass and goal == "mass":
        raise wrong("--mass", f'"{mass}"', "with --goal stiffness only", "leave one of both out")
    usual = LIGHTEST_USE if goal == "mass" else USE
    return Wish(
        voxel=size, iterations=iterations, device=device, support_free=support_free,
        goal="mass" if goal == "mass" else "stiffness", use=usual if strength else None,
        mass=amount("--mass", mass, "kg") if mass else None,
    )  # fmt: skip


def rounds_asked(given: int | None, *, solids: bool) -> int:
    """Growths at most until the frame holds; 0 where the arm is not solved as printed."""
    if given is not None and not solids:
        allowed = "with --verify only"
        raise wrong("--rounds", str(given), allowed, "add --verify, or leave --rounds out")
    return (given or MOST) if solids else 0


def run(
    brief: Path, wish: Wish, out: Path, store: Path | None, progress: Progress, *, rounds: int
) -> Result:
    """Design from a brief, or from that of a build, and grow its arm; work is kept in ``out``.

    rounds: growths at most until the frame with the arm holds; 0 leaves it unsolved.
    """
    file = brief / "brief.toml" if brief.is_dir() else brief
    wanted = read_brief(file)
    prepare_shape(out)
    learned = learned_for(wanted, file, store)
    study = design(wanted, learned=learned, progress=part_of(progress, 0.0, 0.2))
    with _stopping() as stop:
        tell = part_of(progress, 0.2, 1.0)
        return grow(study, wish, out, tell, stop, rounds=rounds, learned=learned)


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
        yield "and design it with --verify: a stiffer frame lands harder, and beams take its plates"
        yield "and legs more lightly than solids do"


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
