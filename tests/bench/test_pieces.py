"""Models of the pieces: ISO 178 (check-values C7.2), beams solved another way, scaling."""

import numpy as np
import pytest

from refledge.analysis.frame import all_dofs, frame_of, line_mesh
from refledge.analysis.sections import rectangle
from refledge.analysis.solve import solve_static
from refledge.bench.pieces import (
    bar_give,
    iso178_deflection,
    iso178_modulus,
    outer_strain,
    piece_model,
)
from refledge.errors import AnalysisError
from refledge.model.bench import ArmPiece, Specimen

from .sessions import bar

_L, _B, _H = 64e-3, 10e-3, 4e-3


def test_iso_178_deflections_at_the_two_strains() -> None:
    """s = eps L^2 / (6 h): 0.08533 and 0.42667 mm for the preferred bar."""
    assert iso178_deflection(0.0005, _L, _H) == pytest.approx(0.0005 * _L**2 / (6 * _H), rel=1e-12)
    assert round(iso178_deflection(0.0005, _L, _H) * 1e3, 5) == 0.08533
    assert round(iso178_deflection(0.0025, _L, _H) * 1e3, 5) == 0.42667


def test_iso_178_modulus_of_a_known_slope() -> None:
    """24.4141 N/mm is 2500 MPa."""
    assert iso178_modulus(_L, _B, _H, 24.4141e3, 1.0) == pytest.approx(2.5e9, rel=2e-6)


def test_three_point_bar_is_iso_178_once_shear_is_left_out() -> None:
    give = bar_give("three-point", np.array(_B), np.array(_H), np.array(_L), np.array(0.0))
    assert 1 / float(give) == pytest.approx(1 / (iso178_modulus(_L, _B, _H, 1.0, 1.0)), rel=1e-12)


def test_strains_of_the_outer_fibre_are_those_of_iso_178() -> None:
    s = iso178_deflection(0.0025, _L, _H)
    assert outer_strain("three-point", s, _L, _H) == pytest.approx(0.0025, rel=1e-12)


def test_cantilever_bar_equals_the_beam_frame() -> None:
    """Timoshenko beams of analysis.frame, clamped at one end."""
    E, G, span = 2.0e9, 0.6e9, 0.06
    nodes, elements = line_mesh((0, 0, 0), (span, 0, 0), 1)
    frame = frame_of(nodes, elements, rectangle(_B, _H), E, G, 1000.0)
    loads = np.zeros((2, 6))
    loads[1, 2] = 1.0
    tip = solve_static(frame, loads, all_dofs(0)).displacements[1, 2]
    give = bar_give("cantilever", np.array(_B), np.array(_H), np.array(span), np.array(E / G))
    assert float(give) / E == pytest.approx(tip, rel=1e-9)


def test_torsion_of_a_square_bar() -> None:
    """J = 0.1406 a^4 (check-values C2.3)."""
    give = bar_give("torsion", np.array(0.01), np.array(0.01), np.array(0.1), np.array(1.0))
    assert 0.1 / float(give) == pytest.approx(0.1406 * 0.01**4, rel=5e-4)


def test_a_tube_bends_like_its_second_moment() -> None:
    tube = Specimen(name="t", shape="tube", width=16e-3, bore=14e-3)
    model = piece_model("cantilever", tube, None)
    give = model.give(model.sizes[:, None], np.array([0.5]), np.array([0.0]))
    assert 0.5**3 / 3 / float(give[0]) == pytest.approx(
        np.pi / 64 * (0.016**4 - 0.014**4), rel=1e-9
    )


def _arm(**changes: float) -> ArmPiece:
    sizes = {
        "length": 0.12, "width": 0.02, "depth_root": 0.016, "depth_tip": 0.016,
        "root_length": 0.04, "tenon_length": 0.02, "held": 0.04, "side": 2e-3, "top": 2e-3,
        "bottom": 2e-3, "bore": 4e-3,
    } | changes  # fmt: skip
    return ArmPiece(family="box", **sizes)


def test_an_arm_gives_more_the_longer_and_the_thinner_it_is() -> None:
    piece = Specimen(name="a", shape="arm")
    plain, thin = (piece_model("cantilever", piece, _arm(top=t, bottom=t)) for t in (2e-3, 1.5e-3))
    ratio = np.array([3.4])
    for model in (plain, thin):
        assert model.sizes.shape == (3,)
    short = plain.give(plain.sizes[:, None], np.array([0.07]), ratio)
    long = plain.give(plain.sizes[:, None], np.array([0.08]), ratio)
    weak = thin.give(thin.sizes[:, None], np.array([0.07]), ratio)
    assert long > short
    assert weak > short


def test_pieces_without_a_model_say_so() -> None:
    with pytest.raises(AnalysisError, match="stiffness"):
        piece_model("cantilever", Specimen(name="1", shape="other"), None)
    with pytest.raises(AnalysisError, match="cantilever"):
        piece_model("torsion", Specimen(name="1", shape="arm"), _arm())
    assert piece_model("torsion", bar(), None).names == ("width", "thickness")
