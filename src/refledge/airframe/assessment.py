"""One frame design put through every load case and its natural modes."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import partial

import numpy as np

from refledge.airframe.fastening import bolts_list
from refledge.airframe.felt import FELT, felt_accelerations
from refledge.airframe.fillness import fill_of
from refledge.airframe.grown_beams import TipGive, fitted
from refledge.airframe.grown_interface import softened
from refledge.airframe.grown_strength import grown_stresses
from refledge.airframe.hover_shake import Swing, hover_swings
from refledge.airframe.inventory import Lump, centre_of_mass, lumps
from refledge.airframe.joints import clamp_preload
from refledge.airframe.legs import landing_force
from refledge.airframe.modeshapes import describe_modes
from refledge.airframe.skid_ties import tied
from refledge.airframe.soft_seat import on_standoffs, riding_motion, sprung
from refledge.airframe.statics import CaseResult, foot_stiffness, solve_cases
from refledge.airframe.stressing import PartStress, bar_stress
from refledge.airframe.structure import Structure, build_structure
from refledge.airframe.task import Task
from refledge.analysis.beam import modes
from refledge.analysis.strength import in_plane_use, interlayer_use
from refledge.flight.loads import load_cases
from refledge.geometry.parts import part_quantities
from refledge.model.layout import Layout
from refledge.model.parts import FrameDesign
from refledge.model.results import Fastener, ModeSet
from refledge.typed import Floats

MODES = 24


@dataclass(frozen=True, eq=False)
class Assessment:
    """What the beam frame says of one design."""

    structure: Structure
    lumps: tuple[Lump, ...]
    fasteners: tuple[Fastener, ...]
    landing_force: float  # N, on all legs together
    results: tuple[CaseResult, ...]
    stresses: tuple[tuple[PartStress, ...], ...]
    """For each result, the worst stress of each kind of part."""
    modes: ModeSet
    swings: tuple[Swing, ...] = ()
    """Of each kind of part in hover, by the rotors' residual unbalance."""

    def result(self, key: str) -> CaseResult:
        """The result of one load case."""
        return next(each for each in self.results if each.case.key == key)


def assess(
    task: Task,
    frame: FrameDesign,
    layout: Layout,
    part_masses: Mapping[str, float],
    part_centres: Mapping[str, Floats],
    changed: Callable[[Structure], Structure] | None = None,
) -> Assessment:
    """Beam frame of the design: load cases, stresses, free modes.

    changed: makes of the structure another one that is solved in its place, as with arms that are
    being grown.
    """
    brief = task.brief
    preload = clamp_preload(frame, task.materials, task.hardware)
    fasteners = bolts_list(frame, layout, task.hardware, task.lengths, preload)
    found = lumps(
        brief, layout, frame, part_masses, part_centres, part_quantities(frame), fasteners
    )
    structure = build_structure(
        frame, layout, task.materials, fill_of(brief), part_masses, found, task.hardware
    )
    skids = frame.skid
    structure = tied(structure, skids, task.materials[skids.material] if skids else None)
    structure = changed(structure) if changed else _grown(task, frame, structure)
    stiffness = foot_stiffness(structure, structure.feet)
    force = landing_force(task.landing_mass, brief.mission.landing_speed, stiffness)
    cases = load_cases(
        brief, layout, task.rotor, task.hover, task.full, task.all_up_mass, frame.leg.count, force
    )
    results = solve_cases(structure, layout, cases)
    hover = next(each for each in results if each.case.key == "hover")
    damping = task.materials[frame.arm.material].damping
    return Assessment(
        structure=structure,
        lumps=found,
        fasteners=fasteners,
        landing_force=force,
        results=results,
        stresses=_stresses(task, frame, structure, results),
        modes=airframe_modes(task, frame, structure, found),
        swings=hover_swings(
            task, structure, hover, damping, partial(_stresses, task, frame, structure)
        ),
    )


