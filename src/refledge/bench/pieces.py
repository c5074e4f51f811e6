"""How much one piece gives: compliance for a modulus of 1, of the very piece on the bench.

For a modulus M and E/G given, the compliance at the load is ``give / M``: bending and shear of a
bar or tube in closed form, of an arm by the evaluator that sizing uses. Arrays run over draws.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from refledge.analysis.arm_model import ArmClamp, ArmLoads, ArmMaterial, ArmShape
from refledge.analysis.arms import evaluate_arms
from refledge.analysis.sections import RECTANGLE_KAPPA, tube
from refledge.analysis.torsion import rectangle_torsion
from refledge.errors import AnalysisError
from refledge.model.bench import ArmPiece, Specimen, StiffBar
from refledge.typed import Floats

Give = Callable[[Floats, Floats, Floats], Floats]
"""(k, m) sizes, (m,) span, (m,) E/G to (m,) compliance times modulus, 1/m."""


@dataclass(frozen=True, eq=False)
class PieceModel:
    """Sizes of one piece that matter, and what it gives for them."""

    names: tuple[str, ...]
    sizes: Floats
    """(k,), m."""
    give: Give
    thickness: float
    """m, for the strain of the outer fibre."""


def bend(kind: str, span: Floats, second: Floats, shear_area: Floats, ratio: Floats) -> Floats:
    """Compliance times E, 1/m: L^3/(3 I) + L E/G / (kappa A), or L^3/(48 I) + L E/G / (4 kappa A).

    Timoshenko, Strength of Materials: end-loaded cantilever and beam on two supports loaded in the
    middle, deflection by bending and by shear.
    """
    if kind == "three-point":
        return np.asarray(span**3 / (48 * second) + span * ratio / (4 * shear_area))
    return np.asarray(span**3 / (3 * second) + span * ratio / shear_area)


def bar_give(kind: str, width: Floats, thickness: Floats, span: Floats, ratio: Floats) -> Floats:
    """A rectangular bar; torsion: span / J (1/m3), for M = G."""
    if kind == "torsion":
        J, _ = rectangle_torsion(width, thickness)
        return np.asarray(span / J)
    area = RECTANGLE_KAPPA * width * thickness
    return bend(kind, span, width * thickness**3 / 12, area, ratio)


def piece_model(kind: str, piece: Specimen, arm: ArmPiece | None) -> PieceModel:
    """The model of one piece under one kind of load."""
    if piece.shape == "arm":
        return _arm_model(kind, arm)
    if piece.shape == "tube":
        return _tube_model(kind, piece)
    if piece.shape == "bar":
        return _bar_model(kind, _need(piece.width, piece), _need(piece.thickness, piece))
    raise AnalysisError(f"piece {piece.name}: only its stiffness can be told, not a modulus")


def stiff_model(kind: str, bar: StiffBar) -> PieceModel:
    """The model of the stiff bar."""
    return _bar_model(kind, bar.width, bar.thickness)


def _need(value: float | None, piece: Specimen) -> float:
    if value is None:
        raise AnalysisError(f"piece {piece.name}: width and thickness are needed")
    return value


def _bar_model(kind: str, width: float, thickness: float) -> PieceModel:
    def give(sizes: Floats, span: Floats, ratio: Floats) -> Floats:
        return bar_give(kind, sizes[0], sizes[1], span, ratio)

    return PieceModel(("width", "thickness"), np.array([width, thickness]), give, thickness)


def _tube_model(kind: str, piece: Specimen) -> PieceModel:
    outer, bore = _need(piece.width, piece), _need(piece.bore, piece)

    def give(sizes: Floats, span: Floats, ratio: Floats) -> Floats:
        section = tube(sizes[0], sizes[1])
        if kind == "torsion":
            return np.asarray(span / section.J)
        return bend(kind, span, section.Iy, section.Az, ratio)

    return PieceModel(("outside", "bore"), np.array([outer, bore]), give, outer)


def _arm_model(kind: str, arm: ArmPiece | None) -> PieceModel:
    """Sizes: width, depth (both ends alike), walls (all alike) as departures from the drawing."""
    if arm is None or kind != "cantilever":
        raise AnalysisError("an arm is tested as a cantilever, with its dimensions in [arm]")
    axis = arm.length - arm.tenon_length / 2 - arm.held

    def give(sizes: Floats, span: Floats, ratio: Floats) -> Floats:
        width, depth, wall = sizes
        walls = {
            name: np.where(getattr(arm, name) > 0, getattr(arm, name) + wall, 0.0)
            for name in ("side", "top", "bottom", "web")
        }
        shape = ArmShape(
            length=arm.length + (span - axis),
            width=width,
            depth_root=arm.depth_root + depth,
            depth_tip=arm.depth_tip + depth,
            root_length=arm.root_length,
            tenon_length=arm.tenon_length,
            pitch=arm.pitch,
            bore=arm.bore,
            **walls,
        )
        material = ArmMaterial(E=1.0, G=1.0 / ratio, rho=1.0, nu=0.35)
        clamp = ArmClamp(x=arm.held)
        return evaluate_arms(arm.family, shape, material, ArmLoads(force_z=1.0), clamp).deflection_z

    sizes = np.array([arm.width, 0.0, 0.0])
    return PieceModel(("width", "depth", "walls"), sizes, give, arm.depth_root)


def iso178_modulus(
    span: float, width: float, thickness: float, force: float, deflection: float
) -> float:
    """E = L^3 dF / (4 b h^3 ds), Pa (ISO 178, flexural modulus; recalled, standard not read)."""
    return span**3 * force / (4 * width * thickness**3 * deflection)


def iso178_deflection(strain: float, span: float, thickness: float) -> float:
    """s = eps L^2 / (6 h), m: mid-span deflection at an outer-fibre strain (ISO 178)."""
    return strain * span**2 / (6 * thickness)


def outer_strain(kind: str, deflection: float, span: float, thickness: float) -> float:
    """Greatest strain of the outer fibre, 1; from the deflection of a slender beam.

    Cantilever 3 h d / (2 L^2), three-point 6 h d / L^2 (Timoshenko, Strength of Materials).
    """
    factor = 6.0 if kind == "three-point" else 1.5
    return factor * thickness * abs(deflection) / span**2
