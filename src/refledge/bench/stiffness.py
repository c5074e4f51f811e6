"""From lines to a modulus: the clamp taken out, the very piece modelled, uncertainty both ways."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot, inf

import numpy as np

from refledge.bench.counting import STIFFNESS_SCATTER, piece_scatter
from refledge.bench.pieces import PieceModel, piece_model, stiff_model
from refledge.bench.series import Line
from refledge.bench.uncertainty import DRAWS, Input, Propagated, linear_parts, propagate
from refledge.errors import AnalysisError
from refledge.model.bench import BenchFile, Series
from refledge.typed import Floats

REFERENCE_TEMPERATURE = 296.15
"""K, 23 degC (ISO 291), at which material cards hold."""
SOFTENING = Input("softening with temperature", 0.004, 0.002, shared=True)
"""1/K, fall of stiffness per kelvin of glassy plastics: from memory, typical."""
LEAST_SPAN_RATIO = 1.2
"""Spans nearer than this cannot tell the clamp from the piece; ours."""


ARM_MODEL = (1.0, 0.05)
"""Deflection of the very arm over what the beam model says, and its relative standard uncertainty:
ours for a beam model alone; give the ratio from a solid model where there is one."""
LEAST_DOUBT = 0.002
"""Relative; no series outweighs others by more than its span and model can be trusted: ours."""


@dataclass(frozen=True, eq=False)
class Bench:
    """All series of one session with their models."""

    kind: str
    lines: tuple[Line, ...]
    spans: Floats
    """(r,), m."""
    factor: Floats
    """(r,), m2: lever times pointer in torsion; ones otherwise."""
    owner: tuple[int, ...]
    """Index of the piece of each series; -1: the stiff bar."""
    models: tuple[PieceModel, ...]
    """One for each piece; the stiff bar's last, where there is one."""
    names: tuple[str, ...]
    clamp: str
    """own (each piece's, from its spans), shared (from the stiff bar), or none."""


def set_up(file: BenchFile, lines: Sequence[Line], kind: str) -> Bench:
    """Series, models and how the clamp can be found."""
    used = [s for s in file.specimen if any(_is_of(x, s.name) for x in file.series)]
    models = [piece_model(kind, s, file.arm) for s in used]
    names = [s.name for s in used]
    if file.stiff is not None:
        models.append(stiff_model(kind, file.stiff))
    owner = tuple(-1 if s.bar == "stiff" else names.index(s.specimen) for s in file.series)
    spans = np.array([s.span for s in file.series])
    factor = np.array([(s.lever or 1.0) * (s.pointer or 1.0) for s in file.series])
    clamp = _clamp(owner, spans, len(names))
    return Bench(kind, tuple(lines), spans, factor, owner, tuple(models), tuple(names), clamp)


def _is_of(series: Series, name: str) -> bool:
    return series.bar == "piece" and series.specimen == name


def _clamp(owner: tuple[int, ...], spans: Floats, pieces: int) -> str:
    if -1 in owner:
        return "shared"
    own = [spans[[i == p for i in owner]] for p in range(pieces)]
    wide = [bool(np.max(s) >= LEAST_SPAN_RATIO * np.min(s)) for s in own]
    return "own" if all(wide) else "none"


def basis(bench: Bench, span: Floats) -> Floats:
    """Compliance of the clamp at ``span`` per unit of its own: L^2 turns it into deflection.

    A clamp lets the root turn (cantilever), supports and frame sink (three-point), grips twist.
    """
    return span**2 if bench.kind == "cantilever" else np.ones_like(span)


def moduli(
    bench: Bench,
    compliance: Floats,
    sizes: Sequence[Floats],
    spans: Floats,
    ratio: Floats,
    stiff_E: Floats,
) -> tuple[Floats, Floats]:
    """Modulus of each piece (p, m), and the clamp (p, m), from (r, m) compliances and spans."""
    w = np.array([_weight(line) for line in bench.lines])
    pieces = len(bench.names)
    give = np.array(
        [
            bench.factor[i] * bench.models[o].give(sizes[o], spans[i], ratio)
            for i, o in enumerate(bench.owner)
        ]
    )
    phi = bench.factor[:, None] * np.array([basis(bench, each) for each in spans])
    shared = np.zeros_like(compliance[0])
    if bench.clamp == "shared":
        at = [i for i, o in enumerate(bench.owner) if o == -1]
        rest = compliance[at] - give[at] / stiff_E
        scale = w[at][:, None]
        shared = np.sum(scale * phi[at] * rest, axis=0) / np.sum(scale * phi[at] ** 2, axis=0)
    M, c = np.empty((pieces, compliance.shape[1])), np.empty((pieces, compliance.shape[1]))
    for p in range(pieces):
        at = [i for i, o in enumerate(bench.owner) if o == p]
        C, g, f, k = compliance[at], give[at], phi[at], w[at][:, None]
        if bench.clamp == "own":
            gg, gf, ff = (np.sum(k * a * b, axis=0) for a, b in ((g, g), (g, f), (f, f)))
            gC, fC = np.sum(k * g * C, axis=0), np.sum(k * f * C, axis=0)
            M[p] = (gg * ff - gf**2) / (ff * gC - gf * fC)
            c[p] = (gg * fC - gf * gC) / (gg * ff - gf**2)
        else:
            c[p] = shared
            M[p] = np.sum(k * g * g, axis=0) / np.sum(k * g * (C - f * shared), axis=0)
    return M, c


