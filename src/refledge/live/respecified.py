"""Print list and places of the frame at hand, from the solids of the frame before it."""

from dataclasses import replace

from refledge.airframe.estimate import material_of
from refledge.airframe.sizing import Made
from refledge.geometry.parts import part_quantities
from refledge.geometry.placing import place_all
from refledge.live.drawn import Drawn
from refledge.model.brief import Brief
from refledge.model.layout import Layout
from refledge.model.parts import FrameDesign
from refledge.model.results import Assembly, PartSpec


def specs_for(frame: FrameDesign, made: Made, drawn: Drawn) -> tuple[PartSpec, ...]:
    """The print list with the masses of the moment; sizes are those of the solids at hand.

    A part that those solids lack is missing from the list until it has been drawn.
    """
    known = {spec.key: spec for spec in drawn.specs}
    return tuple(
        replace(
            known[key], quantity=number, mass=made.masses[key], material=material_of(frame, key)
        )
        for key, number in part_quantities(frame).items()
        if key in known
    )


def placed_again(frame: FrameDesign, layout: Layout, brief: Brief, drawn: Drawn) -> Assembly:
    """The meshes at hand where the frame of the moment puts them; what lacks a mesh is left out."""
    meshes = drawn.assembly.meshes
    placed = place_all(frame, layout, brief)
    return replace(drawn.assembly, placements=tuple(each for each in placed if each.key in meshes))
