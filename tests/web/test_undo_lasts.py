"""Undo and redo outlive the server: the journal beside the brief, and what it does not believe."""

import re
from pathlib import Path

import pytest

from refledge.interfaces.web import journal
from refledge.interfaces.web.files import HIDDEN
from refledge.interfaces.web.history import State
from refledge.interfaces.web.security import Pass
from refledge.interfaces.web.session import BY_OTHERS, LEFT, Session, digest
from refledge.interfaces.web.workbench import Workbench
from tests.web.conftest import NEVER, FakeWorkers, client_of

MASS = re.compile(r'mass = "[0-9.]+ g"')


@pytest.fixture
def path(project: Path) -> Path:
    return project / "brief.toml"


def journal_of(path: Path) -> Path:
    return path.parent / HIDDEN / "undo" / "brief.toml.jsonl"


def left(path: Path, *grams: float) -> Session:
    """A session that has changed a mass, and whose server ends then."""
    session = Session(path)
    for each in grams:
        session.change(massed(session.text, each), f"mass: {each:g} g")
    return session


def massed(text: str, grams: float) -> State:
    """The text with another mass of a motor."""
    head, rest = text.split("[motor]", 1)
    changed = MASS.sub(f'mass = "{grams:g} g"', rest, count=1)
    return State(f"{head}[motor]{changed}")


def test_reading_alone_leaves_nothing_behind(path: Path) -> None:
    Session(path)
    assert not (path.parent / HIDDEN).exists()


def test_steps_are_undone_and_done_again_after_a_restart(path: Path) -> None:
    first = left(path, 90, 95).history.line()[0]
    again = Session(path)
    assert again.undoes == "mass: 95 g"
    again.undo()
    later = Session(path)
    assert (later.undoes, later.redoes) == ("mass: 90 g", "mass: 95 g")
    later.undo()
    assert path.read_text(encoding="utf-8") == first[0].text
    last = Session(path)
    last.redo()
    last.redo()
    assert last.brief.motor.mass == pytest.approx(0.095)
    assert Session(path).history.line() == last.history.line()


def test_what_was_changed_while_the_server_was_away_is_a_step(path: Path) -> None:
    mine = left(path, 90).text
    path.write_text(mine + "\n# by hand\n", encoding="utf-8")
    session = Session(path)
    assert session.undoes == BY_OTHERS
    session.undo()
    assert path.read_text(encoding="utf-8") == mine


def test_dimensions_by_hand_wait_for_a_frame(path: Path, workers: FakeWorkers, gate: Pass) -> None:
    session = left(path)
    session.change(State(session.text, {"arm.width": 0.03}), "arm.width: 30 mm")
    again = Session(path)
    assert (dict(again.by_hand), again.undoes) == ({}, LEFT)
    bench = Workbench(path.parent, pause=NEVER, workers=workers)  # type: ignore[arg-type]
    bench.open(path)
    answer = client_of(bench, gate).post("/api/undo", json={})
    assert answer.status_code == 409
    assert answer.json()["error"]["kind"] == "busy"
    assert bench.opened().undoes == LEFT
    bench.close()
    again.undo()
    assert dict(again.by_hand) == {"arm.width": 0.03}


def test_a_kept_text_is_undone_to_the_other_after_a_restart(path: Path) -> None:
    session = left(path, 90)
    theirs = session.text + "\n# theirs\n"
    path.write_text(theirs, encoding="utf-8")
    session.keep_mine(digest(theirs))
    again = Session(path)
    assert again.undoes == "kept over another program's text"
    again.undo()
    assert path.read_text(encoding="utf-8") == theirs


def test_half_a_line_at_the_end_is_left_out(path: Path) -> None:
    left(path, 90)
    with journal_of(path).open("a", encoding="utf-8") as out:
        out.write('{"did": "undo", "on"')
    assert Session(path).undoes == "mass: 90 g"


@pytest.mark.parametrize("line", ["[]", "{", '{"did": "undo", "on": "0"}', '{"did": "undo"}'])
def test_a_journal_that_does_not_follow_is_not_believed(path: Path, line: str) -> None:
    left(path, 90)
    with journal_of(path).open("a", encoding="utf-8") as out:
        out.write(line + "\n")
    session = Session(path)
    assert session.undoes is None
    session.change(massed(path.read_text(encoding="utf-8"), 95), "mass: 95 g")
    assert Session(path).undoes == "mass: 95 g"


def test_two_servers_on_one_brief_do_not_mix_their_steps(path: Path) -> None:
    one, two = left(path, 90), Session(path)
    one.change(massed(path.read_text(encoding="utf-8"), 91), "of one")
    two.take_theirs()
    two.change(massed(path.read_text(encoding="utf-8"), 92), "of two")
    found = Session(path).undoes
    assert found in (None, "of two")


def test_the_journal_stays_short(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(journal, "LONGEST", 6)
    session = left(path, 90)
    for _ in range(20):
        session.undo()
        session.redo()
    assert len(journal_of(path).read_text(encoding="utf-8").splitlines()) <= 6
    assert Session(path).history.line() == session.history.line()


def test_an_edit_is_kept_where_its_journal_cannot_be_written(
    path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    (path.parent / HIDDEN).write_text("a file where the folder should be", encoding="utf-8")
    session = left(path, 90, 91)
    assert session.brief.motor.mass == pytest.approx(0.091)
    assert session.undoes == "mass: 91 g"
    assert caplog.text.count("will not outlive") == 1
