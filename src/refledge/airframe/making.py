"""Solids of a frame, and what they weigh, where they lie and how they print."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from refledge.airframe.estimate import material_of
from refledge.airframe.sizing import Made
from refledge.airframe.task import Task
from refledge.geometry import kernel
from refledge.geometry.assembly import assemble
from refledge.geometry.parts import BOUGHT, PART_NAMES, make_parts, part_quantities
from refledge.geometry.poses import print_pose
from refledge.model.layout import Layout
from refledge.model.parts import FrameDesign
from refledge.model.results import Assembly, PartSpec, TriMesh
from refledge.printing.bed import turned_to_fit
from refledge.printing.mass import printed_mass
from refledge.typed import Floats


@dataclass(frozen=True, eq=False)
class Solids:
    """All distinct parts of one frame, made and put together."""

    frame: FrameDesign
    bodies: Mapping[str, kernel.Solid]
    assembly: Assembly
    made: Made
    specs: tuple[PartSpec, ...]


def make_solids(task: Task, frame: FrameDesign, layout: Layout) -> Solids:
    """Solids, assembly with its overlap check, masses as printed, print list."""
    bodies = make_parts(frame, layout, task.hardware)
    assembly = assemble(frame, layout, task.brief, bodies)
    found = {key: kernel.moments(body) for key, body in bodies.items()}
    masses = {
        key: _mass(task, frame, key, found[key].size, kernel.area(body))
        for key, body in bodies.items()
    }
    centres = {key: places_of(assembly, key, found[key].centroid) for key in bodies}
    specs = tuple(
        _spec(task, frame, key, number, found[key].size, masses[key], assembly.meshes[key])
        for key, number in part_quantities(frame).items()
    )
    return Solids(frame, bodies, assembly, Made(masses, centres), specs)


def _mass(task: Task, frame: FrameDesign, key: str, volume: float, area: float) -> float:
    rho = task.materials[material_of(frame, key)].rho
    if key in BOUGHT:
        return rho * volume
    return printed_mass(volume, area, rho, task.brief.frame, task.brief.printer)


def places_of(assembly: Assembly, key: str, centroid: Floats) -> Floats:
    """Centre of every copy, uppers first, in order of arms: (quantity, 3), m."""
    copies = [each for each in assembly.placements if each.key == key]
    placed = [each.rotation @ centroid + each.translation for each in copies]
    order = sorted(range(len(copies)), key=lambda i: bool(copies[i].rotation[2, 2] < 0.0))
    return np.array([placed[i] for i in order])


def _spec(
    task: Task,
    frame: FrameDesign,
    key: str,
    number: int,
    volume: float,
    mass: float,
    mesh: TriMesh,
) -> PartSpec:
    printed = key not in BOUGHT
    if not printed:
        size = np.ptp(mesh.vertices, axis=0)
        return _part(frame, key, number, volume, mass, size, np.eye(3), "cut to length", True)
    rotation, note = print_pose(key, frame)
    printer = task.brief.printer
    turn, size = turned_to_fit(mesh.vertices @ rotation.T, printer.bed_length, printer.bed_width)
    fits = bool(
        size[0] <= printer.bed_length and size[1] <= printer.bed_width and size[2] <= printer.height
    )
    if turn[1, 0] != 0.0 and fits:
        note += f"; turned {np.degrees(np.arctan2(turn[1, 0], turn[0, 0])):.0f}° on the bed"
    return _part(frame, key, number, volume, mass, size, turn @ rotation, note, fits)


def _part(
    frame: FrameDesign,
    key: str,
    number: int,
    volume: float,
    mass: float,
    size: Floats,
    rotation: Floats,
    note: str,
    fits: bool,
) -> PartSpec:
    return PartSpec(
        key=key,
        name=PART_NAMES[key],
        quantity=number,
        material=material_of(frame, key),
        printed=key not in BOUGHT,
        volume=volume,
        mass=mass,
        size=(float(size[0]), float(size[1]), float(size[2])),
        print_rotation=rotation,
        print_note=note,
        fits_bed=fits,
    )
