"""Sessions made up for tests, with a truth that is known."""

from dataclasses import replace

import numpy as np

from refledge.bench.series import GRAVITY
from refledge.model.bench import (
    BenchFile,
    Gauges,
    PrintSettings,
    Reading,
    Room,
    Series,
    Session,
    Specimen,
    Spool,
)

WIDTH, THICKNESS = 10e-3, 4e-3
MASSES = (0.0, 0.02, 0.04, 0.06, 0.04, 0.02, 0.0)
GAUGES = Gauges(name="invented", scale=0.005, load=0.003, size=2e-5, span=3e-4)


def bench_file(**changes: object) -> BenchFile:
    """A session without pieces or readings."""
    plain = BenchFile(
        title="invented",
        kind="cantilever",
        material="PETG",
        date="2026-05-30",
        spool=Spool(name="grey 3"),
        settings=PrintSettings(orientation="flat"),
        room=Room(temperature=296.15),
        gauges=GAUGES,
    )
    return replace(plain, **changes)


def session(file: BenchFile) -> Session:
    """As if read from a file."""
    return Session(file=file, source="invented.toml", text="invented", digest="0" * 64)


def bar(name: str = "1", width: float = WIDTH, thickness: float = THICKNESS) -> Specimen:
    return Specimen(name=name, width=width, thickness=thickness)


def series_of(
    span: float,
    compliance: float,
    rng: np.random.Generator | None = None,
    noise: float = 0.0,
    specimen: str = "1",
    masses: tuple[float, ...] = MASSES,
    **more: object,
) -> Series:
    """Readings on the line of a compliance (m/N), with noise (m)."""
    moved = np.array(masses) * GRAVITY * compliance + 1e-4
    if rng is not None:
        moved = moved + noise * rng.standard_normal(len(masses))
    readings = tuple(Reading(mass=m, read=float(r)) for m, r in zip(masses, moved, strict=True))
    return Series(specimen=specimen, span=span, readings=readings, **more)


def cantilever(span: float, E: float, width: float, thickness: float, ratio: float) -> float:
    """Tip compliance of a bar, m/N, written out anew: bending and shear."""
    second = width * thickness**3 / 12
    return span**3 / (3 * E * second) + 1.2 * span * ratio / (E * width * thickness)


def simulated_bench(rng: np.random.Generator, pieces: int, ratio: float) -> tuple[BenchFile, float]:
    """A bench where everything that is uncertain is wrong by chance, and the spool's true modulus.

    Scatter from piece to piece is itself drawn around the usual one.
    """
    E = float(rng.uniform(1.5e9, 4e9))
    scatter = 0.03 * np.sqrt(6 / rng.chisquare(6))
    load, gauge = 1 + 0.003 * rng.standard_normal(), 1 + 0.005 * rng.standard_normal()
    spans = {s: s + 3e-4 * rng.standard_normal() for s in (0.06, 0.12)}
    true_ratio = ratio * (1 + 0.15 * rng.standard_normal())
    specimens, series = [], []
    for p in range(pieces):
        own = E * (1 + scatter * rng.standard_normal())
        clamp = rng.uniform(0.0, 0.2)
        width, thickness = WIDTH, THICKNESS * rng.uniform(0.97, 1.03)
        measured = (x + 2e-5 * rng.standard_normal() for x in (width, thickness))
        specimens.append(bar(str(p), *measured))
        for nominal, true in spans.items():
            compliance = cantilever(true, own, width, thickness, true_ratio) + clamp * true**2
            seen = compliance * load / gauge
            series.append(series_of(nominal, seen, rng, 5e-6, str(p)))
    return bench_file(specimen=tuple(specimens), series=tuple(series)), E
