"""Beams that give at the tip as an arm solved as a solid does, in place of a drawn arm's sections.

A cantilever of beams k with compliance s_k = 1 / (E I_k), its tip at a distance a from a point,
gives under a force F and a moment M at its tip (Castigliano's second theorem; Timoshenko, Strength
of Materials I, art. 74)

    w = F sum(s_k int a^2) + M sum(s_k int a),    turn = F sum(s_k int a) + M sum(s_k int 1),

so three figures of the solid's tip fix three numbers of the s_k; of all that fit, those nearest to
one and the same are taken. Shear is part of them. Heights of centroid and shear centre follow from
how moments move the tip along and torque moves it sideways.
"""

from dataclasses import dataclass, replace

import numpy as np
from scipy.optimize import lsq_linear

from refledge.airframe.beams import Bar, frame_from
from refledge.airframe.structure import NODES_PER_ARM, PLATE_NODES, Structure
from refledge.analysis.beam import all_dofs, solve_static
from refledge.errors import AnalysisError
from refledge.model.parts import FrameDesign
from refledge.typed import Floats

FIRM = 1e3
"""Weight of the solid's three figures against evenness along the arm (a choice)."""
LEAST, MOST = 0.05, 20.0
"""Of the mean compliance: what any one beam may have (a choice)."""
BAND = 0.10
"""Share by which the beams' tip may give otherwise than the solid's, in all six motions together:
as for beams against solids of drawn arms."""


@dataclass(frozen=True, eq=False)
class TipGive:
    """What the seat of an arm held at its clamp does under loads there."""

    at: Floats
    """(3,), m, arm axes, z = 0 half-way between the plates."""
    give: Floats
    """(6, 6): translation, m, and rotation, rad, for each unit of force, N, and moment, N m."""

    def about(self, place: Floats) -> Floats:
        """(6, 6): the same of another point that moves rigidly with the seat."""
        x, y, z = np.asarray(place) - self.at
        T = np.eye(6)
        T[:3, 3:] = -np.array([[0.0, -z, y], [z, 0.0, -x], [-y, x, 0.0]])
        return np.asarray(T @ self.give @ T.T)


@dataclass(frozen=True, eq=False)
class Fitted:
    """A structure whose arms give as a solid does."""

    structure: Structure
    mismatch: float
    """Of the tip's give in all six motions against the solid's (1)."""


def fitted(structure: Structure, frame: FrameDesign, tip: TipGive) -> Fitted:
    """All arms' beams outside the clamp fitted to ``tip``; masses stay.

    Raises AnalysisError where beams cannot give that way within BAND.
    """
    wanted = tip.about(np.array([frame.arm.axis, 0.0, 0.0]))
    bars = list(structure.bars)
    for arm in range(frame.n_arms):
        rows = _outside(structure, arm)
        fresh = _bars(structure, rows, wanted)
        for row, bar in zip(rows, fresh, strict=True):
            bars[row] = bar
    old = structure.frame
    made = replace(
        structure, bars=tuple(bars), frame=frame_from(old.nodes, bars, old.masses, old.springs)
    )
    S = np.diag([1.0, 1.0, 1.0, *[_reach(structure)] * 3])
    off = S @ (beam_give(made) - wanted) @ S
    mismatch = float(np.linalg.norm(off) / np.linalg.norm(S @ wanted @ S))
    if mismatch > BAND:
        raise AnalysisError(
            f"beams cannot give at the tip as the solid arm does: {mismatch:.0%} off, at most "
            f"{BAND:.0%} is believed"
        )
    return Fitted(made, mismatch)


def beam_give(structure: Structure) -> Floats:
    """(6, 6): motion of the first arm's tip under unit loads there, held at its outer bolts, arm
    axes."""
    first, last = 2 + PLATE_NODES + 2, 2 + NODES_PER_ARM
    held = [n for n in range(len(structure.frame.nodes)) if not first <= n < last]
    turn, tip = _turn(structure), structure.tips[0]
    found = np.empty((6, 6))
    for column, unit in enumerate(np.eye(6)):
        loads = np.zeros((len(structure.frame.nodes), 6))
        loads[tip] = np.concatenate((turn.T @ unit[:3], turn.T @ unit[3:]))
        moved = solve_static(structure.frame, loads, all_dofs(*held)).displacements[tip]
        found[:, column] = np.concatenate((turn @ moved[:3], turn @ moved[3:]))
    return found


def _turn(structure: Structure) -> Floats:
    """(3, 3): rows are the first arm's axes."""
    x, y = structure.frame.nodes[structure.tips[0]][:2]
    c, s = np.array([x, y]) / np.hypot(x, y)
    return np.array([[c, s, 0.0], [-s, c, 0.0], [0.0, 0.0, 1.0]])


def _reach(structure: Structure) -> float:
    nodes = structure.frame.nodes
    return float(np.linalg.norm(nodes[structure.tips[0]] - nodes[structure.roots[0]]))


def _outside(structure: Structure, arm: int) -> list[int]:
    """The arm's beams outside its outer bolts, inner ones first."""
    nodes = structure.frame.nodes
    root = float(np.hypot(*nodes[structure.roots[arm]][:2]))
    mine = [
        (float(np.hypot(*nodes[structure.bars[row].a][:2])), row)
        for row in structure.beams_of("arm", arm)
    ]
    return [row for radius, row in sorted(mine) if radius > root - 1e-9]


def _bars(structure: Structure, rows: list[int], wanted: Floats) -> list[Bar]:
    nodes, bars = structure.frame.nodes, [structure.bars[row] for row in rows]
    lengths = np.array([bar.length(nodes) for bar in bars])
    total = float(lengths.sum())
    height = -wanted[0, 4] / wanted[4, 4]
    twist = wanted[1, 3] / wanted[3, 3]
    stretch = (wanted[0, 0] - height**2 * wanted[4, 4]) / total
    side = wanted[1, 1] - twist**2 * wanted[3, 3]
    upright = _compliances(lengths, wanted[2, 2], -wanted[2, 4], wanted[4, 4])
    level = _compliances(lengths, side, wanted[1, 5], wanted[5, 5])
    made = []
    for bar, s_y, s_z in zip(bars, upright, level, strict=True):
        E, G = bar.material.E, bar.material.G
        row = bar.section | {
            "area": 1.0 / (E * stretch), "Iy": 1.0 / (E * s_y), "Iz": 1.0 / (E * s_z),
            "J": total / (G * wanted[3, 3]), "Ay": np.inf, "Az": np.inf,
            "centroid": 0.0, "shear_centre": height - twist,
        }  # fmt: skip
        made.append(replace(bar, section=row, height=float(height)))
    return made


def _compliances(lengths: Floats, force: float, both: float, moment: float) -> Floats:
    """(k,), 1/(N m2): of each beam, root first, from w/F, w/M (or turn/F) and turn/M of the tip."""
    ends = lengths.sum() - np.concatenate(([0.0], np.cumsum(lengths)))
    powers = [-np.diff(ends**n) / n for n in (3, 2, 1)]
    A, b = np.array(powers), np.array([force, both, moment])
    mean = moment / lengths.sum()
    firm = FIRM * A * mean / b[:, None]
    left = np.vstack((firm, np.eye(len(lengths))))
    right = np.concatenate((np.full(3, FIRM), np.ones(len(lengths))))
    return np.asarray(mean * lsq_linear(left, right, bounds=(LEAST, MOST)).x)
