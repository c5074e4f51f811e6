"""``refledge tap`` and ``refledge vibration``."""

import json
from pathlib import Path

import numpy as np
import pytest
from scipy.io import wavfile

from tests.bench.sounds import taps
from tests.interfaces.benching import Run, short_arm


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
