"""The bench's memory: one SQLite file in the project folder, from which nothing is ever lost.

Readings, sessions and predictions can be added but never changed or deleted: triggers refuse it.
Every save is one transaction, on the disk before it is reported (rollback journal, synchronous
full), so that a kill leaves either all of a session or none of it. A second process waits its turn.
"""

import json
import sqlite3
from collections import Counter
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import asdict, dataclass
from pathlib import Path
from types import TracebackType
from typing import Any

from refledge.bench.scoring import calibration, z_score
from refledge.errors import StoreError
from refledge.model.bench import Session
from refledge.model.bench_results import Reduction
from refledge.model.learning import Calibration, Evidence, Prediction, Score
from refledge.store.rows import add_session, measured_row, now
from refledge.store.schema import MIGRATIONS
from refledge.store.telling import told

NAME = "bench.sqlite"
WAIT = 10.0
"""s; how long a second process waits for the first to finish a save."""


@dataclass(frozen=True)
class StoredSession:
    """One session on the list."""

    number: int
    title: str
    kind: str
    material: str
    spool: str
    settings: str
    date: str
    saved: str
    readings: int


@dataclass(frozen=True)
class StoredSpool:
    """One spool of a material as the bench knows it."""

    name: str
    settings: str
    """That its last test was printed with."""
    date: str
    """Of its last test."""
    sessions: int


