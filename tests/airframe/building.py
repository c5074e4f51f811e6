"""Frames of the demo's kind, changed as a test needs them, and the beam structures they give."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from refledge.airframe.estimate import estimated_masses
from refledge.airframe.fastening import bolts_list
from refledge.airframe.fillness import fill_of
from refledge.airframe.inventory import Lump, lumps
from refledge.airframe.places import part_centres
from refledge.airframe.structure import Structure, build_structure
from refledge.airframe.task import Task
from refledge.airframe.working import Working
from refledge.geometry.parts import part_quantities
from refledge.model.brief import Brief
from refledge.model.layout import Layout
from refledge.model.parts import FrameDesign
from refledge.typed import Floats


@dataclass(frozen=True, eq=False)
class Built:
    """A structure with what it was built from."""

    structure: Structure
    lumps: tuple[Lump, ...]
    masses: Mapping[str, float]


def built(
    task: Task,
    frame: FrameDesign,
    layout: Layout,
    brief: Brief | None = None,
    materials: Mapping[str, Working] | None = None,
) -> Built:
    """The structure of ``frame`` with estimated part masses."""
    brief = brief or task.brief
    masses = estimated_masses(brief, frame, task.materials, {})
    bolts = bolts_list(frame, layout, task.hardware, task.lengths, 500.0)
    places, counts = part_centres(frame, layout), part_quantities(frame)
    found = lumps(brief, layout, frame, masses, places, counts, bolts)
    structure = build_structure(
        frame,
        layout,
        materials or task.materials,
        fill_of(brief),
        masses,
        found,
        task.hardware,
    )
    return Built(structure, found, masses)


def even_brief(brief: Brief) -> Brief:
    """The brief with nothing that tells one direction from another."""
    battery = replace(brief.battery, length=0.05, width=0.05)
    return replace(brief, others=(), battery=battery)


def with_all_legs(frame: FrameDesign) -> FrameDesign:
    """A leg under every arm."""
    arms = tuple(range(frame.n_arms))
    return replace(frame, leg=replace(frame.leg, count=len(arms), arms=arms))


def stiffer(materials: Mapping[str, Working], factor: float) -> dict[str, Working]:
    """Every modulus times ``factor``."""
    return {
        key: replace(
            each, E=factor * each.E, E_z=factor * each.E_z, G=factor * each.G,
            G_xz=factor * each.G_xz,
        )
        for key, each in materials.items()
    }  # fmt: skip


def moved_nodes(nodes: Floats, motion: Floats) -> Floats:
    """Operator (6 n, 6 n) that moves a field over the nodes by an orthogonal ``motion`` (3, 3).

    The nodes must map onto one another; turns are axial vectors and take the determinant too.
    """
    n = len(nodes)
    operator = np.zeros((6 * n, 6 * n))
    axial = np.linalg.det(motion) * motion
    for node, place in enumerate(nodes):
        away = np.linalg.norm(nodes - motion @ place, axis=1)
        image = int(np.argmin(away))
        assert away[image] < 1e-9, f"node {node} has no image"
        operator[6 * image : 6 * image + 3, 6 * node : 6 * node + 3] = motion
        operator[6 * image + 3 : 6 * image + 6, 6 * node + 3 : 6 * node + 6] = axial
    return operator
