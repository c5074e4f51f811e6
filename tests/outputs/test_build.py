"""The build folder: the same again, whole or not at all, and nobody else's files lost."""

import errno
import json
import os
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest

from refledge.errors import BuildError
from refledge.outputs import build as module
from refledge.outputs import swap
from refledge.outputs.build import prepare, write_build
from refledge.study import Study
from tests.outputs.small import small_build

GIVEN = {"brief.toml": b'title = "as given"'}
ROOT = Path(__file__).parents[2]


def _bytes(folder: Path) -> dict[str, bytes]:
    return {str(p.relative_to(folder)): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


@pytest.fixture
def light(monkeypatch: pytest.MonkeyPatch) -> None:
    """Leave pictures and solids out where a test is only about the folder."""
    monkeypatch.setattr(module, "_write_part", lambda *_: None)
    for name in ("_write_assembly", "_write_drawings", "_write_book", "_write_urdf"):
        monkeypatch.setattr(module, name, lambda *_: None)
    monkeypatch.setattr(
        module,
        "_write_report",
        lambda *given: module._write(given[-1], "report.html", ""),
    )


def test_the_same_study_gives_the_same_bytes(built: Path, study: Study, tmp_path: Path) -> None:
    again = _bytes(small_build(study, tmp_path / "again").folder)
    first = _bytes(built)
    assert first.keys() == again.keys()
    assert [name for name in first if first[name] != again[name]] == []


def test_another_process_gives_the_same_bytes(built: Path, tmp_path: Path) -> None:
    code = (
        "import sys; from tests.outputs.fake_study import fake_study; "
        "from pathlib import Path; from tests.outputs.small import small_build; "
        "small_build(fake_study(), Path(sys.argv[1]))"
    )
    environment = os.environ | {"PYTHONHASHSEED": "7"}
    subprocess.run(
        [sys.executable, "-c", code, str(tmp_path / "b")], cwd=ROOT, env=environment, check=True
    )
    first, again = _bytes(built), _bytes(tmp_path / "b")
    assert [name for name in first if first[name] != again.get(name)] == []


def test_the_marker_lists_every_file(built: Path) -> None:
    marker = json.loads((built / "build.json").read_text())
    assert {"build.json", *marker["files"]} == set(_bytes(built))
    assert {
        "assembly.glb", "assembly.step", "brief.toml", "report.html", "study.json",
        "parts.csv", "bolts.csv", "shopping.csv", "masses.csv", "motors.csv", "allocation.csv",
        "checks.csv", "tables/checks.json", "parts/arm.step", "parts/arm.3mf", "parts/arm.stl",
        "flat/lower_plate.dxf", "pictures/assembly.png", "pictures/speeds.svg",
    } <= set(marker["files"])  # fmt: skip


@pytest.mark.usefixtures("light")
def test_a_build_is_replaced_and_nothing_is_left_beside_it(study: Study, tmp_path: Path) -> None:
    write_build(study, tmp_path / "b", GIVEN)
    old = (tmp_path / "b").stat().st_ino
    write_build(study, tmp_path / "b", GIVEN)
    assert (tmp_path / "b").stat().st_ino != old
    assert [p.name for p in tmp_path.iterdir()] == ["b"]


@pytest.mark.usefixtures("light")
def test_an_empty_folder_may_become_a_build(study: Study, tmp_path: Path) -> None:
    (tmp_path / "b").mkdir()
    assert write_build(study, tmp_path / "b", GIVEN).report.is_file()


@pytest.mark.usefixtures("light")
def test_a_folder_of_other_files_is_refused(study: Study, tmp_path: Path) -> None:
    (tmp_path / "photo.jpg").write_text("dear")
    with pytest.raises(BuildError, match=r"photo\.jpg"):
        write_build(study, tmp_path, GIVEN)
    assert _bytes(tmp_path) == {"photo.jpg": b"dear"}


@pytest.mark.usefixtures("light")
def test_a_file_added_to_a_build_is_not_lost(study: Study, tmp_path: Path) -> None:
    folder = write_build(study, tmp_path / "b", GIVEN).folder
    (folder / "parts").mkdir(exist_ok=True)
    (folder / "parts" / "sliced.gcode").write_text("mine")
    with pytest.raises(BuildError, match=r"parts/sliced\.gcode"):
        write_build(study, folder, GIVEN)
    assert (folder / "parts" / "sliced.gcode").read_text() == "mine"


@pytest.mark.usefixtures("light")
@pytest.mark.parametrize("marker", ["", "[]", '{"kind": "something else", "files": {"a": ""}}'])
def test_a_marker_that_is_not_ours_does_not_count(
    study: Study, tmp_path: Path, marker: str
) -> None:
    (tmp_path / "build.json").write_text(marker)
    with pytest.raises(BuildError, match="did not write"):
        write_build(study, tmp_path, GIVEN)


@pytest.mark.usefixtures("light")
def test_a_file_in_the_folders_place_is_refused(study: Study, tmp_path: Path) -> None:
    (tmp_path / "b").write_text("mine")
    with pytest.raises(BuildError, match="is a file"):
        write_build(study, tmp_path / "b", GIVEN)


@pytest.mark.usefixtures("light")
@pytest.mark.parametrize(
    ("number", "words"), [(errno.ENOSPC, "the disk is full"), (errno.EACCES, "no permission")]
)
def test_trouble_with_the_disk_is_said_and_changes_nothing(
    study: Study, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, number: int, words: str
) -> None:
    folder = write_build(study, tmp_path / "b", GIVEN).folder
    before = _bytes(folder)

    def fail(*_: object) -> None:
        raise OSError(number, os.strerror(number))

    monkeypatch.setattr(module, "study_json", fail)
    with pytest.raises(BuildError, match=words):
        write_build(study, folder, GIVEN)
    assert _bytes(folder) == before
    assert [p.name for p in tmp_path.iterdir()] == ["b"]


def test_a_folder_that_may_not_be_written_is_refused_early(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(os, "access", lambda path, _: Path(path) != tmp_path)
    with pytest.raises(BuildError, match="no permission"):
        prepare(tmp_path / "none" / "b")


def test_the_folder_one_stands_in_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    with pytest.raises(BuildError, match="stand in"):
        prepare(".")


@pytest.mark.usefixtures("light")
def test_a_name_too_long_is_said(study: Study, tmp_path: Path) -> None:
    with pytest.raises(BuildError, match="too long"):
        write_build(study, tmp_path / ("b" * 300), GIVEN)


@pytest.mark.usefixtures("light")
@pytest.mark.parametrize("moment", ["parts.csv", "study.json", "build.json", "before the exchange"])
def test_a_kill_while_writing_leaves_the_build_as_it_was(
    study: Study, tmp_path: Path, moment: str
) -> None:
    folder = write_build(study, tmp_path / "b", GIVEN).folder
    before = _bytes(folder)
    assert _killed(moment, study, folder) == 9
    assert _bytes(folder) == before
    assert len(list(tmp_path.iterdir())) == 2  # what the killed process left half done
    write_build(study, folder, GIVEN)
    assert [p.name for p in tmp_path.iterdir()] == ["b"]
    assert _bytes(folder) == before


@pytest.mark.usefixtures("light")
def test_a_kill_between_two_renames_is_made_good_by_the_next_run(
    study: Study, tmp_path: Path
) -> None:
    folder = write_build(study, tmp_path / "b", GIVEN).folder
    before = _bytes(folder)
    assert _killed("between two renames", study, folder) == 9
    assert not folder.exists()
    swap.recover(folder)
    assert _bytes(folder) == before
    assert [p.name for p in tmp_path.iterdir()] == ["b"]


def _killed(moment: str, study: Study, folder: Path) -> int:
    """Exit status of a child process that dies at ``moment`` while it writes ``folder``."""
    child = os.fork()
    if child == 0:
        try:
            _die_at(moment)
            write_build(replace(study, notes=("new",)), folder, GIVEN)
        finally:
            os._exit(1)
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])


