"""Random valid briefs all give faultless solids, or one clear reason why not.

Ten briefs a run, other ones for each value of RANDOM_BRIEFS in the environment (CI counts it up);
benchmarks/random_briefs.py tries a thousand.
"""

import os
import re

import pytest

from refledge.inputs.brief import parse_brief
from refledge.model.fields import infos
from refledge.model.wishes import FrameWish
from tests.geometry.random_briefs import brief_text
from tests.geometry.random_outcomes import Outcome, outcome

FIRST = 10 * int(os.environ.get("RANDOM_BRIEFS", "0"))
REASON = re.compile(r"(GeometryError|FlightError|WishError): .{20,}")


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(FIRST, FIRST + 10))
def test_random_briefs_give_sound_parts_or_a_reason(seed: int) -> None:
    found = outcome(seed)
    assert found.faults == ()
    assert not found.refused or REASON.match(found.refused)


def test_the_same_seed_is_the_same_brief() -> None:
    assert brief_text(3) == brief_text(3) != brief_text(4)


def test_every_choice_of_the_frame_is_asked_for() -> None:
    """In 150 briefs each value of each choice comes up; polyamide locks with folding arms only."""
    asked = "\n".join(brief_text(seed) for seed in range(150))
    for name, field in infos(FrameWish).items():
        for value in set(field.choices) - {"choose"}:
            assert f'\n{name} = "{value}"' in asked
    assert '\nmast = "GNSS receiver"' in asked
    for wish in ("receiver_holder", "antenna_holder"):
        assert f'\n{wish} = "receiver"' in asked
    read = [parse_brief(brief_text(seed)).frame for seed in range(20)]
    assert all(frame.legs == 4 for frame in read if frame.gear == "skids")


def test_a_refusal_is_kept_apart_from_a_fault() -> None:
    """Motors nearer to the middle than their propellers allow."""
    text = re.sub(r"motor_radius = .*\n", "", brief_text(0))
    found: Outcome = outcome(0, text.replace("[layout]", '[layout]\nmotor_radius = "60 mm"'))
    assert "layout.motor_radius 60.0 mm leaves too little" in found.refused
    assert found.faults == found.notes == ()


def test_a_brief_that_cannot_be_read_is_a_fault() -> None:
    (fault,) = outcome(0, 'title = "nothing else"').faults
    assert fault.startswith("not a valid brief")
