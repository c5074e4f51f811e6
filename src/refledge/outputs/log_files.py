"""The log in words, as CSV and as JSON."""

import csv
import io
import json
from collections.abc import Iterator, Sequence
from dataclasses import asdict, fields
from pathlib import Path
from typing import Any

from refledge.model.fields import info_of
from refledge.model.logbook import KINDS, Logged, PartLife
from refledge.outputs.record import plain
from refledge.repair.history import History
from refledge.whole import write_whole

HOUR = 3600.0
SCHEMA = "refledge log 1"


def history_lines(found: History) -> Iterator[str]:
    """The log summed up for a person."""
    low, high = found.rate.band()
    yield (
        f"{found.flights} flights, {found.seconds / HOUR:.1f} h; {found.crashes} crashes; "
        f"{found.prints} prints, {found.failed_prints} failed"
    )
    yield (
        f"crashes: one in {1 / found.rate.mean / HOUR:.1f} h "
        f"(nine in ten sure: one in {1 / high / HOUR:.1f} to {1 / low / HOUR:.1f} h), "
        "with one in 10 h as the guess before any was logged"
    )
    for case, number in sorted(found.by_case.items(), key=lambda each: -each[1]):
        yield f"  {case}: {number}"
    if found.parts:
        yield ""
        yield f"{'part':14} {'flying':>6} {'broken':>6} {'worn':>5} {'oldest':>8} {'look at':>8} {'retire':>8}"  # noqa: E501
    for part in found.parts:
        yield (
            f"{part.part:14} {part.flying:6d} {part.breaks:6d} {part.worn:5d} "
            f"{part.oldest / HOUR:6.1f} h {part.look / HOUR:6.1f} h {part.retire / HOUR:6.1f} h"
        )
    flying = [life for life in found.lives if not life.removed]
    if flying:
        yield ""
        yield "on the aircraft:"
    for life in flying:
        seat = f" at {life.place}" if life.place else ""
        yield (
            f"  {life.serial} ({life.part}{seat}): {life.seconds / HOUR:.1f} h, "
            f"{life.flights} flights, {life.crashes} crashes"
        )
    yield ""
    yield from found.advice or ("Nothing stands out yet.",)


def history_json(found: History) -> str:
    """The same for machines, SI."""
    low, high = found.rate.band()
    document: dict[str, Any] = {
        "flown_s": found.seconds,
        "flights": found.flights,
        "crashes": found.crashes,
        "by_case": found.by_case,
        "crashes_per_s": {"mean": found.rate.mean, "low_5": low, "high_95": high},
        "parts": [
            {
                "part": p.part, "flying": p.flying, "broken_in_crashes": p.breaks, "worn": p.worn,
                "broken_per_crash": p.per_crash, "oldest_s": p.oldest, "look_s": p.look,
                "retire_s": p.retire, "wears_out": p.life.wears,
                "survival": [] if p.curve is None else [
                    {"s": t, "survive": s, "low": a, "high": b} for t, s, a, b in zip(
                        p.curve.times, p.curve.survive, p.curve.low, p.curve.high, strict=True)
                ],
            }
            for p in found.parts
        ],
        "lives": list(found.lives),
        "prints": found.prints,
        "failed_prints": found.failed_prints,
        "advice": found.advice,
    }  # fmt: skip
    return json.dumps(plain(document), indent=1, ensure_ascii=False)


def export(entries: Sequence[Logged], lives: Sequence[PartLife], out: Path) -> tuple[Path, ...]:
    """Write a CSV for each kind of entry, parts.csv and log.json; the paths."""
    texts = {f"{kind}.csv": _csv(kind, entries) for kind in KINDS}
    texts["parts.csv"] = _lives_csv(lives)
    texts["log.json"] = _json(entries, lives)
    return tuple(write_whole(out / name, text) for name, text in texts.items())


def _csv(kind: str, entries: Sequence[Logged]) -> str:
    """A row for each entry, SI, units in the headings."""
    declared = fields(KINDS[kind])
    units = [info_of(each).unit for each in declared]
    names = [f"{d.name} ({u})" if u not in ("", "1") else d.name
             for d, u in zip(declared, units, strict=True)]  # fmt: skip
    rows = [
        [e.number, e.date, e.saved, *(_cell(getattr(e.entry, d.name)) for d in declared)]
        for e in entries
        if e.kind == kind
    ]
    return _table([["entry", "date", "saved", *names], *rows])


def _lives_csv(lives: Sequence[PartLife]) -> str:
    names = [each.name for each in fields(PartLife)]
    heads = [f"{name} (s)" if name in ("seconds", "inspected") else name for name in names]
    return _table([heads, *([getattr(life, name) for name in names] for life in lives)])


def _table(rows: Sequence[Sequence[object]]) -> str:
    text = io.StringIO()
    csv.writer(text, lineterminator="\n").writerows(rows)
    return text.getvalue()


def _cell(value: object) -> object:
    """Texts that a spreadsheet would take for a formula get an apostrophe before them."""
    if isinstance(value, tuple):
        value = " ".join(value)
    risky = isinstance(value, str) and value.startswith(("=", "+", "-", "@"))
    return f"'{value}" if risky else value


def _json(entries: Sequence[Logged], lives: Sequence[PartLife]) -> str:
    units = {
        f"{kind}.{each.name}": info_of(each).unit
        for kind, model in KINDS.items()
        for each in fields(model)
        if info_of(each).unit not in ("", "1")
    }
    document = {
        "schema": SCHEMA,
        "units": units,
        "entries": [
            {"number": e.number, "date": e.date, "saved": e.saved, "kind": e.kind,
             "entry": asdict(e.entry)} for e in entries
        ],
        "lives": [asdict(life) for life in lives],
    }  # fmt: skip
    return json.dumps(document, indent=1, sort_keys=True, ensure_ascii=False) + "\n"
