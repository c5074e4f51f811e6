"""The demo designed once for every folder of tests that asks for it, with its arms given.

With family and plastic given one pair is sized and not sixteen, in less than half of the time; the
frame is the one that a search of all of them ends at.
"""

from dataclasses import replace
from functools import cache
from pathlib import Path

from refledge.inputs.brief import read_brief
from refledge.model.brief import Brief
from refledge.study import Study, design

FOLDER = Path(__file__).parent / "briefs" / "lake-sampler"
GIVEN = '\n[frame]\nmaterial = "ASA"\narm_family = "truss"\n'
"""To be put after the demo's brief."""


def demo_brief() -> Brief:
    """The demo's brief with its arms given."""
    brief = read_brief(FOLDER / "brief.toml")
    return replace(brief, frame=replace(brief.frame, material="ASA", arm_family="truss"))


@cache
def demo() -> Study:
    """Its whole design, solids included."""
    return design(demo_brief())
