"""The free airframe, whole or with pieces gone, as few modes with what they do where it matters.

Degrees of freedom without mass are condensed out (Guyan, Reduction of stiffness and mass matrices,
1965: exact where there is no mass). The lowest modes are kept; what the others give under a force
at a contact point is kept as a static correction (residual flexibility; Craig, Structural Dynamics,
mode-acceleration method).
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from scipy import linalg

from refledge.airframe.blows.places import FEET, STRAPS, Contact, Place
from refledge.airframe.structure import Structure
from refledge.analysis.assembly import matrices
from refledge.analysis.elements import beams, skew
from refledge.analysis.frame import BeamFrame, Spring
from refledge.errors import AnalysisError
from refledge.typed import Floats, Ints

RIGID = 6
KEPT = 1500.0
"""Hz; modes above are left to the static correction: a crash lasts some hundredths of a second."""


@dataclass(frozen=True, eq=False)
class Reduced:
    """Modes of unit modal mass, the six rigid ones first."""

    shapes: Floats
    """(6 n, k): motion of every node in each mode."""
    mass_shapes: Floats
    """(6 n, k): mass matrix times shapes, which takes a motion to modes."""
    squares: Floats
    """(k,), rad2/s2."""
    points: Floats
    """(p, 3, k): motion of each contact point."""
    give: Floats
    """(p,), m/N: mean flexibility of each contact point in the modes left out."""
    recover: Floats
    """(l, 6, k): end forces (N, N m) of each place from modes."""
    steady: Floats
    """(l, 6, 3 p): what a force at each point adds to those end forces."""
    present: Floats
    """(p,): 1 where a contact point is still there."""


def reduce_frame(
    frame: BeamFrame,
    left: BeamFrame,
    points: Sequence[Contact],
    where: Sequence[Place],
    gone: frozenset[str],
    kept: float = KEPT,
) -> Reduced:
    """Modes of what is ``left`` of ``frame`` (beams that are gone have no stiffness or mass).

    gone: owners of contact points that went with them. kept: Hz, highest mode.
    """
    K, M = (each.toarray() for each in matrices(left))
    squares, shapes = _modes(K, M)
    rigid = squares < 1e-6 * squares[RIGID + 1]
    if int(rigid.sum()) != RIGID:
        raise AnalysisError(f"what is left of the frame has {int(rigid.sum())} rigid motions")
    squares = np.where(rigid, 0.0, squares)
    low = squares <= (2 * np.pi * kept) ** 2
    at = np.array([_point(frame, contact) @ shapes for contact in points])
    forces = _forces(left, where, shapes)
    high = shapes.shape[1] - int(low.sum())
    flexible = at[:, :, ~low] / squares[~low] if high else at[:, :, ~low]
    steady = np.einsum("lfk,pdk->lfpd", forces[:, :, ~low], flexible)
    give = np.einsum("pdk,pdk->p", flexible, at[:, :, ~low]) / 3
    return Reduced(
        shapes=shapes[:, low],
        mass_shapes=M @ shapes[:, low],
        squares=squares[low],
        points=np.ascontiguousarray(at[:, :, low]),
        give=give,
        recover=np.ascontiguousarray(forces[:, :, low]),
        steady=np.ascontiguousarray(steady.reshape(*steady.shape[:2], -1)),
        present=np.array([float(contact.owner not in gone) for contact in points]),
    )


def _modes(K: Floats, M: Floats) -> tuple[Floats, Floats]:
    """All squares (k,) of the massive freedoms and shapes (6 n, k) of unit modal mass."""
    heavy, light = _split(K, M)
    inner = linalg.solve(K[np.ix_(light, light)], K[np.ix_(light, heavy)], assume_a="pos")
    stiff = K[np.ix_(heavy, heavy)] - K[np.ix_(heavy, light)] @ inner
    squares, vectors = linalg.eigh((stiff + stiff.T) / 2, M[np.ix_(heavy, heavy)])
    shapes = np.zeros((len(K), len(heavy)))
    shapes[heavy] = vectors
    shapes[light] = -inner @ vectors
    return squares, shapes


def _split(K: Floats, M: Floats) -> tuple[Ints, Ints]:
    """Freedoms with mass, and those with stiffness only; what has neither is gone."""
    stiff = K.diagonal() > 1e-9 * K.diagonal().max() * 1e-6
    heavy = M.diagonal() > 1e-12 * M.diagonal().max()
    return np.flatnonzero(heavy), np.flatnonzero(stiff & ~heavy)


def _point(frame: BeamFrame, contact: Contact) -> Floats:
    """(3, 6 n): motion of a contact point from that of all nodes."""
    carry = np.zeros((3, 6 * len(frame.nodes)))
    at = 6 * contact.node
    carry[:, at : at + 3] = np.eye(3)
    carry[:, at + 3 : at + 6] = -skew(contact.place - frame.nodes[contact.node])
    return carry


def _forces(frame: BeamFrame, where: Sequence[Place], shapes: Floats) -> Floats:
    """(l, 6, k), N and N m: end forces of each place in each mode; 0 where it is gone."""
    local = beams(frame)
    made = np.zeros((len(where), 6, shapes.shape[1]))
    for row, place in enumerate(where):
        if place.bar in (STRAPS, FEET):
            node = len(frame.nodes) - (2 if place.bar == STRAPS else 1)
            for spring in frame.springs:
                if spring.node_b == node:
                    made[row] = _held(frame, spring, shapes)
            continue
        dofs = (frame.elements[place.bar][:, None] * 6 + np.arange(6)).ravel()
        rows = slice(6 * place.end, 6 * place.end + 6)
        made[row] = local.K[place.bar][rows] @ local.to_local[place.bar] @ shapes[dofs]
    return made


def _held(frame: BeamFrame, spring: Spring, shapes: Floats) -> Floats:
    """(6, k), N and N m, along the spring's axes, in each mode."""
    carry = np.eye(6)
    carry[:3, 3:] = -skew(frame.nodes[spring.node_b] - frame.nodes[spring.node_a])
    a, b = (shapes[6 * node : 6 * node + 6] for node in (spring.node_a, spring.node_b))
    turn = np.kron(np.eye(2), spring.axes)
    return np.asarray(spring.stiffness[:, None] * (turn @ (b - carry @ a)))


