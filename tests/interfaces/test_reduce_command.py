"""``refledge reduce``: what is kept, scored and said, and with which exit status."""

import json
import re
from pathlib import Path

import pytest

from refledge.inputs.readings import read_session
from refledge.interfaces import bench_options
from refledge.store import Store
from tests.bench.test_readings import TEN_FAULTS
from tests.bench.test_sheets import filled
from tests.interfaces.benching import BENCH, Run, short_arm


def test_readings_are_reduced_kept_and_drawn(run: Run, tmp_path: Path) -> None:
    store = tmp_path / "bench.sqlite"
    done = run("reduce", BENCH / "cantilever.toml", "--store", store, "--out", tmp_path)
    assert done.exit_code == 0
    assert "2031 MPa" in done.stdout
    assert "kept as session 1" in done.stdout
    assert "what design takes for PETG now" in done.stdout
    assert "<svg" in (tmp_path / "cantilever.html").read_text()
    with Store(store) as kept:
        assert kept.text_of(1) == read_session(BENCH / "cantilever.toml").text


def test_without_a_store_it_is_said_that_nothing_is_kept(run: Run) -> None:
    done = run("reduce", BENCH / "density.toml")
    assert done.exit_code == 0
    assert "not kept: add --store" in done.stdout
    assert not (BENCH / "bench.sqlite").exists()


def test_a_store_beside_the_readings_is_used(run: Run, tmp_path: Path) -> None:
    Store(tmp_path).close()
    (tmp_path / "density.toml").write_bytes((BENCH / "density.toml").read_bytes())
    assert "kept as session 1" in run("reduce", tmp_path / "density.toml").stdout


def test_machines_get_one_json(run: Run) -> None:
    document = json.loads(run("reduce", BENCH / "layer-pull.toml", "--json").stdout)
    (m,) = document["reduction"]["measured"]
    assert m["prop"] == "strength_z"
    assert m["carlo_low"] < m["value"] < m["carlo_high"]
    assert document["usable"] is True


def test_ten_faults_are_ten_lines_and_wrong_input(run: Run, tmp_path: Path) -> None:
    (tmp_path / "faults.toml").write_text(TEN_FAULTS)
    done = run("reduce", tmp_path / "faults.toml", "--store", tmp_path / "bench.sqlite")
    assert done.exit_code == 2
    assert len(done.stderr.strip().splitlines()) == 10
    assert all(re.match(r"faults\.toml:\d+: ", line) for line in done.stderr.strip().splitlines())
    assert not (tmp_path / "bench.sqlite").exists()


def one_span(tmp_path: Path, more: str = "") -> Path:
    """The example without its second span: the clamp's give cannot be taken out."""
    text = (BENCH / "cantilever.toml").read_text()
    head, *series = text.split("[[series]]")
    kept = [each for each in series if '"60 mm"' in each and "table" not in each]
    head = head.replace('note = "Invented readings."', f'note = "Invented readings."\n{more}')
    file = tmp_path / "one-span.toml"
    file.write_text("[[series]]".join([head, *kept]))
    return file


def test_grave_findings_fail_and_are_kept_but_not_learned(run: Run, tmp_path: Path) -> None:
    store = tmp_path / "bench.sqlite"
    done = run("reduce", one_span(tmp_path), "--store", store)
    assert done.exit_code == 1
    assert "design leaves this session out" in done.stdout
    with Store(store) as kept:
        assert len(kept.sessions()) == 1
        assert kept.evidence("PETG") == ()
    accepted = one_span(tmp_path, 'accepted = "clamp glued"')
    assert run("reduce", accepted, "--store", store).exit_code == 0


def test_readings_that_cannot_be_reduced_are_kept_all_the_same(run: Run, tmp_path: Path) -> None:
    """Creep without a zero: an answer in words, exit status 1, and the readings in the store."""
    text = (BENCH / "creep.csv").read_text().replace("\n0,0,0.021\n", "\n")
    (tmp_path / "creep.csv").write_text(text)
    done = run("reduce", tmp_path / "creep.csv", "--store", tmp_path / "bench.sqlite")
    assert done.exit_code == 1
    assert "no load is needed first" in done.stderr
    with Store(tmp_path) as kept:
        assert [s.readings for s in kept.sessions()] == [10]


