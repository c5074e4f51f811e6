"""``refledge compare``: materials, arms, past predictions."""

import json
from pathlib import Path

import numpy as np
import pytest
from scipy.stats import norm

from refledge.model.learning import Prediction
from refledge.store import Store
from tests.interfaces.benching import BENCH, Run


def test_materials_are_ranked_with_their_confidence(run: Run, tmp_path: Path) -> None:
    done = run("compare", "PLA", "PETG", "PA6-GF", "--by", "tie", "--out", tmp_path)
    assert done.exit_code == 0
    assert "1. PA6 with glass fibre, dry is better than PLA with 9" in done.stdout
    page = (tmp_path / "comparison.html").read_text()
    assert "best of all: " in page
    assert "print time, estimate" in page
    assert "bar 80 × 10 × 4.0 mm" in page
    assert "print time of bar 80 × 10 × 4.0 mm (estimate)" in done.stdout
    document = json.loads(run("compare", "--json").stdout)
    assert [r["by"] for r in document["rankings"]] == ["E / rho", "E^(1/2) / rho", "E^(1/3) / rho"]
    assert len(document["candidates"]) > 5


def test_what_the_bench_taught_moves_the_ranking(run: Run, tmp_path: Path) -> None:
    store = tmp_path / "bench.sqlite"
    run("reduce", BENCH / "cantilever.toml", "--store", store)
    plain, taught = (
        {c["name"]: c["E"] for c in json.loads(run("compare", "PLA", "PETG", "--json", *more)
                                               .stdout)["candidates"]}
        for more in ((), ("--store", store))
    )  # fmt: skip
    assert taught["PLA"] == plain["PLA"]
    assert taught["PETG"][1] < plain["PETG"][1]


def test_arms_of_the_trade_rank_as_the_trade_has_them(run: Run) -> None:
    """Common practice, no source: ABS 17 mm at 36 g, glass nylon 10 mm at 38 g."""
    done = run("compare", BENCH / "arm-abs.toml", BENCH / "arm-nylon.toml", "--json")
    (ranking,) = json.loads(done.stdout)["rankings"]
    assert ranking["places"][0]["name"] == "Invented: arm in glass-filled nylon"
    assert ranking["places"][0]["over_next"] > 0.99


def test_a_build_is_compared_with_readings_of_an_arm(run: Run, build: Path) -> None:
    done = run("compare", build, BENCH / "arm-abs.toml", "--json")
    names = {c["name"]: c for c in json.loads(done.stdout)["candidates"]}
    assert names["Lake sampler (invented): box arm, PETG"]["predicted_stiffness"][0] > 1000
    loaded = names["Invented: arm in ABS"]
    assert loaded["measured_stiffness"][0] == pytest.approx(865, rel=0.01)
    assert loaded["print_time"] is None
    assert loaded["piece_price"] == pytest.approx(0.036 * loaded["price"])
    seconds, spread = names["Lake sampler (invented): box arm, PETG"]["print_time"]
    assert 1800 < seconds < 8 * 3600
    assert 0.1 < spread < 0.5


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("PLA", "PETQ"), 'did you mean "PETG"'),
        (("PLA", BENCH / "arm-abs.toml"), "arms only, or materials only"),
        (("PLA",), "two or more"),
        (("PLA", "PETG", "--by", "weight"), "--by: given"),
        (("PLA", "nowhere.toml"), "check the name"),
        (("--calibration", "--store", "nowhere.sqlite"), "which is no file"),
    ],
)
def test_wrong_comparisons_are_wrong_input(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, words: tuple[str, ...], said: str
) -> None:
    monkeypatch.chdir(tmp_path)
    done = run("compare", *words)
    assert done.exit_code == 2
    assert said in done.stderr
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize(("scale", "status"), [(1.0, 0), (4.0, 1)])
def test_calibration_fails_where_we_were_too_sure(
    run: Run, tmp_path: Path, scale: float, status: int
) -> None:
    honest = norm.ppf((np.arange(12) + 0.5) / 12)
    with Store(tmp_path) as store:
        for k, each in enumerate(honest.tolist()):
            store.predict(Prediction(f"arm {k}: mass", 0.05, 0.001, "kg", "test"))
            store.score(f"arm {k}: mass", 0.05 + 0.001 * scale * each, 1e-6)
    done = run("compare", "--calibration", "--store", tmp_path, "--out", tmp_path)
    assert done.exit_code == status
    assert ("honest" if status == 0 else "too small") in done.stdout
    assert "oldest first" in (tmp_path / "calibration.html").read_text()
