"""One candidate's frame sized in full, without solids: what ``design`` does before it draws."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from threadpoolctl import threadpool_limits

from refledge.airframe.inventory import total_mass
from refledge.airframe.search import search
from refledge.airframe.sizing import Sized, hold, screen, size
from refledge.airframe.task import Task
from refledge.airframe.task_making import combinations, make_task
from refledge.errors import AnalysisError, GeometryError
from refledge.flight.rotor import RotorModel
from refledge.model.brief import Brief
from refledge.model.materials import MaterialCard

MASS_TOLERANCE = 1e-3
"""kg; the closure stops when the all-up mass moves by less."""
RESIZING_PASSES = 3
"""Passes in which the frame is sized anew; later ones keep it and let only the mass settle."""
MOST_PASSES = 8


@dataclass(frozen=True, eq=False)
class Closed:
    """A frame at the mass that it makes itself."""

    task: Task
    sized: Sized
    all_up_mass: float  # kg
    residual: float  # kg, all-up mass found minus that assumed in the last pass
    passes: int


def with_drawn_arms(brief: Brief) -> Brief:
    """A grown arm fits the layout that it was grown for only: layouts are compared without."""
    return replace(brief, frame=replace(brief.frame, grown_arm=""))


def size_layout(
    brief: Brief,
    rotor: RotorModel,
    first_mass: float,
    cards: Mapping[str, MaterialCard] | None = None,
) -> Closed:
    """The best frame for ``brief``'s one layout kind, the mass closed from ``first_mass``, kg.

    Part masses are by formula; solids would move the frame by the share that docs/layouts.md
    states. Raises FlightError where it cannot hover, GeometryError where no arm can be made.
    """
    brief = with_drawn_arms(brief)
    kind, mass = brief.layout.kind, first_mass
    with threadpool_limits(limits=1, user_api="blas"):
        task = make_task(brief, kind, rotor, mass, {}, cards=cards)
        sized = search(task).sized
        for number in range(1, MOST_PASSES + 1):
            mass = total_mass(sized.assessment.lumps)
            change = mass - task.all_up_mass
            if abs(change) <= MASS_TOLERANCE:
                return Closed(task, sized, mass, change, number)
            task = make_task(brief, kind, rotor, mass, {}, cards=cards)
            if number <= RESIZING_PASSES:
                sized = size(task, sized.pool.family, sized.pool.material)
            else:
                sized = hold(task, sized)
    raise AnalysisError(
        f"{kind}: the mass still moves by {1e3 * change:.1f} g after {number} passes"
    )


def best_combination(task: Task) -> tuple[str, str]:
    """Arm family and material that a first look ranks best."""
    looked = []
    for family, material in combinations(task)[0]:
        try:
            looked.append(screen(task, family, material))
        except GeometryError:
            continue  # this family does not fit: the others decide
    if not looked:
        raise GeometryError(f"no arm can be made for {task.kind}")
    best = min(looked, key=lambda each: (max(0.0, max(each.uses.values()) - 1), each.frame_mass))
    return best.pool.family, best.pool.material
