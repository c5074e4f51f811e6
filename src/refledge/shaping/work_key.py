"""A short name for all that steers a growth, by which work that was put down is found again."""

from hashlib import sha256

import numpy as np

from refledge import __version__
from refledge.shaping.figures import Stand
from refledge.voxels.own_forces import Felt
from refledge.voxels.problem import Problem, Recipe


def work_key(problem: Problem, recipe: Recipe, stand: Stand) -> str:
    """Of all that steers the growth, rounded: another brief or wish never takes up this one's."""
    body = problem.body
    loads = [
        (each.name, (np.round(each.wrench, 3) + 0.0).tolist(), _rounded(each.felt))
        for each in stand.loads
    ]
    limits = [(each.name, float(f"{each.most:.4g}")) for each in problem.limits]
    least = problem.frequency.least if problem.frequency else 0.0
    goal = f"{problem.goal} {problem.most_mass:.5f} {limits} {least:.3f}"
    strong = problem.strength and (
        problem.strength.most, problem.strength.strength,
        {name: float(f"{each:.4g}") for name, each in problem.strength.factors.items()},
    )  # fmt: skip
    said = f"{__version__}|{recipe}|{body.grid}|{body.law}|{goal}|{loads}|{strong}"
    found = sha256(said.encode())
    for mark in (problem.solid, problem.empty, body.held):
        found.update(np.packbits(np.asarray(mark)).tobytes())
    return found.hexdigest()[:12]


def _rounded(felt: Felt) -> list[float]:
    """To a millimetre a second squared, and to as much a metre out."""
    found: list[float] = (np.round([*felt.field, *felt.turn, *felt.about], 3) + 0.0).tolist()
    return found
