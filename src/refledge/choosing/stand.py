"""The thrust-stand runs that a brief names, looked over."""

from pathlib import Path

from refledge.flight.stand_check import odd_words
from refledge.inputs.tables import read_thrust_table
from refledge.model.brief import Brief


def odd_rows_of(brief: Brief) -> tuple[str, ...]:
    """Rows of the brief's stand runs that do not lie with the others, in words."""
    named = (brief.motor.thrust_table, brief.propeller.thrust_table)
    return tuple(
        words
        for name in dict.fromkeys(each for each in named if each)
        for words in odd_words(read_thrust_table(Path(brief.folder) / name))
    )
