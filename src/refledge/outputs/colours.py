"""A colour scale for numbers: even steps look even, also without colour vision or in grey."""

import numpy as np

from refledge.typed import Floats

# Ends of the scale in OKLab (Ottosson, "A perceptual color space for image processing", 2020):
# deep blue to pale yellow, lightness rising in a straight line; our own choice of ends.
_DARK = np.array([0.28, -0.02, -0.11])
_LIGHT = np.array([0.93, -0.02, 0.11])
_LAB_TO_CONES = np.array(
    [
        [1.0, 0.3963377774, 0.2158037573],
        [1.0, -0.1055613458, -0.0638541728],
        [1.0, -0.0894841775, -1.2914855480],
    ]
)
_CONES_TO_LINEAR = np.array(
    [
        [4.0767416621, -3.3077115913, 0.2309699292],
        [-1.2684380046, 2.6097574011, -0.3413193965],
        [-0.0041960863, -0.7034186147, 1.7076147010],
    ]
)


def colour_scale(share: Floats) -> Floats:
    """(...,) shares to (..., 3) sRGB, all from 0 to 1; shares outside are held at the ends."""
    held = np.clip(share, 0.0, 1.0)[..., None]
    return lab_to_srgb(_DARK + held * (_LIGHT - _DARK))


def lab_to_srgb(lab: Floats) -> Floats:
    """(..., 3) OKLab to (..., 3) sRGB (Ottosson 2020, "Converting from linear sRGB to Oklab")."""
    cones = (lab @ _LAB_TO_CONES.T) ** 3
    return to_srgb(cones @ _CONES_TO_LINEAR.T)


def to_srgb(linear: Floats) -> Floats:
    """Linear light to sRGB, both from 0 to 1 (IEC 61966-2-1, transfer function)."""
    held = np.clip(linear, 0.0, 1.0)
    curve: Floats = np.where(held <= 0.0031308, 12.92 * held, 1.055 * held ** (1 / 2.4) - 0.055)
    return curve
