"""A form for the readings of one test piece: TOML with everything known filled in."""

from collections.abc import Iterable, Iterator

import numpy as np
import tomlkit

from refledge.geometry.coupons import TURNS, Coupon
from refledge.geometry.fit_piece import GAP_STEPS, HOLE_STEPS
from refledge.model.bench import ArmPiece
from refledge.model.fields import info_of
from refledge.units import from_si

KINDS = {
    "bend": "cantilever",
    "torsion": "torsion",
    "layer-pull": "layer-pull",
    "insert-pull": "insert-pull",
    "density": "density",
    "cantilever": "cantilever",
}
"""Procedure to the kind of test in the file."""
COLUMNS = {
    "bend": ("piece", "width, mm", "thickness, mm", "span, mm", "mass hung on, g", "reading, mm"),
    "torsion": ("piece", "free length, mm", "lever, mm", "pointer, mm", "mass hung on, g",
                "reading, mm"),
    "layer-pull": ("piece", "neck width, mm", "neck thickness, mm", "load at break, N",
                   "where it broke"),
    "insert-pull": ("piece", "load at pull-out, N", "alone or with plastic"),
    "density": ("piece", "mass, g", "length, mm", "width, mm", "height, mm"),
    "cantilever": ("piece", "mass of the arm, g", "span, mm", "mass hung on, g", "reading, mm",
                   "remark"),
    "fit": ("plate", "dots, smallest hole", "dots, smallest socket", "width at the bed, mm",
            "width half-way up, mm"),
}  # fmt: skip
"""What to write down on the page, by procedure."""
_SPANS = {"bend": ("60 mm", "30 mm"), "torsion": ("80 mm", "40 mm")}
"""The two spans of the procedures."""
_PIECES = {
    "bend": ("width", "thickness"),
    "torsion": ("width", "thickness"),
    "layer-pull": ("width", "thickness", "break_load"),
    "insert-pull": ("break_load",),
    "density": ("mass", "length", "width", "thickness"),
    "cantilever": ("mass",),
}
_EXAMPLE = {"mass": "12.3 g", "break_load": "700 N"}


_STIFF = (
    "",
    "# A steel bar of known size in the same clamp takes the clamp's give out; without it the",
    "# modulus is a lower bound, and design leaves the session out.",
    "# [[series]]",
    '# bar = "stiff"',
    '# span = "200 mm"',
    "# readings = []",
    "#",
    "# [stiff]",
    '# E = "205 GPa"',
    '# width = "20.00 mm"',
    '# thickness = "10.00 mm"',
)
_EMPTY = ('date = ""', 'hole_allowance = ""')


def filled_in(form: str) -> bool:
    """Whether someone has begun to fill a form in."""
    return not any(mark in form for mark in _EMPTY)


def form_text(
    coupon: Coupon,
    material: str,
    *,
    screw: str = "",
    hole: float = 0.0,
    arm: ArmPiece | None = None,
    span: float = 0.0,
    predicted: str = "",
) -> str:
    """The file to fill in; ``span`` (m) and ``arm`` for an arm only, ``hole`` (m) for fits."""
    if coupon.procedure == "fit":
        return "\n".join(_fit_lines(coupon, hole)) + "\n"
    return "\n".join(_lines(coupon, material, screw, arm, span, predicted)) + "\n"


def _fit_lines(coupon: Coupon, hole: float) -> Iterator[str]:
    """What each number of dots means, and the lines of the brief to fill in."""
    yield f"# What the {coupon.name} shows: fill in the empty texts, put the lines into your brief."
    yield ""
    yield "[frame]"
    yield f"# The smallest hole that the smooth shank of a {1e3 * hole:.1f} mm drill drops through:"
    yield f"# {_steps(HOLE_STEPS)}"
    yield 'hole_allowance = ""'
    yield "# The smallest socket that the other plate's peg slides into by hand without rocking:"
    yield f"# {_steps(GAP_STEPS)}"
    yield 'fit_gap = ""'
    yield ""
    yield "[printer]"
    yield "# Half of: width on the bed's side less width half-way up."
    yield 'first_layer_spread = ""'


def _steps(steps: Iterable[float]) -> str:
    """Such as ``1 dot "0 mm", 2 dots "0.1 mm"``."""
    return ", ".join(
        f'{n} dot{"s" if n > 1 else ""} "{1e3 * step:g} mm"' for n, step in enumerate(steps, 1)
    )


def _lines(
    coupon: Coupon, material: str, screw: str, arm: ArmPiece | None, span: float, predicted: str
) -> Iterator[str]:
    kind = KINDS[coupon.procedure]
    yield f"# Readings of: {coupon.name}. Fill in every empty text; strike out what you did not do."
    yield f"title = {_text(coupon.name)}"
    yield f'kind = "{kind}"'
    yield f'material = "{material}"'
    yield 'date = "" # day of the test, as 2026-05-31'
    if kind == "insert-pull":
        yield f'insert = "{screw}"'
    if predicted:
        yield f"predicted = {_text(predicted)}"
    yield from ("", "[spool]", 'name = "" # as written on the spool')
    yield '# drying = "8 h at 60 degC"'
    yield from ("", "[settings]", f'orientation = "{_orientation(coupon)}"')
    yield '# nozzle_temperature = "240 degC"'
    yield from ("", "[room]", 'temperature = "" # such as 21 degC')
    yield from ("", "[gauges]", 'name = "" # tests with the same instruments share their errors')
    if arm is not None:
        yield from _arm(arm)
    for number in range(1, coupon.quantity + 1):
        yield from _piece(coupon.procedure, str(number), arm is not None)
    if kind in ("cantilever", "torsion"):
        for number in range(1, coupon.quantity + 1):
            for each in _SPANS.get(coupon.procedure, (f"{1e3 * span:.1f} mm",)):
                yield from _series(kind, str(number), each)
    if arm is not None:
        yield from _STIFF


def _text(words: str) -> str:
    return tomlkit.item(words).as_string()


def _orientation(coupon: Coupon) -> str:
    """How it lies on the bed, in the words of the file; arms lie flat."""
    turns = [key for key, turn in TURNS.items() if np.array_equal(turn, coupon.rotation)]
    return turns[0] if turns else "flat"


def _arm(arm: ArmPiece) -> Iterator[str]:
    yield from ("", "[arm] # as drawn; held: inner end to the edge of the clamp")
    for name, declared in ArmPiece.__dataclass_fields__.items():
        value = getattr(arm, name)
        if isinstance(value, str):
            yield f'{name} = "{value}"'
        elif value or declared.default != 0.0:
            info = info_of(declared)
            yield f'{name} = "{from_si(value, info.unit, info.shown):.6g} {info.shown}"'


def _piece(procedure: str, name: str, is_arm: bool) -> Iterator[str]:
    yield from ("", "[[specimen]]", f'name = "{name}"')
    if is_arm:
        yield 'shape = "arm"'
    for field in _PIECES[procedure]:
        yield f'{field} = "" # such as {_EXAMPLE.get(field, "10.02 mm")}'


def _series(kind: str, name: str, span: str) -> Iterator[str]:
    yield from ("", "[[series]]", f'specimen = "{name}"', f'span = "{span}"')
    if kind == "torsion":
        yield 'lever = "" # axis to the load, such as 100 mm'
        yield 'pointer = "" # axis to the gauge, such as 100 mm'
    yield "readings = [ # in the order in which they were taken; zero first and last"
    yield '  # { mass = "0 g", read = "0.012 mm" },'
    yield "]"
