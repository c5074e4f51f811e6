"""Checks of fatigue: whether arms and plates last the flights that the brief asks of them."""

from refledge.airframe.assessment import Assessment
from refledge.airframe.judge import judge
from refledge.airframe.lasting import SAFE, Lasting, lasting
from refledge.airframe.stressing import material_of_bars
from refledge.airframe.task import Task
from refledge.model.checks import Check
from refledge.model.parts import FrameDesign

_WORDS = {"arm": "arms", "plates": "centre plates"}
_MOST = 1_000_000
"""Flights beyond which a number would say more than is known."""
METHOD = (
    "cycles of full thrust from rest, and in hover each turn of the rotors with residual "
    "unbalance, by the frame's steady answer; equal damage by Smith, Watson and Topper, summed by "
    "Palmgren and Miner"
)


def fatigue_checks(task: Task, frame: FrameDesign, found: Assessment) -> tuple[Check, ...]:
    """One for arms, one for centre plates; none for bought tube."""
    return tuple(_check(task, frame, each) for each in lasting(task, frame, found))


def _check(task: Task, frame: FrameDesign, lasts: Lasting) -> Check:
    limits = task.brief.limits
    material = task.materials[material_of_bars(frame, lasts.part)]
    name = task.cards[material_of_bars(frame, lasts.part)].name
    safe = "" if lasts.line.given else f", {SAFE:g} standard deviations below the mean"
    other = f"; for {name} nothing was found: the line that asks most, of {lasts.line.material}"
    borne = f"about {_round(lasts.flights)}" if lasts.flights < _MOST else "more than a million"
    return judge(
        key=f"fatigue-{lasts.part}", title="stress against what so many flights allow",
        group="strength", part=_WORDS[lasts.part], load_case="every flight",
        demand=lasts.use, capacity=1.0, unit="1", shown="%",
        method=METHOD,
        source=f"{lasts.line.source}{safe}{'' if lasts.own else other}",
        spread=material.strength_spread,
        note=f"{_round(limits.flights)} flights wanted, {borne} borne by that line; {lasts.where}; "
        f"shaking does {lasts.shaking:.0%} of the damage",
    )  # fmt: skip


def _round(number: float) -> str:
    """Two digits that count, thousands apart."""
    return f"{float(f'{number:.2g}'):,.0f}".replace(",", " ")