def _weight(line: Line) -> float:
    """Weight of one series among others of its piece, 1/(m/N)^2."""
    return 1 / (line.uncertainty**2 + (LEAST_DOUBT * line.compliance) ** 2)


@dataclass(frozen=True, eq=False)
class Found:
    """A modulus, and what it is made of."""

    result: Propagated
    pieces: Floats
    """(p,), modulus of each piece at 23 degC, Pa."""
    clamp: Floats
    """(p,), clamp compliance: 1/(N m) for a cantilever, m/N otherwise."""


def find_modulus(
    file: BenchFile,
    bench: Bench,
    ratio: Input,
    draws: int = DRAWS,
    arm_model: tuple[float, float] = ARM_MODEL,
) -> Found:
    """Mean modulus of the pieces at 23 degC.

    One piece: everything that was read or measured is propagated. Several: what differs from piece
    to piece (readings, sizes, the plastic itself) shows in the scatter of their moduli and is taken
    from there (JCGM 100, 4.2.3), pooled with what the usual scatter and the errors of one piece
    would make; only what they share is propagated beside it. The result speaks
    of all pieces that could be printed alike from the spool, so that one piece carries the usual
    scatter too.
    """
    problem = _Problem(file, bench, ratio, arm_model)
    nominal = problem.pieces(np.array([each.value for each in problem.inputs])[:, None])
    M, c = nominal[0][:, 0], nominal[1][:, 0]
    if np.any(M <= 0):
        bad = ", ".join(bench.names[i] for i in np.flatnonzero(M <= 0))
        raise AnalysisError(
            f"no positive modulus for piece {bad}: the clamp gives more than was measured"
        )
    inputs = problem.inputs
    usual = STIFFNESS_SCATTER
    if len(M) > 1:
        _, parts = linear_parts(lambda x: problem.pieces(x)[0].mean(axis=0), inputs)
        own = float(np.sqrt(len(M) * np.sum(parts[np.array(problem.own)] ** 2)) / np.mean(M))
        usual = hypot(usual, own)
        inputs = [_fixed(i, each) for i, each in zip(inputs, problem.own, strict=True)]
    inputs = [*inputs, piece_scatter(M, usual)]

    def mean(x: Floats) -> Floats:
        return np.asarray(problem.pieces(x[:-1])[0].mean(axis=0) * (1 + x[-1]))

    return Found(propagate(mean, inputs, draws), M, c)


def _fixed(each: Input, own: bool) -> Input:
    return Input(each.name, each.value, 0.0) if own else each


class _Problem:
    """The inputs of one bench in a row, and the moduli for (n, m) values of them."""

    def __init__(
        self, file: BenchFile, bench: Bench, ratio: Input, arm_model: tuple[float, float]
    ) -> None:
        self.bench = bench
        self.inputs: list[Input] = []
        self.own: list[bool] = []
        gauges, stiff = file.gauges, file.stiff
        self.warm = file.room.temperature - REFERENCE_TEMPERATURE
        for line, o in zip(bench.lines, bench.owner, strict=True):
            self._add(Input(line.name, line.compliance, line.uncertainty, line.dof), o >= 0)
        self.distinct = sorted(set(bench.spans.tolist()))
        for span in self.distinct:
            name = f"span {span * 1e3:g} mm"
            self._add(Input(name, span, gauges.span, shared=True), False)
        for p, model in enumerate(bench.models):
            whose = f"piece {bench.names[p]}" if p < len(bench.names) else "stiff bar"
            for name, size in zip(model.names, model.sizes, strict=True):
                each = Input(f"{name} of {whose}", float(size), gauges.size)
                self._add(each, p < len(bench.names))
        E, spread = (stiff.E, stiff.spread) if stiff else (1.0, 0.0)
        for each in (
            Input("weights", 1.0, gauges.load, shared=True),
            Input("gauge", 1.0, gauges.scale, shared=True),
            ratio,
            Input("modulus of the stiff bar", E, E * spread, shared=True),
            SOFTENING if self.warm else Input(SOFTENING.name, SOFTENING.value, 0.0),
            _arm_input(file, arm_model),
        ):
            self._add(each, False)

    def _add(self, each: Input, own: bool) -> None:
        self.inputs.append(each)
        self.own.append(own)

    def pieces(self, x: Floats) -> tuple[Floats, Floats]:
        """Moduli at 23 degC and clamps, (p, m) each."""
        r = len(self.bench.lines)
        load, gauge, ratio, stiff_E, softening, arm = x[-6:]
        compliance = x[:r] * gauge / load
        rows = [r + self.distinct.index(s) for s in self.bench.spans.tolist()]
        sizes, at = [], r + len(self.distinct)
        for model in self.bench.models:
            sizes.append(x[at : at + len(model.names)])
            at += len(model.names)
        M, c = moduli(self.bench, compliance, sizes, x[rows], ratio, stiff_E)
        return M * arm / (1 - softening * self.warm), c


def _arm_input(file: BenchFile, arm_model: tuple[float, float]) -> Input:
    """Solid over beam model; bars and tubes in closed form need none."""
    value, spread = arm_model if any(s.shape == "arm" for s in file.specimen) else (1.0, 0.0)
    return Input("model of the arm", value, value * spread, shared=True)


def ratio_input(E: float, G: float, spread: float) -> Input:
    """E/G with the card's relative spread."""
    return Input("E over G", E / G, E / G * spread, inf, shared=True)
