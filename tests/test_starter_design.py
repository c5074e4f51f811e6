"""What a newcomer gets first: the starter brief, designed as it stands."""

import pytest

import refledge as rf
from refledge.inputs.brief import parse_brief
from refledge.inputs.starter import starter_text
from refledge.model.checks import Verdict


@pytest.mark.slow
def test_the_starter_holds_as_it_stands() -> None:
    """A first run that failed would look like the newcomer's fault."""
    study = rf.design(parse_brief(starter_text()))
    unmet = (Verdict.FAILS, Verdict.UNKNOWN)
    assert not [check.title for check in study.checks if check.verdict in unmet]
