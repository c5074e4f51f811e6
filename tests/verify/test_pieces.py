"""Parts meet where their bolts are, and hold each other by the circle that the pressure reaches."""

from dataclasses import replace
from math import pi, tan

import numpy as np
import pytest

from refledge.errors import AnalysisError
from refledge.solids.regions import Ring
from refledge.study import Study
from refledge.verify import pressed
from refledge.verify.assembled import assembled
from refledge.verify.pieces import BELLY, CONTROLLER, MOTOR, met, pieces, places

pytestmark = pytest.mark.slow


def test_the_cone_spreads_thirty_degrees_within_its_room() -> None:
    assert pressed.cone(3e-3, 5e-3, 1.0) == pytest.approx(3e-3 + 5e-3 * tan(pi / 6), rel=1e-3)
    assert pressed.cone(3e-3, 5e-3, 1.0, 4e-3) == pytest.approx(3.7e-3)


def test_every_bolt_joins_two_parts(study: Study) -> None:
    """Four bolts an arm through two plates, four a mount, two a leg, four under tray and seat."""
    frame = study.frame
    pairs = met(pieces(study), places(study))
    wanted = 8 * frame.n_arms + 4 * frame.n_arms + 2 * frame.leg.count + 4 + 4
    assert len(pairs) == wanted
    assert len({port for pair in pairs for port in pair}) == 2 * wanted
    legs = [pair for pair in pairs if any(name.startswith("leg") for name, _ in pair)]
    assert all(any(name == "lower plate" for name, _ in pair) for pair in legs)


def test_ports_that_carry_items_meet_nothing(study: Study) -> None:
    ports = {port for pair in met(pieces(study), places(study)) for _, port in pair}
    assert not ports & {MOTOR, CONTROLLER, BELLY}


def test_a_part_out_of_place_meets_nothing_and_is_named(study: Study) -> None:
    put = list(places(study))
    number = next(i for i, each in enumerate(put) if each.key == "leg")
    put[number] = replace(put[number], at=put[number].at + np.array([0.0, 1e-3, 0.0]))
    with pytest.raises(AnalysisError, match=r"leg 1|lower plate"):
        met(pieces(study), tuple(put))


def test_patches_stay_clear_of_their_neighbours(study: Study) -> None:
    for piece in pieces(study):
        rings = [ring for ring in piece.ports.values() if isinstance(ring, Ring)]
        for i, one in enumerate(rings):
            for other in rings[:i]:
                if one.centre[2] == other.centre[2]:  # on one face
                    apart = np.linalg.norm(np.subtract(one.centre, other.centre))
                    assert apart > one.outer + other.outer, (piece.key, one, other)


def test_tubes_are_refused_with_the_reason(study: Study) -> None:
    arm = replace(study.frame.arm, family="tube")
    with pytest.raises(AnalysisError, match="tube"):
        pieces(replace(study, frame=replace(study.frame, arm=arm)))


def test_all_items_ride_once(study: Study) -> None:
    parts = assembled(study)
    lumps = [
        lump
        for lump in study.assessment.lumps
        if lump.fixed and (not lump.part or lump.group == "fasteners")
    ]
    assert sum(each.mass for each in parts.riding) == pytest.approx(sum(x.mass for x in lumps))
    moment = sum((each.mass * each.centre for each in parts.riding), np.zeros(3))
    wanted = sum((x.mass * x.centre for x in lumps), np.zeros(3))
    assert np.allclose(moment, wanted, atol=1e-9)
    places_of = {(each.copy, each.port): each.centre for each in parts.riding}
    assert places_of[parts.controller][2] > 0 > places_of[parts.belly][2]
    for rotor, port in enumerate(parts.motors):
        away = places_of[port][:2] - study.layout.positions[rotor][:2]
        assert np.linalg.norm(away) < 5e-3
