"""A session of readings to properties: the one door to all kinds of tests."""

from collections.abc import Callable
from functools import partial
from math import isfinite

import numpy as np

from refledge.bench import plain_tests
from refledge.bench.counting import STIFFNESS_SCATTER, piece_scatter
from refledge.bench.creep import creep_factor, creep_findings, fit_creep
from refledge.bench.learning import insert_prop
from refledge.bench.pieces import outer_strain
from refledge.bench.series import Line, reduce_series
from refledge.bench.stiffness import (
    ARM_MODEL,
    REFERENCE_TEMPERATURE,
    Bench,
    Found,
    find_modulus,
    ratio_input,
    set_up,
)
from refledge.bench.uncertainty import DRAWS, Input, Propagated, propagate
from refledge.model.bench import BenchFile, Series, Session, Specimen
from refledge.model.bench_results import Finding, Measured, Reduction
from refledge.model.materials import MaterialCard
from refledge.typed import Floats

Outcome = tuple[list[Measured], list[Finding], plain_tests.Figures]

LARGE = 0.1
"""Deflection over span beyond which the beam's equations err by more than 1 % (elastica)."""
STRAIN_LIMIT = 0.0025
"""Outer-fibre strain at the upper end of the modulus range of ISO 178 (recalled)."""
SQUARE = 0.05
"""Relative difference of a bar's sides up to which it counts as square: ours; its shares of the two
shear moduli in torsion then differ by a few per cent."""
WARM_BY = 5.0
"""K off 23 degC that is worth a word: ours."""


def reduce_session(
    session: Session,
    card: MaterialCard,
    draws: int = DRAWS,
    arm_model: tuple[float, float] = ARM_MODEL,
) -> Reduction:
    """Properties, findings and figures of one session; ``card`` gives E/G, which matters little.

    ``arm_model``: deflection of the tested arm by a solid model over that by the beam model, and
    the relative standard uncertainty of that ratio.
    """
    file = session.file
    reducers: dict[str, Callable[[BenchFile, MaterialCard, int], Outcome]] = {
        "creep": _creep,
        "density": _density,
        "layer-pull": _pull,
        "insert-pull": _pull,
    }
    bent = partial(_bent, arm_model=arm_model)
    measured, found, figures = reducers.get(file.kind, bent)(file, card, draws)
    return Reduction(
        title=file.title,
        kind=file.kind,
        material=file.material,
        spool=file.spool.name,
        orientation=file.settings.orientation,
        date=file.date,
        gauges=file.gauges.name,
        measured=tuple(measured),
        findings=(*found, *_room(file)),
        figures=tuple(figures),
        accepted=file.accepted,
    )


def property_of(file: BenchFile) -> str:
    """Field of the material card that a bending or torsion test speaks of.

    Layers of an upright piece lie across its length. Torsion of a flat bar shears both within and
    between layers, so its modulus stays a name of its own: in equal parts where the section is
    alike both ways (a square bar, a tube), from which the card learns; otherwise in parts that
    depend on the section, from which it does not.
    """
    upright = file.settings.orientation == "upright"
    if file.kind == "torsion":
        if upright:
            return "G_xz"
        return "G_torsion" if all(_alike_both_ways(s) for s in file.specimen) else "G_oblong"
    return "E_z" if upright else "E_xy"


def _alike_both_ways(piece: Specimen) -> bool:
    """A round tube, or a bar that is nearly square."""
    if piece.shape == "tube" or not (piece.width and piece.thickness):
        return True
    return abs(piece.thickness / piece.width - 1.0) <= SQUARE


