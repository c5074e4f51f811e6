"""Entries of the log, each as a line for a person."""

from collections.abc import Callable
from typing import Any

from refledge.model.logbook import (
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
from refledge.units import show


def entry_words(entry: Entry) -> str:
    """One entry in words."""
    return _WORDS[type(entry)](entry)


def _flight(entry: Flight) -> str:
    return _joined(show(entry.seconds, "s", "min"), entry.note)


def _crash(entry: Crash) -> str:
    speed = f" at {show(entry.speed, 'm/s', 'm/s')}" if entry.speed else ""
    return _joined(f"{entry.case}{speed}", entry.note)


def _damage(entry: Damage) -> str:
    what = f"{_named(entry.part, entry.serial)} {entry.outcome}"
    after = f" in crash {entry.crash}" if entry.crash else ""
    photo = f"photo {entry.photo}" if entry.photo else ""
    return _joined(what + after, photo, entry.note)


def _repair(entry: Repair) -> str:
    swap = f"{entry.old or '?'} off, {entry.new or '?'} on" if entry.old or entry.new else ""
    after = f"after crash {entry.crash}" if entry.crash else ""
    took = f"took {show(entry.seconds, 's', 'min')}" if entry.seconds else ""
    return _joined(_named(entry.part, ""), swap, after, took, entry.note)


def _print(entry: Print) -> str:
    grams = show(entry.mass, "kg", "g") if entry.mass else ""
    serials = f"serials {', '.join(entry.serials)}" if entry.serials else ""
    bad = f"failed: {entry.failure}" if entry.failure else ""
    what = f"{entry.copies} × {_named(entry.part, '')}, {show(entry.seconds, 's', 'h')}"
    return _joined(what, grams, entry.material, entry.spool, serials, entry.settings, bad)


def _fitted(entry: Fitted) -> str:
    place = f" at {entry.place}" if entry.place else ""
    before = f"flown {show(entry.before, 's', 'h')} before" if entry.before else ""
    return _joined(f"{_named(entry.part, entry.serial)} on{place}", before)


def _removed(entry: Removed) -> str:
    why = {"crash": "broken in a crash", "wear": "worn", "sound": "sound"}[entry.why]
    return _joined(f"{entry.serial} off, {why}", entry.note)


def _inspected(entry: Inspected) -> str:
    return f"{entry.serial} looked at: {entry.finding or 'sound'}"


def _struck(entry: Struck) -> str:
    return f"entry {entry.number} struck out: {entry.why}"


def _named(part: str, serial: str) -> str:
    name = part.replace("_", " ")
    return f"{name} {serial}" if serial else name


def _joined(*parts: str) -> str:
    return "; ".join(part for part in parts if part)


_WORDS: dict[type[Any], Callable[[Any], str]] = {
    Flight: _flight,
    Crash: _crash,
    Damage: _damage,
    Repair: _repair,
    Print: _print,
    Fitted: _fitted,
    Removed: _removed,
    Inspected: _inspected,
    Struck: _struck,
}
