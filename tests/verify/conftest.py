"""The example's study, designed once for all tests here."""

import pytest

from refledge.study import Study
from tests.demo import demo


@pytest.fixture(scope="session")
def study() -> Study:
    return demo()
