"""What ``refledge crash`` does, and what it says."""

from collections.abc import Callable, Iterator
from pathlib import Path

from refledge.errors import BuildError
from refledge.inputs.brief import read_brief
from refledge.interfaces.bench_options import amount, learned_for, wrong
from refledge.interfaces.designing import part_of
from refledge.interfaces.keeping import opened
from refledge.interfaces.print_log import own_times
from refledge.outputs.crash_files import crash_json, crash_lines, write_crash
from refledge.repair.breaking import Asked, Breaks, find_breaks
from refledge.repair.history import History, history
from refledge.repair.weak_link import LINKS
from refledge.store import NAME
from refledge.study import Study, design
from refledge.units import UnitError, to_si

Progress = Callable[[str, float], None]


def asked(speed: str, samples: int, link: str, flying: str, service: str, seed: int) -> Asked:
    """The options in SI."""
    if link and link not in LINKS:
        raise wrong("--weak-link", f'"{link}"', ", ".join(LINKS), "choose one of these")
    try:
        share = to_si(service, "1")
    except UnitError as error:
        raise wrong("--service", f'"{service}"', 'a share such as "90 %"', "write one") from error
    if not 0.0 < share < 1.0:
        raise wrong("--service", f'"{service}"', "more than 0 and less than 100 %", "write another")
    fast = amount("--speed", speed, "m/s")
    if fast > 30.0:
        raise wrong("--speed", f'"{speed}"', "at most 30 m/s", "the sums are for gentler crashes")
    return Asked(samples, fast, link, amount("--flying", flying, "s"), share, seed)


def run(brief: Path, wanted: Asked, store: Path | None, progress: Progress) -> tuple[Study, Breaks]:
    """Design from a brief, or from that of a build, and crash it."""
    file = brief / "brief.toml" if brief.is_dir() else brief
    told = read_brief(file)
    learned = learned_for(told, file)
    study = design(told, learned=learned, progress=part_of(progress, 0.0, 0.5))
    return study, crashed(study, wanted, file, store, part_of(progress, 0.5, 1.0))


def crashed(
    study: Study, wanted: Asked, brief: Path, store: Path | None, progress: Progress
) -> Breaks:
    """Crash a study; the log, the one named or else that beside the brief, corrects the guesses
    and the print times."""
    known = own_times(study, brief, store)
    return find_breaks(
        study, wanted, log=_log(store or brief.parent), calibration=known, progress=progress
    )


def _log(store: Path) -> History | None:
    """What the log says, where there is one with anything in it."""
    if not (store / NAME if store.is_dir() else store).is_file():
        return None
    with opened(store, reading=True) as book:
        entries = book.entries()
        return history(entries, book.lives()) if entries else None


def lines(found: Breaks) -> Iterator[str]:
    """For a person."""
    return crash_lines(found)


def as_json(study: Study, found: Breaks) -> str:
    """For machines."""
    return crash_json(study, found)


def refuse_build(out: Path | None) -> None:
    """Raise BuildError where ``out`` is a build, before any work is done."""
    if out is not None and (out / "build.json").is_file():
        raise BuildError(f"{out} is a build, which holds only what design wrote; name another")


def write(study: Study, found: Breaks, out: Path) -> tuple[Path, ...]:
    """The page and the figures, in a folder of their own."""
    return write_crash(study, found, out)
