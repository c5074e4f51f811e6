"""The logbook: what it refuses, hours of parts, many writers, kills, migrations, export."""

import csv
import json
import sqlite3
import threading
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import asdict
from pathlib import Path

import pytest

from refledge.errors import StoreError
from refledge.model.logbook import (
    KINDS,
    Crash,
    Damage,
    Entry,
    Fitted,
    Flight,
    Inspected,
    Logged,
    Print,
    Removed,
    Repair,
    Struck,
)
from refledge.outputs.log_files import export, history_json, history_lines
from refledge.repair.history import history
from refledge.store import NAME, Store
from refledge.store.logbook import Logbook
from refledge.store.schema import MIGRATIONS

MINUTES = 60.0


def small(book: Logbook) -> None:
    """Two arms, three flights, one crash that breaks one of them, its repair."""
    book.add("2026-05-01", Print(part="arm", seconds=9000.0, copies=2, mass=0.1,
                                 serials=("A1", "A2")))  # fmt: skip
    book.add("2026-05-02", Fitted(serial="A1", part="arm", place="arm 1"),
             Fitted(serial="A2", part="arm", place="arm 2", before=3600.0))  # fmt: skip
    book.add("2026-05-03", Flight(seconds=12 * MINUTES))
    book.add("2026-05-04T10:00", Flight(seconds=10 * MINUTES), Crash(case="arm-tip", speed=4.0),
             Damage(part="arm", outcome="broken", serial="A1", crash=-1, photo="a1.jpg"),
             Removed(serial="A1", why="crash"))  # fmt: skip
    book.add("2026-05-05", Repair(part="arm", old="A1", new="A3", crash=6),
             Fitted(serial="A3", part="arm", place="arm 1"))  # fmt: skip
    book.add("2026-05-06", Flight(seconds=5 * MINUTES))


def test_hours_are_those_flown_between_fitting_and_removal(tmp_path: Path) -> None:
    with Logbook(tmp_path) as book:
        small(book)
        lives = {life.serial: life for life in book.lives()}
    assert lives["A1"].seconds == 22 * MINUTES
    assert (lives["A1"].why, lives["A1"].crashes, lives["A1"].flights) == ("crash", 1, 2)
    assert lives["A2"].seconds == 3600 + 27 * MINUTES
    assert lives["A3"].seconds == 5 * MINUTES
    assert lives["A3"].removed == ""


def test_damage_belongs_to_the_crash_logged_with_it(tmp_path: Path) -> None:
    with Logbook(tmp_path) as book:
        small(book)
        (crash,) = book.entries("crash")
        (damage,) = book.entries("damage")
    assert isinstance(damage.entry, Damage)
    assert damage.entry.crash == crash.number == 6


@pytest.mark.parametrize(
    ("entry", "words"),
    [
        (Flight(seconds=-1.0), "seconds -1 s: allowed at least 1"),
        (Flight(seconds=float("nan")), "seconds nan"),
        (Crash(case="by-bird"), "arm-tip, nose-in"),
        (Damage(part="arm", outcome="broken", crash=99), "holds no crash 99"),
        (Damage(part="arm", outcome="broken", crash=1), "holds no crash 1"),  # entry 1 is a print
        (Fitted(serial="A2", part="arm"), "on the aircraft already"),
        (Removed(serial="A1", why="wear"), "A1 is not on the aircraft; on it are: A2, A3"),
        (Inspected(serial="Z9"), "not on the aircraft"),
        (Print(part="arm", seconds=10.0, serials=("A1",)), "A1 was used before"),
        (Struck(number=77, why="x"), "no entry 77"),
    ],
)
def test_what_cannot_be_is_refused_and_nothing_is_kept(
    tmp_path: Path, entry: Entry, words: str
) -> None:
    with Logbook(tmp_path) as book:
        small(book)
        before = book.entries(struck=True)
        with pytest.raises(StoreError, match=words):
            book.add("2026-05-07", Flight(seconds=60.0), entry)
        assert book.entries(struck=True) == before


def test_a_date_that_is_none_is_refused(tmp_path: Path) -> None:
    with Logbook(tmp_path) as book, pytest.raises(StoreError, match="2026-05-03T14:20"):
        book.add("3.5.2026", Flight(seconds=60.0))


def test_a_struck_entry_counts_no_more_but_stays(tmp_path: Path) -> None:
    with Logbook(tmp_path) as book:
        (number,) = book.add("2026-05-01", Flight(seconds=600.0))
        book.add("2026-05-02", Struck(number=number, why="flown by another craft"))
        assert book.entries() == ()
        assert [each.kind for each in book.entries(struck=True)] == ["flight", "struck"]
        with pytest.raises(StoreError, match="no entry 1 that still stands"):
            book.add("2026-05-03", Struck(number=number, why="again"))


def test_an_entry_is_never_changed(tmp_path: Path) -> None:
    with Logbook(tmp_path) as book:
        small(book)
        for change in ("UPDATE entry SET date = ''", "DELETE FROM entry"):
            with pytest.raises(sqlite3.IntegrityError, match="never changed"):
                book._db.execute(change)


