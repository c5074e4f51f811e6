"""Creep laws: parameters come back, the horizon holds."""

from dataclasses import replace

import numpy as np
import pytest

from refledge.bench.creep import CARD_TIME, SHORT_TIME, creep_factor, deflection_at, fit_creep
from refledge.bench.reduce import reduce_session
from refledge.bench.series import GRAVITY
from refledge.errors import AnalysisError
from refledge.inputs.cards import material_cards
from refledge.model.bench import BenchFile, Reading, Series

from .sessions import bar, bench_file, session

TIMES = np.geomspace(10, 20_000, 14)
C0, A, P = 7e-4, 2e-5, 0.25


def held(mass: float, q: float = 1.0, noise: float = 0.0, zero: float = 2e-4) -> Series:
    rng = np.random.default_rng(3)
    F = mass * GRAVITY
    moved = F * C0 + A * F**q * TIMES**P
    read = zero + moved + noise * rng.standard_normal(len(TIMES))
    first = Reading(mass=0.0, read=zero, time=0.0)
    rest = (Reading(mass=mass, read=r, time=t) for t, r in zip(TIMES, read, strict=True))
    return Series(span=0.06, readings=(first, *rest))


def creeping(*series: Series) -> BenchFile:
    return bench_file(kind="creep", specimen=(bar(),), series=series)


def test_findley_comes_back_from_one_load() -> None:
    law = fit_creep(creeping(held(0.2)))
    assert law.name == "Findley"
    assert (law.c0, law.A, law.p) == pytest.approx((C0, A, P), rel=1e-3)
    assert law.q == 1.0


def test_norton_bailey_comes_back_from_two_loads() -> None:
    law = fit_creep(creeping(held(0.2, 1.4), held(0.4, 1.4)))
    assert law.name == "Norton-Bailey"
    assert (law.c0, law.A, law.p, law.q) == pytest.approx((C0, A, P, 1.4), rel=5e-3)


def test_the_creep_factor_is_the_modulus_left_after_ten_minutes() -> None:
    F = 0.2 * GRAVITY
    quick, slow = (F * C0 + A * F * t**P for t in (SHORT_TIME, CARD_TIME))
    found = creep_factor(fit_creep(creeping(held(0.2, noise=1e-6))), draws=2000)
    assert found.value == pytest.approx(quick / slow, abs=3 * found.uncertainty)
    assert 0 < found.uncertainty < 0.01


def test_beyond_a_decade_of_the_test_nothing_is_said() -> None:
    law = fit_creep(creeping(held(0.2)))
    assert law.trusted_until == pytest.approx(10 * TIMES[-1])
    F = 0.2 * GRAVITY
    assert deflection_at(law, F, 1e5) == pytest.approx(F * (C0 + A * 1e5**P), rel=2e-3)
    with pytest.raises(AnalysisError, match="hold a piece for longer"):
        deflection_at(law, F, 3e5)
    with pytest.raises(AnalysisError, match="tested up to"):
        deflection_at(law, 3 * F, 100.0)


def test_a_zero_is_needed_and_a_tenfold_time() -> None:
    series = held(0.2)
    with pytest.raises(AnalysisError, match="no load"):
        fit_creep(creeping(replace(series, readings=series.readings[1:])))
    with pytest.raises(AnalysisError, match="tenfold"):
        fit_creep(creeping(replace(series, readings=series.readings[:4])))


def test_a_session_says_for_how_long_its_law_is_good() -> None:
    found = reduce_session(session(creeping(held(0.2, noise=2e-6))), material_cards()["PETG"], 500)
    assert found.measured[0].prop == "creep_factor"
    assert any(f.kind == "horizon" for f in found.findings)
