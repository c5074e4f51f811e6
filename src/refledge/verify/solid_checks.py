"""Checks from solids: strength with its mesh error, and whether beams and solids agree."""

from dataclasses import replace

import numpy as np

from refledge.airframe.estimate import material_of
from refledge.airframe.judge import in_doubt, judge
from refledge.airframe.tipping import KEY as TIPPING
from refledge.geometry.parts import PART_NAMES
from refledge.model.checks import Check, Verdict
from refledge.study import Study
from refledge.verify.results import HotSpot, PartVerified, SolidFigure, WholeVerified

BAND = 0.10
"""Difference between beam and solid beyond which a headline figure cannot be relied on: ours."""
STOOD = 30.0
"""m/s2; what flight controllers are commonly said to stand: common practice, no source."""
COMPARED = ("full thrust: deflection of seat", "full thrust: tilt of seat", "mode 1", "mode 2")
WORDS = {
    "full thrust: deflection of seat": "tip deflection at full thrust",
    "full thrust: tilt of seat": "motor tilt at full thrust",
    "mode 1": "first mode of the clamped arm",
    "mode 2": "second mode of the clamped arm",
}


def solid_checks(
    study: Study,
    parts: tuple[PartVerified, ...],
    failed: tuple[tuple[str, str], ...],
    whole: WholeVerified | None = None,
) -> tuple[Check, ...]:
    """Strength of each part, agreement for the arm, the whole; cannot say for what failed."""
    made: list[Check] = []
    for part in parts:
        made += _strength(study, part)
        if part.buckled is not None:
            made.append(_buckling(study, part, part.buckled.why))
        made += [_agreement(part, each) for each in part.figures if each.name in COMPARED]
    if whole is not None:
        made += [_first_mode(study, whole), _felt(study, whole)]
    return (*made, *(_unsolved(key, why) for key, why in failed))


def _first_mode(study: Study, whole: WholeVerified) -> Check:
    limits = study.brief.limits
    arm = study.task.materials[study.frame.arm.material]
    check = judge(
        key="solid-first-mode", title="lowest mode of the airframe as solids", group="shaking",
        part="airframe", demand=float(whole.frequencies[0]),
        capacity=limits.bandwidth_ratio * limits.control_bandwidth, at_least=True, unit="Hz",
        shown="Hz", method=f"quadratic tetrahedra, {whole.dofs} unknowns in all copies, reduced "
        "and joined where bolts press them together, free",
        source="limit from the brief", spread=arm.stiffness_spread / 2,
        note=f"joints on their soft side; on the stiff side {whole.stiff[0]:.1f} Hz, as a frame "
        f"of beams {whole.beam[0]:.1f} Hz; mesh error {whole.errors[0]:.2f} Hz",
    )  # fmt: skip
    return in_doubt(check, float(whole.errors[0]))


def _felt(study: Study, whole: WholeVerified) -> Check:
    """Acceleration at the flight controller about hover, from residual unbalance."""
    hover = max(study.speeds.hover_speeds)
    band = study.brief.limits.separation
    near = np.abs(whole.speed / hover - 1.0) <= band
    worst = float(whole.at_controller[near].max()) if near.any() else float("nan")
    return judge(
        key="solid-response", title="shaking of the flight controller about hover",
        group="shaking", part="airframe", load_case="hover", demand=worst, capacity=STOOD,
        unit="m/s^2", shown="m/s^2",
        method="harmonic response of the joined solids to every rotor's residual unbalance, modal "
        "damping from the material card",
        source="ISO 21940-11 grade from the brief; 30 m/s2 is common practice, no source",
        note=f"greatest within {band:.0%} of hover speed",
    )  # fmt: skip


def _factor(study: Study, spot: HotSpot) -> float:
    limits = study.brief.limits
    return limits.flight_factor if spot.kind == "flight" else limits.landing_factor


def _strength(study: Study, part: PartVerified) -> list[Check]:
    plastic = max(part.spots, key=lambda spot: _factor(study, spot) * spot.plastic)
    layers = max(part.spots, key=lambda spot: _factor(study, spot) * spot.layers)
    material = study.task.materials[material_of(study.frame, part.key)]
    return [
        _judged(
            study, part, plastic, "plastic", "strength as a solid, all stresses together",
            (plastic.plastic, plastic.plastic_error, plastic.plastic_anywhere),
            "Tsai and Wu, A general theory of strength for anisotropic materials (1971)",
            material.strength_spread,
        ),
        _judged(
            study, part, layers, "layers", "layer boundaries as a solid",
            (layers.layers, layers.layers_error, layers.layers_anywhere),
            "Brewer and Lagace, Quadratic stress criterion (1988)", material.interlayer_spread,
        ),
    ]  # fmt: skip


