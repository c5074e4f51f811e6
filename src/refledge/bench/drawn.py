"""What a chart of a session needs: points, lines and residuals, as the reduction sees them."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from refledge.bench.creep import CARD_TIME, SHORT_TIME, fit_creep, held_readings, law_values
from refledge.bench.series import branches, fit_series, force_of, odd_readings
from refledge.model.bench import BenchFile, Series
from refledge.model.bench_results import CreepLaw
from refledge.typed import Bools, Floats, Ints


@dataclass(frozen=True, eq=False)
class DrawnSeries:
    """One series: its readings with the fitted line taken at each of them."""

    name: str
    load: Floats
    """(n,), N."""
    read: Floats
    """(n,), m."""
    fitted: Floats
    """(n,), m."""
    unloading: Bools
    """(n,)."""
    odd: Bools
    """(n,), readings named as outliers."""
    number: Ints
    """(n,), from 1 in the file's order."""
    excluded: Floats
    """(m, 2), load and reading of those that the file leaves out."""

    @property
    def residual(self) -> Floats:
        """(n,), m."""
        return self.read - self.fitted


@dataclass(frozen=True, eq=False)
class DrawnCreep:
    """Readings under a held load with the law through them, in order of time."""

    law: CreepLaw
    loads: tuple[float, ...]
    """N, each with its own curve."""
    time: Floats
    """(n,), s, under load."""
    moved: Floats
    """(n,), m."""
    owner: Ints
    """(n,), index into ``loads``."""
    curve_time: Floats
    """(k,), s, from the first reading to the end of trust."""
    curves: Floats
    """(loads, k), m."""


@dataclass(frozen=True)
class DrawnPieces:
    """One figure for each piece."""

    names: tuple[str, ...]
    values: tuple[float, ...]
    """SI."""
    unit: str


def drawn_series(file: BenchFile) -> tuple[DrawnSeries, ...]:
    """Every series that gives a line."""
    return tuple(_drawn(each, i) for i, each in enumerate(file.series, 1))


def _drawn(series: Series, number: int) -> DrawnSeries:
    kept = [(i, r) for i, r in enumerate(series.readings, 1) if not r.excluded]
    left = [r for r in series.readings if r.excluded]
    load = np.array([force_of(r) for _, r in kept])
    read = np.array([r.read for _, r in kept])
    fitted = fit_series(series)
    what = "stiff bar" if series.bar == "stiff" else f"piece {series.specimen}"
    return DrawnSeries(
        name=f"{number}: {what}, {series.span * 1e3:g} mm",
        load=load,
        read=read,
        fitted=read - fitted.residuals,
        unloading=branches(load),
        odd=odd_readings(fitted, float(np.max(load)) * float(fitted.values[1])),
        number=np.array([i for i, _ in kept]),
        excluded=np.array([(force_of(r), r.read) for r in left]).reshape(-1, 2),
    )


def drawn_creep(file: BenchFile) -> DrawnCreep:
    """The law of a creep session, carried on to where it may be trusted."""
    law = fit_creep(file)
    load, time, moved = held_readings(file)
    loads = np.unique(np.round(load, 6))
    reach = np.geomspace(min(float(time.min()), SHORT_TIME), law.trusted_until, 120)
    reach = np.unique(np.append(reach, CARD_TIME))
    return DrawnCreep(
        law=law,
        loads=tuple(loads.tolist()),
        time=time,
        moved=moved,
        owner=np.searchsorted(loads, np.round(load, 6)),
        curve_time=reach,
        curves=np.array([law_values(law, each, reach) for each in loads]),
    )


def drawn_pieces(file: BenchFile) -> DrawnPieces:
    """The figure of each piece of a test that gives one figure a piece."""
    figures: dict[str, tuple[Callable[[dict[str, float]], float], str]] = {
        "density": (_density, "kg/m**3"),
        "layer-pull": (_strength, "Pa"),
        "insert-pull": (_load, "N"),
    }
    figure, unit = figures[file.kind]
    values = tuple(figure(vars(each)) for each in file.specimen)
    return DrawnPieces(tuple(each.name for each in file.specimen), values, unit)


def _density(s: dict[str, float]) -> float:
    return s["mass"] / (s["length"] * s["width"] * s["thickness"])


def _strength(s: dict[str, float]) -> float:
    return s["break_load"] / (s["width"] * s["thickness"])


def _load(s: dict[str, float]) -> float:
    return s["break_load"]
