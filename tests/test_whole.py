"""Files written whole: the old one or the new one, and nothing beside it."""

from pathlib import Path

import pytest

from refledge.errors import BuildError
from refledge.whole import checked_folder, write_whole, written_whole


def _full(_handle: int) -> None:
    raise OSError(28, "No space left on device")


def _half(file: Path) -> None:
    with written_whole(file) as out:
        out.write(b"sec")
        raise KeyboardInterrupt


def test_a_file_and_its_folders_are_made(tmp_path: Path) -> None:
    made = write_whole(tmp_path / "a" / "b.txt", "°")
    assert made.read_bytes() == "°".encode()
    assert made.stat().st_mode & 0o777 == 0o644
    assert [each.name for each in made.parent.iterdir()] == ["b.txt"]


def test_rights_are_kept_and_links_followed(tmp_path: Path) -> None:
    target, link = tmp_path / "real.toml", tmp_path / "link.toml"
    target.write_text("a")
    target.chmod(0o600)
    link.symlink_to(target)
    write_whole(link, b"b")
    assert link.is_symlink()
    assert target.read_text() == "b"
    assert target.stat().st_mode & 0o777 == 0o600
    assert sorted(path.name for path in tmp_path.iterdir()) == ["link.toml", "real.toml"]


def test_a_full_disk_leaves_the_old_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file = write_whole(tmp_path / "page.html", "first")
    monkeypatch.setattr("os.fsync", _full)
    with pytest.raises(BuildError, match=r"the disk is full\. Nothing was changed"):
        write_whole(file, "second")
    assert [f.name for f in tmp_path.iterdir()] == ["page.html"]
    assert file.read_text() == "first"


def test_a_writer_that_gives_up_leaves_the_old_file(tmp_path: Path) -> None:
    file = write_whole(tmp_path / "page.html", "first")
    with pytest.raises(KeyboardInterrupt):
        _half(file)
    assert [f.name for f in tmp_path.iterdir()] == ["page.html"]
    assert file.read_text() == "first"


def test_a_file_in_the_place_of_a_folder_is_said(tmp_path: Path) -> None:
    (tmp_path / "pieces").write_text("mine")
    with pytest.raises(BuildError, match="cannot be a folder"):
        checked_folder(tmp_path / "pieces")
    with pytest.raises(BuildError, match="could not be written"):
        write_whole(tmp_path / "pieces" / "a.txt", "a")
