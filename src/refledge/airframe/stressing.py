"""Stress in every beam from its end forces, against strength in and across the layers."""

from dataclasses import dataclass

import numpy as np

from refledge.airframe.beams import Bar
from refledge.airframe.statics import CaseResult
from refledge.airframe.structure import Structure
from refledge.analysis.strength import in_plane_use, interlayer_use
from refledge.model.parts import FrameDesign
from refledge.typed import Floats


@dataclass(frozen=True)
class PartStress:
    """The worst beam of one part in one load case."""

    part: str
    normal: float  # Pa, bending with axial force
    shear: float  # Pa, on the layer boundary
    in_plane: float  # 1, use of the strength in the plane of the layers, without factor
    layers: float  # 1, use of the layer boundary, without factor
    plane_error: float = 0.0  # 1, mesh error of in_plane where a solid was solved for it
    layers_error: float = 0.0  # 1, of layers
    buckling: float = 0.0  # 1, of a solid: load over the least that buckles it, without factor
    buckling_error: float = 0.0  # 1, mesh error of buckling


def part_stresses(structure: Structure, result: CaseResult) -> tuple[PartStress, ...]:
    """Worst stress of each kind of part."""
    parts = dict.fromkeys(bar.part for bar in structure.bars)
    return tuple(_worst(structure, result, part) for part in parts)


def _worst(structure: Structure, result: CaseResult, part: str) -> PartStress:
    rows = structure.beams_of(part)
    normal, shear, plane, layers = [], [], [], []
    for row in rows:
        bar = structure.bars[row]
        sigma, tau = bar_stress(bar, result.forces[row])
        material = bar.material
        across = 0.0 if material.kind == "tube" else float(tau.max())
        normal.append(float(sigma.max()))
        shear.append(float(tau.max()))
        plane.append(float(in_plane_use(sigma, tau, material.strength_xy).max()))
        layers.append(float(interlayer_use(0.0, across, material.strength_z, material.shear_z)))
    return PartStress(part, max(normal), max(shear), max(plane), max(layers))


def bar_stress(bar: Bar, forces: Floats) -> tuple[Floats, Floats]:
    """Normal stress in the extreme fibre and shear on the layer boundary at both ends, (2,), Pa.

    forces: (2, 6), N and N m, in the beam's axes.
    """
    row = bar.section
    axial, lateral, vertical, torque, about_y, about_z = np.abs(forces.T)
    sigma = (
        axial / row["area"]
        + about_y * max(row["top"], row["bottom"]) / row["Iy"]
        + about_z * row["half_width"] / row["Iz"]
    )
    sigma = sigma * row.get("net", 1.0)
    if bar.part == "leg":
        tau = 1.5 * lateral / row["area"] + torque / row["Wt"]
    elif "layer_shear" in row:
        tau = vertical * row["layer_shear"] + torque / row["Wt"]
    else:
        tau = vertical * row["Q"] / (row["Iy"] * row["web"]) + torque / row["Wt"]
    return sigma, tau


def material_of_bars(frame: FrameDesign, part: str) -> str:
    """Material key of a kind of beam."""
    if part in ("arm", "tube"):
        return frame.arm.material
    return frame.leg.material if part == "leg" else frame.plate.material
