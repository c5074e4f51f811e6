from pathlib import Path

import pytest

from refledge.study import Study
from tests.outputs.fake_study import fake_study
from tests.outputs.small import small_build


@pytest.fixture(scope="session")
def study() -> Study:
    return fake_study()


@pytest.fixture(scope="session")
def built(study: Study, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """One whole build of the hand-made study; tests only read it."""
    return small_build(study, tmp_path_factory.mktemp("builds") / "build").folder
