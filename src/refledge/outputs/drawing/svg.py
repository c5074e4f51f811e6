"""A sheet as SVG (W3C SVG 1.1), true to scale when printed at 100 %."""

import base64
from xml.sax.saxutils import escape

from refledge.outputs.charts.svg import number
from refledge.outputs.drawing.lettering import CAP, FAMILY, settable, width
from refledge.outputs.drawing.marks import STROKES, Area, Line, Mark, Picture, Sheet, Text
from refledge.typed import Floats


def svg_text(sheet: Sheet) -> str:
    """The whole sheet, sizes in mm."""
    w, h = number(sheet.wide), number(sheet.high)
    body = "".join(_mark(mark, sheet.high) for mark in sheet.marks)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" role="img" width="{w}mm" height="{h}mm" '
        f'viewBox="0 0 {w} {h}"><title>{escape(sheet.title)}</title><style>{_style()}</style>'
        f'<rect width="{w}" height="{h}" fill="#fff"/>{body}</svg>\n'
    )


def _style() -> str:
    rules = [
        f"text{{font-family:{FAMILY};fill:#000}}path{{fill:none;stroke:#000}}.b{{font-weight:700}}"
    ]
    for kind, (wide, dashes) in STROKES.items():
        dashed = f"stroke-dasharray:{' '.join(map(number, dashes))};" if dashes else ""
        rules.append(f".{kind}{{{dashed}stroke-width:{number(wide)};stroke-linejoin:round}}")
    return "".join(rules)


def _mark(mark: Mark, high: float) -> str:
    if isinstance(mark, Line):
        return f'<path class="{mark.kind}" d="{_path(mark.points, high)}"/>'
    if isinstance(mark, Area):
        d = "".join(_path(loop, high) + "Z" for loop in mark.loops)
        tone = round(255 * mark.grey)
        return (
            f'<path d="{d}" style="fill:rgb({tone},{tone},{tone});stroke:none;fill-rule:evenodd"/>'
        )
    if isinstance(mark, Picture):
        data = base64.b64encode(mark.png).decode("ascii")
        return (
            f'<image x="{number(mark.x)}" y="{number(high - mark.y - mark.high)}" '
            f'width="{number(mark.wide)}" height="{number(mark.high)}" '
            f'href="data:image/png;base64,{data}"/>'
        )
    return _words(mark, high)


def _words(text: Text, high: float) -> str:
    """Stretched to the width that the layout reckons with, whatever font stands in."""
    x, y = number(text.x), number(high - text.y)
    turned = f' transform="rotate(-90 {x} {y})"' if text.turn == 90 else ""
    long = number(width(text.words, text.height, bold=text.bold))
    weight = ' class="b"' if text.bold else ""
    return (
        f'<text x="{x}" y="{y}" font-size="{number(text.height / CAP)}" '
        f'text-anchor="{text.anchor}" '
        f'textLength="{long}" lengthAdjust="spacingAndGlyphs"{weight}{turned}>'
        f"{escape(settable(text.words))}</text>"
    )


def _path(points: Floats, high: float) -> str:
    where = [f"{number(x)} {number(high - y)}" for x, y in points.tolist()]
    return "M" + "L".join(where)
