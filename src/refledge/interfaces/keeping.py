"""What ``refledge log`` does."""

from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path

from refledge.interfaces.bench_options import amount, wrong
from refledge.model.logbook import (
    CASES,
    Crash,
    Damage,
    Entry,
    Fitted,
    Flight,
    Inspected,
    Print,
    Removed,
    Repair,
    Struck,
)
from refledge.outputs.log_files import export, history_json, history_lines
from refledge.repair.history import history
from refledge.store.logbook import Logbook


@contextmanager
def opened(store: Path, *, reading: bool = False) -> Iterator[Logbook]:
    """The log in a project folder or file; made where it is not there, unless only read."""
    if not store.is_dir() and not store.parent.is_dir():
        raise wrong("--store", str(store), "a folder that exists", "make the folder first")
    if reading and not (store / "bench.sqlite" if store.is_dir() else store).is_file():
        raise wrong("--store", str(store), "a project folder with a log",
                    "log something first, such as refledge log flight '12 min'")  # fmt: skip
    with Logbook(store) as book:
        yield book


def _add(store: Path, date: str, *entries: Entry) -> tuple[int, ...]:
    when = date or datetime.now().isoformat(timespec="minutes")
    with opened(store) as book:
        return book.add(when, *entries)


def flight(store: Path, date: str, time: str, note: str) -> str:
    """Log one flight."""
    (number,) = _add(store, date, Flight(seconds=amount("time", time, "s"), note=note))
    return f"{number}: flight of {time}"


def crash(
    store: Path, date: str, case: str, speed: str, harm: Mapping[str, Sequence[str]], photo: str,
    note: str,
) -> str:  # fmt: skip
    """Log one crash with its damage, all or nothing."""
    if case not in CASES:
        raise wrong("case", f'"{case}"', ", ".join(CASES), "choose the nearest")
    fast = amount("--speed", speed, "m/s") if speed else 0.0
    entries: list[Entry] = [Crash(case=case, speed=fast, note=note)]
    with opened(store) as book:
        flying = {life.serial for life in book.lives() if not life.removed}
        for outcome, words in harm.items():
            for word in words:
                kind, serial = _named(word)
                entries.append(Damage(part=kind, serial=serial, outcome=outcome, crash=-1,
                                      photo=photo))  # fmt: skip
                if outcome == "broken" and serial in flying:
                    entries.append(Removed(serial=serial, why="crash"))
        when = date or datetime.now().isoformat(timespec="minutes")
        number = book.add(when, *entries)[0]
    hurt = sum(len(words) for words in harm.values())
    return f"{number}: crash, {case}; {hurt} damaged. Next: refledge repair BUILD --crash {number}"


def _named(word: str) -> tuple[str, str]:
    """``arm A3`` to part and serial; ``arm`` has none."""
    part, _, serial = word.replace(":", " ").strip().partition(" ")
    if not part:
        raise wrong("--broke", f'"{word}"', 'a part, such as "arm A3"', "name the part")
    return part, serial.strip()


def printed(
    store: Path, date: str, part: str, time: str, mass: str, copies: int,
    serials: tuple[str, ...], details: Mapping[str, str],
) -> str:  # fmt: skip
    """Log one print."""
    if serials and len(serials) != copies:
        raise wrong("--serial", str(len(serials)), f"none, or one for each of {copies} copies",
                    "name them all")  # fmt: skip
    entry = Print(
        part=part, copies=copies, seconds=amount("--time", time, "s"),
        mass=amount("--mass", mass, "kg") if mass else 0.0, serials=serials, **details,
    )  # fmt: skip
    (number,) = _add(store, date, entry)
    return f"{number}: print of {copies} {part}{', failed' if entry.failure else ''}"


def part(
    store: Path, date: str, serial: str, kind: str, place: str, revision: str, flown: str,
    off: str, inspected: str | None,
) -> str:  # fmt: skip
    """Put a part on, take it off, or note a look at it: one of the three."""
    wanted = [bool(kind), bool(off), inspected is not None]
    if sum(wanted) != 1:
        raise wrong("part", f"{sum(wanted)} of them", "just one of --part, --off, --inspected",
                    "log them one after the other")  # fmt: skip
    entry: Entry
    if kind:
        before = amount("--flown", flown, "s") if flown else 0.0
        entry = Fitted(serial=serial, part=kind, place=place, revision=revision, before=before)
    elif off:
        entry = Removed(serial=serial, why=off)
    else:
        entry = Inspected(serial=serial, finding=inspected or "")
    (number,) = _add(store, date, entry)
    return f"{number}: {serial} {'on' if kind else 'off' if off else 'looked at'}"


def repaired(
    store: Path, date: str, kind: str, old: str, new: str, place: str, crash_number: int,
    time: str, note: str,
) -> str:  # fmt: skip
    """Log a repair; the copies change places with it."""
    seconds = amount("--time", time, "s") if time else 0.0
    entries: list[Entry] = [
        Repair(part=kind, old=old, new=new, crash=crash_number, seconds=seconds, note=note)
    ]
    with opened(store) as book:
        lives = {life.serial: life for life in book.lives()}
        if old in lives and not lives[old].removed:
            entries.append(Removed(serial=old, why="crash" if crash_number else "sound"))
        if new:
            seat = place or (lives[old].place if old in lives else "")
            entries.append(Fitted(serial=new, part=kind, place=seat))
        number = book.add(date or datetime.now().isoformat(timespec="minutes"), *entries)[0]
    return f"{number}: {kind} repaired"


def strike(store: Path, number: int, why: str) -> str:
    """Strike out a wrong entry."""
    _add(store, "", Struck(number=number, why=why))
    return f"entry {number} struck out"


def shown(store: Path, *, as_json: bool) -> str:
    """The log summed up."""
    with opened(store, reading=True) as book:
        found = history(book.entries(), book.lives())
    return history_json(found) if as_json else "\n".join(history_lines(found))


def exported(store: Path, out: Path) -> str:
    """CSV and JSON of every entry."""
    with opened(store, reading=True) as book:
        entries, lives = book.entries(struck=True), book.lives()
    return "\n".join(str(path) for path in export(entries, lives, out))
