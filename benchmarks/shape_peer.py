"""The optimiser against a peer from the package index, same cantilever, same run.

Run: .venv/bin/python benchmarks/shape_peer.py /path/to/peer/python [small|medium]

The peer is pymoto 2.0.1, in a throw-away environment of its own, never in ours:

    uv venv /tmp/peer && uv pip install --python /tmp/peer/bin/python pymoto==2.0.1

Both: clamped at one end, a line load along the far lower edge, 12 % of the volume, density filter
1.75 voxels, penalty 3, least stiffness 1e-6, geometric-multigrid conjugate gradients to 1e-5.
Ten iterations each, from the start; the first, with the peer's set-up and our loading of compiled
kernels, is left out. The peer's last iterations would be the harder ones for it, too.

That both solve one problem is shown by the compliance of one random design, filtered and penalised
by each in its own way: they must agree to the solvers' tolerance, or there is no ratio. Their steps
differ a little (we hold the filtered mass, the peer's plain step that of the variables), and so do
their compliances after ten.
"""

import json
import os
import resource
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

SHAPES = {"small": (60, 20, 20), "medium": (120, 40, 40)}
ITERATIONS = 10
SAME = 1e-3
"""Of compliance, relative: both stop at a residual of 1e-5."""


def trial(shape: tuple[int, int, int]) -> Any:
    """(nx, ny, nz): the random design that both must find alike."""
    import numpy as np  # noqa: PLC0415

    return np.random.default_rng(0).uniform(0.02, 0.3, shape)


def ours(shape: tuple[int, int, int]) -> dict[str, object]:
    """Seconds of each iteration, compliances, peak memory."""
    import numpy as np  # noqa: PLC0415

    from refledge.voxels.blueprint import Blueprint  # noqa: PLC0415
    from refledge.voxels.elasticity import Body  # noqa: PLC0415
    from refledge.voxels.grid import Grid  # noqa: PLC0415
    from refledge.voxels.material import isotropic  # noqa: PLC0415
    from refledge.voxels.optimise import optimise  # noqa: PLC0415
    from refledge.voxels.problem import Load, Problem, Recipe  # noqa: PLC0415
    from refledge.voxels.responses import Responses  # noqa: PLC0415

    grid = Grid(shape, 1.0)
    held = np.zeros(grid.field, bool)
    held[:, 0] = True
    forces = np.zeros(grid.field)
    forces[2, -1, :, 0] = -1 / (shape[1] + 1)
    body = Body(grid, isotropic(1.0, 0.3), held)
    problem = Problem(body, (Load("tip", forces),), "stiffness", most_mass=0.12)
    recipe = Recipe(filter_radius=1.75, sharpness=(1e-2,), stage=ITERATIONS, settled=0.0)
    design = Blueprint(problem, recipe).draw(trial(shape).astype(np.float32), 1e-2)
    same = Responses(problem, recipe).evaluate(design.nominal.density).compliance
    history = optimise(problem, recipe).history
    seconds, values = zip(*((step.seconds, step.compliance) for step in history), strict=True)
    return _told(list(seconds), list(values), same)


