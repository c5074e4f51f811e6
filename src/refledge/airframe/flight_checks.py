"""Checks of flight: thrust margin, endurance, all-up mass, centre of mass; and a rotor lost."""

import numpy as np

from refledge.airframe.inventory import Lump, centre_of_mass, total_mass
from refledge.airframe.judge import judge
from refledge.airframe.task import Task
from refledge.flight.air import GRAVITY
from refledge.flight.lost import one_rotor_lost
from refledge.model.checks import Check
from refledge.model.layout import Layout
from refledge.typed import Floats


def flight_checks(task: Task, layout: Layout, found: tuple[Lump, ...]) -> tuple[Check, ...]:
    """All that the rotors and the battery must answer for."""
    brief, limits = task.brief, task.brief.limits
    mass = total_mass(found)
    spread = task.rotor.spread
    return (
        judge(
            key="all-up-mass", title="all-up mass", group="flight", part="aircraft",
            demand=mass, capacity=brief.mission.all_up_limit, unit="kg", shown="kg",
            method="sum of the mass table", source="limit from the brief", spread=0.02,
        ),
        judge(
            key="thrust-margin", title="full thrust over weight", group="flight", part="rotors",
            load_case="full thrust", demand=task.full.total_thrust / (mass * GRAVITY),
            capacity=limits.thrust_margin, at_least=True, unit="1", shown="1",
            method=f"{task.full.method}; limited by {task.full.limited_by or 'nothing'}",
            source="limit from the brief", spread=spread,
        ),
        judge(
            key="endurance", title="hover time", group="flight", part="battery",
            load_case="hover", demand=task.hover.endurance, capacity=brief.mission.hover_time,
            at_least=True, unit="s", shown="min",
            method=f"{task.hover.method}; discharge at constant power with sag",
            source="wanted in the brief", spread=spread,
        ),
        _centre(task, layout, found),
    )  # fmt: skip


_WAYS = (("forward", "back"), ("to the left", "to the right"))


def _centre(task: Task, layout: Layout, found: tuple[Lump, ...]) -> Check:
    middle = layout.positions[:, :2].mean(axis=0)
    offset = centre_of_mass(found)[:2] - middle
    away = float(np.hypot(offset[0], offset[1]))
    battery = task.brief.battery.mass
    shift = offset * total_mass(found) / battery
    return judge(
        key="centre-of-mass", title="centre of mass from the rotors' centre", group="flight",
        part="aircraft", demand=away, capacity=task.brief.limits.centre_offset
        * layout.motor_radius, unit="m", shown="mm", method="mass table with places",
        source="limit from the brief",
        note=balance_note(-shift),
    )  # fmt: skip


def balance_note(move: Floats) -> str:
    """Where to move the battery by ``move``, (2,) m forward and to the left, in whole mm."""
    steps = [(round(float(each) * 1e3), ways) for each, ways in zip(move, _WAYS, strict=True)]
    told = [f"{abs(step)} mm {ways[step < 0]}" for step, ways in steps if step]
    return f"to balance, move the battery {' and '.join(told)}" if told else "it balances as it is"


def rotor_lost_note(task: Task, layout: Layout) -> str:
    """What a stopped rotor means, in words: a property of the layout, not of the frame."""
    trim = one_rotor_lost(layout, task.hover)
    if not trim.possible:
        return "One rotor lost: the others cannot hold it level; it will come down."
    hover = float(np.mean([state.thrust for state in task.hover.rotors]))
    most = min(state.thrust for state in task.full.rotors)
    asked = trim.factor * hover
    heading = "keeps its heading" if trim.yaw_kept else "gives up its heading and turns"
    enough = "which full thrust gives" if asked <= most else f"but full thrust gives {most:.1f} N"
    return (
        f"One rotor lost (the worst one): it {heading}, and the hardest-working rotor needs "
        f"{asked:.1f} N, {enough}."
    )