def _bent(
    file: BenchFile, card: MaterialCard, draws: int, arm_model: tuple[float, float]
) -> Outcome:
    lines = _lines(file)
    found = [f for line in lines for f in line.findings]
    figures = _line_figures(lines)
    if any(s.shape == "other" for s in file.specimen):
        return [_stiffness(file, lines, draws)], found, figures
    bench = set_up(file, lines, file.kind)
    name = property_of(file)
    modulus = find_modulus(file, bench, _ratio(card, name), draws, arm_model)
    found += [*_clamp(bench, modulus), *_strains(bench)]
    if file.settings.infill < 1:
        words = "the pieces have infill: the modulus is that of the piece, not of the plastic"
        found.append(Finding("infill", True, words))
    figures += [
        (f"modulus of piece {n} at 23 degC", float(m), "Pa")
        for n, m in zip(bench.names, modulus.pieces, strict=True)
    ]
    method = "closed form with shear, clamp " + _CLAMP_WORDS[bench.clamp]
    if any(s.shape == "arm" for s in file.specimen):
        method = f"beam model of the arm, clamp {_CLAMP_WORDS[bench.clamp]}"
    done = _measured(name, "Pa", modulus.result, len(bench.names), method)
    return [done], [*found, *_agreement(done)], figures


_CLAMP_WORDS = {
    "own": "taken out by a second span of each piece",
    "shared": "taken out by a stiff bar",
    "none": "not taken out",
}


def _lines(file: BenchFile) -> list[Line]:
    return [reduce_series(s, _name(s, i)) for i, s in enumerate(file.series, 1)]


def _name(series: Series, number: int) -> str:
    what = "stiff bar" if series.bar == "stiff" else f"piece {series.specimen}"
    return f"series {number} ({what}, {series.span * 1e3:g} mm)"


def _line_figures(lines: list[Line]) -> plain_tests.Figures:
    figures: plain_tests.Figures = []
    for line in lines:
        figures.append((f"stiffness, {line.name}", 1 / line.compliance, "N/m"))
        figures.append((f"scatter of a reading, {line.name}", line.residual, "m"))
    return figures


def _ratio(card: MaterialCard, name: str) -> Input:
    E = card.E_z if name == "E_z" else card.E_xy
    return ratio_input(E.value, card.G_xz.value, card.G_xz.spread)


def _stiffness(file: BenchFile, lines: list[Line], draws: int) -> Measured:
    """Of pieces whose section is not known: load over deflection at the load."""
    g = file.gauges
    inputs = [Input(x.name, x.compliance, x.uncertainty, x.dof) for x in lines]
    if len(lines) > 1:
        inputs = [Input(x.name, x.value, 0.0) for x in inputs]
    k = np.array([1 / x.compliance for x in lines])
    inputs.append(piece_scatter(k, STIFFNESS_SCATTER))
    inputs.append(Input("weights", 1.0, g.load, shared=True))
    inputs.append(Input("gauge", 1.0, g.scale, shared=True))

    def mean(x: Floats) -> Floats:
        return np.asarray((1 / x[:-3]).mean(axis=0) * (1 + x[-3]) * x[-2] / x[-1])

    result = propagate(mean, inputs, draws)
    return _measured("stiffness", "N/m", result, len(lines), "load over deflection, clamp included")


def _creep(file: BenchFile, _card: MaterialCard, draws: int) -> Outcome:
    law = fit_creep(file)
    factor = creep_factor(law, draws)
    done = _measured("creep_factor", "1", factor, len(file.series), f"{law.name} law")
    figures: plain_tests.Figures = [
        ("c0, at once", law.c0, "m/N"),
        ("A, creep at 1 s", law.A, "m/(N^q s^p)"),
        ("q, exponent of load", law.q, "1"),
        ("p, exponent of time", law.p, "1"),
        ("trusted until", law.trusted_until, "s"),
    ]
    return [done], [*creep_findings(law), *_agreement(done)], figures


def _density(file: BenchFile, _card: MaterialCard, draws: int) -> Outcome:
    rho = plain_tests.density(file, draws)
    pieces = len(file.specimen)
    done = _measured("rho", "kg/m**3", rho, pieces, "mass over measured size")
    figures: plain_tests.Figures = []
    if file.filament_density is not None:
        error = plain_tests.extrusion(rho, file.filament_density)
        figures.append(("extrusion error", error.value, "1"))
        figures.append(("its standard uncertainty", error.uncertainty, "1"))
    return [done], _agreement(done), figures


