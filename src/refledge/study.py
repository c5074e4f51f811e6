"""The spine: one brief in, one study out."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from threadpoolctl import threadpool_limits

from refledge import __version__
from refledge.airframe.assessment import Assessment
from refledge.airframe.closure_checks import closure_checks
from refledge.airframe.drivers import find_drivers
from refledge.airframe.estimate import estimated_masses
from refledge.airframe.findings import all_checks, arm_modes, notes_for
from refledge.airframe.hinge_fold import fold_notes
from refledge.airframe.inventory import mass_table, total_mass
from refledge.airframe.layout_choice import compare_layouts, first_mass
from refledge.airframe.making import Solids, make_solids
from refledge.airframe.search import Found, search
from refledge.airframe.shopping import shopping_list
from refledge.airframe.sizing import Sized, hold, size
from refledge.airframe.small_craft import fastener_notes
from refledge.airframe.stand import with_fitted_motor
from refledge.airframe.task import Task
from refledge.airframe.task_making import make_task, rotor_model
from refledge.airframe.use_titles import titles_of
from refledge.flight.rotor import RotorModel
from refledge.geometry.kernel import Solid
from refledge.inputs.fasteners import hardware
from refledge.model.brief import Brief
from refledge.model.checks import Check, Verdict
from refledge.model.flight import OperatingPoint, SpeedRange
from refledge.model.layout import Layout
from refledge.model.learned_cards import LearnedCards
from refledge.model.learning import Learned
from refledge.model.loads import LoadCase
from refledge.model.materials import MaterialCard
from refledge.model.parts import FrameDesign
from refledge.model.results import (
    Alternative,
    Assembly,
    ClosureStep,
    Deflected,
    Driver,
    Fastener,
    LayoutOption,
    MassLine,
    ModeSet,
    PartSpec,
    ShoppingLine,
)

Progress = Callable[[str, float], None]

MASS_TOLERANCE = 1e-3
"""kg; the closure stops when the all-up mass moves by less."""
RESIZING_PASSES = 3
"""Passes in which the frame is sized anew; later ones keep it and let only the mass settle."""
MOST_PASSES = 8


@dataclass(frozen=True, eq=False, kw_only=True)
class Study:
    """Everything computed for one brief."""

    version: str
    brief: Brief
    cards: Mapping[str, MaterialCard]
    layout: Layout
    layout_options: tuple[LayoutOption, ...]
    frame: FrameDesign
    hover: OperatingPoint
    full: OperatingPoint
    speeds: SpeedRange
    all_up_mass: float
    frame_mass: float
    closure: tuple[ClosureStep, ...]
    loads: tuple[LoadCase, ...]
    parts: tuple[PartSpec, ...]
    solids: Mapping[str, Solid]
    assembly: Assembly
    masses: tuple[MassLine, ...]
    deflected: tuple[Deflected, ...]
    arm_modes: ModeSet
    airframe_modes: ModeSet
    checks: tuple[Check, ...]
    drivers: tuple[Driver, ...]
    alternatives: tuple[Alternative, ...]
    fasteners: tuple[Fastener, ...]
    shopping: tuple[ShoppingLine, ...]
    notes: tuple[str, ...]
    """Assumptions and cautions that belong to this study, in words."""
    task: Task
    """Operating points and materials that the checks were made with."""
    assessment: Assessment
    """The beam frame with every load case solved, for what builds on it."""
    learned: Mapping[str, tuple[Learned, ...]] = field(default_factory=dict)
    """By material: literature against what the bench measured; empty without a bench."""

    @property
    def verdict(self) -> Verdict:
        """The worst verdict of all checks: fails, then cannot say, then holds narrowly."""
        found = {check.verdict for check in self.checks}
        for verdict in (Verdict.FAILS, Verdict.UNKNOWN, Verdict.NARROWLY):
            if verdict in found:
                return verdict
        return Verdict.HOLDS

    def drivers_of(self, check: Check) -> tuple[Driver, ...]:
        """Dimensions that sizing could not make smaller because of this check."""
        titles = titles_of(check, self.loads)
        return tuple(driver for driver in self.drivers if driver.check in titles)


def design(
    brief: Brief, *, learned: LearnedCards | None = None, progress: Progress | None = None
) -> Study:
    """The whole job: layout, sizing with mass closure, solids, results, checks.

    ``learned``: material cards that the bench has taught; those from literature without it.
    ``progress`` is told what is being done and the share that is done (0..1).
    Raises FlightError where it cannot fly, GeometryError where parts cannot be made.
    """
    tell = progress or _quiet
    with threadpool_limits(
        limits=1, user_api="blas"
    ):  # small matrices: threads only get in the way
        tell("rotors and layouts", 0.0)
        flown = with_fitted_motor(brief)
        rotor = rotor_model(flown)
        options = compare_layouts(flown, rotor, hardware())
        kind = next(option.kind for option in options if option.chosen)
        tell("sizing arms", 0.05)
        cards = learned.cards if learned else None
        task = make_task(flown, kind, rotor, first_mass(brief, kind), {}, cards=cards)
        found = search(task)
        closed = _close_mass(flown, rotor, task, found.sized, tell)
        tell("checks", 0.95)
        return _gather(brief, options, found, closed, learned)


@dataclass(frozen=True, eq=False)
class _Closed:
    """The end of the mass closure."""

    task: Task
    sized: Sized
    solids: Solids
    steps: tuple[ClosureStep, ...]


def _close_mass(
    brief: Brief, rotor: RotorModel, task: Task, sized: Sized, tell: Progress
) -> _Closed:
    """Frame mass changes the loads that size the frame: repeat until the all-up mass stands still.

    Estimated part masses first; once solids are made, their masses correct the estimates and take
    their place at the end. Where it has not settled after MOST_PASSES the last step says so, and a
    check cannot say (``closure_checks``).
    """
    steps = [_step(task, sized)]
    solids: Solids | None = None
    for number in range(MOST_PASSES):
        tell(f"mass closure, pass {number + 1}", 0.2 + 0.08 * number)
        if solids is not None and abs(steps[-1].change) <= MASS_TOLERANCE:
            break
        ratios = task.ratios if solids is None else _ratios(task, sized, solids)
        all_up = total_mass(sized.assessment.lumps)
        task = make_task(brief, task.kind, rotor, all_up, ratios, cards=task.cards)
        if number < RESIZING_PASSES:
            sized = size(task, sized.pool.family, sized.pool.material)
        if solids is None or solids.frame != sized.frame:
            tell("making solids", 0.25 + 0.08 * number)
            solids = make_solids(task, sized.frame, sized.layout)
        sized = hold(task, sized, solids.made)
        steps.append(_step(task, sized))
    return _Closed(task, sized, _sure(solids), tuple(steps))


def _step(task: Task, sized: Sized) -> ClosureStep:
    change = total_mass(sized.assessment.lumps) - task.all_up_mass
    return ClosureStep(task.all_up_mass, sized.frame_mass, change)


def _checks(closed: _Closed) -> tuple[Check, ...]:
    found = all_checks(closed.task, closed.sized, closed.solids)
    return found + closure_checks(closed.steps, MASS_TOLERANCE)


def _sure(solids: Solids | None) -> Solids:
    assert solids is not None  # made in the first pass
    return solids


def _ratios(task: Task, sized: Sized, solids: Solids) -> dict[str, float]:
    """Mass of each solid over what the formulas give for it."""
    plain = estimated_masses(task.brief, sized.frame, task.materials, {})
    return {key: mass / plain[key] for key, mass in solids.made.masses.items()}


def _gather(
    brief: Brief,
    options: tuple[LayoutOption, ...],
    found: Found,
    closed: _Closed,
    learned: LearnedCards | None,
) -> Study:
    task, sized, solids = closed.task, closed.sized, closed.solids
    assessment = sized.assessment
    structure = assessment.structure
    used = {spec.material for spec in solids.specs} | set(brief.printer.filaments)
    return Study(
        version=__version__,
        brief=brief,
        cards={key: task.cards[key] for key in sorted(used)},
        layout=sized.layout,
        layout_options=options,
        frame=sized.frame,
        hover=task.hover,
        full=task.full,
        speeds=task.speeds,
        all_up_mass=total_mass(assessment.lumps),
        frame_mass=sized.frame_mass,
        closure=closed.steps,
        loads=tuple(result.case for result in assessment.results),
        parts=solids.specs,
        solids=solids.bodies,
        assembly=solids.assembly,
        masses=mass_table(assessment.lumps),
        deflected=tuple(r.deflected(structure.frame) for r in assessment.results),
        arm_modes=arm_modes(structure),
        airframe_modes=assessment.modes,
        checks=_checks(closed),
        drivers=find_drivers(task, sized),
        alternatives=found.alternatives,
        fasteners=assessment.fasteners,
        shopping=shopping_list(brief, sized.layout, sized.frame, assessment.fasteners),
        notes=notes_for(task, sized.layout, found.left_out)
        + fastener_notes(task, assessment.fasteners)
        + fold_notes(sized.frame, sized.layout, solids.assembly)
        + (learned.about(used) if learned else ()),
        learned=learned.of(used) if learned else {},
        task=task,
        assessment=assessment,
    )


def _quiet(_what: str, _share: float) -> None:
    """Progress that nobody asked for."""