def _grown(task: Task, frame: FrameDesign, structure: Structure) -> Structure:
    """Beams that give as a grown arm does, where the frame has such arms."""
    grown = frame.arm.grown
    if grown is None:
        return structure
    softer, _ = softened(task.brief, grown, task.materials[frame.arm.material])
    return fitted(structure, frame, TipGive(grown.at, softer * grown.give)).structure


def _stresses(
    task: Task, frame: FrameDesign, structure: Structure, results: tuple[CaseResult, ...]
) -> tuple[tuple[PartStress, ...], ...]:
    """By beams, and grown arms' by what they were solved for."""
    by_beams, grown = all_stresses(structure, results), frame.arm.grown
    if grown is None:
        return by_beams
    material = task.materials[frame.arm.material]
    now = softened(task.brief, grown, material)
    arms = grown_stresses(grown, material, now, structure, results)
    return tuple(
        tuple(arm if each.part == "arm" else each for each in stresses)
        for arm, stresses in zip(arms, by_beams, strict=True)
    )


def all_stresses(
    structure: Structure, results: tuple[CaseResult, ...]
) -> tuple[tuple[PartStress, ...], ...]:
    """``part_stresses`` of every result, each beam's ends of all results in one go."""
    ends = np.concatenate([result.forces for result in results], axis=1)
    parts = dict.fromkeys(bar.part for bar in structure.bars)
    found = [_worst_of(structure, ends, part) for part in parts]
    return tuple(zip(*found, strict=True))


def _worst_of(structure: Structure, ends: Floats, part: str) -> list[PartStress]:
    """Worst stress of one kind of part in each result. ends: (m, 2 results, 6), N and N m."""
    worst = np.zeros((4, ends.shape[1] // 2))
    for row in structure.beams_of(part):
        bar = structure.bars[row]
        material = bar.material
        sigma, tau = bar_stress(bar, ends[row])
        plane = in_plane_use(sigma, tau, material.strength_xy)
        normal, shear, plane = (
            np.reshape(each, (-1, 2)).max(axis=1) for each in (sigma, tau, plane)
        )
        across = np.zeros_like(shear) if material.kind == "tube" else shear
        layers = interlayer_use(
            np.zeros_like(across), across, material.strength_z, material.shear_z
        )
        worst = np.maximum(worst, np.array([normal, shear, plane, layers]))
    return [PartStress(part, *(float(each) for each in column)) for column in worst.T]


def airframe_modes(
    task: Task, frame: FrameDesign, structure: Structure, riding: tuple[Lump, ...]
) -> ModeSet:
    """Elastic modes of the free airframe with everything mounted."""
    frequencies, shapes = modes(structure.frame, MODES)
    damping = task.materials[frame.arm.material].damping
    moved = controller_motion(task, frame, structure, riding, frequencies, shapes)
    return ModeSet(
        title="free airframe with everything mounted",
        frequencies=frequencies,
        labels=describe_modes(structure, shapes),
        nodes=structure.frame.nodes,
        elements=np.asarray(structure.frame.elements),
        shapes=shapes,
        felt=felt_accelerations(task, damping, structure, shapes, moved),
        felt_limit=FELT,
    )


def controller_motion(
    task: Task,
    frame: FrameDesign,
    structure: Structure,
    riding: tuple[Lump, ...],
    frequencies: Floats,
    shapes: Floats,
) -> Floats:
    """How far the flight controller moves in each mode, (k,), m: with the plate on a hard seat,
    as its standoffs pass the plate's motion on a damped one."""
    hub = shapes[:, structure.hub]
    if not frame.seat.rise:
        return np.asarray(np.linalg.norm(hub[:, :3], axis=1))
    centre = centre_of_mass(on_standoffs(task.brief, frame, riding))
    body = sprung(task.brief, frame, riding)
    return riding_motion(body, centre, structure.frame.nodes[structure.hub], hub, frequencies)
