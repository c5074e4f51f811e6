"""How wide words are and which letters there are: the font that comes with the PDF writer."""

from functools import cache
from pathlib import Path
from typing import Any, Final

PLAIN: Final = "Vera"
BOLD: Final = "VeraBd"
CAP: Final = 0.729
"""Height of its capitals over its size (the font's own tables)."""
DESCENT: Final = 0.236
"""Depth of its descenders over its size (the font's own tables)."""
FAMILY: Final = "'Bitstream Vera Sans','DejaVu Sans',Verdana,sans-serif"
"""For pages: the font itself, its larger sister with the same widths, what most systems have."""
MISSING: Final = "?"
"""Set where the font has no such letter."""
_READ_AS: Final = str.maketrans({"⌀": "Ø", "→": "->", "−": "-", "≈": "~", "✓": "x", "\u2011": "-"})


def width(words: str, height: float, *, bold: bool = False) -> float:
    """Of ``words`` in capitals ``height`` high, mm."""
    from reportlab.pdfbase.pdfmetrics import stringWidth  # noqa: PLC0415 - loads the PDF writer

    return float(stringWidth(settable(words), registered(bold=bold), height / CAP))


def settable(words: str) -> str:
    """``words`` with letters that the font lacks replaced by MISSING."""
    known = _letters()
    return "".join(
        c if ord(c) in known or c in "\n" else MISSING for c in words.translate(_READ_AS)
    )


def lacks(words: str) -> bool:
    """Whether any letter of ``words`` cannot be set."""
    known = _letters()
    return any(ord(c) not in known for c in words.translate(_READ_AS) if c != "\n")


@cache
def registered(*, bold: bool = False) -> str:
    """Name of the font, known to the PDF writer from now on."""
    from reportlab.pdfbase.pdfmetrics import registerFont  # noqa: PLC0415 - loads the PDF writer

    name = BOLD if bold else PLAIN
    registerFont(_font(name))
    return name


@cache
def _font(name: str) -> Any:
    import reportlab  # noqa: PLC0415 - loads the PDF writer
    from reportlab.pdfbase.ttfonts import TTFont  # noqa: PLC0415

    return TTFont(name, str(Path(reportlab.__file__).parent / "fonts" / f"{name}.ttf"))


@cache
def _letters() -> frozenset[int]:
    return frozenset(_font(PLAIN).face.charToGlyph) & frozenset(_font(BOLD).face.charToGlyph)
