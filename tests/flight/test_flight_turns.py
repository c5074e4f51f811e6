"""Turn orders as words, in a layout and in a brief."""

from collections.abc import Callable

import numpy as np
import pytest

from refledge.errors import BriefError, FlightError
from refledge.flight.authority import alike, losses, with_spins
from refledge.flight.kinds import rotor_count
from refledge.flight.layout import lay_out
from refledge.flight.turns import joined_kind, parse_turns, split_kind, turns_text
from refledge.inputs.brief import parse_brief
from refledge.inputs.rules import ROTORS
from refledge.inputs.starter import starter_text
from refledge.model.layout import Layout
from refledge.model.wishes import LAYOUT_KINDS, LayoutWish

ALIKE = "ccw ccw cw ccw cw cw"


def test_words_and_back() -> None:
    assert parse_turns(ALIKE, 6) == (1, 1, -1, 1, -1, -1)
    assert turns_text(parse_turns(ALIKE, 6)) == ALIKE
    assert parse_turns("", 6) == ()
    kind = joined_kind("six-x", ALIKE)
    assert split_kind(kind) == ("six-x", ALIKE)
    assert split_kind("six-x") == ("six-x", "")
    assert joined_kind("six-x", "") == "six-x"


@pytest.mark.parametrize("order", ["ccw cw", "ccw cw ccw cw left right", ALIKE + " cw"])
def test_an_order_that_does_not_fit(order: str) -> None:
    with pytest.raises(FlightError, match="does not fit 6 rotors"):
        parse_turns(order, 6)


def test_a_layout_turns_as_wished() -> None:
    """The same places; yaw per newton changes sign with the turn and nothing else."""
    plain = lay_out(LayoutWish(), "six-x", 0.28, torque_ratio=0.012)
    wished = lay_out(LayoutWish(turn_order=ALIKE), "six-x", 0.28, torque_ratio=0.012)
    assert wished.spin == (1, 1, -1, 1, -1, -1)
    assert np.array_equal(wished.positions, plain.positions)
    assert np.array_equal(wished.allocation[:3], plain.allocation[:3])
    assert wished.allocation == pytest.approx(with_spins(plain, wished.spin).allocation)


def test_like_neighbours_keep_the_heading_after_four_losses(
    layout_of: Callable[[str], Layout],
) -> None:
    """Alternating turns keep it after none (Du and others, as docs/flight.md says)."""
    layout, most = layout_of("six-x"), np.full(6, 10.0)
    wished = with_spins(layout, parse_turns(ALIKE, 6))
    assert sum(each.heading for each in losses(layout, most, 30.0)) == 0
    assert sum(each.heading for each in losses(wished, most, 30.0)) == 4


def test_orders_that_look_alike_from_some_side() -> None:
    assert (-1, 1, -1, 1) in alike((1, -1, 1, -1))
    assert (1, 1, -1, -1) not in alike((1, -1, 1, -1))
    assert len(alike(parse_turns(ALIKE, 6))) == 12  # six turns, each mirrored or reversed


def test_a_ring_that_cannot_steer_is_refused() -> None:
    with pytest.raises(FlightError, match="independently"):
        lay_out(LayoutWish(turn_order="ccw ccw ccw ccw"), "four-x", 0.28, torque_ratio=0.012)


@pytest.mark.parametrize(
    ("layout", "said"),
    [
        ('kind = "six-x"\nturn_order = "left right"', 'only "cw" and "ccw"'),
        ('kind = "choose"\nturn_order = "cw ccw cw ccw"', "one kind"),
        (
            'kind = "free"\narm_angles = ["45 deg", "-45 deg", "135 deg"]\nturn_order = "cw"',
            "1 turns",
        ),
        ('kind = "four-x"\nturn_order = "cw ccw cw"', "3 turns"),
    ],
)
def test_a_brief_says_what_is_wrong(layout: str, said: str) -> None:
    text = starter_text().replace("[layout]", "[layout]\n" + layout, 1)
    kept, seen = [], False
    for line in text.splitlines():
        if line.startswith("kind = ") and line not in layout.splitlines():
            continue
        seen = seen or line == "[layout]"
        kept.append(line)
    with pytest.raises(BriefError) as caught:
        parse_brief("\n".join(kept))
    (found,) = caught.value.problems
    assert found.field == "layout.turn_order"
    assert said in str(found)


def test_the_readers_rotor_counts_are_the_layouts() -> None:
    assert {kind: rotor_count(kind) for kind in LAYOUT_KINDS if kind != "free"} == ROTORS
