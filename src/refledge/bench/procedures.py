"""One page for each test: how to print, hold, load and read, what spoils it, cautions."""

from dataclasses import dataclass

from refledge.data.tables import read_rows
from refledge.errors import DataError

HEADINGS = (
    "What it tells", "Print", "Before", "Clamp", "Load", "Read", "Repeat", "What spoils it",
    "Cautions",
)  # fmt: skip
"""Every procedure has these, in this order."""
TITLES = {
    "bend": "Bending a bar",
    "torsion": "Twisting a bar",
    "layer-pull": "Pulling layers apart",
    "insert-pull": "Pulling an insert out",
    "density": "Weighing a cube",
    "cantilever": "Loading a short arm",
    "creep": "Holding a load for hours",
    "fit": "Trying holes and pegs",
    "tap": "Tapping and listening",
}


@dataclass(frozen=True)
class Procedure:
    """How to do one test."""

    key: str
    title: str
    steps: tuple[tuple[str, str], ...]
    """Heading and text."""


def procedure(key: str) -> Procedure:
    """The procedure by key; raises DataError where there is none or a heading is lacking."""
    rows = [row for row in read_rows("procedures") if row["procedure"] == key]
    if key not in TITLES or tuple(row["heading"] for row in rows) != HEADINGS:
        raise DataError(f"procedures: {key!r} is unknown or lacks one of {', '.join(HEADINGS)}")
    return Procedure(key, TITLES[key], tuple((row["heading"], row["text"]) for row in rows))
