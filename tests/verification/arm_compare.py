"""One whole arm through our solver and CalculiX on the same mesh."""

from dataclasses import dataclass
from pathlib import Path

import numpy as np

from refledge.solids import calculix
from refledge.solids.buckling import buckled
from refledge.solids.modal import modes
from refledge.solids.part import material_of
from refledge.solids.static import case_load, static
from refledge.solids.system import build
from tests.solids.arm_part import SUPPORTS, arm_mesh, body, cases


@dataclass(frozen=True)
class Row:
    """One quantity by both solvers."""

    name: str
    unit: str
    ours: float
    theirs: float
    difference: float
    """Relative; of displacements the greatest over all nodes, over the greatest displacement."""


def compare_arm(folder: Path, size: float = 5e-3, round_elements: float = 1.0) -> list[Row]:
    """Five load cases, buckling under the first, and six modes of the arm, layered plastic, clamped
    by block and bolts. CalculiX on one thread: more of them mostly wait for each other."""
    mesh, all_cases = arm_mesh(size, round_elements=round_elements), cases()
    system = build(mesh, material_of(mesh, {"arm": body()}), SUPPORTS)
    loads = np.array([case_load(system, case) for case in all_cases])
    ours = static(system, all_cases).displacements
    own = modes(calculix.as_calculix_weighs(system), 6).frequencies
    other = calculix.run(system, loads, folder, 6, threads=1)
    rows = []
    for case, a, b in zip(all_cases, ours, other.displacements, strict=True):
        greatest = [float(np.linalg.norm(u, axis=1).max()) for u in (a, b)]
        off = float(np.abs(a - b).max()) / greatest[0]
        rows.append(Row(f"{case.name}: greatest displacement", "m", *greatest, off))
    factor = buckled(system, ours[0]).factor
    theirs = float(calculix.buckling_factors(system, loads[0], folder, 1, threads=1)[0])
    rows.append(Row("thrust: buckling factor", "1", factor, theirs, abs(theirs / factor - 1)))
    for number, (f, g) in enumerate(zip(own, other.frequencies, strict=True), 1):
        rows.append(Row(f"mode {number}", "Hz", float(f), float(g), abs(float(g / f) - 1)))
    return rows
