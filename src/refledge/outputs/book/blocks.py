"""What the build book is made of; the page and the PDF are written from the same blocks."""

from dataclasses import dataclass, field

from refledge.outputs.drawing.marks import Sheet


@dataclass(frozen=True)
class Words:
    """A paragraph."""

    text: str


@dataclass(frozen=True)
class Points:
    """A list; with ``boxes`` each point has a box to tick."""

    items: tuple[str, ...]
    boxes: bool = False
    numbered: bool = False


@dataclass(frozen=True)
class Grid:
    """A table: columns named in ``right`` hold numbers."""

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    right: frozenset[int] = frozenset()
    caption: str = ""
    widths: tuple[float, ...] = ()
    """Share of each column; equal where empty."""


@dataclass(frozen=True)
class Caution:
    """A warning where it matters."""

    name: str
    text: str


@dataclass(frozen=True, eq=False)
class Photo:
    """A generated picture."""

    png: bytes
    caption: str
    share: float = 1.0
    """Of the text's width."""


@dataclass(frozen=True, eq=False)
class Diagram:
    """A line drawing."""

    sheet: Sheet
    caption: str


@dataclass(frozen=True, eq=False)
class Gallery:
    """Small pictures side by side, each with its words."""

    photos: tuple[Photo, ...]


@dataclass(frozen=True, eq=False)
class Step:
    """One step of the assembly."""

    number: int
    title: str
    blocks: tuple["Block", ...]


Block = Words | Points | Grid | Caution | Photo | Diagram | Gallery | Step


@dataclass(frozen=True, eq=False)
class Chapter:
    """One chapter."""

    title: str
    blocks: tuple[Block, ...]


@dataclass(frozen=True, eq=False)
class Book:
    """The whole book."""

    title: str
    subtitle: str
    facts: tuple[tuple[str, str], ...]
    cover: Photo
    chapters: tuple[Chapter, ...]
    version: str
    notes: tuple[str, ...] = field(default=())