def peer(shape: tuple[int, int, int]) -> dict[str, object]:
    """The same by the peer, with a plain optimality-criteria step; runs in its own environment."""
    import numpy as np  # noqa: PLC0415
    import pymoto as pym  # noqa: PLC0415

    domain = pym.VoxelDomain(*shape)
    j, k = np.meshgrid(*(np.arange(n + 1) for n in shape[1:]), indexing="ij")
    root = domain.get_nodenumber(0, j.ravel(), k.ravel())
    clamped = domain.get_dofnumber(root, np.arange(3), 3).ravel()
    edge = domain.get_nodenumber(shape[0], np.arange(shape[1] + 1), 0)
    f = np.zeros(3 * domain.nnodes)
    f[domain.get_dofnumber(edge, 2, 3)] = -1 / (shape[1] + 1)
    x = pym.Signal("x", np.full(domain.nel, 0.12))
    with pym.Network() as network:
        filtered = pym.DensityFilter(radius=1.75, domain=domain)(x)
        scale = pym.MathExpression("1e-6 + (1 - 1e-6)*inp0^3")(filtered)
        K = pym.AssembleStiffness(domain, bc=clamped)(scale)
        solver = pym.solvers.CG(preconditioner=_hierarchy(pym, domain), tol=1e-5)
        u = pym.LinSolve(solver=solver, symmetric=True, positive_definite=True)(K, f)
        compliance = pym.EinSum("i,i->")(u, f)
    x.state = trial(shape).ravel(order="F")  # its elements run along x first
    network.response()
    same = float(compliance.state)
    network.reset()
    x.state = np.full(domain.nel, 0.12)
    seconds, values = [], []
    for _ in range(ITERATIONS):
        began = time.perf_counter()
        network.response()
        network.reset()
        compliance.sensitivity = 1.0
        network.sensitivity()
        values.append(float(compliance.state))
        x.state = _criteria(x.state, x.sensitivity)
        seconds.append(time.perf_counter() - began)
    return _told(seconds, values, same)


def _hierarchy(pym: Any, domain: Any) -> Any:
    """The peer's multigrid, levels of its default smoothing down to an odd count, then direct."""
    finer = pym.solvers.GeometricMultigrid(domain)
    counts = [domain.nelx // 2, domain.nely // 2, domain.nelz // 2]
    if all(count % 2 == 0 for count in counts):
        finer.inner_level = _hierarchy(pym, finer.sub_domain)
    return finer


def _criteria(x: Any, slope: Any) -> Any:
    """Optimality criteria for a mean density of 0.12, move limit 0.2."""
    import numpy as np  # noqa: PLC0415

    low, high = 0.0, 1e9
    new = x
    while high - low > 1e-6 * high:
        middle = (low + high) / 2
        new = np.clip(x * np.sqrt(np.maximum(-slope, 0)) / middle, x - 0.2, x + 0.2)
        new = np.clip(new, 0, 1)
        low, high = (middle, high) if new.mean() > 0.12 else (low, middle)
    return new


def _told(seconds: list[float], compliance: list[float], same: float) -> dict[str, object]:
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    return {"seconds": seconds, "compliance": compliance, "peak MB": peak, "same": same}


def main(python: str, names: list[str]) -> None:
    """One line a case and the ratio."""
    for name in names:
        load = os.getloadavg()[0]
        found = {}
        for who, run_by in (("ours", sys.executable), ("peer", python)):
            command = [run_by, str(Path(__file__)), f"--{who}", name]
            text = subprocess.run(command, check=True, capture_output=True, text=True).stdout
            told = found[who] = json.loads(text.splitlines()[-1])
            later = sorted(told["seconds"][1:])
            told["median"] = later[len(later) // 2]
            print(
                f"{name} {who}: {told['median']:.3f} s an iteration, {told['peak MB']:.0f} MB, "
                f"compliance {told['compliance'][0]:.5g} .. {told['compliance'][-1]:.5g}",
                flush=True,
            )
        mine, theirs = (found[who]["same"] for who in ("ours", "peer"))
        print(f"{name}: one random design has {mine:.6g} by us, {theirs:.6g} by the peer")
        if abs(mine / theirs - 1) > SAME:
            sys.exit(f"{name}: not the same problem: its compliances differ by more than {SAME:g}")
        ratio = found["peer"]["median"] / found["ours"]["median"]
        print(f"{name}: {ratio:.1f} times faster; load average before {load:.1f}")


if __name__ == "__main__":
    if sys.argv[1:2] in (["--ours"], ["--peer"]):
        run = ours if sys.argv[1] == "--ours" else peer
        print(json.dumps(run(SHAPES[sys.argv[2]])))
    elif len(sys.argv) > 1:
        main(sys.argv[1], sys.argv[2:] or list(SHAPES))
    else:
        sys.exit(__doc__)