def _pull(file: BenchFile, _card: MaterialCard, draws: int) -> Outcome:
    pieces = len(file.specimen)
    figures, found = plain_tests.pull_figures(file)
    if file.kind == "insert-pull":
        result = plain_tests.insert_strength(file, draws)
        done = _measured(insert_prop(file.insert), "N", result, pieces, "load at pull-out")
    else:
        result = plain_tests.layer_strength(file, draws)
        done = _measured("strength_z", "Pa", result, pieces, "load at break over the neck's area")
    return [done], found, figures


def _measured(prop: str, unit: str, p: Propagated, pieces: int, method: str) -> Measured:
    return Measured(
        prop=prop,
        unit=unit,
        value=p.value,
        uncertainty=p.uncertainty,
        dof=p.dof,
        low=p.low,
        high=p.high,
        carlo_uncertainty=p.carlo_uncertainty,
        carlo_low=p.carlo_low,
        carlo_high=p.carlo_high,
        agree=p.agree,
        shares=p.shares,
        systematic=p.shared / abs(p.value),
        pieces=pieces,
        method=method,
    )


def _agreement(done: Measured) -> list[Finding]:
    if done.agree:
        return []
    apart = max(abs(done.low - done.carlo_low), abs(done.high - done.carlo_high))
    part = apart / (done.high - done.low)
    words = (
        f"{done.prop}: an end of the interval moves by {part:.0%} of its length from the law of "
        "propagation to Monte Carlo (a crooked model, or few readings behind it); the Monte Carlo "
        "interval is the one to use"
    )
    return [Finding("propagation", False, words)]


def _clamp(bench: Bench, modulus: Found) -> list[Finding]:
    if bench.clamp == "none":
        words = (
            "the clamp's give is still in the modulus, which is therefore a lower bound: read "
            "at a second span, or put a stiff bar in the piece's place"
        )
        return [Finding("clamp", True, words)]
    first = max(range(len(bench.lines)), key=lambda i: bench.lines[i].compliance)
    c = float(np.max(modulus.clamp))
    base = bench.spans[first] ** 2 if bench.kind == "cantilever" else 1.0
    share = c * base * bench.factor[first] / bench.lines[first].compliance
    words = f"the clamp gave {share:.1%} of the deflection in {bench.lines[first].name}; taken out"
    found = [Finding("clamp", bool(share > 0.3), words)]
    if np.min(modulus.clamp) < 0 and share < -0.02:
        words = "the clamp comes out springy the wrong way: check spans and thickness"
        found.append(Finding("clamp", True, words))
    return found


def _strains(bench: Bench) -> list[Finding]:
    found = []
    for line, span, o in zip(bench.lines, bench.spans.tolist(), bench.owner, strict=True):
        if o < 0 or bench.kind == "torsion":
            continue
        strain = outer_strain(bench.kind, line.deflection, span, bench.models[o].thickness)
        if strain > STRAIN_LIMIT:
            words = f"{line.name}: strain up to {strain:.2%}, beyond {STRAIN_LIMIT:.2%} (ISO 178)"
            found.append(Finding("strain", strain > 4 * STRAIN_LIMIT, words))
        if abs(line.deflection) > LARGE * span:
            words = f"{line.name}: deflection over a tenth of the span; load it less"
            found.append(Finding("strain", True, words))
    return found


def _room(file: BenchFile) -> list[Finding]:
    off = file.room.temperature - REFERENCE_TEMPERATURE
    if not isfinite(off) or abs(off) <= WARM_BY:
        return []
    words = (
        f"the room was {off:+.0f} K off 23 degC; moduli are brought to 23 degC by 0.4 % a kelvin"
    )
    return [Finding("warm", False, words)]
