"""Speed and memory of the voxel solver and optimiser on a GPU, on the standard cantilever.

Run: PYTHONPATH=src python3 benchmarks/shape_gpu.py case ...
  kernels [NX NY NZ]            each kernel of the given and the first coarse grid
  slender                       iterations on bars, by what the first coarse grid is kept in
  agree [NX NY NZ]              compliance on GPU and CPU of one random design
  grow [NX NY NZ] [iterations]  design iterations of the cantilever
  modes [NX NY NZ]              first natural frequency of a solid arm

The standard cantilever: 2:1:1, clamped at one end, a line load along the far lower edge, 12 % of
the volume, filter 1.75 voxels, contrast 1e-6, relative residual 1e-3; each solve starts from the
design before.
"""

import sys
import time
from collections.abc import Callable
from typing import Any

import numpy as np

from refledge.errors import AnalysisError
from refledge.voxels.backend import Backend, backend
from refledge.voxels.elasticity import Body
from refledge.voxels.gpu import GpuBackend
from refledge.voxels.gpu_launch import pool
from refledge.voxels.grid import Grid, Shape
from refledge.voxels.history import Progress
from refledge.voxels.material import isotropic
from refledge.voxels.modes import Mass, natural_modes, trial_motions
from refledge.voxels.multigrid import Smoothing
from refledge.voxels.optimise import optimise
from refledge.voxels.problem import Load, Problem, Recipe

REPEATS = 10
SMOOTHING = Smoothing(coarse=3)
"""Fewer cycles on coarse grids than the CPU's default of 6: by trial the fastest on a GPU, where a
launch costs more than a coarse grid's arithmetic."""


def say(text: str) -> None:
    """A line at once."""
    print(text, flush=True)


def cantilever(which: Backend, shape: Shape) -> tuple[Body, np.ndarray]:
    """Body and load (3, nodes)."""
    grid = Grid(shape, 1.0)
    held = np.zeros(grid.field, bool)
    held[:, 0] = True
    forces = np.zeros(grid.field)
    forces[2, -1, :, 0] = -1 / (shape[1] + 1)
    return Body(grid, isotropic(1.0, 0.3), held, which, SMOOTHING), forces


def seconds(gpu: Any, run: Callable[[], Any]) -> float:
    """Device time of the fastest of several calls, s."""
    run()
    found = []
    for _ in range(REPEATS):
        a, b = gpu.xp.cuda.Event(), gpu.xp.cuda.Event()
        a.record()
        run()
        b.record()
        b.synchronize()
        found.append(gpu.xp.cuda.get_elapsed_time(a, b) / 1e3)
    return min(found)


def kernels(shape: Shape = (640, 320, 320)) -> None:
    """Each kernel: time, elements a second, bytes that must move and their rate."""
    gpu = GpuBackend()
    xp = gpu.xp
    body, _ = cantilever(gpu, shape)
    scale = xp.random.default_rng(0).random(shape, np.float32)
    level: Any = gpu.fine(body.element, scale, body._held)
    field = (1, *body.grid.field)
    x, b, d, out = (xp.random.default_rng(k).random(field, np.float32) for k in range(4))
    below: Any = gpu.coarsen(level)
    small = [xp.zeros((1, 3, *below.nodes), np.float32) for _ in range(3)]
    last: Any = gpu.coarsen(below)
    tiny = [xp.zeros((1, 3, *last.nodes), np.float32) for _ in range(3)]
    one, low = xp.ones(1), gpu.low(x)
    stencil = 504 / 64
    floor: dict[str, tuple[Callable[[], Any], float]] = {
        "operator fp32": (lambda: level.run(0, x, x, out, 0.0, 0.0), 29),
        "operator fp32, calculated in fp64": (lambda: level.apply(x, out), 29),
        "residual": (lambda: level.residual(b, x, out), 41),
        "smooth": (lambda: level.smooth(b, x, 0.3, 0.7, out), 53),
        "start": (lambda: level.start(b, 0.7, d, out), 41),
        "restrict": (lambda: level.restrict(x, small[0]), 13.5),
        "prolong": (lambda: level.prolong(small[0], x), 26.5),
        "dots": (lambda: gpu.dots(x, b), 24),
        "advance": (lambda: gpu.advance(one, x, b, d, low, out), 84),
        "turn": (lambda: gpu.turn(x, one, b), 36),
        "first coarse grid": (lambda: gpu.coarsen(level), 5 + stencil),
        "first coarse, smooth": (lambda: below.smooth(*small[:2], 0.3, 0.7, small[2]), 9.6 + 4),
        "second coarse, smooth": (
            lambda: last.smooth(*tiny[:2], 0.3, 0.7, tiny[2]),
            stencil + 1.2,
        ),
    }
    say(f"kernels {shape}, {body.grid.size / 1e6:.1f} M elements")
    for name, (run, least) in floor.items():
        took = seconds(gpu, run)
        rate = body.grid.size / took
        say(
            f"  {name:34s} {took * 1e3:8.3f} ms {rate:9.3g} el/s {least:5.1f} B/el "
            f"{rate * least / 1e12:6.2f} TB/s"
        )


