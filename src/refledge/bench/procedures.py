"""One page for each test: how to print, hold, load and read, what spoils it, cautions."""

from dataclasses import dataclass
from html import escape
from textwrap import fill

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
    "tap": "Tapping and listening",
}
_WIDTH = 88


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


def procedure_text(one: Procedure, piece: str = "") -> str:
    """Plain text for a terminal or a printer."""
    title = f"{one.title}: {piece}" if piece else one.title
    parts = [title, "=" * len(title), ""]
    for heading, text in one.steps:
        parts += [heading, fill(text, _WIDTH, initial_indent="  ", subsequent_indent="  "), ""]
    return "\n".join(parts)


def procedure_html(one: Procedure, piece: str = "", size: str = "") -> str:
    """A fragment: an article with one heading and a list; style is the page's."""
    title = f"{one.title}: {piece}" if piece else one.title
    small = f'<p class="size">{escape(size)}</p>' if size else ""
    items = "".join(f"<dt>{escape(h)}</dt><dd>{escape(t)}</dd>" for h, t in one.steps)
    return f'<article class="procedure"><h1>{escape(title)}</h1>{small}<dl>{items}</dl></article>\n'
