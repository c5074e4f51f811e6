"""What is compared: arms of readings or of a build, and materials as a session measured them."""

from collections.abc import Sequence
from dataclasses import replace
from math import hypot

import numpy as np

from refledge.bench.comparing import candidate_of
from refledge.bench.predicting import MASS_MODEL, arm_piece, measured_tip, on_the_bench
from refledge.bench.stiffness import ARM_MODEL
from refledge.errors import AnalysisError
from refledge.model.bench import BenchFile
from refledge.model.bench_results import Reduction
from refledge.model.comparing import Candidate
from refledge.model.materials import MaterialCard
from refledge.model.parts import ArmDesign

MODULI = ("E_xy", "E_z")


def is_arm(file: BenchFile) -> bool:
    """Whether a session tells the stiffness of a part rather than of a plastic."""
    return file.kind == "cantilever" and any(s.shape in ("arm", "other") for s in file.specimen)


def arm_of_session(file: BenchFile, card: MaterialCard) -> Candidate:
    """An arm as loaded: stiffness at the load (clamp out where a stiff bar stood in), mass.

    Deflection for one newton at the longest span, so that pieces of unlike spans do not mix.
    """
    spans = [s.span for s in file.series if s.bar == "piece"]
    tip = measured_tip(file, 1.0, max(spans))
    masses = [s.mass for s in file.specimen if s.mass]
    predicted = None
    if file.arm is not None:
        stiffness = 1.0 / float(on_the_bench(file.arm, card).deflection_z[0])
        predicted = (stiffness, hypot(card.E_xy.spread, ARM_MODEL[1]))
    if not masses:
        raise AnalysisError(f"{file.title}: weigh the pieces (mass) to compare arms by mass")
    plastic, mass = candidate_of(card), float(np.mean(masses))
    return replace(
        plastic,
        name=file.title,
        predicted_stiffness=predicted,
        measured_stiffness=(1.0 / tip.value, tip.uncertainty / tip.value),
        mass=(mass, file.gauges.load),
        piece="the arm as weighed",
        piece_price=mass * plastic.price,
    )


def arm_of_build(title: str, arm: ArmDesign, card: MaterialCard, mass: float) -> Candidate:
    """The arm of a design, its root held whole: stiffness by the beam model, of a grown arm by the
    solid; mass as printed."""
    spread = hypot(card.E_xy.spread, ARM_MODEL[1])
    return replace(
        candidate_of(card),
        name=f"{title}: {arm.family} arm, {card.key}",
        predicted_stiffness=(1.0 / _tip_give(arm, card), spread),
        mass=(mass, hypot(card.rho.spread, MASS_MODEL)),
    )


def _tip_give(arm: ArmDesign, card: MaterialCard) -> float:
    """Of the tip under 1 N, m; a grown arm's as it was solved, held at its clamp's rings, with the
    card's modulus at 23 degC."""
    if arm.grown is None:
        return float(on_the_bench(arm_piece(arm), card).deflection_z[0])
    return float(arm.grown.give[2, 2]) * arm.grown.plastic.E / card.E_xy.value


def levelled(arms: Sequence[tuple[str, Candidate]]) -> tuple[Candidate, ...]:
    """Arms with their material's key; where all are predicted in one plastic, its spread is common.

    What is common to all does not blur their order (as in ``variants``): only what the models may
    err from one arm to another counts.
    """
    alone = len({key for key, _ in arms}) > 1
    if alone or any(c.measured_stiffness for _, c in arms):
        return tuple(c for _, c in arms)
    return tuple(_model_only(c) for _, c in arms)


def _model_only(c: Candidate) -> Candidate:
    if c.predicted_stiffness is None or c.mass is None:
        return c
    stiffness, mass = (c.predicted_stiffness[0], ARM_MODEL[1]), (c.mass[0], MASS_MODEL)
    return replace(c, predicted_stiffness=stiffness, mass=mass)


def plastic_of_session(found: Reduction, card: MaterialCard) -> Candidate:
    """A plastic with the modulus of one session; density and the rest by its card."""
    moduli = [m for m in found.measured if m.prop in MODULI]
    if not moduli:
        raise AnalysisError(
            f"{found.title}: a {found.kind} test gives no modulus to compare by; name readings of "
            "bars or arms, or materials"
        )
    name = f"{card.name}, spool {found.spool}, {found.orientation}"
    return replace(candidate_of(card), name=name, E=(moduli[0].value, moduli[0].relative))
