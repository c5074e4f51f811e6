"""The fit piece: steps as stated, one body, a peg that its sockets' gaps fit."""

from math import pi

import numpy as np
import pytest

from refledge.errors import GeometryError
from refledge.geometry import fit_piece as piece
from refledge.geometry import kernel
from refledge.geometry.coupons import make_coupon
from refledge.geometry.kernel import Solid
from refledge.inputs.brief import parse_brief
from refledge.outputs.bench_forms import filled_in, form_text
from tests.geometry.frames import HARDWARE
from tests.inputs.texts import spoil

M3 = HARDWARE.screws["M3"]


@pytest.fixture(scope="module")
def made() -> Solid:
    return make_coupon("fit", HARDWARE).solid


def test_one_body_with_its_peg_on_top(made: Solid) -> None:
    assert kernel.is_valid_single(made)
    (_, _, low), (_, _, high) = kernel.bounds(made)
    assert (low, high) == pytest.approx((0.0, piece.THICKNESS + piece.PEG))


def test_holes_and_sockets_grow_by_their_steps(made: Solid) -> None:
    """Section half-way up: the whole plate less every hole and socket, by hand."""
    whole = 7 * piece.PITCH * piece.WIDTH - (4 - pi) * 2e-3**2
    holes = sum(pi / 4 * (M3.clearance_hole + 1e-4 * k) ** 2 for k in range(6))
    sockets = sum((8e-3 + 2 * 5e-5 * k) ** 2 for k in range(1, 7))
    found = kernel.section(made, (0, 0, piece.THICKNESS / 2), (0, 0, 1)).size
    assert found == pytest.approx(whole - holes - sockets, rel=1e-6)


STEPS = [(0, 4e-5, False), (0, 6e-5, True), (5, 2.9e-4, False), (5, 3.1e-4, True)]


@pytest.mark.parametrize(("step", "extra", "touches"), STEPS)
def test_a_peg_wider_by_more_than_the_gap_touches(
    made: Solid, step: int, extra: float, touches: bool
) -> None:
    side, x, y = piece.PEG / 2 + extra, step * piece.PITCH, -5.5e-3
    peg = kernel.box((x - side, y - side, 1e-3), (x + side, y + side, 4e-3))
    assert (kernel.volume(kernel.common(made, peg)) > 1e-14) is touches


def test_the_peg_is_as_wide_as_its_sockets_say(made: Solid) -> None:
    cut = kernel.section(made, (0, 0, piece.THICKNESS + piece.PEG / 2), (0, 0, 1))
    assert cut.size == pytest.approx(piece.PEG**2 - 2 * piece.CORNER**2)


def test_each_step_has_its_number_of_dots(made: Solid) -> None:
    top = kernel.contours(made, piece.THICKNESS - piece.DOT_DEPTH / 2)
    arcs = [each for loop in top for each in loop if each.via is not None]
    x = np.array([np.mean([each.start[0], each.end[0]]) for each in arcs
                  if np.hypot(each.start[0] - each.end[0], each.start[1] - each.end[1]) < 1.3e-3
                  and abs(each.start[1] - 2.7e-3) < 1e-3])  # fmt: skip
    counted = [int(np.sum(np.abs(x - k * piece.PITCH) < 0.45 * piece.PITCH)) for k in range(6)]
    per_dot = counted[0]
    assert per_dot > 0
    assert [n / per_dot for n in counted] == [1, 2, 3, 4, 5, 6]


def test_a_screw_too_thick_for_the_plate_is_refused() -> None:
    wide = M3.__class__(**(vars(M3) | {"clearance_hole": 7e-3}))
    with pytest.raises(GeometryError, match=r"fit piece: M3 holes of 7\.0 mm"):
        piece.fit_piece(wide, kernel)


def test_the_form_says_what_the_dots_mean_in_the_brief_s_words() -> None:
    form = form_text(make_coupon("fit", HARDWARE), "PETG", screw="M3", hole=3.4e-3)
    assert "3.4 mm drill" in form
    assert '3 dots "0.2 mm"' in form
    assert '6 dots "0.3 mm"' in form
    assert [line for line in form.splitlines() if line and not line.startswith("#")] == [
        "[frame]", 'hole_allowance = ""', 'fit_gap = ""', "[printer]", 'first_layer_spread = ""',
    ]  # fmt: skip
    assert not filled_in(form)
    assert filled_in(form.replace('hole_allowance = ""', 'hole_allowance = "0.2 mm"'))


def test_its_filled_in_lines_set_the_allowances_of_a_brief() -> None:
    form = form_text(make_coupon("fit", HARDWARE), "PETG", screw="M3", hole=3.4e-3)
    for field, value in (("hole_allowance", "0.3"), ("fit_gap", "0.1"), ("spread", "0.15")):
        form = form.replace(f'{field} = ""', f'{field} = "{value} mm"')
    frame, printer = form.split("[printer]")
    text = spoil(("[printer]\n", f"{frame}\n[printer]\n{printer}"))
    brief = parse_brief(text)
    assert brief.frame.hole_allowance == pytest.approx(3e-4)
    assert brief.frame.fit_gap == pytest.approx(1e-4)
    assert brief.printer.first_layer_spread == pytest.approx(1.5e-4)
