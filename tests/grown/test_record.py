"""A grown arm on disk: what is written reads back the same; what is wrong is told by its place."""

import re
from collections.abc import Callable
from dataclasses import fields
from pathlib import Path

import numpy as np
import pytest

from refledge.errors import InputError, Problem
from refledge.inputs.grown import grown_paths, read_grown_arm
from refledge.inputs.grown_text import RECORD, SURFACE, grown_files
from refledge.model.grown import GrownArm
from tests.grown.stored import STORED


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    for name in (RECORD, SURFACE):
        (tmp_path / name).write_bytes((STORED / name).read_bytes())
    return tmp_path


def fault(folder: Path) -> Problem:
    with pytest.raises(InputError) as said:
        read_grown_arm(folder / RECORD)
    (problem,) = said.value.problems
    assert "refledge shape --verify" in problem.next_step
    return problem


def changed(folder: Path, old: str, new: str) -> None:
    """In the record, with a digest that fits, as a program of another make might write it."""
    text = (folder / RECORD).read_text()
    assert re.search(old, text)
    (folder / RECORD).write_text(re.sub(old, new, text, count=1))


def test_what_is_written_reads_back_the_same(tmp_path: Path) -> None:
    arm = read_grown_arm(STORED / RECORD)
    for name, data in grown_files(arm).items():
        (tmp_path / name).write_bytes(data)
        assert data == (STORED / name).read_bytes(), name
    again = read_grown_arm(tmp_path / RECORD)
    assert again == arm
    assert hash(again) == hash(arm)
    for each in fields(GrownArm):
        one, other = getattr(arm, each.name), getattr(again, each.name)
        if isinstance(one, np.ndarray):
            assert np.array_equal(one, other), each.name
    assert np.array_equal(again.mesh.vertices, arm.mesh.vertices)
    for one, other in zip(again.cases, arm.cases, strict=True):
        assert (one.plastic, one.buckling, one.by_hand) == (
            other.plastic, other.buckling, other.by_hand
        )  # fmt: skip


def test_the_stored_arm_is_sound() -> None:
    arm = read_grown_arm(STORED / RECORD)
    assert arm.mesh.vertices[:, 0].min() == pytest.approx(0.0, abs=1e-6)
    assert arm.mesh.vertices[:, 0].max() == pytest.approx(arm.interface.length, abs=1e-6)
    assert {case.kind for case in arm.cases} == {"flight", "landing", "handling"}


def test_the_same_contents_are_the_same_arm_read_once(folder: Path) -> None:
    assert read_grown_arm(folder / RECORD) is read_grown_arm(folder / RECORD)


def test_a_change_by_hand_is_found(folder: Path) -> None:
    changed(folder, r"infill = 0\.4", "infill = 0.5")
    problem = fault(folder)
    assert problem.field == "digest"
    assert problem.where.startswith("arm.toml:")


def test_another_surface_is_found(folder: Path) -> None:
    data = bytearray((folder / SURFACE).read_bytes())
    data[-1] ^= 1
    (folder / SURFACE).write_bytes(bytes(data))
    assert fault(folder).field == "digest"


def test_a_missing_surface_and_one_elsewhere(folder: Path) -> None:
    (folder / SURFACE).unlink()
    problem = fault(folder)
    assert (problem.field, problem.allowed) == ("surface", "a file beside it")
    changed(folder, r'surface = "arm\.ply"', 'surface = "../arm.ply"')
    problem = fault(folder)
    assert (problem.field, problem.allowed) == ("surface", "a file's name without folders")
    with pytest.raises(InputError):
        grown_paths(folder / RECORD)


@pytest.mark.parametrize("text", ["", "[motor]\nmass = 3\n", 'format = "other 1"\n', "not toml ="])
def test_a_foreign_file(folder: Path, text: str) -> None:
    (folder / RECORD).write_text(text)
    problem = fault(folder)
    assert problem.allowed == '"refledge grown arm 2"'
    assert problem.where.startswith("arm.toml")


def test_a_record_of_an_earlier_make_is_told_to_be_written_anew(folder: Path) -> None:
    changed(folder, "refledge grown arm 2", "refledge grown arm 1")
    problem = fault(folder)
    assert (problem.field, problem.given) == ("format", '"refledge grown arm 1"')
    assert problem.where.startswith("arm.toml:")


def redigested(folder: Path, change: Callable[[str], str], surface: bytes | None = None) -> None:
    """As a program of another make might write it: the digest fits, the contents do not."""
    from refledge.inputs.grown_text import digest_of  # noqa: PLC0415 - only here

    data = surface or (folder / SURFACE).read_bytes()
    head, line, body = re.split(
        r'(digest = "[0-9a-f]+"\n)', (folder / RECORD).read_text(), maxsplit=1
    )
    made = change(body)
    assert made != body or surface
    (folder / RECORD).write_text(f'{head}digest = "{digest_of(made, data)}"\n{made}')
    (folder / SURFACE).write_bytes(data)
    assert line


@pytest.mark.parametrize(
    ("old", "new", "field"),
    [
        (r"volume = \S+", "volume = -1.0", "volume"),
        (r"volume = \S+", "volume = nan", "volume"),
        (r"area = \S+\n", "", "area"),
        (r"at = .*", "at = [1.0, 2.0]", "at"),
        (r"give = \[\[[^,]*", "give = [[-1.0", "give"),
        (r"width = \S+", 'width = "wide"', "interface.width"),
        (r'clamp_screw = "M3"', "clamp_screw = 3", "interface.clamp_screw"),
        (r"Mz = .*", "Mz = [1.0]", "unit_plastic.Mz"),
        (r"(\[unit_buckling\]\nFx = ).*", r"\1[-1.0, 0.0]", "unit_buckling.Fx"),
        (r"\[unit_by_hand\]", "[unit_by_foot]", "unit_by_hand.Fx"),
        (r"by_hand = false", "by_hand = 0", "cases.0.by_hand"),
        (r"\nbuckling = \S+", "", "cases.0.buckling"),
        (r"\[\[cases\]\]\ntitle = .*", "[[cases]]\ntitle = 7", "cases.0.title"),
        (r"plastic_error = \S+", "plastic_error = true", "cases.0.plastic_error"),
    ],
)
def test_each_field_is_checked(folder: Path, old: str, new: str, field: str) -> None:
    redigested(folder, lambda body: re.sub(old, new, body, count=1))
    assert fault(folder).field == field


def test_an_arm_without_load_cases(folder: Path) -> None:
    redigested(folder, lambda body: body[: body.index("[[cases]]")])
    assert fault(folder).field == "cases"


def test_surfaces_that_are_none(folder: Path) -> None:
    data = (folder / SURFACE).read_bytes()
    for other, words in (
        (b"solid\nendsolid\n", "no PLY file"),
        (data[:-5], "cut short"),
        (data[:-4] + b"\xff\xff\xff\x7f", "no corners"),
    ):
        redigested(folder, lambda body: body, other)
        problem = fault(folder)
        assert problem.field == "surface"
        assert words in problem.given
