"""An arm of about 150,000 freedoms: five load cases and ten modes, ours against CalculiX.

Same mesh, supports, loads and law. Ours is timed from the assembled arrays to displacements,
stresses and modes; CalculiX from its input file to its results. ``--ours`` leaves it out.
Run from the root of the checkout: ``python benchmarks/solid_vs_calculix.py``.
"""

import resource
import sys
import tempfile
import time
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))

from tests.solids.arm_part import SUPPORTS, arm_mesh, body, cases

from refledge.solids import calculix
from refledge.solids.modal import modes
from refledge.solids.part import material_of
from refledge.solids.port import worker_id
from refledge.solids.static import case_load, static
from refledge.solids.stress import recover
from refledge.solids.system import build

SIZE, MODES = 2.45e-3, 10


def main() -> None:
    """Print times, memory and the ratio of wall times."""
    clock = time.perf_counter()
    mesh = arm_mesh(SIZE)
    meshed = time.perf_counter()
    print(f"mesh {meshed - clock:.1f} s: {len(mesh.tets)} elements, {mesh.dofs} freedoms")
    load_cases = cases()
    system = build(mesh, material_of(mesh, {"arm": body()}), SUPPORTS)
    built = time.perf_counter()
    found = static(system, load_cases)
    for moved in found.displacements:
        recover(mesh, system.material, moved)
    solved = time.perf_counter()
    own = modes(system, MODES)
    done = time.perf_counter()
    ours = done - meshed
    print(f"assemble and factor {built - meshed:.1f} s")
    print(f"five cases with stresses {solved - built:.1f} s, {MODES} modes {done - solved:.1f} s")
    print(f"mesh to results {ours:.1f} s")
    print(f"from solid to results {done - clock:.1f} s; memory {memory():.2f} GB")
    if "--ours" in sys.argv or not calculix.available():
        return
    loads = np.array([case_load(system, case) for case in load_cases])
    with tempfile.TemporaryDirectory() as folder:
        started = time.perf_counter()
        other = calculix.run(system, loads, Path(folder), MODES)
        theirs = time.perf_counter() - started
    print(f"CalculiX {theirs:.1f} s; ratio of wall times {theirs / ours:.1f}")
    off = np.abs(other.displacements - found.displacements).max()
    print(f"greatest difference of displacement {off / np.abs(found.displacements).max():.1e}, "
          f"of frequency {np.abs(other.frequencies / own.frequencies - 1).max():.1e}")  # fmt: skip


def memory() -> float:
    """Peak of this process and of the solver's, GB (Linux); the latter from its status file."""
    status = Path(f"/proc/{worker_id()}/status").read_text()
    peak = next(int(line.split()[1]) for line in status.splitlines() if line.startswith("VmHWM"))
    return (resource.getrusage(resource.RUSAGE_SELF).ru_maxrss + peak) / 1e6


if __name__ == "__main__":
    main()
