"""What an arm on the bench should show, written down before it is printed; and what it did show."""

import hashlib
import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import hypot, sqrt

import numpy as np

from refledge.analysis.arm_model import ArmClamp, ArmLoads, ArmMaterial, ArmResults, ArmShape
from refledge.analysis.arms import evaluate_arms
from refledge.analysis.fill import printed_volume
from refledge.bench.counting import STIFFNESS_SCATTER, piece_scatter
from refledge.bench.learning import ODD
from refledge.bench.series import GRAVITY, reduce_series
from refledge.bench.stiffness import ARM_MODEL
from refledge.errors import AnalysisError
from refledge.model.bench import ArmPiece, BenchFile
from refledge.model.learning import Prediction
from refledge.model.materials import MaterialCard
from refledge.model.parts import ArmDesign
from refledge.model.recordings import MeasuredMode

MASS_MODEL = 0.03
"""Relative standard uncertainty of a printed mass beside the density's: extrusion and infill as
sliced; from memory, typical."""
SAME_SPAN = 0.01
"""Relative; a span farther off than this is not the one that was predicted: ours."""
FIRST_MODE = "first mode up and down"
MASS = "mass"
_TIP = re.compile(r"(?P<piece>.*): tip deflection under (?P<mass>\S+) g, (?P<span>\S+) mm out")


@dataclass(frozen=True)
class Found:
    """A figure of a test that answers a prediction."""

    name: str
    """The prediction's."""
    value: float
    uncertainty: float
    note: str


def arm_piece(arm: ArmDesign) -> ArmPiece:
    """A designed arm as a piece on the bench, its root block held whole."""
    names = (
        "family", "length", "width", "depth_root", "depth_tip", "root_length", "tenon_length",
        "side", "top", "bottom", "pitch", "web", "bore",
    )  # fmt: skip
    return ArmPiece(held=arm.root_length, **{name: getattr(arm, name) for name in names})


def bench_span(piece: ArmPiece) -> float:
    """Edge of the clamp to the motor axis, m."""
    return piece.length - piece.tenon_length / 2 - piece.held


def on_the_bench(
    piece: ArmPiece, card: MaterialCard, force: float = 1.0, tip_mass: float = 0.0
) -> ArmResults:
    """The arm by the beam model that sizing uses, dry and at 23 degC, its root held rigidly."""
    names = [n for n in ArmShape.__dataclass_fields__ if n not in ("family", "held")]
    shape = ArmShape(**{name: getattr(piece, name) for name in names})
    plastic = ArmMaterial(
        E=card.E_xy.value, G=card.G_xz.value, rho=card.rho.value, nu=card.nu.value
    )
    loads = ArmLoads(force_z=force, tip_mass=tip_mass)
    return evaluate_arms(piece.family, shape, plastic, loads, ArmClamp(x=piece.held))


def tenon_saving(piece: ArmPiece, rho: float, skin: float, infill: float) -> float:
    """kg by which infill makes the tenon lighter than solid; ``skin`` its solid shell, m.

    The tenon swings at the tip; the root block, which saves as well, is held.
    """
    length, width, depth = piece.tenon_length, piece.width, piece.depth_tip
    volume = length * (width * depth - np.pi / 4 * piece.bore**2)
    area = 2 * (length * width + length * depth + width * depth) + np.pi * piece.bore * length
    return rho * float(volume - printed_volume(volume, area, skin, infill))


def predict_arm(
    name: str,
    piece: ArmPiece,
    card: MaterialCard,
    load: float,
    mass: float,
    basis: str,
    saving: float = 0.0,
) -> tuple[Prediction, ...]:
    """Tip deflection under ``load`` (kg), first frequency of the bare arm, ``mass`` (kg) as given.

    ``saving``: mass that the tip lacks beside the solid arm of the beam model, kg.
    A frequency goes with sqrt(k / m): half the spread of stiffness and of density together.
    """
    found = on_the_bench(piece, card, load * GRAVITY, -saving)
    stiff = hypot(card.E_xy.spread, ARM_MODEL[1])
    heavy = hypot(card.rho.spread, MASS_MODEL)
    tip, hertz = float(found.deflection_z[0]), float(found.frequency_vertical[0])
    where = tip_name(name, load, bench_span(piece))
    return (
        Prediction(where, tip, tip * stiff, "m", basis),
        Prediction(f"{name}: {FIRST_MODE}", hertz, hertz * hypot(stiff, heavy) / 2, "Hz", basis),
        Prediction(f"{name}: {MASS}", mass, mass * heavy, "kg", basis),
    )


