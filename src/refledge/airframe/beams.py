"""Bars with names, and how they become the arrays of a beam frame."""

from dataclasses import dataclass, fields, replace

import numpy as np

from refledge.airframe.working import Working
from refledge.analysis.frame import BeamFrame, PointMass, Spring
from refledge.analysis.sections import Section
from refledge.typed import Floats

Row = dict[str, float]
"""One row of a Section."""
_COLUMNS = tuple(each.name for each in fields(Section))


@dataclass(frozen=True, eq=False)
class Bar:
    """One beam of the frame, with the section and material it stands for."""

    part: str
    index: int
    """Which arm or leg."""
    a: int
    b: int
    material: Working
    section: Row
    height: float
    """Of the section's centroid above the line between the nodes, m."""
    head: Floats | None = None
    """(3,), m: where the beam really begins, where that is not its first node."""
    weight: float = 1.0
    """Factor on the mass of the section."""

    def weighing(self, factor: float) -> "Bar":
        """The same bar with its mass scaled."""
        return replace(self, weight=factor)

    def start(self, nodes: Floats) -> Floats:
        """(3,), m."""
        return nodes[self.a] if self.head is None else self.head

    def length(self, nodes: Floats) -> float:
        """m."""
        return float(np.linalg.norm(nodes[self.b] - self.start(nodes)))

    def mass(self, nodes: Floats) -> float:
        """kg."""
        line = self.material.rho * self.section["volume_per_length"]
        return self.weight * line * self.length(nodes)


def bars_of(section: Section, row: int) -> Row:
    """One row of an array of sections."""
    return {name: _entry(getattr(section, name), section.area, row) for name in _COLUMNS}


def _entry(values: Floats, like: Floats, row: int) -> float:
    """One number of values that are broadcast to the shape of ``like``."""
    plain = np.asarray(values)
    if plain.shape == like.shape:
        return float(plain[row])
    return float(np.broadcast_to(plain, like.shape)[row]) if plain.ndim else float(plain)


def frame_from(
    nodes: Floats, bars: list[Bar], masses: tuple[PointMass, ...], springs: tuple[Spring, ...]
) -> BeamFrame:
    """Arrays of a beam frame from its bars."""

    def column(name: str) -> Floats:
        return np.array([bar.section[name] for bar in bars])

    line = np.array([bar.weight * bar.material.rho * bar.section["volume_per_length"]
                     for bar in bars])  # fmt: skip
    spread = line / column("area")
    return BeamFrame(
        nodes=nodes,
        elements=np.array([[bar.a, bar.b] for bar in bars], dtype=np.int64),
        E=np.array([bar.material.E for bar in bars]),
        G=np.array([bar.material.G for bar in bars]),
        A=column("area"),
        Iy=column("Iy"),
        Iz=column("Iz"),
        J=column("J"),
        Ay=column("Ay"),
        Az=column("Az"),
        mass_per_length=line,
        rotary_x=spread * (column("Iy") + column("Iz")),
        rotary_y=spread * column("Iy"),
        rotary_z=spread * column("Iz"),
        z_axis=np.array([_up(nodes, bar) for bar in bars]),
        offsets=np.array([_offsets(nodes, bar) for bar in bars]),
        shear_centre=np.array([_shear_centre(bar.section) for bar in bars]),
        masses=masses,
        springs=springs,
    )


def _shear_centre(row: Row) -> float:
    """Height of the shear centre above the centroid, m; strips, which state neither, have none."""
    return row["centroid"] - row["shear_centre"] if "shear_centre" in row else 0.0


def _up(nodes: Floats, bar: Bar) -> Floats:
    """Vertical, or outwards for beams that stand upright."""
    along = nodes[bar.b] - bar.start(nodes)
    if abs(along[2]) < 0.7 * np.linalg.norm(along):
        return np.array([0.0, 0.0, 1.0])
    out = np.array([nodes[bar.b][0], nodes[bar.b][1], 0.0])
    upright: Floats = out / np.linalg.norm(out)
    return upright


def _offsets(nodes: Floats, bar: Bar) -> Floats:
    if bar.head is not None:
        return np.array([bar.head - nodes[bar.a], np.zeros(3)])
    shift = np.array([0.0, 0.0, bar.height])
    return np.array([shift, shift])
