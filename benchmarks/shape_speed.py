"""Speed and memory of the voxel solver and optimiser on the standard cantilever.

Run: .venv/bin/python benchmarks/shape_speed.py [case ...]   cases: operator small medium million

The standard cantilever: 3:1:1, clamped at one end, a line load along the far lower edge, 12 % of
the volume, filter 1.75 voxels, contrast 1e-6, tolerance 1e-5, solves from the design before. Each
case runs in a process of its own, so that its peak memory is its own; the bars are issue 9's.
"""

import json
import os
import resource
import subprocess
import sys
import time
from pathlib import Path

import numpy as np

from refledge.voxels.cpu import CpuBackend
from refledge.voxels.elasticity import Body
from refledge.voxels.grid import Grid, bits_of, nodes_of
from refledge.voxels.hexahedron import element
from refledge.voxels.material import isotropic
from refledge.voxels.optimise import optimise
from refledge.voxels.problem import Load, Problem, Recipe

REPEATS = 7
CASES = {
    "small": ((60, 20, 20), 30, "at most 0.12 s an iteration"),
    "medium": ((120, 40, 40), 30, "at most 0.6 s an iteration, 300 MB"),
    "million": ((210, 70, 70), 100, "100 iterations in at most 480 s"),
}
OPERATOR_SHAPES = ((120, 40, 40), (128, 96, 96))


def operator() -> dict[str, float]:
    """Millions of elements a second, K u in fp32, the best of several."""
    found = {}
    for shape in OPERATOR_SHAPES:
        draw = np.random.default_rng(0)
        cube = element(isotropic(1.0, 0.3).stiffness(), 1.0, 1.0)
        held = np.zeros((3, *nodes_of(shape)), bool)
        held[:, 0] = True
        level = CpuBackend().fine(cube, draw.random(shape, np.float32), bits_of(held))
        x = draw.standard_normal((1, *held.shape)).astype(np.float32)
        out = np.empty_like(x)
        level.apply(x, out)
        times = []
        for _ in range(5 * REPEATS):
            began = time.perf_counter()
            level.apply(x, out)
            times.append(time.perf_counter() - began)
        found["x".join(map(str, shape))] = np.prod(shape) / min(times) / 1e6
    return found


def cantilever(shape: tuple[int, int, int], iterations: int) -> dict[str, float]:
    """Seconds a design iteration (median and last), iterations of the last solve, peak memory."""
    grid = Grid(shape, 1.0)
    held = np.zeros(grid.field, bool)
    held[:, 0] = True
    forces = np.zeros(grid.field)
    forces[2, -1, :, 0] = -1 / (shape[1] + 1)
    body = Body(grid, isotropic(1.0, 0.3), held)
    problem = Problem(body, (Load("tip", forces),), "stiffness", most_mass=0.12)
    stages = (1.0, 4.0, 8.0, 16.0)
    recipe = Recipe(
        filter_radius=1.75, sharpness=stages, stage=-(-iterations // len(stages)), settled=0.0
    )
    began, busy = time.perf_counter(), time.process_time()
    design = optimise(problem, recipe)
    whole = time.perf_counter() - began
    steps = design.history
    return {
        "iterations": len(steps),
        "median s": float(np.median([step.seconds for step in steps[1:]])),
        "whole s": whole,
        "processor s an iteration": (time.process_time() - busy) / len(steps),
        "most solve iterations": max(step.solves[0] for step in steps),
        "last solve iterations": steps[-1].solves[0],
        "compliance": steps[-1].compliance,
        "peak MB": resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024,
    }


def main(names: list[str]) -> None:
    """Each case in its own process; prints one line a figure."""
    if names[:1] == ["--one"]:
        name = names[1]
        figures = operator() if name == "operator" else cantilever(*CASES[name][:2])
        print(json.dumps(figures))
        return
    for name in names or ["operator", *CASES]:
        load = os.getloadavg()[0]
        text = subprocess.run(
            [sys.executable, Path(__file__), "--one", name],
            check=True,
            capture_output=True,
            text=True,
        ).stdout
        bar = "at least 40 M elements/s" if name == "operator" else CASES[name][2]
        figures = "; ".join(f"{key} {value:.5g}" for key, value in json.loads(text).items())
        print(f"{name}: {figures} (bar: {bar}; load average before {load:.1f})", flush=True)


if __name__ == "__main__":
    main(sys.argv[1:])
