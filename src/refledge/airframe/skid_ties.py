"""Skids in the beam frame: each ties the ends of its two legs together as a beam between them."""

from dataclasses import replace

import numpy as np

from refledge.airframe.structure import Structure
from refledge.airframe.working import Working
from refledge.analysis.frame import Spring
from refledge.model.gear import SkidDesign
from refledge.typed import Floats


def tied(structure: Structure, skid: SkidDesign | None, material: Working | None) -> Structure:
    """The structure with a tie for each skid; itself without skids. Their masses ride on the legs'
    ends all the same."""
    if skid is None or material is None:
        return structure
    ties = tuple(_tie(structure, pair, skid, material) for pair in sides(structure))
    frame = structure.frame
    return replace(structure, frame=replace(frame, springs=(*frame.springs, *ties)))


def untied(structure: Structure) -> Structure:
    """The structure without its skids' ties."""
    feet, frame = set(structure.feet), structure.frame
    kept = tuple(each for each in frame.springs if not {each.node_a, each.node_b} <= feet)
    return replace(structure, frame=replace(frame, springs=kept))


def sides(structure: Structure) -> tuple[tuple[int, int], ...]:
    """Rear and front foot on the left, and on the right: nodes."""
    nodes = structure.frame.nodes
    found = []
    for way in (1.0, -1.0):
        own = [foot for foot in structure.feet if way * nodes[foot][1] > 0.0]
        rear, front = sorted(own, key=lambda foot: float(nodes[foot][0]))
        found.append((rear, front))
    return tuple(found)


def tie_forces(structure: Structure, displacements: Floats) -> Floats:
    """Force and moment at both ends of every tie, (ties, 2, 6), N and N m, along the bar (x), level
    across it (y) and upright (z). displacements: (n, 6), m and rad."""
    feet, found = set(structure.feet), []
    for spring in structure.frame.springs:
        if {spring.node_a, spring.node_b} <= feet:
            a, b = (displacements[node] for node in (spring.node_a, spring.node_b))
            between = structure.frame.nodes[spring.node_b] - structure.frame.nodes[spring.node_a]
            given = np.concatenate([b[:3] - a[:3] - np.cross(a[3:], between), b[3:] - a[3:]])
            turn = np.kron(np.eye(2), spring.axes)
            here = spring.stiffness @ (turn @ given)
            lever = spring.axes @ between
            there = np.concatenate([-here[:3], -here[3:] - np.cross(lever, here[:3])])
            found.append(np.stack([there, here]))
    return np.array(found).reshape(-1, 2, 6)


def _tie(
    structure: Structure, pair: tuple[int, int], skid: SkidDesign, material: Working
) -> Spring:
    nodes = structure.frame.nodes
    long = float(np.linalg.norm(nodes[pair[1]] - nodes[pair[0]]))
    return Spring(*pair, end_stiffness(skid, material, long), tie_axes(structure, *pair))


def tie_axes(structure: Structure, rear: int, front: int) -> Floats:
    """Rows: along the bar, level across it, upright; (3, 3)."""
    between = structure.frame.nodes[front] - structure.frame.nodes[rear]
    along = between / np.linalg.norm(between)
    across = np.cross([0.0, 0.0, 1.0], along)
    across = across / np.linalg.norm(across)
    return np.stack([along, across, np.cross(along, across)])


def end_stiffness(skid: SkidDesign, material: Working, long: float) -> Floats:
    """(6, 6), N/m, N and N m/rad: of one end of the bar with the other held.

    Euler beam: 12 E I / L^3, 6 E I / L^2, 4 E I / L, E A / L, G J / L (Przemieniecki, Theory of
    Matrix Structural Analysis). A bar in two parts counts as wide as one of its tongues all along,
    which is careful.
    """
    wide, high = bar_section(skid)
    area, upright, level = wide * high, wide * high**3 / 12, high * wide**3 / 12
    thin, thick = sorted((wide, high))
    torsion = thick * thin**3 * (1 / 3 - 0.21 * thin / thick * (1 - (thin / thick) ** 4 / 12))
    E, G = material.E, material.G_xz
    found = np.diag([
        E * area / long, 12 * E * level / long**3, 12 * E * upright / long**3,
        G * torsion / long, 4 * E * upright / long, 4 * E * level / long,
    ])  # fmt: skip
    found[1, 5] = found[5, 1] = -6 * E * level / long**2
    found[2, 4] = found[4, 2] = 6 * E * upright / long**2
    return found


def bar_section(skid: SkidDesign) -> tuple[float, float]:
    """Width and height that a skid's bar counts with, m."""
    return (skid.width / 2 if skid.lap else skid.width), skid.height
