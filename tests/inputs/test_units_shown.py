"""Numbers on the way out: the remembered factor is the units library's own conversion."""

import math

import pint
import pytest

from refledge.units import UnitError, from_si, show, to_si

PAIRS = [
    ("m", "mm", 1e3),
    ("kg", "g", 1e3),
    ("s", "min", 1 / 60),
    ("rad/s", "rpm", 30 / math.pi),
    ("rad", "deg", 180 / math.pi),
    ("1", "%", 100.0),
    ("Pa", "MPa", 1e-6),
    ("C", "mAh", 1 / 3.6),
]


@pytest.mark.parametrize(("si", "shown", "factor"), PAIRS)
@pytest.mark.parametrize("value", [0.0, 1.0, -3.217e-4, 8.15e6, math.inf])
def test_conversion_is_by_the_defined_factor(
    si: str, shown: str, factor: float, value: float
) -> None:
    assert from_si(value, si, shown) == pytest.approx(value * factor, rel=1e-14)


def test_temperatures_have_a_zero_of_their_own() -> None:
    kelvin = pint.UnitRegistry(autoconvert_offset_to_baseunit=True).Quantity(300.0, "kelvin")
    assert from_si(300.0, "K", "degC") == pytest.approx(kelvin.to("degC").magnitude)
    assert from_si(273.15, "K", "degC") == pytest.approx(0.0, abs=1e-9)
    assert show(308.15, "K", "degC") == "35.0 °C"


def test_a_wrong_text_is_wrong_each_time() -> None:
    for _ in range(2):
        with pytest.raises(UnitError, match="has no unit"):
            to_si("250", "m")
    assert to_si("250 mm", "m") == to_si("250 mm", "m") == 0.25
