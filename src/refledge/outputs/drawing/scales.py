"""Scales and sheet sizes."""

from typing import Final

SCALES: Final = (10.0, 5.0, 2.0, 1.0, 0.5, 0.2, 0.1, 0.05, 0.02, 0.01)
"""Paper over part: the preferred series of ISO 5455, 10:1 to 1:100; from memory."""
MARGINS: Final = (20.0, 10.0, 10.0, 10.0)
"""Left (to file it), bottom, right, top, mm: ISO 5457; from memory."""
SIZES: Final = {"A4": (297.0, 210.0), "A3": (420.0, 297.0)}
"""Wide and high, mm, lying: ISO 216."""


def scale_words(scale: float) -> str:
    """Such as ``1:2`` or ``2:1``."""
    return f"{scale:g}:1" if scale >= 1 else f"1:{1 / scale:g}"


def frame_of(size: str) -> tuple[float, float, float, float]:
    """Left, bottom, right, top of the frame, mm."""
    wide, high = SIZES[size]
    left, bottom, right, top = MARGINS
    return left, bottom, wide - right, high - top
