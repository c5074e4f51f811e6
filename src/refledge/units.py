"""Units at the two edges: text to SI on the way in, SI to the trade's units on the way out.

Inside the program every number is SI (m, kg, s, N, Pa, rad, K, V, A, ohm).
"""

import math
import re
from functools import cache, lru_cache
from tokenize import TokenError
from typing import Any

import pint

_NUMBER = re.compile(r"\s*([-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?)\s*(\S.*)?$")

# SI unit -> example texts shown to someone who wrote a bare number or a wrong unit.
EXAMPLES: dict[str, str] = {
    "m": '"250 mm", "11 in"',
    "kg": '"85 g", "1.5 kg"',
    "s": '"12 min", "90 s"',
    "K": '"35 degC"',
    "N": '"12 N", "900 gf"',
    "Pa": '"2.1 GPa", "45 MPa"',
    "A": '"30 A"',
    "V": '"14.8 V"',
    "ohm": '"55 mohm", "0.055 ohm"',
    "C": '"5000 mAh", "5 Ah"',
    "rad": '"1.5 deg"',
    "Hz": '"30 Hz"',
    "rad/s/V": '"920 rpm/V"',
    "m/s": '"1.5 m/s"',
    "N/m": '"0.5 N/mm"',
    "1/kg": '"22 /kg"',
    "kg*m": '"60 g*mm"',
    "1": '"40 %", 0.4',
}


_REFUSED = (
    pint.errors.PintError,
    TokenError,
    ValueError,
    TypeError,
    AttributeError,
    AssertionError,
    SyntaxError,
    ArithmeticError,
)
"""All that the units library raises on a text that is no unit."""


class UnitError(ValueError):
    """A text is not a number with a unit of the wanted kind."""


@cache
def _registry() -> pint.UnitRegistry[Any]:
    registry: pint.UnitRegistry[Any] = pint.UnitRegistry(autoconvert_offset_to_baseunit=True)
    registry.define("gf = gram * standard_gravity")
    registry.define("kgf = kilogram * standard_gravity")
    return registry


@lru_cache(maxsize=5000)  # a brief is read after every edit, nearly all of it as before
def to_si(text: str, unit: str) -> float:
    """Value of ``text`` such as "250 mm" in the SI unit ``unit`` such as "m".

    Raises UnitError when the text has no number, no unit, or a unit of another kind.
    """
    match = _NUMBER.match(text)
    if not match:
        raise UnitError(f"{text!r} is not a number followed by a unit")
    number, name = float(match[1]), (match[2] or "").strip()
    if not name:
        if unit == "1":
            return number
        raise UnitError(f"{text!r} has no unit")
    return _convert(number, name, unit, text)


def _convert(number: float, name: str, unit: str, text: str) -> float:
    registry = _registry()
    source = f"1{name}" if name.startswith("/") else name
    try:
        if source.startswith("1/"):
            quantity = registry.Quantity(number) * registry.Quantity(source)
        else:
            quantity = registry.Quantity(number, source)
        value = float(quantity.to("" if unit == "1" else unit).magnitude)
    except _REFUSED as error:
        raise UnitError(f"{text!r} is not a quantity that converts to {unit}") from error
    if not math.isfinite(value):
        raise UnitError(f"{text!r} is not a finite number")
    return value


def from_si(value: float, si_unit: str, shown: str) -> float:
    """``value`` in ``si_unit``, converted to the unit ``shown``."""
    if si_unit == shown or not shown:
        return value
    factor = _factor(si_unit, shown)
    return _from_si(value, si_unit, shown) if factor is None else value * factor


@cache
def _factor(si_unit: str, shown: str) -> float | None:
    """``shown`` units in one ``si_unit``; None where the zero is shifted, as for temperatures.

    The units library takes long over each number, and hundreds are shown at a time.
    """
    return None if _from_si(0.0, si_unit, shown) != 0.0 else _from_si(1.0, si_unit, shown)


def _from_si(value: float, si_unit: str, shown: str) -> float:
    registry = _registry()
    name = {"%": "percent"}.get(shown, shown)
    source = "" if si_unit == "1" else si_unit
    return float(registry.Quantity(value, source).to(name).magnitude)


def show(value: float, si_unit: str, shown: str, digits: int = 3) -> str:
    """``value`` in ``si_unit`` as text in ``shown`` with ``digits`` significant figures."""
    number = figure(from_si(value, si_unit, shown), digits)
    label = {"degC": "°C", "deg": "°", "1": "", "ohm": "Ω", "mohm": "mΩ"}.get(shown, shown)
    if label in ("°", "%", ""):
        return f"{number}{' %' if label == '%' else label}"
    return f"{number} {label}"


def figure(value: float, digits: int = 3) -> str:
    """A number with ``digits`` significant figures, without exponent where it stays readable."""
    if value == 0 or not math.isfinite(value):
        return "0" if value == 0 else str(value)
    rounded = float(f"{value:.{digits - 1}e}")  # 0.9998 counts as 1.00
    magnitude = math.floor(math.log10(abs(rounded)))
    if magnitude > 6 or magnitude < -4:
        return f"{value:.{digits - 1}e}"
    return f"{value:.{max(0, digits - 1 - magnitude)}f}"
