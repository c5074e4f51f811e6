"""The solids at hand, and what they teach about the mass of a frame that has none yet."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from refledge.airframe.access_checks import TOOL_ACCESS
from refledge.airframe.estimate import estimated_masses, material_of
from refledge.airframe.findings import checks_of_solids
from refledge.airframe.hinge_fold import FOLD
from refledge.airframe.making import Solids
from refledge.airframe.places import part_centres
from refledge.airframe.sizing import Made
from refledge.airframe.task import Task
from refledge.airframe.working import Working
from refledge.geometry.parts import part_quantities
from refledge.model.brief import Brief
from refledge.model.checks import Check
from refledge.model.layout import Layout
from refledge.model.parts import FrameDesign
from refledge.model.results import Assembly, PartSpec
from refledge.study import Study


@dataclass(frozen=True, eq=False)
class Drawn:
    """A frame whose solids have been made, without the solids themselves."""

    frame: FrameDesign
    layout: Layout
    brief: Brief
    materials: Mapping[str, Working]
    assembly: Assembly
    specs: tuple[PartSpec, ...]
    made: Made
    access: tuple[Check, ...]
    """The checks of tool access and of folding, which take longer on these solids than all that an
    edit does."""

    def shows(self, frame: FrameDesign, brief: Brief) -> bool:
        """True where these are the solids, items and masses of ``frame`` under ``brief``."""
        return frame == self.frame and _mass_inputs(brief) == _mass_inputs(self.brief)

    def access_of(self, frame: FrameDesign) -> tuple[Check, ...]:
        """Those of the checks that ``frame`` still asks: clamped arms do not fold."""
        return tuple(each for each in self.access if frame.hinge or each.key != FOLD)

    def bodies(self) -> Solids:
        """In the shape that the checks take; no solid is in it."""
        return Solids(self.frame, {}, self.assembly, self.made, self.specs)


def _mass_inputs(brief: Brief) -> tuple[object, ...]:
    """What a brief says that shapes solids, items or printed mass, beside the frame itself."""
    items = (brief.motor, brief.propeller, brief.battery, brief.flight_controller)
    sizes = tuple(_size(each) for each in (*items, brief.payload, *brief.others))
    places = tuple((each.x, each.y, each.z) for each in brief.others)
    carried = (brief.payload.below, brief.payload.forward, brief.payload.slung)
    return brief.frame, brief.printer, brief.layout, sizes, places, carried


def _size(item: object) -> tuple[object, ...]:
    return tuple(getattr(item, name, None) for name in ("length", "width", "height", "diameter"))


def drawn_of(study: Study) -> Drawn:
    """What a full design drew."""
    return Drawn(
        frame=study.frame,
        layout=study.layout,
        brief=study.brief,
        materials=study.task.materials,
        assembly=study.assembly,
        specs=study.parts,
        made=_made(study),
        access=tuple(check for check in study.checks if check.key in (TOOL_ACCESS, FOLD)),
    )


def drawn_from(task: Task, solids: Solids, layout: Layout) -> Drawn:
    """What has just been made for ``task``."""
    return Drawn(
        frame=solids.frame,
        layout=layout,
        brief=task.brief,
        materials=task.materials,
        assembly=solids.assembly,
        specs=solids.specs,
        made=solids.made,
        access=checks_of_solids(task, solids.frame, layout, solids),
    )


def _made(study: Study) -> Made:
    """Masses and centres of every copy, read back from the lumps of the design."""
    lumps = [lump for lump in study.assessment.lumps if lump.part]
    centres = {
        key: np.array([lump.centre for lump in lumps if lump.part == key])
        for key in part_quantities(study.frame)
    }
    return Made({spec.key: spec.mass for spec in study.parts}, centres)


def made_for(task: Task, frame: FrameDesign, layout: Layout, drawn: Drawn) -> Made:
    """Masses and centres of ``frame``: of the solids where they show it, else by formula.

    Formulas are corrected by what the last solids weighed against theirs.
    """
    if drawn.shows(frame, task.brief) and _densities(task.materials, frame) == _densities(
        drawn.materials, frame
    ):
        return drawn.made
    masses = estimated_masses(task.brief, frame, task.materials, ratios_of(drawn))
    return Made(masses, part_centres(frame, layout))


def _densities(materials: Mapping[str, Working], frame: FrameDesign) -> list[float]:
    return [materials[material_of(frame, key)].rho for key in part_quantities(frame)]


def ratios_of(drawn: Drawn) -> dict[str, float]:
    """Mass of each solid over what the formulas give for it (1)."""
    plain = estimated_masses(drawn.brief, drawn.frame, drawn.materials, {})
    return {key: mass / plain[key] for key, mass in drawn.made.masses.items()}
