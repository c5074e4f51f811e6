"""Every arm family and material that may be used, ranked; the best sized in full."""

from dataclasses import dataclass

from refledge.airframe.estimate import ARM_KEYS
from refledge.airframe.sizing import Sized, rank, screen, size
from refledge.airframe.task import Task
from refledge.airframe.task_making import combinations
from refledge.airframe.use_titles import title_of
from refledge.errors import GeometryError
from refledge.model.results import Alternative

FINALISTS = 4
"""Combinations sized in full after a first look at all of them."""


@dataclass(frozen=True, eq=False)
class Found:
    """The best frame and what it was chosen from."""

    sized: Sized
    alternatives: tuple[Alternative, ...]
    left_out: dict[str, str]


def search(task: Task) -> Found:
    """A first look at every combination, then the best few in full.

    Raises GeometryError where not one arm can be made.
    """
    pairs, left_out = combinations(task)
    looked: list[Sized] = []
    missing: list[Alternative] = []
    for family, material in pairs:
        try:
            looked.append(screen(task, family, material))
        except GeometryError as error:
            missing.append(_nothing(family, material, str(error)))
    if not looked:
        raise GeometryError(missing[0].worst)
    looked.sort(key=rank)
    finalists = [size(task, each.pool.family, each.pool.material) for each in looked[:FINALISTS]]
    shown = sorted([*finalists, *looked[FINALISTS:]], key=rank)
    rows = tuple(alternative(each) for each in shown)
    return Found(shown[0], (*rows, *missing), left_out)


def alternative(sized: Sized) -> Alternative:
    """One line of the comparison."""
    worst = max(sized.uses, key=lambda key: sized.uses[key])
    full = sized.assessment.result("full-thrust")
    return Alternative(
        family=sized.pool.family,
        material=sized.pool.material,
        feasible=sized.feasible,
        frame_mass=sized.frame_mass,
        arm_mass=sum(sized.part_masses.get(key, 0.0) for key in ARM_KEYS),
        tilt=float(full.motor_tilt.max()),
        first_mode=float(sized.assessment.modes.frequencies[0]),
        worst=f"{title_of(worst)}: {sized.uses[worst]:.0%} of what is aimed at",
    )


def _nothing(family: str, material: str, why: str) -> Alternative:
    return Alternative(family, material, False, 0.0, 0.0, 0.0, 0.0, why)
