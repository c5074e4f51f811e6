"""What is odd about readings is named, and what is not is left alone."""

from dataclasses import replace

import numpy as np
import pytest

from refledge.bench.series import reduce_series
from refledge.errors import AnalysisError
from refledge.model.bench import (
    BenchFile,
    Reading,
)
from tests.bench.test_reduction import RATIO, E, kinds, reduced, two_spans

from .sessions import (
    THICKNESS,
    WIDTH,
    bar,
    bench_file,
    cantilever,
    series_of,
)


def with_reading(file: BenchFile, at: int, **changes: object) -> BenchFile:
    first = file.series[0]
    readings = list(first.readings)
    readings[at] = replace(readings[at], **changes)
    return replace(file, series=(replace(first, readings=tuple(readings)), *file.series[1:]))


def noisy(seed: int = 2, masses: int = 12) -> BenchFile:
    rng = np.random.default_rng(seed)
    loads = tuple(np.linspace(0, 0.06, masses).tolist())
    series = tuple(
        series_of(s, cantilever(s, E, WIDTH, THICKNESS, RATIO), rng, 2e-6, masses=loads)
        for s in (0.06, 0.12)
    )
    return bench_file(specimen=(bar(),), series=series)


def test_an_outlier_is_named_and_still_counted() -> None:
    file = noisy()
    read = file.series[0].readings[4].read + 1e-4
    off = reduced(with_reading(file, 4, read=read))
    assert next(f.words for f in off.findings if f.kind == "outlier").startswith(
        "series 1 (piece 1, 60 mm): reading 5"
    )
    assert off.measured[0].value != pytest.approx(reduced(file).measured[0].value, rel=1e-4)
    struck = reduced(with_reading(file, 4, read=read, excluded="the table was knocked"))
    assert "outlier" not in kinds(struck)
    assert "excluded" in kinds(struck)


def test_rounding_alone_makes_no_outlier() -> None:
    """Four readings exactly on a line and one off by 1e-6 of the deflection; then by 0.5 %, which
    is named, and by 5 %, which also stands against using the session."""
    exact = series_of(0.06, 1e-3, masses=(0.0, 0.1, 0.2, 0.3, 0.4, 0.5))
    whole = 0.5 * 9.80665 * 1e-3
    for off, named, grave in ((1e-6, 0, False), (5e-3, 1, False), (5e-2, 1, True)):
        moved = replace(exact.readings[3], read=exact.readings[3].read + off * whole)
        readings = (*exact.readings[:3], moved, *exact.readings[4:])
        line = reduce_series(replace(exact, readings=readings), "x")
        found = [f for f in line.findings if f.kind == "outlier"]
        assert len(found) == named
        assert any(f.grave for f in found) == grave


def test_a_quiet_series_gives_no_findings_but_the_clamp() -> None:
    assert kinds(reduced(noisy())) <= {"clamp", "strain", "propagation"}


def _read_again(file: BenchFile, change: object) -> BenchFile:
    first = file.series[0]
    readings = tuple(change(i, r) for i, r in enumerate(first.readings))  # type: ignore[operator]
    return replace(file, series=(replace(first, readings=readings), *file.series[1:]))


def test_hysteresis_is_found_and_sized() -> None:
    def late(i: int, r: Reading) -> Reading:
        return replace(r, read=r.read + (3e-5 if i > 3 else 0.0) + 1e-7 * (-1) ** i)

    found = reduced(_read_again(two_spans(), late))
    assert "hysteresis" in kinds(found)
    assert "+0.030 mm" in next(f.words for f in found.findings if f.kind == "hysteresis")
    assert found.measured[0].value == pytest.approx(E, rel=2e-3)


def test_a_bent_line_is_found_with_its_sense() -> None:
    def stiffens(_: int, r: Reading) -> Reading:
        return replace(r, read=r.read - 400.0 * (r.read - 1e-4) ** 2)

    found = reduced(_read_again(noisy(), stiffens))
    assert "stiffer under load" in next(f.words for f in found.findings if f.kind == "nonlinear")


def test_settling_with_time_is_found() -> None:
    def sinks(i: int, r: Reading) -> Reading:
        return replace(r, read=r.read + 2e-6 * i, time=30.0 * i)

    assert "settling" in kinds(reduced(_read_again(two_spans(), sinks)))


def test_a_clamp_that_explains_too_much_is_refused() -> None:
    series = (series_of(0.06, 1e-3), series_of(0.12, 1e-3))
    with pytest.raises(AnalysisError, match="clamp gives more"):
        reduced(bench_file(specimen=(bar(),), series=series))
