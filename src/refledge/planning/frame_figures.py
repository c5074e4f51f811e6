"""A study and its print plan as the figures that airframes are compared by."""

from collections.abc import Iterable
from math import inf, isfinite

from refledge.model.checks import Check, Verdict
from refledge.model.frame_figures import BORNE, FULL, LANDING, FrameFigures
from refledge.planning.plan import PrintPlan
from refledge.study import Study


def frame_figures(name: str, study: Study, plan: PrintPlan) -> FrameFigures:
    """Every copy of every part, one after the other."""
    full, arm = study.assessment.result(FULL), study.frame.arm
    use, worst = worst_use(study.checks)
    return FrameFigures(
        name=name,
        arms=f"{arm.family}, {arm.material}",
        all_up_mass=study.all_up_mass,
        frame_mass=study.frame_mass,
        arm_mass=sum(spec.mass for spec in study.parts if spec.key.startswith("arm")),
        hover_time=study.hover.endurance,
        first_mode=float(study.airframe_modes.frequencies[0]),
        tilt=float(full.motor_tilt.max()),
        deflection=float(full.tip_deflection.max()),
        felt=float(study.airframe_modes.felt.max()),
        landing=float(study.assessment.result(LANDING).case.foot_force[:, 2].sum()),
        use=use,
        worst=worst,
        seconds=plan.seconds,
        filament=plan.mass,
        support=sum(each.spec.quantity * each.chosen.support.plastic for each in plan.parts),
        price=plan.price,
        verdicts=tuple(
            (str(each), sum(check.verdict is each for check in study.checks)) for each in Verdict
        ),
    )


def worst_use(checks: Iterable[Check]) -> tuple[float, str]:
    """Greatest share of what may be borne, factors in (1), and by which part in what; those that
    nobody could answer aside."""
    uses = [
        (_use(check), f"{check.part}, {check.load_case}" if check.load_case else check.part)
        for check in checks
        if check.group in BORNE and isfinite(check.margin)
    ]
    return max(uses, default=(0.0, "nothing"))


def _use(check: Check) -> float:
    return 1.0 / (1.0 + check.margin) if check.margin > -1.0 else inf
