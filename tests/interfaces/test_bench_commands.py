"""The bench on the command line: what is written, kept, scored, and with which exit status."""

import json
import re
import shlex
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from scipy.io import wavfile
from scipy.stats import norm
from typer.testing import CliRunner

from refledge.inputs.readings import read_session
from refledge.inputs.starter import starter_text
from refledge.interfaces import bench_options, cli, designing
from refledge.model.bench_results import Prediction
from refledge.model.brief import Brief
from refledge.outputs.build import BuildReport
from refledge.outputs.record import study_json
from refledge.store import Store
from tests.bench.sounds import taps
from tests.bench.test_readings import TEN_FAULTS
from tests.bench.test_sheets import filled
from tests.interfaces.unplanned import no_print_plan
from tests.outputs.fake_study import check, fake_study

ROOT = Path(__file__).parents[2]
BENCH = ROOT / "examples" / "bench"
Run = Callable[..., Any]


@pytest.fixture
def run() -> Run:
    return lambda *words: CliRunner().invoke(cli.app, [str(word) for word in words])


@pytest.fixture(scope="session")
def build(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A build folder with what the bench reads of it."""
    folder = tmp_path_factory.mktemp("build")
    (folder / "study.json").write_text(study_json(fake_study()), encoding="utf-8")
    (folder / "brief.toml").write_text(starter_text(), encoding="utf-8")
    return folder


# --- coupon


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


def short_arm(run: Run, build: Path, folder: Path, *more: object) -> Any:
    return run(
        "coupon", "short-arm", "--brief", build, "--span", "100 mm", "--out", folder,
        "--store", folder / "bench.sqlite", "--json", *more,
    )  # fmt: skip


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


# --- reduce


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


# --- tap and vibration


@pytest.fixture(scope="session")
def recordings(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """As the documented script makes them."""
    folder = tmp_path_factory.mktemp("recordings")
    script = BENCH / "make_recordings.py"
    subprocess.run([sys.executable, str(script), str(folder)], check=True, capture_output=True)
    return folder


def test_taps_give_back_what_the_script_put_in(run: Run, recordings: Path) -> None:
    document = json.loads(run("tap", recordings / "taps.wav", "--json").stdout)
    found = [(m["frequency"], m["damping"]) for m in document["modes"]]
    for (hertz, zeta), (f, z) in zip([(23.1, 0.011), (29.6, 0.013), (171.0, 0.009)], found,
                                     strict=True):  # fmt: skip
        assert f == pytest.approx(hertz, rel=2e-3)
        assert z == pytest.approx(zeta, rel=0.05)
    assert len(document["taps"]) == 8


def test_modes_off_their_prediction_fail(
    run: Run, build: Path, recordings: Path, tmp_path: Path
) -> None:
    """The build says 31 and 44 Hz; 29.6 Hz is near the first, 23.1 Hz is not the second."""
    done = run("tap", recordings / "taps.wav", "--against", build, "--out", tmp_path, "--json")
    matches = {m["label"]: m for m in json.loads(done.stdout)["matches"]}
    assert matches["vertical"]["measured"] == pytest.approx(29.6, abs=0.1)
    assert done.exit_code == 0
    assert "Against the predicted modes" in (tmp_path / "taps.html").read_text()
    study = json.loads((build / "study.json").read_text())
    study["study"]["arm_modes"]["frequencies"] = [40.0, 300.0]
    (tmp_path / "study.json").write_text(json.dumps(study))
    off = run("tap", recordings / "taps.wav", "--against", tmp_path / "study.json")
    assert off.exit_code == 1


def wav(file: Path, hertz: float, gain: float = 0.4) -> Path:
    x = gain * taps([(hertz, 0.012, 1.0)], rate=8000.0)
    wavfile.write(file, 8000, np.clip(np.round(x * 32767), -32768, 32767).astype(np.int16))
    return file


def test_the_first_mode_of_a_printed_arm_is_scored(run: Run, build: Path, tmp_path: Path) -> None:
    piece = json.loads(short_arm(run, build, tmp_path).stdout)["pieces"][0]
    heard = wav(tmp_path / "arm.wav", 1.02 * piece["predictions"][1]["value"])
    done = run("tap", heard, "--predicted", piece["predicted"], "--json")
    assert done.exit_code == 0
    (score,) = json.loads(done.stdout)["scores"]
    assert 0.1 < score["z"] < 0.5
    wrong = run("tap", heard, "--predicted", "another arm")
    assert wrong.exit_code == 2
    assert piece["predicted"] in wrong.stderr


def test_a_clipped_recording_is_doubtful(run: Run, tmp_path: Path) -> None:
    done = run("tap", wav(tmp_path / "loud.wav", 90.0, gain=3.0))
    assert done.exit_code == 1
    assert "! " in done.stdout


@pytest.mark.parametrize("command", ["tap", "vibration"])
def test_no_recording_is_wrong_input(run: Run, tmp_path: Path, command: str) -> None:
    done = run(command, tmp_path / "none.csv")
    assert done.exit_code == 2
    assert "check the name" in done.stderr


def test_what_is_no_build_is_said(run: Run, recordings: Path, tmp_path: Path) -> None:
    (tmp_path / "study.json").write_text('{"study": {"frame": {}}}')
    done = run("tap", recordings / "taps.wav", "--against", tmp_path)
    assert done.exit_code == 2
    assert "design the build again" in done.stderr


def test_a_run_up_tells_rotors_from_the_frame(
    run: Run, build: Path, recordings: Path, tmp_path: Path
) -> None:
    """Orders 1 and 2 as put in, and the mode at 62 Hz, which the build does not know."""
    done = run(
        "vibration", recordings / "run-up.csv", "--against", build, "--out", tmp_path, "--json"
    )
    assert done.exit_code == 0
    lines = {x["name"]: x for x in json.loads(done.stdout)["lines"]}
    grow = np.mean(np.linspace(0.4, 1.0, 4000) ** 4)
    once = np.sqrt((0.8**2 + 0.7**2) / 2 * grow)
    assert lines["once per revolution"]["rms"] == pytest.approx(once, rel=0.1)
    blade = np.sqrt((0.25**2 + 0.5**2) / 2 * grow)
    assert lines["blade pass"]["rms"] == pytest.approx(blade, rel=0.1)
    assert lines["62 Hz"]["follows"] == "still"
    assert "twice blade pass" not in lines
    assert "Spectrogram" in (tmp_path / "run-up.html").read_text()
    assert run("vibration", recordings / "run-up.csv", "--blades", 0).exit_code == 2


# --- compare


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


# --- design with a store


def test_design_takes_what_the_bench_taught_and_keeps_it_without_the_log(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The store beside the brief; then what the build keeps of it, as verify does.

    The log lies in the same store; none of it goes into a build.
    """
    (tmp_path / "brief.toml").write_text(starter_text(), encoding="utf-8")
    run("reduce", BENCH / "cantilever.toml", "--store", tmp_path / "bench.sqlite")
    run("log", "flight", "12 min", "--note", "over the lake", "--store", tmp_path)
    seen: list[Any] = []
    given: dict[str, bytes] = {}

    def design(_: object, *, learned: Any = None, **_more: object) -> Any:
        seen.append(learned)
        return fake_study(checks=(check("a"),))

    def write(_study: object, out: Path, files: dict[str, bytes], **_: object) -> BuildReport:
        given.update(files)
        return BuildReport(out, ("report.html",))

    monkeypatch.setattr(designing, "design", design)
    no_print_plan(monkeypatch)
    monkeypatch.setattr(designing, "write_build", write)
    assert run("design", tmp_path / "brief.toml", "--out", tmp_path / "b").exit_code == 0
    assert seen[0].cards["PETG"].E_xy.measured_here
    build = tmp_path / "made"
    (build / "given").mkdir(parents=True)
    assert not [name for name in given if name.endswith(".sqlite")]
    assert not [name for name, data in given.items() if b"over the lake" in data]
    (build / "given" / "taught.json").write_bytes(given["given/taught.json"])
    (build / "brief.toml").write_text(starter_text(), encoding="utf-8")
    assert run("design", build / "brief.toml", "--out", tmp_path / "b").exit_code == 0
    assert seen[1].cards == seen[0].cards
    none = run("design", build / "brief.toml", "--out", tmp_path / "b", "--store", tmp_path / "x")
    assert none.exit_code == 2
    assert "--store: given" in none.stderr
    assert len(seen) == 2


def test_a_spool_of_the_command_line_goes_before_the_briefs_and_into_the_build(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    named = 'spools = ["PETG: blue 1", "PLA: w"]'
    text = starter_text().replace("[printer]", f"[printer]\n{named}")
    (tmp_path / "brief.toml").write_text(text, encoding="utf-8")
    run("reduce", BENCH / "cantilever.toml", "--store", tmp_path / "bench.sqlite")
    seen: list[tuple[str, ...]] = []

    def design(brief: Brief, **_: object) -> Any:
        seen.append(brief.printer.spools)
        return fake_study(checks=(check("a"),))

    monkeypatch.setattr(designing, "design", design)
    no_print_plan(monkeypatch)
    monkeypatch.setattr(designing, "write_build", lambda _s, out, *_, **__: BuildReport(out, ()))
    order = ("design", tmp_path / "brief.toml", "--out", tmp_path / "b")
    unknown = run(*order, "--spool", "PETG: grey 3")
    assert unknown.exit_code == 2
    assert 'spool of PLA: given "w"' in unknown.stderr
    (tmp_path / "brief.toml").write_text(text.replace(', "PLA: w"', ""), encoding="utf-8")
    assert 'spool of PETG: given "blue 1"' in run(*order).stderr
    assert run(*order, "--spool", "PETG grey 3").exit_code == 2
    assert run(*order, "--spool", "PETG: grey 3").exit_code == 0
    assert seen == [("PETG: grey 3",)]
    (tmp_path / "bench.sqlite").unlink()
    alone = run(*order)
    assert alone.exit_code == 2
    assert "none without a bench" in alone.stderr


def test_the_report_shows_literature_beside_measured(tmp_path: Path) -> None:
    from refledge.outputs.drawings import drawings  # noqa: PLC0415 - the only use
    from refledge.outputs.pictures import pictures  # noqa: PLC0415
    from refledge.outputs.report import report_html  # noqa: PLC0415
    from tests.outputs.small import shrink_pictures  # noqa: PLC0415

    shrink_pictures()
    with Store(tmp_path / "bench.sqlite") as store:
        CliRunner().invoke(
            cli.app, ["reduce", str(BENCH / "cantilever.toml"), "--store", str(store.path)]
        )
        found = bench_options.cards_of(store)
    study = replace(fake_study(), learned=found.of(["PETG"]), notes=found.about(["PETG"]))
    page = report_html(study, pictures(study), drawings(study))
    assert "What the bench taught" in page
    assert "1900 MPa ± 9.2%" in page
    assert "2031 MPa ± 3.4%" in page
    assert "E_xy measured on this bench" in page
    plain = replace(study, learned={}, notes=())
    assert "What the bench taught" not in report_html(plain, pictures(plain), drawings(plain))


# --- the documentation


def documented() -> list[str]:
    text = (ROOT / "docs" / "bench.md").read_text(encoding="utf-8")
    return [line for block in re.findall(r"```console\n(.*?)```", text, re.DOTALL)
            for line in block.splitlines()]  # fmt: skip


def test_the_commands_of_the_documentation_run(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(ROOT)
    lines = documented()
    assert len(lines) >= 10
    for line in lines:
        program, *words = shlex.split(line.replace("build/bench", str(tmp_path)))
        if program == "python":
            subprocess.run([sys.executable, *words], check=True, capture_output=True)
            continue
        done = run(*words)
        assert done.exit_code == 0, f"{line}\n{done.stdout}{done.stderr}"
    made = {each.name for each in (tmp_path / "pages").iterdir()}
    assert made == {"cantilever.html", "layer-pull.html", "creep.html", "taps.html",
                    "run-up.html", "comparison.html"}  # fmt: skip
