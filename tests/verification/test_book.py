"""Every entry of the verification book meets its target on the finer mesh."""

import pytest

from tests.verification import buckling_cases, mode_cases, stress_cases
from tests.verification.book import Entry, run

SLOW = {"le10", "le11", "torsion", "fv12", "thick-plate", "strip"}
ENTRIES = [
    pytest.param(entry, id=entry.key, marks=[pytest.mark.slow] if entry.key in SLOW else [])
    for entry in (*stress_cases.ENTRIES, *mode_cases.ENTRIES, *buckling_cases.ENTRIES)
]


@pytest.mark.parametrize("entry", ENTRIES)
def test_entry(entry: Entry) -> None:
    for outcome in run(entry):
        assert outcome.passes, f"{outcome.target.name}: {outcome.estimate.finest:.6g}"
