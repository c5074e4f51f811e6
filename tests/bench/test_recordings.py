"""Recordings from files: WAV of several kinds, CSV with units, faults with lines."""

from pathlib import Path

import numpy as np
import pytest
from scipy.io import wavfile

from refledge.errors import InputError
from refledge.inputs.recordings import read_recording

TONE = 0.5 * np.sin(2 * np.pi * 100 * np.arange(4800) / 48_000)


@pytest.mark.parametrize(
    ("kind", "scale", "shift"),
    [("i2", 32767, 0), ("i4", 2**31 - 1, 0), ("f4", 1, 0), ("u1", 127, 128)],
)
def test_wav_of_every_kind_comes_in_on_one_scale(
    tmp_path: Path, kind: str, scale: float, shift: float
) -> None:
    wavfile.write(tmp_path / "a.wav", 48_000, (TONE * scale + shift).astype(kind))
    found = read_recording(tmp_path / "a.wav")
    assert found.rate == 48_000
    assert found.samples[:, 0] == pytest.approx(TONE, abs=0.012 if kind == "u1" else 1e-4)


def test_csv_units_are_taken_to_si(tmp_path: Path) -> None:
    rows = "".join(f"{2 * i},{i % 3},0.5,{6000 + i}\n" for i in range(100))
    (tmp_path / "log.csv").write_text(f"# invented\ntime (ms),x (g),z (m/s**2),rpm\n{rows}")
    found = read_recording(tmp_path / "log.csv")
    assert found.rate == pytest.approx(500.0)
    assert found.samples[1].tolist() == pytest.approx([9.80665, 0.5])
    assert found.speed[0] == pytest.approx(100.0)
    assert found.notes == ()


def test_throttle_and_gaps(tmp_path: Path) -> None:
    times = [0.01 * i for i in range(50)] + [2 + 0.01 * i for i in range(50)]
    rows = "".join(f"{t},0,{40}\n" for t in times)
    (tmp_path / "log.csv").write_text(f"time (s),x (m/s**2),throttle (%)\n{rows}")
    found = read_recording(tmp_path / "log.csv")
    assert found.throttle is not None
    assert found.throttle[0] == pytest.approx(0.4)
    assert {each.kind for each in found.notes} == {"uneven", "gaps"}


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("time,x (g)\n0,1\n1,1\n", 'head the column "time (s)"'),
        ("time (s),a\n0,1\n1,1\n", 'add a column headed "x (m/s**2)"'),
        ("time (s),x (g)\n0,1\n1,one\n2,3\n", "log.csv:3: row"),
        ("time (s),x (g)\n0,1\n1,1\n1,3\n", "log.csv:4: file: given time that does not rise"),
        ("time (s),x (g)\n", "no rows"),
    ],
)
def test_faults_say_where_and_what_next(tmp_path: Path, text: str, words: str) -> None:
    (tmp_path / "log.csv").write_text(text)
    with pytest.raises(InputError) as caught:
        read_recording(tmp_path / "log.csv")
    assert words in str(caught.value)


def test_what_is_no_wav_is_said(tmp_path: Path) -> None:
    (tmp_path / "a.wav").write_bytes(b"not a recording")
    with pytest.raises(InputError, match="export it as plain PCM WAV"):
        read_recording(tmp_path / "a.wav")
    with pytest.raises(InputError, match="check the name"):
        read_recording(tmp_path / "b.wav")
