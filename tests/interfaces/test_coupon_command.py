"""``refledge coupon``: pieces with their files, an arm predicted before it is printed."""

import json
from pathlib import Path

import pytest

from refledge.store import Store
from tests.interfaces.benching import Run, short_arm


def test_without_keys_the_pieces_are_listed(run: Run) -> None:
    done = run("coupon")
    assert done.exit_code == 0
    assert "bar-flat" in done.stdout
    assert "short-arm" in done.stdout


def test_a_piece_is_written_with_all_its_files(run: Run, tmp_path: Path) -> None:
    done = run("coupon", "cube", "--material", "PETG", "--out", tmp_path / "p", "--json")
    assert done.exit_code == 0
    (piece,) = json.loads(done.stdout)["pieces"]
    assert piece["mass_kg"] == pytest.approx(8e-6 * 1262)
    assert all(Path(file).is_file() for file in piece["files"])


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("bra-flat", "--material", "PETG"), "KEY: given"),
        (("cube",), "--material: given nothing"),
        (("cube", "--material", "PETQ"), 'did you mean "PETG"'),
        (("short-arm",), "--brief: given nothing"),
        (("insert-block", "--material", "PETG", "--screw", "M9"), "--screw: given"),
    ],
)
def test_wrong_orders_are_wrong_input(
    run: Run, tmp_path: Path, words: tuple[str, ...], said: str
) -> None:
    done = run("coupon", *words, "--out", tmp_path / "p")
    assert done.exit_code == 2
    assert said in done.stderr
    assert len(done.stderr.strip().splitlines()) == 1


def test_an_arm_is_predicted_before_it_is_printed(run: Run, build: Path, tmp_path: Path) -> None:
    """The same order again changes nothing; another weight is another prediction."""
    first = short_arm(run, build, tmp_path)
    assert first.exit_code == 0, first.stderr
    (piece,) = json.loads(first.stdout)["pieces"]
    assert [p["unit"] for p in piece["predictions"]] == ["m", "Hz", "kg"]
    assert piece["predictions"][2]["value"] == pytest.approx(piece["mass_kg"])
    assert short_arm(run, build, tmp_path).exit_code == 0
    assert short_arm(run, build, tmp_path, "--load", "1 kg").exit_code == 0
    with Store(tmp_path) as store:
        assert len(store.predictions()) == 4
    assert "under 1000 g" in (tmp_path / "short-arm-box.html").read_text()


@pytest.mark.parametrize(
    ("more", "said"),
    [
        (("--span", "900 mm"), "the arm has"),
        (("--span", "100"), "--span: given"),
        (("--load", "-1 kg"), "--load: given"),
    ],
)
def test_an_arm_that_cannot_be_is_said(
    run: Run, build: Path, tmp_path: Path, more: tuple[str, str], said: str
) -> None:
    done = run("coupon", "short-arm", "--brief", build, "--out", tmp_path, *more)
    assert done.exit_code in (1, 2)
    assert said in done.stderr
