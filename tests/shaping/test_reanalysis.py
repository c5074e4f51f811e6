"""The grown arm's figures: which load case decides, and bodies of triangles in the solid path."""

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from refledge.airframe.grown_beams import TipGive
from refledge.errors import AnalysisError
from refledge.geometry import kernel
from refledge.model.results import TriMesh
from refledge.shaping.reanalysis import SEAT, Buckles, arm_found, tip_give
from refledge.solids.cases import FaceLoad, SolidCase, Support
from refledge.solids.part import PrintedBody, solve_part
from refledge.solids.port import MeshSize
from refledge.solids.regions import Plane
from refledge.verify.results import BuckledShape, HotSpot, PartVerified, SolidFigure
from tests.solids.arm_part import PETG

STUDY = SimpleNamespace(
    brief=SimpleNamespace(limits=SimpleNamespace(flight_factor=1.5, landing_factor=1.2))
)
GIVE = TipGive(np.zeros(3), np.eye(6))


def spot(case: str, kind: str, plastic: float, layers: float) -> HotSpot:
    return HotSpot(case, kind, plastic, 0.1 * plastic, 9.0, layers, 0.2 * layers, 9.0, (0, 0, 0))


def verified(*spots: HotSpot) -> PartVerified:
    figures = (
        SolidFigure("full thrust: deflection of seat", "m", 2e-3, 1e-4, None),
        SolidFigure("full thrust: tilt of seat", "rad", 0.02, 2e-4, None),
        SolidFigure("mode 1", "Hz", 20.0, 0.4, None),
        SolidFigure("mode 2", "Hz", 30.0, 0.4, None),
    )
    surface = TriMesh(np.zeros((3, 3)), np.array([[0, 1, 2]]))
    return PartVerified("arm", figures, spots, 9, (2e-3, 1e-3), surface, np.zeros(3), "x", "")


def test_the_worst_use_has_its_own_factor_and_error() -> None:
    flight, landing = spot("full thrust", "flight", 0.40, 0.41), spot("drop", "landing", 0.5, 0.1)
    found = arm_found(STUDY, verified(flight, landing), GIVE)  # type: ignore[arg-type]
    assert (found.use, found.case) == (pytest.approx(1.5 * 0.41), "full thrust")
    assert found.errors == pytest.approx((0.05, 0.01, 0.02, 0.2))
    assert (found.deflection, found.tilt, found.modes) == (2e-3, 0.02, (20.0, 30.0))
    harder = replace(landing, plastic=0.6)
    assert arm_found(STUDY, verified(flight, harder), GIVE).case == "drop"  # type: ignore[arg-type]


def test_buckling_is_told_of_the_case_nearest_to_it_with_its_factor() -> None:
    flight = replace(spot("full thrust", "flight", 0.1, 0.1), buckling=0.5, buckling_error=0.05)
    drop = replace(spot("drop", "landing", 0.1, 0.1), buckling=0.6, buckling_error=0.03)
    part = verified(flight, drop)
    assert arm_found(STUDY, part, GIVE).buckling.why == "not looked at"  # type: ignore[arg-type]
    seen = replace(part, buckled=BuckledShape("drop", np.zeros((3, 3)), ""))
    found = arm_found(STUDY, seen, GIVE).buckling  # type: ignore[arg-type]
    assert found == Buckles(pytest.approx(0.75), "full thrust", pytest.approx(0.1), "")
    lost = replace(part, buckled=BuckledShape("drop", np.zeros((3, 3)), "no luck"))
    assert arm_found(STUDY, lost, GIVE).buckling.why == "no luck"  # type: ignore[arg-type]


def test_no_load_case_is_no_use() -> None:
    with pytest.raises(AnalysisError, match="without load cases"):
        arm_found(STUDY, verified(), GIVE)  # type: ignore[arg-type]


def test_a_body_of_triangles_goes_through_the_solid_path() -> None:
    """A bar: what is asked of its solid is not asked; its triangles are a tenth longer."""
    solid = kernel.box((0, -0.004, -0.004), (0.06, 0.004, 0.004))
    longer = kernel.tessellate(kernel.box((0, -0.004, -0.004), (0.066, 0.004, 0.004)))
    faces = {"root": Plane((0, 0, 0), (1, 0, 0)), "tip": Plane((0.066, 0, 0), (1, 0, 0))}
    load = FaceLoad("tip", np.array([0, 0, 5.0]), np.array([0.066, 0, 0]))
    body = PrintedBody(solid, PETG, (0.0, 0.0, 1.0), surface=longer)
    found = solve_part(
        {"bar": body}, faces, (Support(("root",)),), (SolidCase("push", (load,)),),
        size=MeshSize(3e-3), watch=("tip",),
    )  # fmt: skip
    bent = found.figure("push: deflection of tip").estimate.finest
    inertia, length = 0.008**4 / 12, 0.066
    slender = 5 * length**3 / (3 * PETG.E_xy * inertia)
    sheared = 5 * length / (5 / 6 * PETG.G_xz * 0.008**2)  # Timoshenko, k = 5/6
    assert bent == pytest.approx(slender + sheared, rel=0.03)
    with pytest.raises(AnalysisError, match="one at a time"):
        solve_part({"a": body, "b": body}, faces, size=MeshSize(3e-3))


def test_the_seats_give_is_a_cantilevers() -> None:
    """Timoshenko beam of the bar's length; a force along it stretches it, torque twists it
    (Roark: a square of side a has J = 0.1406 a^4)."""
    a, length = 0.008, 0.06
    solid = kernel.box((0, -a / 2, -a / 2), (length, a / 2, a / 2))
    faces = {"root": Plane((0, 0, 0), (1, 0, 0)), SEAT: Plane((length, 0, 0), (1, 0, 0))}
    isotropic = replace(
        PETG, E_z=PETG.E_xy, nu_xz=PETG.nu_xy, G_xz=PETG.E_xy / 2 / (1 + PETG.nu_xy)
    )
    push = SolidCase("push", (FaceLoad(SEAT, np.array([0, 0, 1.0]), np.array([length, 0, 0])),))
    found = solve_part(
        {"bar": PrintedBody(solid, isotropic, (0.0, 0.0, 1.0))}, faces, (Support(("root",)),),
        (push,), size=MeshSize(3e-3),
    )  # fmt: skip
    tip = tip_give(found.finest)
    np.testing.assert_allclose(tip.at, [length, 0, 0], atol=1e-9)
    E, G, inertia = isotropic.E_xy, isotropic.G_xz, a**4 / 12
    wanted = {
        (0, 0): length / (E * a**2), (3, 3): length / (G * 0.1406 * a**4),
        (2, 2): length**3 / (3 * E * inertia) + length / (5 / 6 * G * a**2),
        (2, 4): -(length**2) / (2 * E * inertia), (1, 5): length**2 / (2 * E * inertia),
        (4, 4): length / (E * inertia), (5, 5): length / (E * inertia),
    }  # fmt: skip
    for place, value in wanted.items():
        assert tip.give[place] == pytest.approx(value, rel=0.04), place
    assert abs(tip.give[2, 3]) < 0.01 * abs(tip.give[2, 4])