def test_ten_writers_at_once_lose_nothing(tmp_path: Path) -> None:
    Logbook(tmp_path).close()

    def write(who: int) -> None:
        with Logbook(tmp_path) as book:
            for k in range(5):
                book.add("2026-05-01", Flight(seconds=60.0 + k, note=f"{who}.{k}"))

    writers = [threading.Thread(target=write, args=(who,)) for who in range(10)]
    for each in writers:
        each.start()
    for each in writers:
        each.join(120)
    with Logbook(tmp_path) as book:
        notes = [e.entry.note for e in book.entries("flight") if isinstance(e.entry, Flight)]
    assert sorted(notes) == sorted(f"{who}.{k}" for who in range(10) for k in range(5))


def test_writers_that_look_at_the_same_moment_do_not_both_write(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Each looks whether a serial is free and then waits for the other to have looked as well.

    A writer that takes its lock before it looks keeps the other from looking: that one finds the
    serial used. With the lock taken later both look, and then block each other.
    """
    Logbook(tmp_path).close()
    both, told = threading.Barrier(2), list[str]()
    look = Logbook._refuse

    def looks(self: Logbook, entries: Sequence[Entry], before: tuple[Logged, ...]) -> None:
        look(self, entries, before)
        with suppress(threading.BrokenBarrierError):
            both.wait(0.5)

    def write() -> None:
        try:
            with Logbook(tmp_path) as book:
                book.add("2026-05-01", Print(part="arm", seconds=1.0, serials=("A9",)))
            told.append("kept")
        except StoreError as error:
            told.append(str(error))

    monkeypatch.setattr(Logbook, "_refuse", looks)
    writers = [threading.Thread(target=write) for _ in range(2)]
    for each in writers:
        each.start()
    for each in writers:
        each.join(30)
    assert sorted(told)[1] == "kept"
    assert sorted(told)[0].startswith("A9 was used before")
    with Logbook(tmp_path) as book:
        assert len(book.entries("print")) == 1


@pytest.mark.parametrize("version", range(1, len(MIGRATIONS)))
def test_a_store_of_each_released_version_opens_with_all_it_holds(
    tmp_path: Path, version: int
) -> None:
    """Tables as an older version left them, with a prediction in them."""
    db = sqlite3.connect(tmp_path / NAME)
    db.execute("CREATE TABLE migration (number INTEGER PRIMARY KEY, name TEXT NOT NULL, "
               "applied TEXT NOT NULL) STRICT")  # fmt: skip
    for number, (name, statements) in enumerate(MIGRATIONS[:version], 1):
        for statement in statements:
            db.execute(statement)
        db.execute("INSERT INTO migration VALUES (?, ?, 'then')", (number, name))
    db.execute("INSERT INTO prediction VALUES ('arm: mass', 0.05, 0.002, 'kg', 'b', 'then')")
    db.commit()
    db.close()
    with Logbook(tmp_path) as book:
        assert [p.name for p in book.predictions()] == ["arm: mass"]
        small(book)
        assert len(book.entries("flight")) == 3
    with Store(tmp_path) as store:
        store.check()


def test_the_export_holds_everything(tmp_path: Path) -> None:
    with Logbook(tmp_path) as book:
        small(book)
        book.add("2026-05-08", Struck(number=3, why="=SUM(A1)"))
        entries, lives = book.entries(struck=True), book.lives()
    export(entries, lives, tmp_path / "out")
    document = json.loads((tmp_path / "out" / "log.json").read_text())
    back = []
    for e in document["entries"]:
        values = {k: tuple(v) if isinstance(v, list) else v for k, v in e["entry"].items()}
        back.append(KINDS[e["kind"]](**values))
    assert back == [each.entry for each in entries]
    assert document["lives"] == [asdict(life) for life in lives]
    assert document["units"]["flight.seconds"] == "s"
    rows = list(csv.DictReader((tmp_path / "out" / "flight.csv").open()))
    assert [float(row["seconds (s)"]) for row in rows] == [720.0, 600.0, 300.0]
    assert "'=SUM(A1)" in (tmp_path / "out" / "struck.csv").read_text()
    assert not list((tmp_path / "out").glob(".*"))


def test_the_log_in_words(tmp_path: Path) -> None:
    with Logbook(tmp_path) as book:
        small(book)
        for number in range(3):
            book.add(f"2026-06-0{number + 1}", Crash(case="one-leg"),
                     Damage(part="leg", outcome="broken", crash=-1))  # fmt: skip
        found = history(book.entries(), book.lives())
    text = "\n".join(history_lines(found))
    assert "3 flights" in text
    assert "The leg keeps breaking: 3 in 4 crashes" in text
    assert found.rate.mean == pytest.approx(5 / (36000 + 27 * MINUTES))
    assert json.loads(history_json(found))["by_case"] == {"arm-tip": 1, "one-leg": 3}
    arm = next(part for part in found.parts if part.part == "arm")
    assert arm.per_crash == (1, 0, 0, 0)
    assert (arm.breaks, arm.worn, arm.flying) == (1, 0, 2)
