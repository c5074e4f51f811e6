"""What the bench found, in lines of plain text; no physics."""

from collections.abc import Iterator, Sequence
from math import isnan

from refledge.model.bench_results import Finding, Measured, Reduction
from refledge.model.comparing import Candidate, Ranked
from refledge.model.learning import Calibration, Learned, Prediction, Score
from refledge.model.recordings import ModeMatch, TapResult, VibrationResult
from refledge.units import show

_SHOWN = {
    "Pa": "MPa", "kg/m**3": "kg/m**3", "kg": "g", "m": "mm", "N/m": "N/m", "N": "N", "1": "1",
    "s": "min",
}  # fmt: skip
_TITLES = {
    "E_xy": "modulus in the plane of the layers",
    "E_z": "modulus across the layers",
    "G_xz": "shear modulus between layers",
    "G_torsion": "shear modulus in torsion, both kinds mixed",
    "stiffness": "stiffness at the load",
    "rho": "printed density",
    "creep_factor": "modulus left after ten minutes under load",
    "strength_z": "strength across the layers",
    "strength_xy": "strength in the plane of the layers",
    "shear_z": "shear strength of a layer boundary",
    "damping": "damping",
    "G_oblong": "shear modulus in torsion of an oblong bar (no card learns from it)",
}
_INSERT = "insert_pull_out "
PROP_UNITS = {
    "E_xy": "Pa", "E_z": "Pa", "G_xz": "Pa", "G_torsion": "Pa", "rho": "kg/m**3",
    "strength_xy": "Pa", "strength_z": "Pa", "shear_z": "Pa",
}  # fmt: skip
"""Of the figures of a material card that learn; the others are plain numbers."""
_LARGE = 5


def amount(value: float, unit: str, digits: int = 4) -> str:
    """A figure in the trade's unit; a unit of several letters stays as it is."""
    shown = _SHOWN.get(unit)
    words = show(value, unit, shown, digits) if shown else f"{value:.{digits}g} {unit}"
    return words.replace("**3", "³").replace("m/s2", "m/s²")


def prop_title(prop: str) -> str:
    """What a measured property is, in words."""
    if prop.startswith(_INSERT):
        return f"pull-out of an {prop.removeprefix(_INSERT)} insert"
    return _TITLES.get(prop, prop)


def prop_unit(prop: str) -> str:
    """SI unit of a figure that a card learns."""
    return "N" if prop.startswith(_INSERT) else PROP_UNITS.get(prop, "1")


def score_words(score: Score) -> tuple[str, str, str, str]:
    """A prediction beside its test: what, predicted, measured, z."""
    p = score.prediction
    wanted = f"{amount(p.value, p.unit, 3)} ± {p.uncertainty / p.value:.0%}"
    share = score.measured_uncertainty / abs(score.measured)
    return (p.name, wanted, f"{amount(score.measured, p.unit, 3)} ± {share:.0%}", f"{score.z:+.1f}")


def score_lines(scores: Sequence[Score]) -> Iterator[str]:
    """Predictions made before, and what came."""
    for each in scores:
        name, wanted, measured, z = score_words(each)
        yield f"  {name}: predicted {wanted}, measured {measured}, z {z}"


def reduction_lines(found: Reduction) -> Iterator[str]:
    """Figures with their intervals, what is behind them, what to look at."""
    yield f"{found.title} ({found.material}, spool {found.spool}, {found.date})"
    for each in found.measured:
        yield from _measured_lines(each)
    yield from (f"  {name}: {amount(value, unit)}" for name, value, unit in found.figures)
    yield from finding_lines(found.findings)


def _measured_lines(m: Measured) -> Iterator[str]:
    yield f"  {prop_title(m.prop)}: {amount(m.value, m.unit)}"
    yield (
        f"    95 % between {amount(m.carlo_low, m.unit)} and {amount(m.carlo_high, m.unit)} "
        f"({m.relative:.1%} standard uncertainty, {m.pieces} pieces; {m.method})"
    )
    shares = ", ".join(f"{name} {share:.0%}" for name, share in m.shares[:_LARGE])
    if shares:
        yield f"    most of it from {shares}"


def finding_lines(findings: Sequence[Finding]) -> Iterator[str]:
    """Grave ones first, marked."""
    for each in sorted(findings, key=lambda f: not f.grave):
        yield f"  {'! ' if each.grave else '- '}{each.words}"


def learned_lines(rows: Sequence[Learned]) -> Iterator[str]:
    """Literature against measured."""
    for r in rows:
        unit = prop_unit(r.prop)
        now = amount(r.value, unit)
        card = "no card foretells it"
        if not isnan(r.literature):
            card = f"card {amount(r.literature, unit)} (spread {r.literature_spread:.1%})"
        measured = "not measured" if isnan(r.measured) else f"measured {amount(r.measured, unit)}"
        yield (
            f"  {prop_title(r.prop)}: {card}, {measured}, "
            f"now {now} (spread {r.spread:.1%}); {r.words}"
        )