class Store:
    """The store in one file; a context manager. Each method is one transaction of its own."""

    def __init__(self, path: str | Path) -> None:
        """Open, or make, the store at ``path``: a file, or a folder that holds ``bench.sqlite``."""
        given = Path(path)
        self.path = given / NAME if given.is_dir() else given
        with told(self.path):
            self._db = sqlite3.connect(self.path, timeout=WAIT, isolation_level=None)
            self._db.execute("PRAGMA foreign_keys = ON")
            self._db.execute("PRAGMA journal_mode = DELETE")
            self._db.execute("PRAGMA synchronous = FULL")
            self._migrate()

    def __enter__(self) -> "Store":
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    def close(self) -> None:
        """Let go of the file."""
        self._db.close()

    def keep(self, session: Session) -> int:
        """Keep a session's readings before anything is made of them; returns its number.

        The same file given again keeps one session.
        """
        with self._writing() as db:
            return _kept(db, session)

    def save(self, session: Session, reduction: Reduction, version: str) -> int:
        """Keep a session with its readings and what they were reduced to; returns its number.

        The same file saved again keeps one session; the reduction is added, with its version.
        """
        with self._writing() as db:
            number = _kept(db, session)
            done = db.execute(
                "INSERT INTO reduction (session, version, saved, json) VALUES (?, ?, ?, ?)",
                (number, version, now(), json.dumps(asdict(reduction), allow_nan=True)),
            ).lastrowid
            db.executemany(
                "INSERT INTO measured VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
                [measured_row(done, each) for each in reduction.measured],
            )
        return number

    def sessions(self) -> tuple[StoredSession, ...]:
        """All sessions, oldest first."""
        with told(self.path):
            rows = self._db.execute(
                "SELECT number, title, kind, material, spool, settings, date, saved, (SELECT "
                "COUNT(*) FROM reading WHERE session = number) FROM session ORDER BY number"
            ).fetchall()
        return tuple(StoredSession(*row) for row in rows)

    def spools(self, material: str) -> tuple[StoredSpool, ...]:
        """Spools of a material that were tested, the one tested last first."""
        with told(self.path):
            rows = self._db.execute(
                "SELECT spool, settings, date FROM session WHERE material = ? "
                "ORDER BY date DESC, number DESC",
                (material,),
            ).fetchall()
        counts = Counter(row[0] for row in rows)
        latest = {name: (settings, date) for name, settings, date in reversed(rows)}
        return tuple(StoredSpool(name, *latest[name], number) for name, number in counts.items())

    def text_of(self, number: int) -> str:
        """The file of one session, as it was given."""
        with told(self.path):
            row = self._db.execute(
                "SELECT text FROM session WHERE number = ?", (number,)
            ).fetchone()
        if row is None:
            raise StoreError(f"{self.path} holds no session {number}")
        return str(row[0])

    def evidence(self, material: str, spool: str = "", settings: str = "") -> tuple[Evidence, ...]:
        """What was measured of a material by spool and settings; the latest reduction of each.

        Without a spool: the spool tested last, with the settings that it was last printed with.
        Sessions with grave findings that nobody accepted are left out; ``left_out`` names them.
        """
        return tuple(Evidence(*row) for row, done in self._found(material, spool, settings)
                     if _usable(done))  # fmt: skip

    def left_out(self, material: str, spool: str = "", settings: str = "") -> tuple[str, ...]:
        """Titles of the sessions that ``evidence`` leaves out, with their gravest finding."""
        why = {}
        for row, done in self._found(material, spool, settings):
            if not _usable(done):
                why[row[-1]] = next(each["words"] for each in done["findings"] if each["grave"])
        return tuple(f"{title}: {words}" for title, words in why.items())

    def _found(
        self, material: str, spool: str, settings: str
    ) -> list[tuple[tuple[Any, ...], dict[str, Any]]]:
        """Rows of evidence, each with the reduction that it comes from."""
        if not spool:
            known = self.spools(material)
            if not known:
                return []
            spool, settings = known[0].name, known[0].settings
        with told(self.path):
            rows = self._db.execute(_EVIDENCE, (material, spool, settings, settings)).fetchall()
        return [(row[1:], json.loads(row[0])) for row in rows]

    def predictions(self, piece: str = "") -> tuple[Prediction, ...]:
        """Predictions of one piece (names that begin with it and a colon) or all, oldest first."""
        with told(self.path):
            rows = self._db.execute(
                "SELECT name, value, uncertainty, unit, basis FROM prediction ORDER BY rowid"
            ).fetchall()
        found = (Prediction(*row) for row in rows)
        return tuple(p for p in found if not piece or p.name.startswith(f"{piece}: "))

    def predict(self, prediction: Prediction) -> None:
        """Write a prediction down before its test; a name can be used once."""
        with self._writing() as db:
            try:
                db.execute(
                    "INSERT INTO prediction (name, value, uncertainty, unit, basis, made) "
                    "VALUES (?, ?, ?, ?, ?, ?)",
                    (*asdict(prediction).values(), now()),
                )
            except sqlite3.IntegrityError as error:
                raise StoreError(
                    f"{prediction.name!r} was predicted before; a prediction is never changed: "
                    "give this one a name of its own"
                ) from error

    def score(self, name: str, measured: float, uncertainty: float, note: str = "") -> Score:
        """Hold a test against the prediction made before it; once for each prediction."""
        with self._writing() as db:
            row = db.execute(
                "SELECT name, value, uncertainty, unit, basis, made FROM prediction WHERE name = ?",
                (name,),
            ).fetchone()
            if row is None:
                raise StoreError(f"no prediction {name!r} was made before the test")
            prediction, scored = Prediction(*row[:5]), now()
            z = z_score(prediction, measured, uncertainty)
            try:
                db.execute(
                    "INSERT INTO score VALUES (?, ?, ?, ?, ?, ?)",
                    (name, measured, uncertainty, z, scored, note),
                )
            except sqlite3.IntegrityError as error:
                raise StoreError(f"{name!r} has been scored; a score is never changed") from error
        return Score(prediction, measured, uncertainty, z, row[5], scored)

    def scores(self) -> tuple[Score, ...]:
        """All scores, oldest first."""
        with told(self.path):
            rows = self._db.execute(_SCORES).fetchall()
        return tuple(Score(Prediction(*row[:5]), *row[5:]) for row in rows)

    def calibration(self) -> Calibration:
        """Whether our uncertainty has been honest."""
        return calibration([each.z for each in self.scores()])

    def check(self) -> None:
        """Raise StoreError where the file is damaged."""
        with told(self.path):
            (word,) = self._db.execute("PRAGMA integrity_check").fetchone()
        if word != "ok":
            raise StoreError(f"{self.path} is damaged: {word}")

    def _migrate(self) -> None:
        """Bring the file to this version's tables, each step in a transaction and on record."""
        with self._writing() as db:
            db.execute(
                "CREATE TABLE IF NOT EXISTS migration "
                "(number INTEGER PRIMARY KEY, name TEXT NOT NULL, applied TEXT NOT NULL) STRICT"
            )
            (done,) = db.execute("SELECT COALESCE(MAX(number), 0) FROM migration").fetchone()
            if done > len(MIGRATIONS):
                raise StoreError(f"{self.path} was written by a newer Refledge; update this one")
            for number, (name, statements) in enumerate(MIGRATIONS, 1):
                if number > done:
                    for statement in statements:
                        db.execute(statement)
                    db.execute("INSERT INTO migration VALUES (?, ?, ?)", (number, name, now()))

    @contextmanager
    def _writing(self) -> Iterator[sqlite3.Connection]:
        """One transaction that takes the lock at once; all of it is kept or nothing."""
        with told(self.path):
            self._db.execute("BEGIN IMMEDIATE")
            try:
                yield self._db
                self._db.execute("COMMIT")
            except BaseException:
                if self._db.in_transaction:
                    self._db.execute("ROLLBACK")
                raise


_EVIDENCE = """
SELECT r.json, m.prop, m.value, m.random, m.systematic, s.gauges, m.pieces, s.date, s.title
FROM measured m
JOIN reduction r ON r.number = m.reduction
JOIN session s ON s.number = r.session
WHERE s.material = ? AND s.spool = ? AND (s.settings = ? OR ? = '')
AND r.number = (SELECT MAX(number) FROM reduction WHERE session = s.number)
ORDER BY s.date, s.number
"""
_SCORES = """
SELECT p.name, p.value, p.uncertainty, p.unit, p.basis, s.measured, s.uncertainty, s.z, p.made,
s.scored FROM score s JOIN prediction p ON p.name = s.prediction ORDER BY s.rowid
"""


def _kept(db: sqlite3.Connection, session: Session) -> int:
    row = db.execute("SELECT number FROM session WHERE digest = ?", (session.digest,)).fetchone()
    return int(row[0]) if row else add_session(db, session)


def _usable(done: Mapping[str, Any]) -> bool:
    """As ``Reduction.usable``, of a reduction that was kept."""
    return bool(done.get("accepted")) or not any(each["grave"] for each in done["findings"])
