"""Mass and stiffness as printed: a solid skin around an infill core; plain arrays, SI."""

import numpy as np

from refledge.analysis.strength import Value
from refledge.errors import AnalysisError
from refledge.typed import Floats

# Modulus of the core over solid = fraction^n. Gibson and Ashby, Cellular Solids: n = 2 where cell
# walls bend, 1 where they stretch. Printed infill lies between; 2 is to the safe side.
INFILL_EXPONENT = 2.0


def printed_volume(volume: Value, area: Value, skin: Value, infill: Value) -> Floats:
    """Volume of plastic in a part, m3, from its solid's volume (m3) and surface area (m2).

    The skin takes area times its thickness, or all there is in a thin part; the rest holds the
    infill fraction. Skins that overlap at edges are counted twice, so mass errs upwards.
    """
    _fraction(infill)
    shell = np.minimum(volume, np.asarray(area) * skin)
    return np.asarray(shell + infill * (volume - shell))


def mass_factor(volume: Value, area: Value, skin: Value, infill: Value) -> Floats:
    """Printed mass over solid mass, 1."""
    return np.asarray(printed_volume(volume, area, skin, infill) / volume)


def infill_modulus(infill: Value, exponent: float = INFILL_EXPONENT) -> Floats:
    """Modulus of the core over that of solid plastic, 1 (Gibson and Ashby, Cellular Solids)."""
    _fraction(infill)
    return np.asarray(np.asarray(infill, np.float64) ** exponent)


def bending_factor(thickness: Value, skin: Value, core: Value) -> Floats:
    """Bending stiffness of a plate with two skins over that of solid plastic, 1.

    Sandwich plate of equal skins: 1 - (1 - r) (1 - 2 s / t)^3 with core modulus ratio r; Allen,
    Analysis and Design of Structural Sandwich Panels.
    """
    inside = _core_share(thickness, skin)
    return np.asarray(1 - (1 - np.asarray(core)) * inside**3)


def membrane_factor(thickness: Value, skin: Value, core: Value) -> Floats:
    """In-plane stiffness of a plate with two skins over that of solid plastic, 1."""
    return np.asarray(1 - (1 - np.asarray(core)) * _core_share(thickness, skin))


def _core_share(thickness: Value, skin: Value) -> Floats:
    return np.asarray(np.maximum(1 - 2 * np.asarray(skin) / thickness, 0.0))


def _fraction(infill: Value) -> None:
    if np.any((np.asarray(infill) < 0) | (np.asarray(infill) > 1)):
        raise AnalysisError("infill is a fraction of 0..1")
