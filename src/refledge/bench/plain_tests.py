"""Density with extrusion error, interlayer pull, insert pull-out: one figure for each piece."""

from collections.abc import Sequence

import numpy as np

from refledge.bench.counting import (
    DENSITY_SCATTER,
    STRENGTH_SCATTER,
    lower_limit,
    mean_of_pieces,
    piece_values,
)
from refledge.bench.uncertainty import DRAWS, Input, Propagated
from refledge.model.bench import BenchFile
from refledge.model.bench_results import Finding
from refledge.typed import Floats

Figures = list[tuple[str, float, str]]


def density(file: BenchFile, draws: int = DRAWS) -> Propagated:
    """Printed density of solid blocks, kg/m3: mass over length, width, thickness."""
    size = file.gauges.size
    pieces = [
        [
            Input(f"mass of {s.name}", s.mass or 0.0, 0.0),
            Input(f"length of {s.name}", s.length or 0.0, size),
            Input(f"width of {s.name}", s.width or 0.0, size),
            Input(f"thickness of {s.name}", s.thickness or 0.0, size),
        ]
        for s in file.specimen
    ]
    return mean_of_pieces(_density, pieces, [_weights(file)], DENSITY_SCATTER, draws)


def extrusion(rho: Propagated, filament: float) -> Input:
    """Printed over filament density less 1: below 0 too little plastic comes out, or voids stay.

    The filament's density is taken from its sheet, trusted to 1 % (from memory, typical).
    """
    relative = float(np.hypot(rho.uncertainty / rho.value, 0.01))
    ratio = rho.value / filament
    return Input("extrusion error", ratio - 1.0, ratio * relative)


def layer_strength(file: BenchFile, draws: int = DRAWS) -> Propagated:
    """Strength across the layers, Pa: load at break over the neck's area."""
    return mean_of_pieces(_stress, _pulled(file), [_weights(file)], STRENGTH_SCATTER, draws)


def insert_strength(file: BenchFile, draws: int = DRAWS) -> Propagated:
    """Pull-out load of an insert, N."""
    pieces = [[Input(f"load of {s.name}", s.break_load or 0.0, 0.0)] for s in file.specimen]
    return mean_of_pieces(_load, pieces, [_weights(file)], STRENGTH_SCATTER, draws)


def pull_figures(file: BenchFile) -> tuple[Figures, list[Finding]]:
    """Least piece, lower limit, and a warning where the pieces are few or scatter much."""
    insert = file.kind == "insert-pull"
    pieces: Sequence[Sequence[Input]] = (
        [[Input("load", s.break_load or 0.0, 0.0)] for s in file.specimen]
        if insert
        else _pulled(file)
    )
    values = piece_values(_load if insert else _stress, pieces, [_weights(file)])
    unit = "N" if insert else "Pa"
    figures: Figures = [("least piece", float(values.min()), unit)]
    found = []
    if len(values) > 1:
        limit = lower_limit(values)
        figures.append(("95 % of pieces exceed, with 95 % confidence", limit, unit))
        if limit <= 0:
            words = f"{len(values)} pieces scatter so much that no lower limit can be told"
            found.append(Finding("few", True, words))
    if len(values) < 5:
        words = f"{len(values)} pieces; strength wants five or more"
        found.append(Finding("few", False, words))
    return figures, found


def _density(x: Floats) -> Floats:
    mass, length, width, thickness, scale = x
    return np.asarray(mass * scale / (length * width * thickness))


def _stress(x: Floats) -> Floats:
    load, width, thickness, scale = x
    return np.asarray(load * scale / (width * thickness))


def _load(x: Floats) -> Floats:
    return np.asarray(x[0] * x[1])


def _pulled(file: BenchFile) -> list[list[Input]]:
    size = file.gauges.size
    return [
        [
            Input(f"load of {s.name}", s.break_load or 0.0, 0.0),
            Input(f"width of {s.name}", s.width or 0.0, size),
            Input(f"thickness of {s.name}", s.thickness or 0.0, size),
        ]
        for s in file.specimen
    ]


def _weights(file: BenchFile) -> Input:
    return Input("weights", 1.0, file.gauges.load, shared=True)
