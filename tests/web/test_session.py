"""The brief on disk: undo and redo, what others do to the file, whole writes."""

import os
from pathlib import Path

import pytest

from refledge.errors import BriefError, InputError
from refledge.interfaces.web.files import inside, plain_name
from refledge.interfaces.web.history import STEPS, State
from refledge.interfaces.web.session import ConflictError, Session, digest


@pytest.fixture
def session(project: Path) -> Session:
    return Session(project / "brief.toml")


def with_mass(text: str, grams: float) -> State:
    return State(text.replace('mass = "84 g"', f'mass = "{grams:g} g"'))


def test_a_change_is_written_and_undone_and_done_again(session: Session) -> None:
    first = session.text
    session.change(with_mass(first, 90), "motor.mass: 90 g")
    assert session.path.read_text() == session.text != first
    assert session.brief.motor.mass == pytest.approx(0.09)
    assert session.undoes == "motor.mass: 90 g"
    session.undo()
    assert session.path.read_text() == first
    assert (session.undoes, session.redoes) == (None, "motor.mass: 90 g")
    session.redo()
    assert session.brief.motor.mass == pytest.approx(0.09)


def test_dimensions_by_hand_are_undone_without_touching_the_file(session: Session) -> None:
    stamp = session.path.stat().st_mtime_ns
    session.change(State(session.text, {"arm.width": 0.03}), "arm.width: 30 mm")
    session.undo()
    assert session.by_hand == {}
    assert session.path.stat().st_mtime_ns == stamp


def test_a_wrong_text_changes_nothing(session: Session) -> None:
    before = session.text
    with pytest.raises(BriefError):
        session.change(State(before.replace('"84 g"', '"84"')), "wrong")
    assert session.text == session.path.read_text() == before
    assert session.undoes is None


def test_a_new_change_forgets_what_was_undone(session: Session) -> None:
    first = session.text
    session.change(with_mass(first, 90), "one")
    session.undo()
    session.change(with_mass(first, 95), "two")
    session.redo()
    assert session.brief.motor.mass == pytest.approx(0.095)


def test_steps_are_bounded(session: Session) -> None:
    for k in range(STEPS + 20):
        session.change(State(session.text, {"arm.width": 0.03 + k * 1e-6}), f"{k}")
    for _ in range(STEPS + 20):
        session.undo()
    assert session.by_hand == {"arm.width": pytest.approx(0.03 + 19e-6)}


def test_another_programs_change_is_never_overwritten(session: Session) -> None:
    theirs = session.text.replace("Lake sampler", "Pond sampler")
    session.path.write_text(theirs)
    with pytest.raises(ConflictError) as caught:
        session.change(with_mass(session.text, 90), "mine")
    assert caught.value.theirs == theirs
    assert '"90 g"' in caught.value.mine
    assert session.path.read_text() == theirs


def test_a_change_that_keeps_length_and_time_is_still_seen(session: Session) -> None:
    """Editors that write a new file and rename it change the inode."""
    stat = session.path.stat()
    theirs = session.text.replace("Lake", "Pond")
    other = session.path.with_suffix(".new")
    other.write_text(theirs)
    os.utime(other, ns=(stat.st_atime_ns, stat.st_mtime_ns))
    other.replace(session.path)
    assert session.theirs() == theirs


def test_touching_the_file_is_no_conflict(session: Session) -> None:
    session.path.touch()
    assert session.theirs() is None
    session.change(with_mass(session.text, 90), "fine")


def test_undo_meets_a_conflict_too(session: Session) -> None:
    session.change(with_mass(session.text, 90), "one")
    session.path.write_text(session.text + "\n# theirs\n")
    with pytest.raises(ConflictError):
        session.undo()
    assert session.undoes == "one"
    assert session.path.read_text().endswith("# theirs\n")


def test_theirs_can_be_kept_and_that_undone(session: Session) -> None:
    mine = session.text
    session.path.write_text(mine.replace("Lake", "Pond"))
    session.take_theirs()
    assert session.brief.title == "Pond sampler"
    session.undo()
    assert session.path.read_text() == mine


def test_theirs_with_faults_is_refused_and_ours_stays(session: Session) -> None:
    mine = session.text
    session.path.write_text("title = 3")
    with pytest.raises(InputError):
        session.take_theirs()
    assert session.text == mine
    assert session.path.read_text() == "title = 3"


def test_mine_is_kept_only_over_the_text_that_was_seen(session: Session) -> None:
    mine, theirs = session.text, session.text + "\n# theirs\n"
    session.path.write_text(theirs)
    session.path.write_text(theirs + "# once more\n")
    with pytest.raises(ConflictError):
        session.keep_mine(digest(theirs))
    session.keep_mine(digest(theirs + "# once more\n"))
    assert session.path.read_text() == mine


@pytest.mark.parametrize("name", ["../x", "/etc/passwd", "a/../../x", ".", "", "a\0b", "..\\x"])
def test_paths_stay_inside(tmp_path: Path, name: str) -> None:
    with pytest.raises(PermissionError):
        inside(tmp_path, name)


def test_a_link_that_leads_out_is_outside(tmp_path: Path) -> None:
    folder = tmp_path / "project"
    folder.mkdir()
    (tmp_path / "secret").write_text("x")
    (folder / "link").symlink_to(tmp_path / "secret")
    with pytest.raises(PermissionError):
        inside(folder, "link")


@pytest.mark.parametrize("name", ["", ".hidden", "a/b", "x" * 81, "a\nb", "é"])
def test_odd_names_are_refused(name: str) -> None:
    with pytest.raises(InputError):
        plain_name(name, "name")