def slender() -> None:
    """Iterations on solid bars 16 x 16 in section, as small grids and as large ones are solved."""
    for which, name in ((GpuBackend(), "fp64"), (GpuBackend(0, 0), "fp32 and 16 bits")):
        for length in (64, 128, 256, 512):
            body, forces = cantilever(which, (length, 16, 16))
            for tolerance in (1e-5, 1e-8):
                try:
                    solved = body.at(np.ones(body.grid.shape)).solve(
                        forces[None], tolerance=tolerance
                    )
                except AnalysisError as error:
                    say(f"slender {name} {length}, to {tolerance:g}: {error}")
                else:
                    say(
                        f"slender {name} {length}, to {tolerance:g}: {solved.iterations[0]} "
                        f"iterations, residual {solved.residuals[0]:.2g}"
                    )


def agree(shape: Shape = (160, 112, 112)) -> None:
    """Compliance of a smooth random design at contrast 1e-6."""
    rough = np.random.default_rng(0).random(tuple(-(-n // 8) for n in shape))
    blobs = rough.repeat(8, 0).repeat(8, 1).repeat(8, 2)[: shape[0], : shape[1], : shape[2]]
    scale = np.where(blobs > 0.4, 1.0, 1e-6).astype(np.float32)
    found = []
    for which in (backend("gpu"), backend("cpu")):
        body, forces = cantilever(which, shape)
        began = time.perf_counter()
        solved = body.at(scale).solve(forces[None], tolerance=1e-6)
        found.append(float(np.vdot(which.get(solved.x), forces)))
        say(
            f"agree {which.name} {shape}: compliance {found[-1]:.9g}, {solved.iterations[0]} "
            f"iterations, residual {solved.residuals[0]:.2g}, {time.perf_counter() - began:.2f} s"
        )
    say(f"agree: relative difference {abs(found[0] / found[1] - 1):.2g} (bar 1e-3)")


def grow(shape: Shape = (640, 320, 320), iterations: int = 100) -> None:
    """Design iterations."""
    gpu = GpuBackend()
    body, forces = cantilever(gpu, shape)
    problem = Problem(body, (Load("tip", forces),), "stiffness", most_mass=0.12)
    recipe = Recipe(
        filter_radius=1.75, sharpness=(1.0,), stage=iterations, settled=0.0, tolerance=1e-3,
        least_stiffness=1e-6,
    )  # fmt: skip
    began = time.perf_counter()

    def tell(progress: Progress) -> None:
        step = progress.step
        if step.iteration % 10 == 0 or step.iteration in (1, 2, 3, iterations - 1):
            say(
                f"  {step.iteration:3d} {step.seconds:6.2f} s, {step.solves[0]} solve iterations, "
                f"compliance {step.compliance:.6g}, at {time.perf_counter() - began:.1f} s"
            )

    design = optimise(problem, recipe, tell)
    steps = design.history
    size = body.grid.size
    gpu.tidy()
    held = pool().peak
    density = gpu.put(design.density, np.float32)
    scale = 1e-6 + (1 - 1e-6) * density**recipe.penalty
    cold = body.at(scale).solve(forces[None], tolerance=1e-3)
    say(
        f"  last design from rest: {cold.iterations[0]} iterations, "
        f"residual {cold.residuals[0]:.2g}"
    )
    say(
        f"grow {shape}, {size / 1e6:.1f} M elements: {len(steps)} iterations, sum "
        f"{sum(step.seconds for step in steps):.1f} s, whole {time.perf_counter() - began:.1f} s, "
        f"median {np.median([step.seconds for step in steps]):.2f} s, last solve "
        f"{steps[-1].solves[0]} iterations, most {max(step.solves[0] for step in steps)}, mass "
        f"{steps[-1].mass:.4f}, device memory {held / 1e9:.1f} GB = {held / size:.0f} B an element"
    )


def modes(shape: Shape = (800, 250, 250)) -> None:
    """First natural frequency of a solid arm, held at one end."""
    gpu = GpuBackend()
    body, _ = cantilever(gpu, shape)
    began = time.perf_counter()
    stiffness = body.at(gpu.xp.ones(shape, np.float32), trial_motions(1))
    mass = Mass(stiffness, gpu.xp.ones(shape, np.float32))
    found = natural_modes(stiffness, mass, 1)
    took = time.perf_counter() - began
    beam = 1.8751**2 / (2 * np.pi) * np.sqrt(shape[2] ** 2 / 12) / shape[0] ** 2
    gpu.tidy()
    held = pool().peak
    say(
        f"modes {shape}, {body.grid.size / 1e6:.1f} M elements: {found.frequencies[0]:.6g} Hz "
        f"(slender beam {beam:.6g}), {found.iterations} iterations, {took:.1f} s, "
        f"{held / body.grid.size:.0f} B an element"
    )


def main(words: list[str]) -> None:
    """Each case followed by its own numbers."""
    known = {each.__name__: each for each in (kernels, slender, agree, grow, modes)}
    gpu = GpuBackend()
    say(gpu.xp.cuda.runtime.getDeviceProperties(0)["name"].decode())
    while words:
        case, numbers = known[words.pop(0)], []
        while words and words[0].isdigit():
            numbers.append(int(words.pop(0)))
        shape = [tuple(numbers[:3])] if len(numbers) >= 3 else []
        gpu.tidy()
        pool().peak = 0
        case(*shape, *numbers[3:])


if __name__ == "__main__":
    main(sys.argv[1:] or ["kernels", "slender", "agree", "grow"])
