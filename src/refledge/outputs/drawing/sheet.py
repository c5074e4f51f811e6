"""One part on one sheet."""

import hashlib
from collections.abc import Sequence

import numpy as np

from refledge.geometry import kernel
from refledge.geometry.kernel import Solid
from refledge.model.results import PartSpec, TriMesh
from refledge.outputs.drawing.callouts import askew, mm
from refledge.outputs.drawing.lanes import across, below, beside, column, row, tick_depth, upright
from refledge.outputs.drawing.layout import CLEAR, Arranged, Placed, arrange, heading
from refledge.outputs.drawing.lines import hatching, tidy
from refledge.outputs.drawing.marks import Line, Mark, Sheet, Text, arrow, line
from refledge.outputs.drawing.panels import (
    cross_section,
    long_section,
    part_of,
    three_views,
)
from refledge.outputs.drawing.scales import SIZES, frame_of, scale_words
from refledge.outputs.drawing.title import Title, framed
from refledge.outputs.words import capital, count
from refledge.typed import Floats
from refledge.units import show

_HATCH = 2.2
"""Between hatching lines, mm."""
_EYE, _RIGHT = (1.0, -1.6, 1.1), (1.6, 1.0, 0.0)
"""Sight on the small picture of the print pose."""


def part_sheet(
    spec: PartSpec,
    solid: Solid,
    mesh: TriMesh,
    material: str,
    project: str,
    place: tuple[int, int],
    version: str,
) -> Sheet:
    """The drawing of one part; ``place``: its sheet, the whole's being the first, of how many."""
    part = part_of(solid)
    panels = three_views(part)
    cuts: list[tuple[str, float]] = []
    for found in (long_section(part), cross_section(part)):
        if found is not None:
            panels[found[0].name] = found[0]
            cuts.append((found[0].name, found[1]))
    arranged = arrange(panels)
    marks, left_out = _drawn(arranged, cuts)
    title = _title(spec, solid, mesh, material, project, place, version, arranged, left_out)
    inner = frame_of(arranged.size)
    wide, high = SIZES[arranged.size]
    return Sheet(
        spec.key,
        f"{spec.name}, sheet {place[0]}",
        wide,
        high,
        (*framed(inner, title), *marks),
        inner,
    )


def revision(mesh: TriMesh) -> str:
    """Eight letters that change when the part's shape does, to a micrometre."""
    rounded = np.round(mesh.vertices * 1e6).astype("<i8")
    told = rounded.tobytes() + mesh.triangles.astype("<i8").tobytes()
    return hashlib.sha256(told).hexdigest()[:8]


def _drawn(arranged: Arranged, cuts: Sequence[tuple[str, float]]) -> tuple[list[Mark], int]:
    marks: list[Mark] = []
    left_out = 0
    for name, placed in arranged.placed.items():
        marks += _lines(placed)
        lanes, missing = _lanes(name, placed)
        marks += lanes
        left_out += missing
        words = heading(name, placed.scale, arranged.scale)
        top = placed.y + placed.high + placed.margins()[3] - 3.5
        marks.append(Text(placed.x, top, words, 2.5, bold=name not in ("front", "top", "left")))
    for name, at in cuts:
        host = arranged.placed["top" if name == "A–A" else "front"]
        marks += _cut_marks(host, name, at)
    return marks, left_out


def _paper(placed: Placed, points: Floats) -> Floats:
    scale = 1e3 * placed.scale
    moved: Floats = (points - placed.panel.low) * scale + np.array([placed.x, placed.y])
    return moved


def _lines(placed: Placed) -> list[Mark]:
    panel = placed.panel
    marks: list[Mark] = [Line(_paper(placed, each), "hidden") for each in panel.view.hidden]
    loops = [_paper(placed, loop) for loop in panel.cut]
    marks += [Line(each, "hatch") for each in hatching(loops, _HATCH)]
    marks += [Line(_paper(placed, each), "outline") for each in panel.view.visible]
    marks += [Line(np.vstack([loop, loop[:1]]), "outline") for loop in loops]
    marks += [Line(_paper(placed, np.stack(ends)), "centre") for ends in panel.axes]
    for centre, radius in panel.crosses:
        x, y = placed.at(float(centre[0]), float(centre[1]))
        r = 1e3 * placed.scale * radius + 1.5
        marks += [line("centre", (x - r, y), (x + r, y)), line("centre", (x, y - r), (x, y + r))]
    return marks


