"""Fatigue of printed plastics, from the tables ``fatigue`` and ``fatigue_laws``."""

from functools import cache

from refledge.data.tables import number, read_rows
from refledge.errors import DataError
from refledge.model.fatigue import Endurance, FatigueTest

Row = dict[str, str]


@cache
def fatigue_tests() -> tuple[FatigueTest, ...]:
    """Every bar in the table."""
    return tuple(_test(row) for row in read_rows("fatigue"))


@cache
def fatigue_laws() -> tuple[Endurance, ...]:
    """Lines that a paper gives as they are, safe side included."""
    return tuple(_law(row) for row in read_rows("fatigue_laws"))


def _test(row: Row) -> FatigueTest:
    if row["broke"] not in ("yes", "no"):
        raise DataError(f"table 'fatigue': broke is {row['broke']!r}; allowed: yes, no")
    strength = number(row, "strength_MPa", "fatigue")
    return FatigueTest(
        material=row["material"],
        share=number(row, "peak_MPa", "fatigue") / strength,
        cycles=number(row, "cycles", "fatigue"),
        broke=row["broke"] == "yes",
        stress_ratio=number(row, "stress_ratio", "fatigue"),
        source=row["source"],
    )


def _law(row: Row) -> Endurance:
    slope = number(row, "slope", "fatigue_laws")
    share = number(row, "share", "fatigue_laws")
    return Endurance(
        material=row["material"],
        life=number(row, "cycles", "fatigue_laws") * share**slope,
        slope=slope,
        stress_ratio=0.0,
        source=row["source"],
        given=True,
    )