def _judged(
    study: Study,
    part: PartVerified,
    spot: HotSpot,
    name: str,
    title: str,
    use: tuple[float, float, float],
    source: str,
    spread: float,
) -> Check:
    factor = _factor(study, spot)
    found, error, anywhere = use
    check = judge(
        key=f"solid-{name}-{part.key}", title=title, group="strength",
        part=PART_NAMES[part.key], load_case=spot.case, demand=found, capacity=1.0 / factor,
        unit="1", shown="%", spread=spread, source=f"{source}; factor {factor:g} from the brief",
        method=f"quadratic tetrahedra, {part.dofs} unknowns, edges {1e3 * part.sizes[-1]:.1f} mm; "
        "stress averaged over a millimetre, off held faces",
        note=f"mesh error {error:.1%}; without the averaging {anywhere:.0%}",
    )  # fmt: skip
    return in_doubt(check, error)


def _buckling(study: Study, part: PartVerified, why: str) -> Check:
    spot = max(part.spots, key=lambda each: _factor(study, each) * (each.buckling or 0.0))
    factor, use, error = _factor(study, spot), spot.buckling or 0.0, spot.buckling_error or 0.0
    material = study.task.materials[material_of(study.frame, part.key)]
    check = judge(
        key=f"solid-buckling-{part.key}", title="buckling as a solid", group="strength",
        part=PART_NAMES[part.key], load_case=spot.case,
        demand=float("nan") if why else use, capacity=1.0 / factor,
        unit="1", shown="%", spread=material.stiffness_spread,
        method=f"quadratic tetrahedra, {part.dofs} unknowns; least factor at which the stress of a "
        "load case takes all stiffness from some shape of the part",
        source="Bathe, Finite Element Procedures, linearized buckling; "
        f"factor {factor:g} from the brief",
        note=why or _buckling_note(study, part, spot),
    )  # fmt: skip
    return in_doubt(check, error)


def _buckling_note(study: Study, part: PartVerified, spot: HotSpot) -> str:
    use, error = spot.buckling or 0.0, spot.buckling_error or 0.0
    if use <= 0.0:
        return "no load case buckles it"
    said = f"buckles at {1 / use:.2f} times the load; mesh error {error / use:.1%} of that"
    if part.key != "arm":
        return said
    local = f"buckling-{'flight' if spot.kind == 'flight' else 'rough'}"
    formulas = {local: "of walls and bars"}
    if spot.kind == "landing":
        formulas[TIPPING] = "of tipping over"
    known = [(each.demand, formulas[each.key]) for each in study.checks if each.key in formulas]
    by_hand = ", ".join(f"{words} {demand:.0%}" for demand, words in known)
    return f"{said}; by formulas {by_hand}" if known else said


def _agreement(part: PartVerified, figure: SolidFigure) -> Check:
    """Beam against solid, in its own check: beyond the band neither is to be believed."""
    away = abs(figure.difference or 0.0)
    shown = f"beam {figure.beam:.4g} {figure.unit}, solid {figure.finest:.4g} {figure.unit}"
    check = judge(
        key=f"agree-{part.key}-{figure.name.replace(': ', '-').replace(' ', '-')}",
        title=f"beam and solid agree: {WORDS[figure.name]}", group="stiffness",
        part=PART_NAMES[part.key], demand=away, capacity=BAND, unit="1", shown="%",
        method="beam frame with the plates held against quadratic tetrahedra held under the bolts",
        source="band: our choice", exact=True,
        note=f"{shown}; mesh error {figure.error / max(abs(figure.finest), 1e-30):.1%}",
    )  # fmt: skip
    return replace(check, verdict=Verdict.UNKNOWN) if check.verdict is Verdict.FAILS else check


def _unsolved(key: str, why: str) -> Check:
    return judge(
        key=f"solid-{key}", title="strength as a solid", group="strength",
        part=PART_NAMES.get(key, key), demand=float("nan"), capacity=1.0, unit="1", shown="%",
        method="quadratic tetrahedra", source="no result", note=why,
    )  # fmt: skip
