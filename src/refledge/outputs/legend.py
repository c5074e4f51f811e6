"""A legend for pictures coloured by a number."""

from typing import Final

import numpy as np
from PIL import Image, ImageDraw, ImageFont

from refledge.outputs.colours import colour_scale
from refledge.outputs.render import Pixels

_BAR_WIDTH: Final = 22
_MARGIN: Final = 24
_TEXT: Final = 18  # pixels
_INK: Final = (33, 41, 46)


def with_legend(pixels: Pixels, title: str, low: str, high: str) -> Pixels:
    """The picture with the colour scale at its left edge, its ends labelled in words."""
    height = len(pixels)
    first, last = height // 4, 3 * height // 4
    share = np.linspace(1.0, 0.0, last - first)
    marked = pixels.copy()
    bar = np.round(255 * colour_scale(share)).astype(np.uint8)
    marked[first:last, _MARGIN : _MARGIN + _BAR_WIDTH] = bar[:, None, :]
    image = Image.fromarray(marked)
    draw = ImageDraw.Draw(image)
    font = ImageFont.load_default(_TEXT)
    draw.rectangle((_MARGIN, first, _MARGIN + _BAR_WIDTH, last), outline=_INK)
    beside = _MARGIN + _BAR_WIDTH + 10
    draw.text((_MARGIN, first - 14), title, fill=_INK, font=font, anchor="ls")
    draw.text((beside, first), high, fill=_INK, font=font, anchor="lt")
    draw.text((beside, last), low, fill=_INK, font=font, anchor="ls")
    return np.asarray(image)
