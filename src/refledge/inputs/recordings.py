"""Recordings of the bench and of flight: WAV from a phone, CSV from an accelerometer or a log."""

import re
from pathlib import Path

import numpy as np
from scipy.io import wavfile

from refledge.errors import InputError, Problem
from refledge.inputs.files import read_text
from refledge.inputs.values import as_given
from refledge.model.bench_results import Finding
from refledge.model.recordings import Recording
from refledge.typed import Floats
from refledge.units import UnitError, to_si

_HEADER = re.compile(r"\s*([^()\s][^()]*?)\s*(?:\(\s*([^()]*?)\s*\))?\s*")
_KNOWN = {
    "time": ("s", "time (s)"),
    "x": ("m/s**2", "x (m/s**2)"),
    "y": ("m/s**2", "y (m/s**2)"),
    "z": ("m/s**2", "z (m/s**2)"),
    "rpm": ("1/s", "rpm"),
    "throttle": ("1", "throttle (%)"),
}
_AXES = ("x", "y", "z")
_UNEVEN = 0.2
"""Scatter of the sample times over their step that is worth a word: ours."""


def read_recording(path: str | Path) -> Recording:
    """WAV or CSV by the file's ending; raises InputError."""
    file = Path(path)
    return _wav(file) if file.suffix.lower() == ".wav" else _csv(file)


def _wav(file: Path) -> Recording:
    try:
        rate, data = wavfile.read(file)
    except FileNotFoundError as error:
        raise _problem(file, 1, "a name without a file", "a WAV file", "check the name") from error
    except (ValueError, OSError, EOFError) as error:
        step = "export it as plain PCM WAV"
        raise _problem(file, 1, f"no readable WAV: {error}", "PCM or float WAV", step) from error
    scale = {"u": 128.0, "i": float(np.iinfo(data.dtype).max) + 1 if data.dtype.kind == "i" else 1}
    plain = np.asarray(data, dtype=np.float64)
    if data.dtype.kind == "u":
        plain = plain - 128.0
    plain = plain / scale.get(data.dtype.kind, 1.0)
    samples = plain[:, None] if plain.ndim == 1 else plain
    if len(samples) < 2:
        raise _problem(file, 1, "no samples", "a recording", "record again")
    unknown = np.full(len(samples), np.nan)
    return Recording(samples, float(rate), "of full scale", file.name, unknown)


def _csv(file: Path) -> Recording:
    """Columns time, x, y, z (one axis at least), perhaps rpm; made even in time."""
    lines = read_text(file, "a table of comma-separated values").splitlines()
    kept = [(i, t) for i, t in enumerate(lines, 1) if t.strip() and not t.lstrip().startswith("#")]
    if len(kept) < 3:
        raise _problem(file, 1, "no rows", "a header and rows", "record again")
    head_line, header = kept[0]
    columns, factors = _header(file, head_line, header)
    table = _numbers(file, kept[1:], header.count(",") + 1)
    values = {name: table[:, i] * factors[name] for name, i in columns.items()}
    return _even(file, values, [line for line, _ in kept[1:]])


def _header(file: Path, line: int, header: str) -> tuple[dict[str, int], dict[str, float]]:
    columns: dict[str, int] = {}
    factors: dict[str, float] = {}
    problems = []
    for i, cell in enumerate(header.split(",")):
        match = _HEADER.fullmatch(cell)
        name = match[1].casefold() if match else ""
        if name not in _KNOWN or match is None:
            continue
        unit, written = _KNOWN[name]
        given = match[2] or {"rpm": "rpm", "throttle": "dimensionless"}.get(name, "")
        try:
            factors[name] = _factor(given, unit)
            columns[name] = i
        except UnitError:
            step = f'head the column "{written}"'
            problems.append(
                Problem(f"{file.name}:{line}", name, as_given(cell), f'"{written}"', step)
            )
    missing = [n for n in ("time",) if n not in columns and not problems]
    if not any(a in columns for a in _AXES) and not problems:
        missing.append("x")
    for name in missing:
        written = _KNOWN[name][1]
        step = f'add a column headed "{written}"'
        problems.append(
            Problem(f"{file.name}:{line}", name, "no such column", f'"{written}"', step)
        )
    if problems:
        raise InputError(*problems)
    return columns, factors


def _factor(given: str, unit: str) -> float:
    if re.sub(r"\s", "", given).casefold() in ("rpm", "1/min", "rev/min"):
        return 1 / 60 if unit == "1/s" else to_si("1 rpm", unit)
    if given == "g" and unit == "m/s**2":
        return 9.80665  # standard gravity (ISO 80000-3); in a log of acceleration g is no gram
    return to_si(f"1 {given}", unit)


def _numbers(file: Path, rows: list[tuple[int, str]], width: int) -> Floats:
    try:
        table = np.loadtxt([text for _, text in rows], delimiter=",", ndmin=2)
        if table.shape[1] == width and np.all(np.isfinite(table)):
            return table
    except ValueError:
        pass
    problems = []
    for line, text in rows:
        try:
            cells = [float(cell) for cell in text.split(",")]
        except ValueError:
            cells = []
        if len(cells) != width or not np.all(np.isfinite(cells)):
            step = "correct this line, or strike it out"
            problems.append(
                Problem(f"{file.name}:{line}", "row", as_given(text), f"{width} numbers", step)
            )
    raise InputError(*problems)


def _even(file: Path, values: dict[str, Floats], lines: list[int]) -> Recording:
    t = values["time"]
    back = np.flatnonzero(np.diff(t) <= 0)
    if len(back):
        step = "sort the rows, strike out doubles"
        where = lines[int(back[0]) + 1]
        raise _problem(file, where, "time that does not rise", "rising time", step)
    step_s = float(np.median(np.diff(t)))
    even = t[0] + step_s * np.arange(int((t[-1] - t[0]) / step_s) + 1)
    axes = [np.interp(even, t, values[a]) for a in _AXES if a in values]
    unknown = np.full(len(even), np.nan)
    speed = np.interp(even, t, values["rpm"]) if "rpm" in values else unknown
    throttle = np.interp(even, t, values["throttle"]) if "throttle" in values else None
    notes = []
    uneven = float(np.std(np.diff(t)) / step_s)
    if uneven > _UNEVEN:
        words = f"sample times scatter by {uneven:.0%} of a step; high frequencies are blurred"
        notes.append(Finding("uneven", True, words))
    holes = int(np.sum(np.diff(t) > 5 * step_s))
    if holes:
        words = f"{holes} gaps in the log were bridged by straight lines"
        notes.append(Finding("gaps", True, words))
    return Recording(
        np.column_stack(axes), 1 / step_s, "m/s2", file.name, speed, tuple(notes), throttle
    )


def _problem(file: Path, line: int, given: str, allowed: str, step: str) -> InputError:
    return InputError(Problem(f"{file.name}:{line}", "file", given, allowed, step))
