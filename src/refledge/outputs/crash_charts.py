"""Charts of the crash page: what goes first, what spares are worth, spares on the bed."""

from collections.abc import Iterator

import numpy as np
from scipy.spatial import ConvexHull

from refledge.model.copies import kind_of
from refledge.model.results import TriMesh
from refledge.outputs.charts import svg
from refledge.outputs.charts.scale import Scale, axis_below, round_up
from refledge.outputs.pose import on_bed
from refledge.printing.plates import Laid
from refledge.repair.breaking import Breaks
from refledge.study import Study

_COLOURS = {
    "arm": "#2b5d7d", "leg": "#1f7a6d", "plates": "#b03024", "mount": "#c06a2b",
    "tray": "#6a5a8c", "electronics": "#8a7a2a", "lock": "#a34a86", "nothing": "#b9c1c3",
}  # fmt: skip
_WIDTH, _LEFT, _RIGHT = 860.0, 175.0, 835.0
_ROW = 44.0


def first_chart(found: Breaks) -> str:
    """A bar for each case, split by what broke first; the keys stand above."""
    across = Scale(0.0, 100.0, _LEFT, _RIGHT)
    names = [*dict.fromkeys(kind_of(part) for part in found.parts), "nothing"]
    items, x = [], _LEFT
    for name in names:
        items.append(_fill(x, 6, 13, 13, _COLOURS[name]))
        items.append(svg.text(x + 19, 17, name))
        x += 34 + 7.4 * len(name)
    top = 34.0
    for row, each in enumerate(found.found):
        y, start = top + row * _ROW, 0.0
        items.append(svg.text(_LEFT - 12, y + 20, each.case.title, "", "end"))
        for name in names:
            share = 100 * (each.nothing if name == "nothing" else each.first_of(name))
            items += _piece(across, start, share, y, _COLOURS[name])
            start += share
    bottom = top + len(found.found) * _ROW
    axis = axis_below(across, top, bottom, "crashes in which it broke first (%)")
    return svg.chart(_WIDTH, bottom + 48, "What breaks first", [*axis, *items])


def _piece(across: Scale, start: float, share: float, y: float, colour: str) -> list[str]:
    if share <= 0.0:
        return []
    width = across(start + share) - across(start)
    made = [_fill(across(start), y + 4, width, _ROW - 16, colour)]
    if share >= 6.0:
        middle = across(start) + width / 2
        made.append(
            f'<text x="{svg.number(middle)}" y="{svg.number(y + 23)}" text-anchor="middle" '
            f'style="fill:#fff">{share:.0f}</text>'
        )
    return made


def _fill(x: float, y: float, width: float, height: float, colour: str) -> str:
    return (
        f'<rect x="{svg.number(x)}" y="{svg.number(y)}" width="{svg.number(width)}" '
        f'height="{svg.number(height)}" fill="{colour}"/>'
    )


def stock_chart(found: Breaks) -> str:
    """Service against grams: a step for each copy added."""
    steps = found.stock
    most = round_up(1e3 * max(steps[-1].mass, 1e-3))
    across, up = Scale(0.0, most, 90.0, 820.0), Scale(0.0, 100.0, 290.0, 20.0)
    items = axis_below(across, 20.0, 290.0, "spares kept (g)")
    for tick in (0, 25, 50, 75, 100):
        items.append(svg.line(90.0, up(tick), 820.0, up(tick), "grid"))
        items.append(svg.text(80.0, up(tick) + 4, f"{tick} %", "soft", "end"))
    points = [(across(1e3 * s.mass), up(100 * s.service)) for s in steps]
    wanted = up(100 * found.asked.service)
    items.append(svg.line(90.0, wanted, 820.0, wanted, "mode"))
    items.append(svg.text(816.0, wanted - 6, "wanted", "soft", "end"))
    items.append(svg.polyline(points, "line"))
    items += [svg.circle(x, y, 3.5, "bar") for x, y in points]
    return svg.chart(_WIDTH, 338, "Chance that no spare is missing, against grams kept", items)


def plates_chart(study: Study, found: Breaks) -> Iterator[str]:
    """One picture for each plate of spares, from above."""
    specs = {spec.key: spec for spec in study.parts}
    for plate in found.plates:
        scale = 380.0 / plate.bed.length
        high = plate.bed.width * scale
        items = [svg.rectangle(1, 1, 378, high - 2, "area")]
        for laid in plate.laid:
            spec = specs[laid.piece.key]
            outline = _outline(on_bed(spec, study.assembly.meshes[spec.key]), laid)
            items.append(svg.polygon([(x * scale, high - y * scale) for x, y in outline], "ghost"))
            length, width = (each * scale for each in laid.size)
            turn = -90.0 if width > length else 0.0
            label = svg.shortened(spec.name, max(int(max(length, width) / 7.2), 3))
            x, y = laid.x * scale + length / 2, high - laid.y * scale - width / 2
            at = (x + 4, y) if turn else (x, y + 4)
            items.append(svg.text(*at, label, "", "middle", turn))
        yield svg.chart(380, high, f"Spares plate in {plate.material}", items)


def _outline(mesh: TriMesh, laid: Laid) -> list[tuple[float, float]]:
    """Convex outline of a posed part where it lies on the bed, m."""
    points = mesh.vertices[:, :2]
    if laid.turned:
        points = np.c_[points[:, 1].max() - points[:, 1], points[:, 0]]
    hull = points[ConvexHull(points).vertices] + np.array([laid.x, laid.y])
    return [(float(x), float(y)) for x, y in hull]
