"""Sessions survive full disks, errors, kills and other writers: nothing lost, nothing by half."""

import subprocess
import sys
import threading
import time
from dataclasses import replace
from pathlib import Path

import pytest

from refledge.store import (
    Store,
    StoreError,
)
from refledge.store.rows import add_session
from tests.test_store import example


def _save_many(store: Store) -> None:
    for i in range(20):
        store.save(*example(f"{i:064d}"), "v")


def test_a_full_disk_changes_nothing(tmp_path: Path) -> None:
    """SQLite is held to the pages that it has: the next save finds no room."""
    with Store(tmp_path) as store:
        store.save(*example(), "v")
        (pages,) = store._db.execute("PRAGMA page_count").fetchone()
        store._db.execute(f"PRAGMA max_page_count = {pages}")
        with pytest.raises(StoreError, match="make room"):
            _save_many(store)
        before = len(store.sessions())
        store._db.execute("PRAGMA max_page_count = 100000")
        store.save(*example("f" * 64), "v")
        assert len(store.sessions()) == before + 1
        assert all(s.readings == 28 for s in store.sessions())
        store.check()


WRITER = """
import sys
from dataclasses import replace
sys.path.insert(0, {root!r})
from tests.test_store import example
from refledge.store import Store
session, reduction = example()
with Store({folder!r}) as store:
    for i in range({count}):
        digest = "{who}" + str(i).zfill(63)
        store.save(replace(session, digest=digest), reduction, "v")
        print(digest, flush=True)
"""


def _writer(folder: Path, who: str, count: int) -> subprocess.Popen[str]:
    root = str(Path(__file__).parents[1])
    code = WRITER.format(root=root, folder=str(folder), who=who, count=count)
    return subprocess.Popen([sys.executable, "-c", code], stdout=subprocess.PIPE, text=True)


def test_two_processes_lose_nothing(tmp_path: Path) -> None:
    """Both save twelve sessions at once; all 24 are there, whole."""
    Store(tmp_path).close()
    writers = [_writer(tmp_path, who, 12) for who in "ab"]
    told = [digest for w in writers for digest in w.communicate(timeout=60)[0].split()]
    assert all(w.returncode == 0 for w in writers)
    with Store(tmp_path) as store:
        assert len(told) == len(store.sessions()) == 24
        assert all(s.readings == 28 for s in store.sessions())
        store.check()


def _half_a_save(store: Store) -> None:
    with store._writing() as db:
        add_session(db, example()[0])
        raise RuntimeError("halfway")


def test_an_error_halfway_leaves_nothing(tmp_path: Path) -> None:
    with Store(tmp_path) as store:
        with pytest.raises(RuntimeError, match="halfway"):
            _half_a_save(store)
        assert store.sessions() == ()
        store.check()


HALFWAY = """
import os, signal, sys
sys.path.insert(0, {root!r})
from dataclasses import replace
from tests.test_store import example
from refledge.store import Store
from refledge.store.rows import add_session
session, _ = example()
store = Store({folder!r})
store._db.execute("PRAGMA cache_size = 2")
with store._writing() as db:
    for i in range(20):
        add_session(db, replace(session, digest=str(i), text="x" * 100_000))
    os.kill(os.getpid(), signal.SIGKILL)
"""


def test_a_kill_halfway_through_a_save_leaves_what_was_there(tmp_path: Path) -> None:
    """The cache is so small that the save has begun to write into the file itself."""
    with Store(tmp_path) as store:
        store.save(*example(), "v")
    size = (tmp_path / "bench.sqlite").stat().st_size
    root = str(Path(__file__).parents[1])
    code = HALFWAY.format(root=root, folder=str(tmp_path))
    died = subprocess.run([sys.executable, "-c", code], check=False, timeout=60)
    assert died.returncode == -9
    assert (tmp_path / "bench.sqlite").stat().st_size > size
    with Store(tmp_path) as store:
        store.check()
        assert [s.readings for s in store.sessions()] == [28]


def test_a_save_waits_for_another_that_is_under_way(tmp_path: Path) -> None:
    """The second takes its lock before it reads: taken later, the two would block each other."""
    session, reduction = example()
    numbers: list[int] = []

    def second() -> None:
        with Store(tmp_path) as store:
            numbers.append(store.save(replace(session, digest="b" * 64), reduction, "v"))

    with Store(tmp_path) as store:
        waiting = threading.Thread(target=second)
        with store._writing() as db:
            add_session(db, session)
            waiting.start()
            time.sleep(0.3)
            assert not numbers
        waiting.join(20)
        assert numbers == [2]
        assert len(store.sessions()) == 2


def test_a_kill_leaves_every_session_that_was_reported_and_none_by_half(tmp_path: Path) -> None:
    Store(tmp_path).close()
    told: list[str] = []
    for who, wait in (("a", 0.05), ("b", 0.2)):
        writer = _writer(tmp_path, who, 10_000)
        assert writer.stdout is not None
        told.append(writer.stdout.readline().strip())  # it is saving now
        time.sleep(wait)
        writer.kill()
        told += writer.communicate(timeout=60)[0].split()
    with Store(tmp_path) as store:
        store.check()
        kept = store.sessions()
        assert all(s.readings == 28 for s in kept)
        found = {row[0] for row in store._db.execute("SELECT digest FROM session")}
        assert {d for d in told if len(d) == 64} <= found
        assert len(kept) >= 2
