"""The problems of a brief that is wrong, as every test of one asks for them."""

import pytest

from refledge.errors import BriefError, Problem
from refledge.inputs.brief import parse_brief
from tests.inputs.texts import spoil


def problems(text: str, folder: str = "") -> list[Problem]:
    with pytest.raises(BriefError) as caught:
        parse_brief(text, folder=folder)
    return list(caught.value.problems)


def problem(*changes: tuple[str, str], extra: str = "") -> Problem:
    """The one problem that the changes cause."""
    (found,) = problems(spoil(*changes) + extra)
    return found