def without(frame: BeamFrame, structure: Structure, broken: frozenset[str]) -> BeamFrame:
    """The ``sprung`` frame without broken pieces: arms beyond their clamp, legs, motors, battery.

    Beams that are gone keep their row with no stiffness and no mass.
    """
    keep = np.ones(len(structure.bars))
    lost_nodes: set[int] = set()
    for name in broken:
        word, _, number = name.partition(" ")
        if word in ("arm", "lock"):  # an arm whose lock is gone folds out of the way
            rows = _outside(structure, int(number) - 1)
            keep[rows] = 0.0
        elif word == "leg":
            keep[structure.beams_of("leg", int(number) - 1)] = 0.0
            lost_nodes.add(structure.feet[int(number) - 1])  # with its foot, or its half of a skid
        if word in ("arm", "lock", "mount"):
            lost_nodes.add(structure.tips[int(number) - 1])
    masses = [m for m in frame.masses if m.node not in lost_nodes]
    springs = tuple(s for s in frame.springs if not {s.node_a, s.node_b} & lost_nodes)
    if "tray" in broken:
        battery = len(frame.nodes) - 2
        masses = [m for m in masses if m.node != battery]
        springs = tuple(each for each in springs if each.node_b != battery)
    names = ("A", "Iy", "Iz", "J", "mass_per_length", "rotary_x", "rotary_y", "rotary_z")
    scaled = {name: getattr(frame, name) * keep for name in names}
    return replace(frame, masses=tuple(masses), springs=springs, **scaled)


def _outside(structure: Structure, arm: int) -> list[int]:
    """Beams of one arm beyond its outer clamp bolts."""
    part = "tube" if structure.beams_of("tube") else "arm"
    root = structure.roots[arm]
    rows = structure.beams_of(part, arm)
    return [n for n in rows if root not in (structure.bars[n].a, structure.bars[n].b)] + [
        n for n in rows if structure.bars[n].a == root
    ]