def _die_at(moment: str) -> None:
    """Arrange, in the child only, for the process to end at once at a moment of the writing."""
    write, rename, renames = module._write, Path.rename, []

    def dying_write(out: Path, name: str, data: bytes | str) -> None:
        if name == moment:
            (out / name).write_text("half")
            os._exit(9)
        write(out, name, data)

    def dying_rename(self: Path, other: Path) -> Path:
        renames.append(self)
        if len(renames) == 2:
            os._exit(9)
        return rename(self, other)

    module._write = dying_write
    if moment == "before the exchange":
        swap.exchange = lambda *_: os._exit(9)
    if moment == "between two renames":
        swap.exchange = lambda *_: False
        Path.rename = dying_rename  # type: ignore[method-assign, assignment]


@pytest.mark.usefixtures("light")
def test_a_folder_that_another_process_is_writing_is_left_alone(
    tmp_path: Path,
) -> None:
    with swap.replacing(tmp_path / "b") as fresh:
        (fresh / "half").write_text("")
        swap.recover(tmp_path / "b")
        assert (fresh / "half").exists()


def test_exchange_swaps_two_folders_in_one_step(tmp_path: Path) -> None:
    for name in ("one", "two"):
        (tmp_path / name).mkdir()
        (tmp_path / name / name).write_text("")
    assert swap.exchange(tmp_path / "one", tmp_path / "two")
    assert (tmp_path / "one" / "two").exists()
    assert (tmp_path / "two" / "one").exists()


def test_exchange_says_when_the_system_cannot(tmp_path: Path) -> None:
    (tmp_path / "one" / "inner").mkdir(parents=True)
    assert not swap.exchange(tmp_path / "one", tmp_path / "one" / "inner")  # EINVAL
    with pytest.raises(FileNotFoundError):
        swap.exchange(tmp_path / "one", tmp_path / "none")


@pytest.mark.usefixtures("light")
def test_without_exchange_two_renames_do_it(
    study: Study, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(swap, "exchange", lambda *_: False)
    write_build(study, tmp_path / "b", GIVEN)
    write_build(study, tmp_path / "b", GIVEN)
    assert [p.name for p in tmp_path.iterdir()] == ["b"]
