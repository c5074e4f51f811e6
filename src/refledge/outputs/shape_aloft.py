"""The airframe with grown arms beside the one with its own, in words."""

from collections.abc import Iterator
from typing import Any

from refledge.model.checks import Check, Verdict
from refledge.shaping.aloft import Aloft
from refledge.shaping.result import Result
from refledge.units import show

Row = tuple[str, str, str]
_COUNTED = {
    Verdict.HOLDS: "hold",
    Verdict.NARROWLY: "hold narrowly",
    Verdict.FAILS: "fail",
    Verdict.UNKNOWN: "cannot be answered",
}
_ALWAYS = ("stiffness", "shaking")
"""Groups of which every check is shown; of others what changed, and the arms' worst."""


def aloft_rows(found: Result) -> Iterator[Row]:
    """Figure or check, with the present and with the grown arms."""
    if found.aloft is None:
        return
    study, made = found.study, found.aloft
    yield "all-up mass", show(study.all_up_mass, "kg", "kg"), show(made.all_up_mass, "kg", "kg")
    old, new = study.airframe_modes.frequencies, made.assessment.modes.frequencies
    for number in range(3):
        name = f"mode {number + 1} of the free airframe"
        yield name, show(float(old[number]), "Hz", "Hz"), show(float(new[number]), "Hz", "Hz")
    before = {check.key: check for check in study.checks}
    for check in _shown(made, before):
        was = before.get(check.key)
        yield _named(check), _judged(was) if was else "", _judged(check)


def aloft_verdict(found: Result) -> str:
    """In words, with what it does not cover; "" where the arm was not solved again."""
    if found.grounded:
        return f"The airframe with grown arms cannot be judged: {found.grounded}."
    if found.aloft is None:
        return ""
    made = found.aloft
    count = {each: sum(check.verdict is each for check in made.checks) for each in Verdict}
    said = ", ".join(f"{number} {_COUNTED[each]}" for each, number in count.items() if number)
    return (
        f"Of {len(made.checks)} checks of the airframe with grown arms: {said}. Beams that give as "
        f"the solid does at the tip ({100 * made.mismatch:.1f} % off in all six motions) stand for "
        "the arms. Buckling of thin members is not among the checks: proof-load the first arm."
    )


def aloft_json(found: Result) -> dict[str, Any] | None:
    """SI."""
    if found.aloft is None:
        return {"why_not": found.grounded} if found.grounded else None
    made = found.aloft
    return {
        "verdict": str(made.verdict),
        "all_up_mass_kg": made.all_up_mass,
        "modes_Hz": [float(each) for each in made.assessment.modes.frequencies[:6]],
        "beams_off_at_the_tip": made.mismatch,
        "checks": [
            {
                "key": each.key, "title": each.title, "part": each.part,
                "load_case": each.load_case, "demand": each.demand, "capacity": each.capacity,
                "unit": each.unit, "margin": each.margin, "verdict": str(each.verdict),
                "note": each.note,
            }
            for each in made.checks
        ],
    }  # fmt: skip


def _shown(made: Aloft, before: dict[str, Check]) -> Iterator[Check]:
    arms = [check for check in made.checks if check.group == "strength" and check.part == "arms"]
    worst = {
        min((check for check in arms if check.key.startswith(start)), key=lambda each: each.margin)
        for start in ("strength", "layers")
    }
    for check in made.checks:
        was = before.get(check.key)
        changed = was is not None and was.verdict is not check.verdict
        if check.group in _ALWAYS or check in worst or changed:
            yield check


def _named(check: Check) -> str:
    case = f", {check.load_case}" if check.load_case else ""
    return f"{check.title} ({check.part}{case})"


def _judged(check: Check) -> str:
    reserve = f"{100 * check.margin:+.0f} %".replace("-", "−")
    return f"reserve {reserve}, {check.verdict}"
