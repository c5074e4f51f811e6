"""The page's examples run one after the other, and what they print is physical."""

import re
from pathlib import Path

import numpy as np
import pytest

PAGE = Path(__file__).parents[2] / "docs" / "voxels.md"


@pytest.mark.slow
def test_examples_run() -> None:
    names: dict = {}
    for block in re.findall(r"```python\n(.*?)```", PAGE.read_text(), re.S):
        exec(block, names)
    beam = 15 * 0.06**3 / (3 * 2.1e9 * 0.012**4 / 12)
    motion = names["tip"].motion(names["solved"].x)
    assert 0.98 * beam < motion[0, 2] < 1.1 * beam  # with shear, a little stiff
    assert np.all(np.diff(names["modes"].frequencies) > -1e-6)
    assert names["design"].best.feasible
    assert names["design"].best.mass < 0.6
