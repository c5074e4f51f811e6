"""All checks of one airframe, the modes of one arm, and the notes that go with them."""

import numpy as np

from refledge.airframe.access_checks import access_checks
from refledge.airframe.arm_checks import arm_checks
from refledge.airframe.cover import cover_checks
from refledge.airframe.estimate import material_of
from refledge.airframe.fatigue_checks import fatigue_checks
from refledge.airframe.fit_checks import fit_checks
from refledge.airframe.flight_checks import flight_checks, rotor_lost_note
from refledge.airframe.foot_checks import foot_checks
from refledge.airframe.grown_checks import grown_buckling, grown_checks
from refledge.airframe.guard_checks import guard_checks
from refledge.airframe.heat_checks import heat_checks
from refledge.airframe.hinge_fold import fold_checks, fold_wires
from refledge.airframe.holder_checks import holder_checks
from refledge.airframe.joint_checks import joint_checks
from refledge.airframe.leg_lap import leg_lap_checks
from refledge.airframe.leg_root import leg_root_checks
from refledge.airframe.leg_shear import leg_shear_check
from refledge.airframe.making import Solids
from refledge.airframe.mast_checks import mast_checks
from refledge.airframe.modeshapes import describe_modes
from refledge.airframe.mount_checks import mount_checks
from refledge.airframe.payload_line_checks import payload_line_checks
from refledge.airframe.rail_checks import rail_checks
from refledge.airframe.shaking_checks import shaking_checks
from refledge.airframe.sizing import Sized
from refledge.airframe.skid_checks import skid_checks
from refledge.airframe.soft_seat_checks import soft_seat_checks
from refledge.airframe.stance_checks import stance_check
from refledge.airframe.stiffness_checks import stiffness_checks
from refledge.airframe.strength_checks import strength_checks
from refledge.airframe.structure import NODES_PER_ARM, PLATE_NODES, Structure
from refledge.airframe.task import Task
from refledge.airframe.tipping import tipping_checks
from refledge.airframe.weak_links import link_checks
from refledge.airframe.wire_checks import wire_checks
from refledge.analysis.beam import all_dofs, modes
from refledge.flight.motor_fit import fit_words
from refledge.flight.other_power import other_power_words
from refledge.model.checks import Check
from refledge.model.layout import Layout
from refledge.model.parts import FrameDesign
from refledge.model.results import ModeSet

ARM_MODES = 6


def all_checks(
    task: Task, sized: Sized, solids: Solids, access: tuple[Check, ...] | None = None
) -> tuple[Check, ...]:
    """Every question, in the order in which people ask them.

    access: those of access and folding, where they have been answered for these solids already.
    """
    frame, layout, found = sized.frame, sized.layout, sized.assessment
    printed = {
        spec.name: task.materials[material_of(frame, spec.key)]
        for spec in solids.specs
        if spec.printed
    }
    made = (
        *flight_checks(task, layout, found.lumps),
        *stiffness_checks(task, frame, layout, found),
        *shaking_checks(task, frame, found),
        *strength_checks(task, frame, found),
        *fatigue_checks(task, frame, found),
        *_buckling(task, sized),
        *joint_checks(task, frame, found),
        *mount_checks(task, frame, layout, found),
        *heat_checks(task.brief, printed),
        *mast_checks(task, frame, found),
        *cover_checks(task, frame, found),
        *holder_checks(task, frame, found, solids.assembly),
        *leg_root_checks(task, frame, found),
        leg_shear_check(task, frame, found),
        *leg_lap_checks(task, frame, found),
        *foot_checks(task, frame, found),
        *skid_checks(task, frame, found),
        *guard_checks(task, frame),
        *soft_seat_checks(task, frame, found),
        *wire_checks(task, frame),
        stance_check(task, frame, found),
        *rail_checks(task, frame, found),
        *payload_line_checks(task, frame, found),
        *link_checks(task, frame, found),
        *fold_wires(task, frame),
        *fit_checks(task.brief, layout, solids.specs, solids.assembly),
        *(checks_of_solids(task, frame, layout, solids) if access is None else access),
    )
    grown = frame.arm.grown
    return made if grown is None else grown_checks(task, grown, found, made)


def _buckling(task: Task, sized: Sized) -> tuple[Check, ...]:
    arm = sized.frame.arm
    if arm.grown is not None:
        return grown_buckling(task, arm.grown, sized.assessment)
    frame, found = sized.frame, sized.assessment
    alone = arm_checks(task, frame, found, sized.uses)
    return (*alone, *tipping_checks(task, frame, found))


def checks_of_solids(
    task: Task, frame: FrameDesign, layout: Layout, solids: Solids
) -> tuple[Check, ...]:
    """Tool access and folding, which look at the solids one against another."""
    access = access_checks(task, frame, layout, solids.assembly)
    return (*access, *fold_checks(task, frame, layout, solids))


def arm_modes(structure: Structure) -> ModeSet:
    """Modes of the first arm with its motor, clamped by plates that do not move."""
    total = len(structure.frame.nodes)
    first = 2 + PLATE_NODES
    mine = range(first, 2 + NODES_PER_ARM)
    held = [node for node in range(total) if node not in mine]
    frequencies, shapes = modes(structure.frame, ARM_MODES, all_dofs(*held))
    return ModeSet(
        title="one arm with its motor, plates held",
        frequencies=frequencies,
        labels=describe_modes(structure, shapes),
        nodes=structure.frame.nodes,
        elements=np.asarray(structure.frame.elements),
        shapes=shapes,
        felt=np.zeros(len(shapes)),
    )


def notes_for(task: Task, layout: Layout, left_out: dict[str, str]) -> tuple[str, ...]:
    """What was assumed or left out beyond the brief's own defaults."""
    notes = [f"{key} was left out: {reason}." for key, reason in left_out.items()]
    notes.append(f"Rotor figures: {task.rotor.method}, spread {task.rotor.spread:.0%}.")
    notes += [words for words in (fit_words(task.brief.motor),) if words]
    notes.append(rotor_lost_note(task, layout))
    notes.append(other_power_words(task.brief))
    notes += _grown_notes(task)
    notes.append(
        "Stiffness comes from beam models; the joints between arm and plates are estimates that "
        "err soft. Pull-test and tap-test the first arm before printing the rest."
    )
    worst = max(task.materials[key].interlayer_spread for key in task.brief.printer.filaments)
    notes.append(
        f"Strength across layers is the least certain figure of all (standard uncertainty up to "
        f"{worst:.0%}): it depends on your printer. Proof-load every arm before flight."
    )
    return tuple(notes)


def _grown_notes(task: Task) -> list[str]:
    """Where the arms came from, and what is not known of them."""
    grown = task.grown
    if grown is None:
        return []
    return [
        f"The arms were grown ({grown.how}) for {grown.title} by version {grown.version} and are "
        "taken as they are; only the rest is sized. Their use of strength is a bound from what "
        "they were solved for, and so is how near they are to buckling; their give is that of a "
        "solid. Proof-load the first arm.",
        "In STEP the grown arms have flat faces within 0.25 mm of their surface; where that would "
        "take more than 20 000 faces, neither the part nor the assembly has them in STEP: use the "
        "3MF or STL.",
    ]
