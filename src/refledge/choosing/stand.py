"""The thrust-stand run that a brief names, looked over."""

from pathlib import Path

from refledge.flight.stand_check import odd_words
from refledge.inputs.tables import read_thrust_table
from refledge.model.brief import Brief


def odd_rows_of(brief: Brief) -> tuple[str, ...]:
    """Rows of the brief's thrust table that do not lie with the others, in words."""
    if not brief.propeller.thrust_table:
        return ()
    return odd_words(read_thrust_table(Path(brief.folder) / brief.propeller.thrust_table))