def _lanes(name: str, placed: Placed) -> tuple[list[Mark], int]:
    """Running dimensions, overall dimensions and notes round one panel."""
    x0, y0 = placed.x, placed.y
    x1, y1 = x0 + placed.wide, y0 + placed.high
    ticks, missing = placed.ticks(placed.panel.along, along=True)
    stacked, others = placed.ticks(placed.panel.up, along=False)
    marks = [*below(ticks, y0 - CLEAR), *beside(stacked, x0 - CLEAR)]
    size = placed.panel.size
    if name in ("front", "left"):
        words = mm(float(size[0]))
        marks += across(x0, x1, y1 + CLEAR + 2.0, words, (y1, y1))
    if name in ("front", "top"):
        x = x0 - CLEAR - tick_depth(stacked) - 3.0
        side = x + 5.0 if stacked else x0
        marks += upright(y0, y1, x, mm(float(size[1])), (side, side))
    if placed.notes and placed.notes_in_row:
        base = y0 - CLEAR - tick_depth(ticks) - 4.0 if name == "front" else y1 + CLEAR
        marks += row(placed.notes, base)
    elif placed.notes:
        marks += column(placed.notes, x1 + CLEAR)
    return marks, missing + others


def _cut_marks(host: Placed, name: str, at: float) -> list[Mark]:
    """Where a section runs: wide ends, arrows in the line of sight, its letter at both."""
    letter = name[0]
    if letter == "A":
        y = host.at(0.0, at)[1]
        ends = (host.x - 1.0, host.x + host.wide + 1.0)
        out = (ends[0] - 4.5, ends[1] + 4.5)
        marks: list[Mark] = [line("centre", (out[0], y), (out[1], y))]
        for a, b, side in zip(ends, out, (-1, 1), strict=True):
            x = (a + b) / 2
            marks += [line("cut", (a, y), (b, y)), line("thin", (x, y), (x, y - 5.0))]
            marks += [arrow((x, y), (x, y - 5.0))]
            marks.append(
                Text(
                    x + 1.2 * side, y - 4.5, letter, 3.0, "start" if side > 0 else "end", bold=True
                )
            )
        return marks
    x = host.at(at, 0.0)[0]
    ends = (host.y - 1.0, host.y + host.high + 1.0)
    out = (ends[0] - 4.5, ends[1] + 4.5)
    marks = [line("centre", (x, out[0]), (x, out[1]))]
    for a, b in zip(ends, out, strict=True):
        y = (a + b) / 2
        marks += [line("cut", (x, a), (x, b)), line("thin", (x, y), (x - 5.0, y))]
        marks += [
            arrow((x, y), (x - 5.0, y)),
            Text(x - 5.6, y - 1.5, letter, 3.0, "end", bold=True),
        ]
    return marks


def _title(
    spec: PartSpec,
    solid: Solid,
    mesh: TriMesh,
    material: str,
    project: str,
    place: tuple[int, int],
    version: str,
    arranged: Arranged,
    left_out: int,
) -> Title:
    mass = show(spec.mass, "kg", "g")
    made = "printed" if spec.printed else "bought and cut, not printed"
    lines = [f"{spec.quantity} off; {material}, {made}; {mass} each", spec.print_note]
    if isinstance(solid, kernel.MeshSolid):
        lines.append(
            "grown: dimensions are of its bolts and level faces; the rest is as in the 3MF"
        )
    else:
        lines += [f"askew: {'; '.join(said)}" for said in (askew(solid),) if said]
        if left_out:
            lines.append(
                f"{count(left_out, 'small step')} without dimension: see parts/{spec.key}.step"
            )
    bed, outline = _on_bed(spec, solid)
    facts = (
        ("scale", scale_words(arranged.scale)),
        ("sheet", f"{place[0]} of {place[1]}, {arranged.size}"),
        ("file", f"parts/{spec.key}.3mf" if spec.printed else f"parts/{spec.key}.step"),
        ("revision of the shape", revision(mesh)),
        ("drawn by", f"Refledge {version}"),
        ("number in the whole", str(place[0] - 1)),
    )
    return Title(capital(spec.name), project, tuple(lines), facts, bed, outline)


def _on_bed(spec: PartSpec, solid: Solid) -> tuple[tuple[Floats, ...], Floats]:
    """Visible lines of the part in its print pose, and a piece of bed under it."""
    lying = kernel.move(solid, spec.print_rotation, np.zeros(3))
    low, high = kernel.bounds(lying)
    view = tidy(kernel.project(lying, _EYE, _RIGHT))
    rim = 0.12 * float((high - low)[:2].max())
    x0, y0, x1, y1 = low[0] - rim, low[1] - rim, high[0] + rim, high[1] + rim
    corners = np.array([[x0, y0], [x1, y0], [x1, y1], [x0, y1], [x0, y0]])
    bed = np.column_stack([corners, np.full(5, low[2])])
    n, r = np.array(_EYE) / np.linalg.norm(_EYE), np.array(_RIGHT) / np.linalg.norm(_RIGHT)
    outline: Floats = bed @ np.stack([r, np.cross(n, r)]).T
    return view.visible, outline
