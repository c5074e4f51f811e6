"""Finalists found again in the sweep's folder: after an interruption, whole and to the bit."""

import json
import shutil
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from refledge.choosing import compare as comparing
from refledge.choosing import kept
from refledge.choosing.compare import SWEEP, Comparison, compare
from refledge.choosing.finalist import Dropped, Finalist, Wanted
from refledge.choosing.rebuilt import plain, rebuilt
from refledge.inputs.also import Also
from refledge.model.brief import Brief
from refledge.outputs.layouts_files import record_json
from tests.choosing.conftest import LAKE, SMALL

ALSO = Also(propeller=(SMALL,))


class Killed(BaseException):
    """Ends a run as a signal does: nothing may catch it."""


@pytest.fixture
def folder(looked: Comparison, comparison_folder: Path, tmp_path: Path) -> Path:
    """The folder that the comparison of two finalists left, to be spoiled."""
    assert looked.finalists
    return Path(shutil.copytree(comparison_folder, tmp_path / "layouts"))


@pytest.fixture(autouse=True)
def looked(comparison: Comparison, monkeypatch: pytest.MonkeyPatch) -> Comparison:
    """The look at a few frames is not what is tested here."""
    monkeypatch.setattr(comparing, "surrogate_for", lambda *_: comparison.surrogate)
    return comparison


def sized(monkeypatch: pytest.MonkeyPatch, answers: dict[str, Finalist]) -> list[str]:
    """Letters of the finalists that are sized from now on; interrupted at one without an answer."""
    seen: list[str] = []

    def make(wanted: Wanted) -> Finalist:
        if wanted.key not in answers:
            raise Killed
        seen.append(wanted.key)
        return answers[wanted.key]

    monkeypatch.setattr(kept, "make_finalist", make)
    return seen


def files(folder: Path) -> list[Path]:
    return sorted(folder.glob(f"{SWEEP}*/{kept.NAME}*.json"))


def test_a_run_killed_after_its_first_finalist_goes_on_with_the_second(
    comparison: Comparison, brief: Brief, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    first, second = comparison.finalists
    seen = sized(monkeypatch, {"A": first})
    with pytest.raises(Killed):
        compare(brief, ALSO, tmp_path, most=2)
    assert (seen, len(files(tmp_path))) == (["A"], 1)
    seen = sized(monkeypatch, {"B": second})
    found = compare(brief, ALSO, tmp_path, most=2)
    assert seen == ["B"]
    assert record_json(found) == record_json(comparison)


def test_nothing_is_sized_again(
    comparison: Comparison, brief: Brief, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    seen = sized(monkeypatch, {})
    found = compare(brief, ALSO, folder, most=2)
    assert seen == []
    assert found.finalists[0].flying.hover.rotors == comparison.finalists[0].flying.hover.rotors
    assert plain(found.finalists) == plain(comparison.finalists)
    body, kept_body = (each.finalists[0].flying.body for each in (comparison, found))
    assert np.array_equal(body.inertia, kept_body.inertia)
    assert kept_body.inertia.dtype == np.float64


def test_what_sizing_depends_on_is_in_the_key(
    comparison: Comparison, brief: Brief, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A stricter limit leaves the sweep as it is, and still every frame is sized anew."""
    seen = sized(monkeypatch, dict(zip("AB", comparison.finalists, strict=True)))
    stiffer = replace(brief, limits=replace(brief.limits, motor_tilt=0.5 * brief.limits.motor_tilt))
    compare(stiffer, ALSO, folder, most=2)
    assert (seen, len(files(folder))) == (["A", "B"], 4)
    moved = shutil.copytree(LAKE, folder / "moved")
    compare(replace(brief, folder=str(moved)), ALSO, folder, most=2)
    assert seen == ["A", "B"]


@pytest.mark.parametrize("spoil", ["", "{", "[]", '{"sized": true, "found": {"key": "A"}}'])
def test_a_torn_file_is_made_anew(
    comparison: Comparison, brief: Brief, folder: Path, monkeypatch: pytest.MonkeyPatch, spoil: str
) -> None:
    for file in files(folder):
        file.write_text(spoil)
    seen = sized(monkeypatch, dict(zip("AB", comparison.finalists, strict=True)))
    compare(brief, ALSO, folder, most=2)
    assert seen == ["A", "B"]
    assert all(json.loads(file.read_text())["sized"] for file in files(folder))


def test_finalists_go_with_their_sweep(
    brief: Brief, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(kept, "make_finalist", lambda wanted: Dropped(wanted.key, "not now"))
    (old,) = folder.glob(f"{SWEEP}*")
    found = compare(brief, Also(), folder, most=2)
    assert not old.exists()
    monkeypatch.setattr(kept, "make_finalist", None)
    assert compare(brief, Also(), folder, most=2).dropped == found.dropped


def test_a_value_of_another_type_is_refused() -> None:
    assert rebuilt(tuple[int, str], [1, "x"]) == (1, "x")
    assert rebuilt(float, float("inf")) == float("inf")
    for hint, told in (
        (int, 1.5),
        (str, 1),
        (float, "1"),
        (tuple[int, str], [1]),
        (int | None, ""),
    ):
        with pytest.raises((TypeError, ValueError)):
            rebuilt(hint, told)
    with pytest.raises(TypeError, match="cannot be kept"):
        plain({1})
