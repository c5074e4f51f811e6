"""The spine of ``refledge layouts``: sweep, Pareto set, the few finalists sized in full."""

from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import partial
from multiprocessing import get_context
from pathlib import Path
from string import ascii_uppercase

import numpy as np

from refledge.airframe.layout_choice import first_mass
from refledge.choosing.candidates import Candidates, gather
from refledge.choosing.finalist import Dropped, Finalist, Wanted
from refledge.choosing.kept import NAME as KEPT
from refledge.choosing.kept import kept_finalist
from refledge.choosing.picking import Front, Pick, Survey, front_of, pick, survey
from refledge.choosing.surrogate import Surrogate, surrogate_for
from refledge.errors import FlightError
from refledge.inputs.also import Also
from refledge.model.brief import Brief
from refledge.model.learned_cards import LearnedCards
from refledge.sweeps.run import sweep, sweep_mark
from refledge.sweeps.store import MANIFEST

Progress = Callable[[str, float], None]
SWEEP = "sweep-"
"""Start of the name of a sweep's folder; its mark follows."""
MOST = 6
"""Finalists: as many as a table shows side by side."""


@dataclass(frozen=True, eq=False)
class Comparison:
    """Everything found about the layouts of one brief."""

    candidates: Candidates
    surrogate: Surrogate
    survey: Survey
    front: Front
    finalists: tuple[Finalist, ...]
    dropped: tuple[Dropped, ...]
    taught: tuple[str, ...]
    """What the bench taught of the filaments on the shelf, in words."""

    @property
    def brief(self) -> Brief:
        """The brief that asked."""
        return self.candidates.brief


def compare(
    brief: Brief,
    also: Also,
    folder: Path,
    *,
    jobs: int = 1,
    scheduler: str = "",
    most: int = MOST,
    learned: LearnedCards | None = None,
    progress: Progress | None = None,
) -> Comparison:
    """Sweep into ``folder``, then size at most ``most``; finished chunks and finalists that lie
    there from an earlier run are found again.

    ``learned``: material cards that the bench has taught; those from literature without it.
    ``jobs`` processes of this machine sweep and size; a Dask cluster at ``scheduler`` sweeps.
    Raises FlightError where nothing can hover.
    """
    tell = progress or _quiet
    candidates = gather(brief, also, learned.cards if learned else None)
    surrogate = surrogate_for(candidates, _part(tell, 0.0, 0.15))
    mark = sweep_mark(candidates.grid, surrogate.law)
    place = folder / f"{SWEEP}{mark}"
    store = sweep(
        candidates.grid,
        place,
        jobs=jobs,
        scheduler=scheduler,
        frame_mass=surrogate.law,
        progress=_part(tell, 0.15, 0.4),
    )
    _clear_others(folder, mark)
    found = survey(store, candidates)
    if not found.hovering:
        raise FlightError(
            f"none of {found.swept} candidates can hover with these motors, propellers and packs: "
            "lighten the payload, or name stronger items with --also"
        )
    front = front_of(store, brief)
    wanted = _wanted(candidates, front, found, most)
    made = list(_made(wanted, place, jobs, _part(tell, 0.4, 1.0)))
    return Comparison(
        candidates=candidates,
        surrogate=surrogate,
        survey=found,
        front=front,
        finalists=tuple(each for each in made if isinstance(each, Finalist)),
        dropped=tuple(each for each in made if isinstance(each, Dropped)),
        taught=(
            *(learned.about(brief.printer.filaments) if learned else ()),
            *((DRAWN,) if brief.frame.grown_arm else ()),
        ),
    )


DRAWN = (
    "The brief's grown arm fits the layout that it was grown for only: all layouts are compared "
    "with drawn arms, sized anew."
)


def _clear_others(folder: Path, mark: str) -> None:
    """Sweeps of other briefs or items that an earlier run left: only files of ours go."""
    for other in folder.glob(f"{SWEEP}*"):
        if other.name != f"{SWEEP}{mark}" and (other / MANIFEST).exists():
            for file in _files_of(other):
                file.unlink(missing_ok=True)
            if not any(other.iterdir()):
                other.rmdir()


def _files_of(sweep: Path) -> tuple[Path, ...]:
    """Files that a comparison leaves in a sweep's folder, those cut short included."""
    names = ("chunk-*.parquet", ".chunk-*.part", f"{KEPT}*.json", f".{KEPT}*.part")
    return (*(file for name in names for file in sweep.glob(name)), sweep / MANIFEST)


def _wanted(candidates: Candidates, front: Front, found: Survey, most: int) -> tuple[Wanted, ...]:
    """The picks, lettered, with the mass to start each closure from."""
    picks = list(pick(front, candidates, most))
    if candidates.brief.layout.kind == "free":
        picks = [Pick(-1, ("as the brief has it",)), *picks[: most - 1]]
    return tuple(
        _one_wanted(candidates, front, found, each, key)
        for key, each in zip(ascii_uppercase, picks, strict=False)
    )


def _one_wanted(candidates: Candidates, front: Front, found: Survey, one: Pick, key: str) -> Wanted:
    if one.candidate < 0:
        brief = candidates.brief
        return Wanted(key, one, brief, candidates, first_mass(brief, "free"), 0.0)
    brief = candidates.brief_of(one.candidate)
    for columns in (front.columns, found.cloud):
        at = np.flatnonzero(columns["candidate"] == one.candidate)
        if len(at):
            mass, frame = (float(columns[n][at[0]]) for n in ("all_up_mass", "frame_mass"))
            return Wanted(key, one, brief, candidates, mass, frame)
    return Wanted(key, one, brief, candidates, first_mass(brief, brief.layout.kind), 0.0)


def _made(
    wanted: Sequence[Wanted], folder: Path, jobs: int, tell: Progress
) -> Iterator[Finalist | Dropped]:
    """Finalists in their order, kept in ``folder``; in this process or in ``jobs`` of them."""
    tell("sizing frames", 0.0)
    make = partial(kept_finalist, folder)
    if jobs == 1 or len(wanted) < 2:
        results: Iterator[Finalist | Dropped] = map(make, wanted)
        yield from _told(results, len(wanted), tell)
        return
    context = get_context("spawn")  # forking a process that runs threads is unsafe
    with ProcessPoolExecutor(min(jobs, len(wanted)), context) as pool:
        yield from _told(pool.map(make, wanted), len(wanted), tell)


def _told(
    results: Iterator[Finalist | Dropped], total: int, tell: Progress
) -> Iterator[Finalist | Dropped]:
    for number, each in enumerate(results, start=1):
        tell("sizing frames", number / total)
        yield each


def _part(tell: Progress, start: float, end: float) -> Progress:
    return lambda what, share: tell(what, start + (end - start) * share)


def _quiet(_what: str, _share: float) -> None:
    """Progress that nobody asked for."""
