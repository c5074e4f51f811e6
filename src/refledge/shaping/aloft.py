"""The airframe with grown arms in place of its own: loads, modes and checks anew.

Bolts, faces and plates stay. The arms' beams give at the tip as the grown arm does as a solid;
their strength is the solid's, each load case scaled by what it does to the tip now over what it did
when the solid was solved. What an arm's shape does not touch (fits, heat, access) stands as before.
"""

from dataclasses import dataclass, replace

import numpy as np

from refledge.airframe.assessment import Assessment, assess
from refledge.airframe.findings import arm_modes
from refledge.airframe.flight_checks import flight_checks
from refledge.airframe.grown_beams import Fitted, fitted
from refledge.airframe.inventory import total_mass
from refledge.airframe.joint_checks import joint_checks
from refledge.airframe.judge import in_doubt
from refledge.airframe.making import places_of
from refledge.airframe.shaking_checks import shaking_checks
from refledge.airframe.stiffness_checks import stiffness_checks
from refledge.airframe.strength_checks import WORDS, strength_checks
from refledge.airframe.stressing import PartStress
from refledge.airframe.structure import Structure
from refledge.airframe.task import Task
from refledge.airframe.task_making import make_task
from refledge.errors import AnalysisError
from refledge.geometry import kernel
from refledge.geometry.mesh import mesh_centroid
from refledge.model.checks import Check, Verdict
from refledge.model.results import ModeSet
from refledge.shaping.printable import Printable
from refledge.shaping.reanalysis import ArmFound
from refledge.study import MASS_TOLERANCE, MOST_PASSES, Study
from refledge.typed import Floats
from refledge.verify.beam_forces import tip_load
from refledge.verify.results import HotSpot

METHOD = (
    "the grown arm as a solid under this load case, scaled by the load on its tip; beams in the "
    "airframe that give at the tip as it does"
)


@dataclass(frozen=True, eq=False)
class Aloft:
    """What the airframe does with grown arms."""

    task: Task
    """Operating points at the new all-up mass."""
    assessment: Assessment
    mismatch: float
    """Of the beams' give at the tip against the solid's (1)."""
    arm_modes: ModeSet
    """Of one arm by those beams, plates held."""
    checks: tuple[Check, ...]
    """Flight, stiffness, shaking, strength and joints."""

    @property
    def all_up_mass(self) -> float:
        """kg."""
        return total_mass(self.assessment.lumps)

    @property
    def verdict(self) -> Verdict:
        """The worst of the checks: fails, then cannot say, then holds narrowly."""
        found = {check.verdict for check in self.checks}
        order = (Verdict.FAILS, Verdict.UNKNOWN, Verdict.NARROWLY)
        return next((each for each in order if each in found), Verdict.HOLDS)


def aloft(study: Study, body: Printable, mass: float, found: ArmFound) -> Aloft:
    """The study's airframe with arms of ``body``, each of ``mass``, kg, solved as ``found``.

    Raises AnalysisError where no beams give as the solid does, or mass and loads do not settle.
    """
    made: list[Fitted] = []

    def changed(structure: Structure) -> Structure:
        made.append(fitted(structure, study.frame, found.give))
        return made[-1].structure

    masses = {spec.key: spec.mass for spec in study.parts} | {"arm": mass}
    centres = {key: _centres(study, key, body) for key in masses}
    task = study.task
    for _ in range(MOST_PASSES):
        now = assess(task, study.frame, study.layout, masses, centres, changed)
        all_up = total_mass(now.lumps)
        if abs(all_up - task.all_up_mass) <= MASS_TOLERANCE:
            break
        task = make_task(task.brief, task.kind, task.rotor, all_up, task.ratios, cards=task.cards)
    else:
        raise AnalysisError("mass and loads of the airframe with grown arms do not settle")
    spots = scaled(study, replace(study, assessment=now), found.verified.spots)
    now = replace(now, stresses=_stresses(task, study, now, spots))
    return Aloft(
        task, now, made[-1].mismatch, arm_modes(now.structure), _checks(study, task, now, spots)
    )


def scaled(study: Study, other: Study, spots: tuple[HotSpot, ...]) -> tuple[HotSpot, ...]:
    """Uses of strength with each load case as ``other`` has it, from those as ``study`` has it."""
    moved = []
    pairs = zip(study.assessment.results, other.assessment.results, strict=True)
    for spot, (old, new) in zip(spots, pairs, strict=True):
        if not spot.case == old.case.title == new.case.title:
            raise AnalysisError(f"load cases {spot.case} and {new.case.title} are not the same")
        before = _pull(study, *tip_load(study, old))
        ratio = _pull(other, *tip_load(other, new)) / before if before else 1.0
        names = ("plastic", "layers")
        uses = {
            f"{name}{more}": ratio * getattr(spot, f"{name}{more}")
            for name in names
            for more in ("", "_error", "_anywhere")
        }
        moved.append(replace(spot, **uses))
    return tuple(moved)


def _pull(study: Study, force: Floats, moment: Floats) -> float:
    """Size of a load on the tip, N; moments over the arm's free length."""
    return float(np.hypot(np.linalg.norm(force), np.linalg.norm(moment) / study.frame.arm.span))


def _centres(study: Study, key: str, body: Printable) -> Floats:
    """(quantity, 3), m: where the copies of a part have their centres."""
    own = mesh_centroid(body.mesh) if key == "arm" else kernel.moments(study.solids[key]).centroid
    return places_of(study.assembly, key, own)


def _stresses(
    task: Task, study: Study, found: Assessment, spots: tuple[HotSpot, ...]
) -> tuple[tuple[PartStress, ...], ...]:
    """The solid's in place of the beams' for the arms."""
    plastic = task.materials[study.frame.arm.material]
    rows = []
    for spot, stresses in zip(spots, found.stresses, strict=True):
        arm = PartStress(
            "arm", spot.plastic * plastic.strength_xy, spot.layers * plastic.shear_z,
            spot.plastic, spot.layers,
        )  # fmt: skip
        rows.append(tuple(arm if each.part == "arm" else each for each in stresses))
    return tuple(rows)


def _checks(
    study: Study, task: Task, found: Assessment, spots: tuple[HotSpot, ...]
) -> tuple[Check, ...]:
    frame, layout = study.frame, study.layout
    strength = strength_checks(task, frame, found)
    return (
        *flight_checks(task, layout, found.lumps),
        *stiffness_checks(task, frame, layout, found),
        *shaking_checks(task, frame, found),
        *(_by_solid(study, each, spots) for each in strength),
        *joint_checks(task, frame, found),
    )


def _by_solid(study: Study, check: Check, spots: tuple[HotSpot, ...]) -> Check:
    """An arm's strength by its own method, and in doubt where the mesh error covers the margin."""
    if check.part != WORDS["arm"]:
        return check
    if check.key.startswith("creep"):
        return replace(check, method=METHOD)
    plastic = study.task.materials[study.frame.arm.material]
    spot = next(each for each in spots if each.case == check.load_case)
    layers = check.key.startswith("layers")
    name = "layer boundaries as a solid" if layers else "strength as a solid, all stresses together"
    error = (
        spot.layers_error * plastic.shear_z if layers else spot.plastic_error * plastic.strength_xy
    )
    return in_doubt(replace(check, title=name, method=METHOD), error)