def test_a_full_disk_is_said_and_loses_nothing(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The store is held to the pages that it has."""
    store = tmp_path / "bench.sqlite"
    assert run("reduce", BENCH / "density.toml", "--store", store).exit_code == 0
    before = store.stat().st_size

    class Full(Store):
        def __init__(self, path: Path) -> None:
            super().__init__(path)
            self._db.execute("PRAGMA max_page_count = 1")

    monkeypatch.setattr(bench_options, "Store", Full)
    done = run("reduce", BENCH / "cantilever.toml", "--store", store)
    assert done.exit_code == 1
    assert "make room on the disk" in done.stderr
    monkeypatch.undo()
    assert store.stat().st_size == before
    with Store(store) as kept:
        kept.check()
        assert [s.title[:17] for s in kept.sessions()] == ["Invented: two cub"]
    assert run("reduce", BENCH / "cantilever.toml", "--store", store).exit_code == 0


def with_readings(form: str, tip: float, load: float, stiff: bool) -> str:
    """A form of an arm filled in so that it moves ``tip`` (mm) under ``load`` (g)."""
    rows = [
        f'  {{ mass = "{m:g} g", read = "{0.1 + tip * m / load:.5f} mm" }},'
        for m in (0, load / 2, load, load / 2, 0)
    ]
    text = filled(form)
    text = re.sub(r"(?ms)^readings = \[.*?^\]", "readings = [\n" + "\n".join(rows) + "\n]", text)
    if stiff:  # 20 mm by 10 mm of steel: F L^3 / (3 E I)
        give = 9.80665e-3 * 0.2**3 / (3 * 200e9 * 0.02 * 0.01**3 / 12)  # m for a gram
        bar = "\n".join(
            f'  {{ mass = "{m} g", read = "{1e6 * give * m:.6f} um" }},'
            for m in (0, 500, 1000, 500, 0)
        )
        text += f'\n[[series]]\nbar = "stiff"\nspan = "200 mm"\nreadings = [\n{bar}\n]\n'
        text += '\n[stiff]\nE = "200 GPa"\nwidth = "20 mm"\nthickness = "10 mm"\n'
    return text


@pytest.mark.parametrize(("softer", "z"), [(1.0, 0.0), (1.6, 5.0)])
def test_a_prediction_is_scored_by_the_form_that_came_with_it(
    run: Run, build: Path, tmp_path: Path, softer: float, z: float
) -> None:
    piece = json.loads(short_arm(run, build, tmp_path).stdout)["pieces"][0]
    tip = 1e3 * piece["predictions"][0]["value"] * softer
    form = tmp_path / "short-arm-box.toml"
    form.write_text(with_readings(form.read_text(), tip, 500, stiff=True))
    for _ in range(2):  # scored once, however often it is reduced
        done = run("reduce", form, "--store", tmp_path / "bench.sqlite", "--json")
        assert done.exit_code == 0, done.stdout + done.stderr
        scores = {s["prediction"]["unit"]: s for s in json.loads(done.stdout)["scores"]}
        assert set(scores) == {"m", "kg"}
        assert scores["m"]["z"] == pytest.approx(z, abs=0.4)
    with Store(tmp_path) as kept:
        assert len(kept.scores()) == 2


def test_a_doubtful_test_is_not_scored(run: Run, build: Path, tmp_path: Path) -> None:
    """Without the stiff bar the clamp's give would be held against the prediction."""
    piece = json.loads(short_arm(run, build, tmp_path).stdout)["pieces"][0]
    form = tmp_path / "short-arm-box.toml"
    tip = 1e3 * piece["predictions"][0]["value"]
    form.write_text(with_readings(form.read_text(), tip, 500, stiff=False))
    assert run("reduce", form, "--store", tmp_path / "bench.sqlite").exit_code == 1
    with Store(tmp_path) as kept:
        assert kept.scores() == ()
