"""Sessions as rows of the store."""

import json
import sqlite3
from collections.abc import Sequence
from dataclasses import asdict
from datetime import UTC, datetime
from math import sqrt

from refledge.model.bench import Session
from refledge.model.bench_results import Measured
from refledge.store.schema import SETTINGS_IN_KEY


def add_session(db: sqlite3.Connection, session: Session) -> int:
    """Insert a session with readings, pieces and photos; its number."""
    f = session.file
    number = db.execute(
        "INSERT INTO session (digest, source, text, title, kind, material, spool, settings, "
        "orientation, gauges, date, room, drying, note, assumed, saved) "
        "VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
        (
            session.digest,
            session.source,
            session.text,
            f.title,
            f.kind,
            f.material,
            f.spool.name,
            settings_key(session),
            f.settings.orientation,
            f.gauges.name,
            f.date,
            json.dumps(asdict(f.room)),
            f.spool.drying,
            f.note,
            json.dumps(session.assumed),
            now(),
        ),
    ).lastrowid
    assert number is not None  # an INSERT has a row
    db.executemany(
        "INSERT INTO reading VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
        [
            (number, i, k, s.specimen, s.span, r.mass, r.load, r.read, r.time, r.spread,
             r.excluded)
            for i, s in enumerate(f.series, 1)
            for k, r in enumerate(s.readings, 1)
        ],
    )  # fmt: skip
    db.executemany(
        "INSERT INTO specimen VALUES (?, ?, ?)",
        [(number, s.name, json.dumps(asdict(s))) for s in f.specimen],
    )
    db.executemany(
        "INSERT INTO photo VALUES (?, ?, ?)",
        [(number, i, p) for i, s in enumerate(f.series, 1) for p in s.photos],
    )
    return number


def settings_key(session: Session) -> str:
    """The settings that make plastic the same: all but how the piece lay on the bed."""
    s = session.file.settings
    given = {name: getattr(s, name) for name in SETTINGS_IN_KEY}
    return json.dumps(given, sort_keys=True)


def measured_row(reduction: int | None, m: Measured) -> Sequence[object]:
    """Random part: what is left of the whole once the shared part is taken out."""
    random = sqrt(max(m.relative**2 - m.systematic**2, 0.0))
    return (
        reduction, m.prop, m.unit, m.value, m.uncertainty, random, m.systematic, m.carlo_low,
        m.carlo_high, m.pieces,
    )  # fmt: skip


def now() -> str:
    """UTC, to the microsecond, so that texts sort by time."""
    return datetime.now(UTC).isoformat(timespec="microseconds")
