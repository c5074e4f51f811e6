"""The frame at hand under another brief or other dimensions: a whole study, without sizing."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from refledge.airframe.assessment import assess
from refledge.airframe.fastening import bolts_list
from refledge.airframe.findings import all_checks, arm_modes, notes_for
from refledge.airframe.hinge_fold import fold_notes
from refledge.airframe.hinge_uses import least_lock
from refledge.airframe.inventory import lumps, mass_table, total_mass
from refledge.airframe.joints import clamp_preload
from refledge.airframe.layout_choice import first_layout
from refledge.airframe.shopping import shopping_list
from refledge.airframe.sizing import Learnt, Made, Sized
from refledge.airframe.small_craft import fastener_notes
from refledge.airframe.stand import with_fitted_motor
from refledge.airframe.task import Task
from refledge.airframe.task_making import (
    combinations,
    grown_arm,
    make_task,
    rotor_model,
    working_materials,
)
from refledge.flight.rotor import RotorModel
from refledge.geometry.hinge import hinge_of
from refledge.geometry.parts import part_quantities
from refledge.live.arm_row import CHOICE, arm_row
from refledge.live.dimensions import RULES, ByHand
from refledge.live.drawn import Drawn, made_for, ratios_of
from refledge.live.refit import Refitted, refit, same_lock_kind
from refledge.live.respecified import placed_again, specs_for
from refledge.model.brief import Brief
from refledge.model.parts import FrameDesign
from refledge.model.results import ClosureStep
from refledge.study import Study
from refledge.units import show

BY_HAND = "Set by hand, not by sizing"
SKID_ROUNDS = 2
"""Landings worked out while the bars of skids are sized: our choice."""
LOCK_ROUNDS = 4
"""Lock bolts tried while one is chosen: as many sizes as there are."""


@dataclass(frozen=True, eq=False)
class Held:
    """The frame at hand under the numbers of the moment."""

    study: Study
    """Without solids; ``drivers``, ``alternatives``, ``layout_options``, ``notes`` are the
    last design's."""
    sized: bool
    """True where this is just what the full design found."""
    drawn: bool
    """True where the assembly of ``study`` is of this very frame."""


def evaluate(last: Study, drawn: Drawn, brief: Brief, by_hand: ByHand) -> Held:
    """What ``brief`` and the dimensions ``by_hand`` make of the frame of the ``last`` full design.

    Beams, checks, masses and operating points are computed anew; the mass closure needs no loop,
    because the frame is held. Raises FlightError or GeometryError where nothing can be computed,
    InputError where a dimension is out of bounds.
    """
    if brief == last.brief and not by_hand:
        return Held(last, sized=True, drawn=True)
    flown = with_fitted_motor(brief)
    rotor = rotor_model(flown)
    kind = last.layout.kind if brief.layout.kind == "choose" else brief.layout.kind
    ratios = ratios_of(drawn)
    first = _weightless(last.task, flown, kind, rotor, ratios)
    fitted = refit(first, last.frame, by_hand)
    made = made_for(first, fitted.frame, fitted.layout, drawn)
    task = make_task(
        flown, kind, rotor, _all_up(first, fitted, made), ratios, cards=last.task.cards
    )
    fitted = refit(task, last.frame, by_hand)
    made = made_for(task, fitted.frame, fitted.layout, drawn)  # this frame may have parts more
    if fitted.frame.skid is not None:
        fitted, made = _with_skids(task, last.frame, by_hand, drawn)
        task = make_task(
            flown, kind, rotor, _all_up(task, fitted, made), ratios, cards=last.task.cards
        )
    if not same_lock_kind(fitted.frame.hinge, last.frame.hinge):
        fitted, made = _with_lock(task, last.frame, by_hand, drawn)
        task = make_task(
            flown, kind, rotor, _all_up(task, fitted, made), ratios, cards=last.task.cards
        )
    study = replace(study_of(task, fitted, made, last, drawn), brief=brief)
    return Held(_noted(study, by_hand), sized=False, drawn=drawn.shows(fitted.frame, brief))


def _with_lock(
    task: Task, frame: FrameDesign, by_hand: ByHand, drawn: Drawn
) -> tuple[Refitted, Made]:
    """Folding arms with locks of another kind, as small as sizing lets them be: from the least up,
    since each gives by its own much under the loads it is chosen for."""
    lock = ""
    for _ in range(LOCK_ROUNDS):
        fitted = refit(task, frame, by_hand, lock=lock)
        made = made_for(task, fitted.frame, fitted.layout, drawn)
        found = assess(task, fitted.frame, fitted.layout, made.masses, made.centres)
        wanted = least_lock(task, fitted.frame, found)
        if wanted == hinge_of(fitted.frame).lock:
            break
        lock = wanted
    return fitted, made


