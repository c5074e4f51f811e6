"""Arm candidates evaluated in a second on one core, for each family.

Run: .venv/bin/python benchmarks/arm_candidates.py
"""

import os

for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ[name] = "1"

import time  # noqa: E402  (threads must be set before numpy loads)

import numpy as np  # noqa: E402

from refledge.analysis.arms import (  # noqa: E402
    FAMILIES,
    ArmClamp,
    ArmLoads,
    ArmMaterial,
    ArmShape,
    evaluate_arms,
)

BLOCK = 1000
LEAST_SECONDS = 2.0


def random_shapes(family: str, count: int, seed: int = 1) -> ArmShape:
    """Arms of a six-rotor of about 3 kg, drawn at random, lengths in m."""
    draw = np.random.default_rng(seed)
    width = draw.uniform(16e-3, 30e-3, count)
    depth = draw.uniform(16e-3, 30e-3, count)
    if family == "tube":
        depth = width
    return ArmShape(
        length=draw.uniform(0.2, 0.3, count),
        width=width,
        depth_root=depth,
        depth_tip=depth if family == "tube" else 0.7 * depth,
        root_length=0.04,
        tenon_length=0.034,
        side=draw.uniform(0.9e-3, 3e-3, count),
        top=draw.uniform(0.8e-3, 3e-3, count),
        bottom=draw.uniform(0.8e-3, 3e-3, count),
        pitch=draw.uniform(12e-3, 20e-3, count),
        web=draw.uniform(0.9e-3, 3e-3, count),
        bore=width - 2e-3 if family == "tube" else 5e-3,
    )


def candidates_per_second(family: str) -> float:
    """Best of repeated blocks, 1/s: the least disturbed by other work on the machine."""
    shape = random_shapes(family, BLOCK)
    material = ArmMaterial(E=2.2e9, G=0.75e9, rho=1270.0, nu=0.38)
    loads = ArmLoads(force_z=12.0, force_y=2.0, torque_z=0.2, tip_mass=0.12, tip_offset=0.02)
    clamp = ArmClamp(x=0.03, stiffness_y=400.0, stiffness_z=800.0, stiffness_x=300.0)
    best, started = np.inf, time.perf_counter()
    while time.perf_counter() - started < LEAST_SECONDS:
        begun = time.perf_counter()
        evaluate_arms(family, shape, material, loads, clamp)
        best = min(best, time.perf_counter() - begun)
    return BLOCK / best


if __name__ == "__main__":
    for family in FAMILIES:
        print(f"{family:8s} {candidates_per_second(family):10,.0f} candidates/s")
