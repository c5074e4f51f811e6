"""Checks that need one arm in detail: walls that buckle, diagonals that pull across layers."""

from refledge.airframe.judge import judge
from refledge.airframe.pool import Choice, Pool
from refledge.airframe.task import Task
from refledge.airframe.working import Working
from refledge.model.checks import Check

METHOD = "arm as a cantilever, vectorised sections; local buckling by plate theory, Euler for bars"


def arm_checks(task: Task, pool: Pool, choice: Choice, arm: Working) -> tuple[Check, ...]:
    """Local buckling in flight and in landing or handling."""
    limits = task.brief.limits
    made = []
    for name, title, factor in (
        ("flight", "full thrust", limits.flight_factor),
        ("rough", "landing or carrying", limits.landing_factor),
    ):
        aimed = float(pool.uses[pool.keys.index(f"buckling-{name}"), choice.index])
        demand = aimed / task.buckling_aim(arm) / factor
        made.append(
            judge(
                key=f"buckling-{name}", title="local buckling of thin walls and diagonals",
                group="strength", part="arms", load_case=title, demand=demand,
                capacity=1.0 / factor, unit="1", shown="%", method=METHOD,
                source="Timoshenko and Gere, Theory of Elastic Stability; factor from the brief",
                spread=arm.stiffness_spread,
            )
        )  # fmt: skip
    return tuple(made)
