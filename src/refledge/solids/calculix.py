"""The same mesh and problem through CalculiX, an independent open solver (its ``ccx`` program).

Numbers are written short: the program cuts fields near 20 characters without a word.
"""

import shutil
import subprocess
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from refledge.errors import AnalysisError
from refledge.solids import element
from refledge.solids.assembly import mass_matrix
from refledge.solids.mesh import SolidMesh
from refledge.solids.system import System
from refledge.typed import Floats

_VOIGT_TO_CCX = (0, 1, 2, 5, 4, 3)
"""Its order: xx, yy, zz, xy, xz, yz."""
_SPARE_MODES = 8  # its eigenvalue search stops at one per cent: the last ones are not settled
_UPPER = [(i, j) for j in range(6) for i in range(j + 1)]


@dataclass(frozen=True, eq=False)
class Checked:
    """What CalculiX found."""

    displacements: Floats
    """(k, n, 3), m."""
    frequencies: Floats
    """(m,), Hz."""


def available() -> bool:
    """Whether the program is on the path."""
    return shutil.which("ccx") is not None


def as_calculix_weighs(system: System) -> System:
    """The system with the mass of CalculiX 2.20, which integrates it by the four points that
    suffice for the stiffness; ours is exact, so modes differ by 1e-6 and more on coarse meshes."""
    N = element.shapes(element.POINTS)
    mass = mass_matrix(system.mesh, system.material.density, N.T @ N / 4)
    return replace(system, matrices=replace(system.matrices, mass=mass))


def run(system: System, loads: Floats, folder: Path, n_modes: int = 0, threads: int = 2) -> Checked:
    """Solve loads (k, 3n), N, on the held ``system`` and find modes; point masses are left out."""
    text = _results(deck(system, loads, n_modes), folder, threads)
    return Checked(_displacements(text, system.mesh, len(loads)), _frequencies(text, n_modes))


def buckling_factors(
    system: System, load: Floats, folder: Path, count: int, threads: int = 2
) -> Floats:
    """(count,): the least load factors at which the held ``system`` buckles under load (3n,), N."""
    text = "\n".join([deck(system, np.zeros((0, system.mesh.dofs)), 0), *_buckle(load, count)])
    table = _results(text + "\n", folder, threads).split("B U C K L I N G   F A C T O R")[1]
    rows = [row.split() for row in table.split("\n")]
    found = [float(row[1]) for row in rows if len(row) == 2 and row[0].isdigit()]
    return np.array(found[:count])


def _buckle(load: Floats, count: int) -> list[str]:
    """The step; its own stop at one per cent is replaced by a finer one."""
    pulled = [f"{d // 3 + 1}, {d % 3 + 1}, {load[d]:.9g}" for d in np.flatnonzero(load)]
    return ["*STEP", "*BUCKLE", f"{count}, 1e-9", "*CLOAD", *pulled, "*END STEP"]


def _results(text: str, folder: Path, threads: int) -> str:
    """What the program prints for an input file."""
    (folder / "part.inp").write_text(text)
    environment = {"OMP_NUM_THREADS": str(threads), "PATH": "/usr/bin:/bin:/usr/local/bin"}
    done = subprocess.run(
        ["ccx", "part"], cwd=folder, capture_output=True, text=True, env=environment, check=False
    )
    if done.returncode or "ERROR" in done.stdout:
        raise AnalysisError(f"ccx failed: {done.stdout[-500:]}")
    return (folder / "part.dat").read_text()


def deck(system: System, loads: Floats, n_modes: int) -> str:
    """The input file: mesh, law of each body, supports, one step a load case, one for modes."""
    mesh, material = system.mesh, system.material
    if np.any(material.share != 1.0):
        raise AnalysisError("ccx is given solid plastic only, without infill")
    lines = ["*NODE, NSET=ALL"]
    lines += [f"{i}, {x:.9g}, {y:.9g}, {z:.9g}" for i, (x, y, z) in enumerate(mesh.nodes, 1)]
    for k, law in enumerate(material.stiffness):
        mine = np.flatnonzero(mesh.body == k)
        lines.append(f"*ELEMENT, TYPE=C3D10, ELSET=BODY{k}")
        lines += [f"{e + 1}, " + ", ".join(str(n + 1) for n in mesh.tets[e]) for e in mine]
        lines += [f"*MATERIAL, NAME=LAW{k}", "*ELASTIC, TYPE=ANISO", *_constants(law)]
        lines += ["*DENSITY", f"{material.density[mine[0]]:.9g}"]
        lines.append(f"*SOLID SECTION, ELSET=BODY{k}, MATERIAL=LAW{k}")
    lines.append("*BOUNDARY")
    lines += [f"{d // 3 + 1}, {d % 3 + 1}" for d in system.held]
    for load in loads:
        lines += ["*STEP", "*STATIC", "*CLOAD, OP=NEW"]
        lines += [f"{d // 3 + 1}, {d % 3 + 1}, {load[d]:.9g}" for d in np.flatnonzero(load)]
        lines += ["*NODE PRINT, NSET=ALL", "U", "*END STEP"]
    if n_modes:
        asked = n_modes + _SPARE_MODES
        lines += ["*STEP", "*FREQUENCY", str(asked), "*END STEP"]
    return "\n".join(lines) + "\n"


def _constants(law: Floats) -> list[str]:
    order = np.ix_(_VOIGT_TO_CCX, _VOIGT_TO_CCX)
    values = [law[order][i, j] for i, j in _UPPER]
    rows = [values[:8], values[8:16], values[16:]]
    return [", ".join(f"{v:.9g}" for v in row) for row in rows]


def _displacements(text: str, mesh: SolidMesh, count: int) -> Floats:
    blocks = text.split("displacements (vx,vy,vz)")[1:]
    found: list[Floats] = []
    for block in blocks[:count]:
        rows: Sequence[str] = block.split("\n", 1)[1].strip().split("\n")[: len(mesh.nodes)]
        found.append(np.array([row.split()[1:4] for row in rows], dtype=np.float64))
    return np.array(found)


def _frequencies(text: str, count: int) -> Floats:
    if not count:
        return np.zeros(0)
    table = text.split("E I G E N V A L U E   O U T P U T")[1].split("\n")
    rows = [row.split() for row in table if len(row.split()) == 5 and row.split()[0].isdigit()]
    return np.array([float(row[3]) for row in rows[:count]])
