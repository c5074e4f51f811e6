"""Checks from solids: strength with its mesh error, and whether beams and solids agree."""

from dataclasses import replace

from refledge.airframe.estimate import material_of
from refledge.airframe.judge import judge
from refledge.geometry.parts import PART_NAMES
from refledge.model.checks import Check, Verdict
from refledge.study import Study
from refledge.verify.results import HotSpot, PartVerified, SolidFigure

BAND = 0.10
"""Difference between beam and solid beyond which a headline figure cannot be relied on: ours."""
COMPARED = ("full thrust: deflection of seat", "full thrust: tilt of seat", "mode 1", "mode 2")
WORDS = {
    "full thrust: deflection of seat": "tip deflection at full thrust",
    "full thrust: tilt of seat": "motor tilt at full thrust",
    "mode 1": "first mode of the clamped arm",
    "mode 2": "second mode of the clamped arm",
}


def solid_checks(
    study: Study, parts: tuple[PartVerified, ...], failed: tuple[tuple[str, str], ...]
) -> tuple[Check, ...]:
    """Two strength checks for each part, agreement for the arm, cannot say for what failed."""
    made: list[Check] = []
    for part in parts:
        made += _strength(study, part)
        made += [_agreement(part, each) for each in part.figures if each.name in COMPARED]
    return (*made, *(_unsolved(key, why) for key, why in failed))


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


def in_doubt(check: Check, error: float) -> Check:
    """The check, or *cannot say* where the mesh error is more than its distance to the limit."""
    if abs(check.capacity - check.demand) > error:
        return check
    return replace(check, verdict=Verdict.UNKNOWN)


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
        key=f"solid-{key}", title="strength as a solid", group="strength", part=PART_NAMES[key],
        demand=float("nan"), capacity=1.0, unit="1", shown="%",
        method="quadratic tetrahedra", source="no result", note=why,
    )  # fmt: skip