def piece_name(what: str, piece: ArmPiece, card: MaterialCard, title: str) -> str:
    """A name that differs wherever piece, plastic or what is known of it differ."""
    known = (card.E_xy.value, card.E_xy.spread, card.G_xz.value, card.rho.value, card.rho.spread)
    digest = hashlib.sha256(repr((piece, card.key, known)).encode()).hexdigest()
    return f"{title.replace(':', ',')}, {what}, {card.key}, {digest[:6]}"


def tip_name(piece: str, load: float, span: float) -> str:
    """Name of the prediction of a deflection: load (kg) and span (m) stand in it."""
    return f"{piece}: tip deflection under {1e3 * load:g} g, {1e3 * span:.1f} mm out"


def answers(file: BenchFile, predictions: Sequence[Prediction]) -> tuple[Found, ...]:
    """What one session says to the predictions of its piece: deflection and mass."""
    found = []
    for each in predictions:
        tip = _TIP.fullmatch(each.name)
        if tip and file.kind == "cantilever" and file.series:
            load, span = float(tip["mass"]) / 1e3, float(tip["span"]) / 1e3
            found.append(replace(measured_tip(file, load * GRAVITY, span), name=each.name))
        if each.name.endswith(f": {MASS}") and any(s.mass for s in file.specimen):
            found.append(replace(_mass(file), name=each.name))
    return tuple(found)


def answer_of_taps(modes: Sequence[MeasuredMode], prediction: Prediction) -> Found:
    """The mode heard that lies nearest to the predicted first one."""
    if not modes:
        raise AnalysisError("no mode was heard that could be held against the prediction")
    near = min(modes, key=lambda m: abs(np.log(m.frequency / prediction.value)))
    return Found(prediction.name, near.frequency, near.uncertainty, "nearest mode heard")


def measured_tip(file: BenchFile, force: float, span: float) -> Found:
    """Mean deflection of the pieces under ``force`` (N), the clamp's give taken out by the bar."""
    series = [s for s in file.series if s.bar == "piece"]
    near = [s for s in series if abs(s.span / span - 1) <= SAME_SPAN]
    if not near:
        spans = ", ".join(f"{1e3 * s.span:.1f} mm" for s in series)
        raise AnalysisError(
            f"predicted for {1e3 * span:.1f} mm from clamp to load, read at {spans}; "
            "hang the weight at the predicted place"
        )
    clamp = _clamp(file)
    lines = [reduce_series(s, s.specimen) for s in near]
    give = np.array([x.compliance - clamp * s.span**2 for x, s in zip(lines, near, strict=True)])
    own = [x.uncertainty / x.compliance for x in lines]
    scatter = piece_scatter(give, STIFFNESS_SCATTER).uncertainty
    gauges = hypot(file.gauges.scale, file.gauges.load, 3 * file.gauges.span / span)
    relative = hypot(scatter, gauges, float(np.sqrt(np.mean(np.square(own)) / len(own))))
    value = force * float(np.mean(give))
    held = "clamp taken out by the stiff bar" if file.stiff else "the clamp's give is still in it"
    return Found("", value, value * relative, held)


def _clamp(file: BenchFile) -> float:
    """Give of the clamp, rad/(N m), from the stiff bar at its longest span; 0 without one."""
    stiff = [s for s in file.series if s.bar == "stiff"]
    if not stiff or file.stiff is None:
        return 0.0
    longest = max(stiff, key=lambda s: s.span)
    bar = file.stiff
    second = bar.width * bar.thickness**3 / 12
    bent = longest.span**3 / (3 * bar.E * second)
    return (reduce_series(longest, "stiff bar").compliance - bent) / longest.span**2


def _mass(file: BenchFile) -> Found:
    """Mean mass of the pieces; their scatter stands for all that differs between prints."""
    masses = np.array([s.mass for s in file.specimen if s.mass])
    scatter = piece_scatter(masses, MASS_MODEL).uncertainty
    value = float(np.mean(masses))
    return Found("", value, value * hypot(scatter, file.gauges.load), f"{len(masses)} weighed")


def with_spread(
    modes: Sequence[tuple[str, float]], card: MaterialCard
) -> tuple[tuple[str, float, float], ...]:
    """Predicted modes (label, Hz) with standard uncertainties: half that of stiffness and mass."""
    relative = sqrt(card.E_xy.spread**2 + ARM_MODEL[1] ** 2 + card.rho.spread**2) / 2
    return tuple((label, hertz, hertz * relative) for label, hertz in modes)


def off_prediction(z: Sequence[float]) -> bool:
    """Whether any score lies beyond what is deserving of a word; those not a number say nothing."""
    return any(abs(each) > ODD for each in z)