def learned_row(r: Learned) -> tuple[str, str, str, str, str]:
    """One figure of a card: what it is, literature, measured, used now, how they compare."""
    unit = prop_unit(r.prop)
    measured = "–" if isnan(r.measured) else _spread(r.measured, unit, r.measured_spread)
    literature = "–" if isnan(r.literature) else _spread(r.literature, unit, r.literature_spread)
    return (prop_title(r.prop), literature, measured, _spread(r.value, unit, r.spread), r.words)


def _spread(value: float, unit: str, spread: float) -> str:
    return f"{amount(value, unit, 3)} ± {spread:.1%}"


def tap_lines(found: TapResult, matches: Sequence[ModeMatch] = ()) -> Iterator[str]:
    """Modes heard, and predicted ones beside them."""
    yield f"{len(found.taps)} taps; {found.window}; resolution {found.resolution:.2f} Hz"
    for m in found.modes:
        note = f"; {m.note}" if m.note else ""
        half, decrement = percent_or_not(m.half_power), percent_or_not(m.log_decrement)
        yield (
            f"  {m.frequency:.2f} Hz ± {m.uncertainty:.2f}, damping {m.damping:.2%} (half power "
            f"{half}, decrement {decrement}), confidence {m.confidence:.0%}{note}"
        )
    for each in matches:
        if isnan(each.measured):
            yield f"  {each.label}: {each.predicted:.1f} Hz predicted, nothing heard near it"
        else:
            yield (
                f"  {each.label}: {each.predicted:.1f} Hz predicted, {each.measured:.1f} measured "
                f"({each.difference:+.1%}, z {each.z:+.1f})"
            )
    yield from finding_lines(found.findings)


def percent_or_not(value: float) -> str:
    """A damping, or that it cannot be said."""
    return "cannot say" if isnan(value) else f"{value:.2%}"


def vibration_lines(found: VibrationResult) -> Iterator[str]:
    """Where the shaking comes from."""
    yield f"{found.rms:.2f} m/s2 in all"
    for line in found.lines:
        yield (
            f"  {line.name}: {line.frequency:.1f} Hz, {line.rms:.2f} m/s2, {line.share:.0%} of "
            f"the energy, {line.follows}"
        )
    yield from finding_lines(found.findings)


def prediction_lines(predictions: Sequence[Prediction]) -> Iterator[str]:
    """What was predicted, without the piece's name."""
    for each in predictions:
        what = each.name.split(": ", 1)[-1]
        yield f"{what}: {amount(each.value, each.unit, 3)} ± {each.uncertainty / each.value:.0%}"


def ranking_lines(places: Sequence[Ranked], title: str) -> Iterator[str]:
    """Places with their confidence."""
    yield title
    for i, each in enumerate(places, 1):
        yield f"  {i}. {each.words} (best of all with {each.best:.0%})"


def candidate_lines(candidates: Sequence[Candidate]) -> Iterator[str]:
    """Side by side: stiffness predicted and measured, mass, heat, creep, price, print time."""
    for c in candidates:
        parts = [
            f"E {amount(c.E[0], 'Pa')} ± {c.E[1]:.0%}",
            f"density {amount(c.rho[0], 'kg/m**3')} ± {c.rho[1]:.0%}",
            *_pair("predicted stiffness", c.predicted_stiffness, "N/m"),
            *_pair("measured stiffness", c.measured_stiffness, "N/m"),
            *_pair("mass", c.mass, "kg"),
            *_plain("soft above", c.heat_limit, "K", "degC"),
            *_plain("left after ten minutes' load", c.creep_factor, "1", "1"),
            *_price("price a kg", c.price),
            *_pair(f"print time of {c.piece} (estimate)", c.print_time, "s", 3),
            *_price("its plastic costs", c.piece_price),
        ]
        yield f"  {c.name}: {', '.join(parts)}"


def _pair(name: str, figure: tuple[float, float] | None, unit: str, digits: int = 4) -> list[str]:
    return [] if figure is None else [f"{name} {amount(figure[0], unit, digits)} ± {figure[1]:.0%}"]


def _price(name: str, value: float) -> list[str]:
    return [] if isnan(value) else [f"{name} {value:.2f}"]


def _plain(name: str, value: float, unit: str, shown: str) -> list[str]:
    return [] if isnan(value) else [f"{name} {show(value, unit, shown)}"]


def calibration_lines(found: Calibration) -> Iterator[str]:
    """How honest the uncertainties have been."""
    yield (
        f"{found.count} predictions scored: {found.within_68:.0%} within one and "
        f"{found.within_95:.0%} within two standard deviations (68 % and 95 % wanted); "
        f"{found.words}"
    )
