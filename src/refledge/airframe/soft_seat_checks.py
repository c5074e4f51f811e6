"""Checks of a damped flight-controller seat: does it isolate, is it stiff enough to steer by."""

from math import hypot, pi

from refledge.airframe.assessment import Assessment
from refledge.airframe.felt import FELT
from refledge.airframe.judge import judge
from refledge.airframe.mast import least_frequency
from refledge.airframe.soft_seat import sprung
from refledge.airframe.statics import CaseResult
from refledge.airframe.task import Task
from refledge.analysis.isolation import SprungBody
from refledge.flight.air import GRAVITY
from refledge.model.checks import Check
from refledge.model.parts import FrameDesign

PART = "flight-controller seat"
METHOD = "rigid carrier and controller on four standoffs, six freedoms, structural loss (Rao)"
SOURCE = "stiffness and loss of the standoffs from the brief; limit from the brief"


def soft_seat_checks(task: Task, frame: FrameDesign, found: Assessment) -> tuple[Check, ...]:
    """Isolation at rotor speed, lowest mode, travel in flight; nothing on a hard seat."""
    if not frame.seat.rise:
        return ()
    body = sprung(task.brief, frame, found.lumps)
    stiff = sprung(task.brief, frame, found.lumps, 1.0 + task.brief.standoffs.spread)
    return (
        _isolation(task, found, body, stiff),
        _lowest(task, body),
        _travel(task, found, body),
    )


def _isolation(task: Task, found: Assessment, body: SprungBody, stiff: SprungBody) -> Check:
    """At the slowest rotor's turns in hover, where standoffs pass the most."""
    turn = min(task.speeds.hover_speeds) / (2 * pi)
    passed = body.most_passed(turn)
    return judge(
        key="seat-isolation", title="rotors' shaking passed on by the damped seat", group="shaking",
        part=PART, load_case="hover", demand=passed, capacity=task.brief.limits.seat_passes,
        unit="1", shown="%", spread=abs(stiff.most_passed(turn) / passed - 1.0), method=METHOD,
        source=SOURCE, note=_told(task, found, body, turn),
    )  # fmt: skip


def _told(task: Task, found: Assessment, body: SprungBody, turn: float) -> str:
    """What is passed at turns, at blade pass and in the frame's modes that would be felt."""
    modes = found.modes
    told = [f"at {turn:.0f} Hz, once per turn, {body.most_passed(turn):.0%}"]
    blades = task.speeds.blades * turn
    told.append(f"at blade pass, {blades:.0f} Hz, {body.most_passed(blades):.0%}")
    first = float(modes.frequencies[0])
    told.append(f"at the frame's first mode, {first:.0f} Hz, {body.most_passed(first):.0%}")
    count = int((modes.felt >= FELT).sum())
    told.append(f"{count} modes of the frame are felt through it")
    return "; ".join(told)


def _lowest(task: Task, body: SprungBody) -> Check:
    """A seat that swings within the control's reach lags what it steers."""
    frequencies = body.frequencies()
    six = ", ".join(f"{each:.0f}" for each in frequencies)
    return judge(
        key="seat-mode", title="lowest mode of the damped seat", group="shaking", part=PART,
        demand=float(frequencies[0]), capacity=least_frequency(task.brief), at_least=True,
        unit="Hz", shown="Hz", spread=task.brief.standoffs.spread / 2, method=METHOD,
        source="limit from the brief: control bandwidth times its ratio, common practice, no "
        "source; stiffness of the standoffs from the brief",
        note=f"all six: {six} Hz; stiffer standoffs, or fewer grams on them, raise them all",
    )  # fmt: skip


def _travel(task: Task, found: Assessment, body: SprungBody) -> Check:
    """How far the standoffs give in flight; landing may close them, and the note says how far."""
    flights = [each for each in found.results if each.case.kind == "flight"]
    worst = max(flights, key=lambda each: _given(body, each))
    hardest = max(found.results, key=lambda each: _given(body, each))
    return judge(
        key="seat-travel", title="travel of the seat's standoffs in flight", group="shaking",
        part=PART, load_case=worst.case.title, demand=_given(body, worst),
        capacity=task.brief.standoffs.travel, unit="m", shown="mm",
        spread=task.brief.standoffs.spread,
        method="weight and acceleration of what rides over the stiffness of four standoffs",
        source="travel and stiffness from the brief",
        note=f"free to give {_given(body, hardest) * 1e3:.1f} mm in {hardest.case.title}, which "
        "may bottom them out: nothing is lost but softness",
    )  # fmt: skip


def _given(body: SprungBody, result: CaseResult) -> float:
    """Way of the carrier under what it feels and its weight, m; its tilt is left out."""
    up, side = result.felt
    k = 4 * body.stiffness
    return hypot(body.mass * (up + GRAVITY) / float(k[2]), body.mass * side / float(k[0]))