def _with_skids(
    task: Task, frame: FrameDesign, by_hand: ByHand, drawn: Drawn
) -> tuple[Refitted, Made]:
    """The frame with bars of skids for what one leg takes in the landing on one, which is more the
    stiffer they are: from the least bar up, whatever they were before."""
    push = 0.0
    for _ in range(SKID_ROUNDS):
        fitted = refit(task, frame, by_hand, push)
        made = made_for(task, fitted.frame, fitted.layout, drawn)
        found = assess(task, fitted.frame, fitted.layout, made.masses, made.centres)
        push = float(found.result("landing-one").case.foot_force[:, 2].max())
    fitted = refit(task, frame, by_hand, push)
    return fitted, made_for(task, fitted.frame, fitted.layout, drawn)


def _weightless(
    last: Task, brief: Brief, kind: str, rotor: RotorModel, ratios: Mapping[str, float]
) -> Task:
    """A task good enough to draw the frame and weigh it: what hangs on thrust is the last one's."""
    layout = first_layout(brief, kind, last.hardware)
    return replace(
        last,
        brief=brief,
        kind=kind,
        angles=tuple(float(angle) for angle in layout.arm_angles),
        paired=layout.paired,
        materials=working_materials(last.cards, brief),
        rotor=rotor,
        ratios=ratios,
        grown=grown_arm(brief),
    )


def study_of(task: Task, fitted: Refitted, made: Made, last: Study, drawn: Drawn) -> Study:
    """Every result of the frame under ``task``; what only sizing finds is taken from ``last``."""
    frame, layout, brief = fitted.frame, fitted.layout, task.brief
    assessment = assess(task, frame, layout, made.masses, made.centres)
    pool = arm_row(task, fitted, made.masses["mount"])
    sized = Sized(frame, layout, pool, CHOICE, Learnt(), assessment, made.masses, {})
    specs = specs_for(frame, made, drawn)
    assembly = placed_again(frame, layout, brief, drawn)
    solids = replace(drawn.bodies(), frame=frame, assembly=assembly, made=made, specs=specs)
    all_up = total_mass(assessment.lumps)
    used = {spec.material for spec in specs} | set(brief.printer.filaments)
    return replace(
        last,
        brief=brief,
        cards={key: task.cards[key] for key in sorted(used)},
        layout=layout,
        frame=frame,
        hover=task.hover,
        full=task.full,
        speeds=task.speeds,
        all_up_mass=all_up,
        frame_mass=sized.frame_mass,
        closure=(ClosureStep(task.all_up_mass, sized.frame_mass, all_up - task.all_up_mass),),
        loads=tuple(result.case for result in assessment.results),
        parts=specs,
        solids={},
        assembly=assembly,
        masses=mass_table(assessment.lumps),
        deflected=tuple(r.deflected(assessment.structure.frame) for r in assessment.results),
        arm_modes=arm_modes(assessment.structure),
        airframe_modes=assessment.modes,
        checks=all_checks(task, sized, solids, drawn.access_of(frame)),
        fasteners=assessment.fasteners,
        shopping=shopping_list(brief, layout, frame, assessment.fasteners),
        task=task,
        assessment=assessment,
    )


def _all_up(task: Task, fitted: Refitted, made: Made) -> float:
    """All-up mass, kg: bolts and lumps depend on the frame alone."""
    frame, layout = fitted.frame, fitted.layout
    preload = clamp_preload(frame, task.materials, task.hardware)
    fasteners = bolts_list(frame, layout, task.hardware, task.lengths, preload)
    counts = part_quantities(frame)
    return total_mass(
        lumps(task.brief, layout, frame, made.masses, made.centres, counts, fasteners)
    )


def renoted(study: Study) -> Study:
    """The study with its notes written anew: they take as long as all its beams."""
    notes = notes_for(study.task, study.layout, combinations(study.task)[1])
    own = tuple(note for note in study.notes if note.startswith(BY_HAND))
    folded = fold_notes(study.frame, study.layout, study.assembly)
    small = fastener_notes(study.task, study.fasteners)
    return replace(study, notes=(*own, *notes, *small, *folded))


def _noted(study: Study, by_hand: ByHand) -> Study:
    """The study with a note on what was set by hand."""
    if not by_hand:
        return study
    told = ", ".join(f"{RULES[path].label} {show(value, 'm', 'mm', 4)}"
                     for path, value in sorted(by_hand.items()))  # fmt: skip
    note = f"{BY_HAND}: {told}. The brief alone does not give this frame."
    return replace(study, notes=(note, *study.notes))
