"""The logbook: entries in the project's store, added and never changed."""

import json
from collections.abc import Iterator, Sequence
from dataclasses import asdict, fields
from datetime import datetime
from typing import Any

from refledge.errors import StoreError
from refledge.model.fields import info_of
from refledge.model.logbook import (
    KINDS,
    Crash,
    Damage,
    Entry,
    Fitted,
    Flight,
    Inspected,
    Logged,
    PartLife,
    Print,
    Removed,
    Repair,
    Struck,
)
from refledge.store.file import Store
from refledge.store.rows import now
from refledge.store.telling import told

_KIND = {model: kind for kind, model in KINDS.items()}


class Logbook(Store):
    """The store, with the log in it. ``add`` is one transaction; it is on the disk on return."""

    def __enter__(self) -> "Logbook":
        return self

    def add(self, date: str, *entries: Entry) -> tuple[int, ...]:
        """Write entries of one date (ISO 8601) down together, all or none; their numbers.

        An entry may carry ``crash=-1`` for the crash that is logged in the same call.
        """
        when = _date(date)
        with self._writing() as db:
            self._refuse(entries, tuple(self._rows()))
            numbers: list[int] = []
            crash = 0
            for entry in entries:
                body = asdict(entry)
                if body.get("crash") == -1:
                    body["crash"] = crash
                found = db.execute(
                    "INSERT INTO entry (kind, date, body, saved) VALUES (?, ?, ?, ?)",
                    (_KIND[type(entry)], when, json.dumps(body, sort_keys=True), now()),
                ).lastrowid
                assert found is not None  # an INSERT has a row
                numbers.append(found)
                crash = found if isinstance(entry, Crash) else crash
        return tuple(numbers)

    def entries(self, kind: str = "", *, struck: bool = False) -> tuple[Logged, ...]:
        """Entries in order of date, without those struck out unless asked for."""
        with told(self.path):
            rows = tuple(self._rows())
        out = {each.entry.number for each in rows if isinstance(each.entry, Struck)}
        kept = (r for r in rows if struck or (r.number not in out and r.kind != "struck"))
        return tuple(each for each in kept if kind in ("", each.kind))

    def lives(self) -> tuple[PartLife, ...]:
        """What each fitted part has been through, in order of fitting."""
        return part_lives(self.entries())

    def _rows(self) -> Iterator[Logged]:
        rows = self._db.execute(
            "SELECT number, date, saved, kind, body FROM entry ORDER BY date, number"
        ).fetchall()
        for number, date, saved, kind, body in rows:
            yield Logged(number, date, saved, kind, _entry(kind, json.loads(body)))

    def _refuse(self, entries: Sequence[Entry], before: tuple[Logged, ...]) -> None:
        """Raise StoreError where an entry names what is not there, or is out of bounds."""
        by_number = {each.number: each for each in before}
        out = {each.entry.number for each in before if isinstance(each.entry, Struck)}
        live = tuple(each for each in before if each.number not in out)
        flying = {life.serial for life in part_lives(live) if not life.removed}
        printed = {s for each in live if isinstance(each.entry, Print) for s in each.entry.serials}
        for entry in entries:
            _bounds(entry)
            if isinstance(entry, Struck) and (entry.number not in by_number or entry.number in out):
                raise StoreError(f"{self.path} holds no entry {entry.number} that still stands")
            if isinstance(entry, (Damage, Repair)) and entry.crash > 0:
                named = by_number.get(entry.crash)
                if named is None or named.kind != "crash" or entry.crash in out:
                    raise StoreError(f"{self.path} holds no crash {entry.crash}")
            if isinstance(entry, Fitted):
                if entry.serial in flying:
                    raise StoreError(f"{entry.serial} is on the aircraft already; log it off first")
                flying.add(entry.serial)
            if isinstance(entry, (Removed, Inspected)) and entry.serial not in flying:
                raise StoreError(
                    f"{entry.serial} is not on the aircraft; on it are: "
                    f"{', '.join(sorted(flying)) or 'none'}"
                )
            if isinstance(entry, Removed):
                flying.discard(entry.serial)
            if isinstance(entry, Print):
                twice = printed & set(entry.serials)
                if twice or len(set(entry.serials)) != len(entry.serials):
                    words = ", ".join(sorted(twice)) or "one serial"
                    raise StoreError(f"{words} was used before; each copy has a serial of its own")
                printed |= set(entry.serials)


def part_lives(entries: Sequence[Logged]) -> tuple[PartLife, ...]:
    """Lives of parts from entries in order of date."""
    lives: list[dict[str, Any]] = []
    flying: dict[str, dict[str, Any]] = {}
    for logged in entries:
        entry = logged.entry
        if isinstance(entry, Fitted):
            life: dict[str, Any] = {
                "serial": entry.serial, "part": entry.part, "place": entry.place,
                "revision": entry.revision, "fitted": logged.date, "removed": "", "why": "",
                "seconds": entry.before, "flights": 0, "crashes": 0, "inspected": 0.0,
            }  # fmt: skip
            lives.append(life)
            flying[entry.serial] = life
        elif isinstance(entry, Removed) and entry.serial in flying:
            flying.pop(entry.serial).update(removed=logged.date, why=entry.why)
        elif isinstance(entry, Inspected) and entry.serial in flying:
            flying[entry.serial]["inspected"] = flying[entry.serial]["seconds"]
        for life in flying.values():
            if isinstance(entry, Flight):
                life["seconds"] += entry.seconds
                life["flights"] += 1
            elif isinstance(entry, Crash):
                life["crashes"] += 1
    return tuple(PartLife(**life) for life in lives)


def _entry(kind: str, body: dict[str, Any]) -> Entry:
    model = KINDS[kind]
    if "serials" in body:
        body["serials"] = tuple(body["serials"])
    return model(**body)


def _date(date: str) -> str:
    try:
        return datetime.fromisoformat(date).isoformat(timespec="minutes")
    except ValueError as error:
        raise StoreError(f"{date!r} is no date; write it as 2026-05-03 or 2026-05-03T14:20") from (
            error
        )


def _bounds(entry: Entry) -> None:
    """Raise StoreError where a number is out of its bounds or a text is no choice."""
    for declared in fields(entry):
        info, value = info_of(declared), getattr(entry, declared.name)
        if isinstance(value, (int, float)):
            if value == -1 and declared.name == "crash":
                continue
            low, high = info.low, info.high
            if (low is not None and not value >= low) or (high is not None and not value <= high):
                most = "no upper limit" if high is None else f"at most {high:g}"
                raise StoreError(
                    f"{declared.name} {value:g} {info.unit}: allowed at least {low or 0:g}, {most}"
                )
        if info.choices and value not in info.choices:
            raise StoreError(f"{declared.name} {value!r}: allowed {', '.join(info.choices)}")
