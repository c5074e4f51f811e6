"""The general arrangement: the whole airframe from three sides, with the numbered list."""

import hashlib
from collections.abc import Mapping

import numpy as np

from refledge.errors import BuildError
from refledge.geometry.folded import folded_size
from refledge.geometry.placing import payload_middle
from refledge.outputs.drawing.balloons import (
    RADIUS,
    Balloon,
    column,
    shared_out,
    unseen,
)
from refledge.outputs.drawing.blocks import (
    BORDER,
    GAP,
    LANE,
    Block,
    Span,
    placed,
    taken,
)
from refledge.outputs.drawing.callouts import mm
from refledge.outputs.drawing.lanes import beside, under, upright
from refledge.outputs.drawing.listing import list_height, listed, numbers, table
from refledge.outputs.drawing.marks import Line, Mark, Sheet, Text, arrow, line
from refledge.outputs.drawing.measures import (
    Measures,
    chain_lines,
    disc_rim,
    measures_of,
)
from refledge.outputs.drawing.rotors import rotor_labels, set_down
from refledge.outputs.drawing.scales import SCALES, SIZES, frame_of, scale_words
from refledge.outputs.drawing.sheet import revision
from refledge.outputs.drawing.title import STRIP, Title, framed
from refledge.outputs.drawing.whole import WholeView, whole_views
from refledge.study import Study
from refledge.typed import Floats
from refledge.units import show

KEY = "arrangement"
SIZE = "A3"
BETWEEN = (1 / 2.5, 1 / 4, 1 / 6, 1 / 8, 1 / 15)
"""Scales beside the preferred ones, which would leave half the sheet empty: ISO 5455 lets
intermediate ones be used where there is a reason; from memory."""
HEADINGS = {"above": "from above, nose up", "front": "from the front", "left": "from the left"}
"""The views stand where there is room, so each says what it is."""
_STUB = 5.0
"""How far discs seen edge on are drawn beyond the frame, mm."""


def arrangement_sheet(study: Study, count: int) -> Sheet:
    """Sheet 1 of ``count``."""
    views, found = whole_views(study), measures_of(study)
    shared = shared_out(views, numbers(study))
    disc = Balloon(numbers(study)["disc"], disc_rim(study))
    shared["above"] = (*shared["above"], disc)
    rows = listed(study)
    blocks = _arranged(study, views, found, shared, list_height(len(rows)))
    marks: list[Mark] = []
    for block in blocks.values():
        marks += _drawn(block, found)
    marks += _nose(blocks["above"])
    marks += _rotors(study, blocks["above"], marks)
    inner = frame_of(SIZE)
    left = blocks["above"].outer[0] + inner[0] + BORDER
    foot = min(blocks[name].y - blocks[name].margins()[1] for name in ("front", "left"))
    marks += table(rows, left + BORDER, inner[2] - BORDER, foot - BORDER)
    title = _title(study, count, blocks["above"].scale, views)
    wide, high = SIZES[SIZE]
    return Sheet(KEY, "general arrangement", wide, high, (*framed(inner, title), *marks), inner)


def _arranged(
    study: Study,
    views: Mapping[str, WholeView],
    found: Measures,
    shared: Mapping[str, tuple[Balloon, ...]],
    list_high: float,
) -> dict[str, Block]:
    """The greatest scale at which everything fits the sheet; BuildError where none does."""
    x0, y0, x1, y1 = frame_of(SIZE)
    y0 += STRIP
    for scale in sorted((*SCALES, *BETWEEN), reverse=True):
        blocks = {
            name: _block(study, view, found, scale, shared[name]) for name, view in views.items()
        }
        for row in (False, True):
            wide, high = taken(blocks, list_high, row=row)
            if wide + 3 * BORDER <= x1 - x0 and high + 2 * BORDER <= y1 - y0:
                return placed(blocks, (x0 + BORDER, y1 - BORDER), row=row)
    raise BuildError("the airframe is too large for a general arrangement at 1:100 on A3")


def _block(
    study: Study,
    view: WholeView,
    found: Measures,
    scale: float,
    balloons: tuple[Balloon, ...],
) -> Block:
    stub = _STUB / (1e3 * scale)
    chains = chain_lines(study, view.name, view.low[0] - stub, view.high[0] + stub)
    points = np.concatenate([*chains, np.stack([view.low, view.high])])
    low, high = points.min(axis=0), points.max(axis=0)
    if view.name == "above":
        along, up = _spans(found, axis=1), _spans(found, axis=0)
        return Block(view, scale, low, high, chains, balloons, (), along, up)
    axis = 1 if view.name == "front" else 0
    turned = -1.0 if view.name == "left" else 1.0
    a, b = sorted(turned * found.feet[:, axis])
    feet = ((float(a), float(b), f"{mm(round(b - a, 4))} over the feet"),)
    heights = found.heights if view.name == "front" else ()
    return Block(view, scale, low, high, chains, balloons, heights, feet, ())


def _spans(found: Measures, axis: int) -> tuple[Span, ...]:
    """The frame and the discs from above, the shorter first; the paper's right is the body's -y."""
    way = -1.0 if axis == 1 else 1.0
    spans = []
    for corners, words in ((found.frame, "frame"), (found.discs, "over the propellers")):
        a, b = sorted(way * corners[:, axis])
        spans.append((float(a), float(b), f"{mm(round(b - a, 4))} {words}"))
    return tuple(sorted(spans, key=lambda span: span[1] - span[0]))  # the shorter nearer


def _drawn(block: Block, found: Measures) -> list[Mark]:
    """Lines, lanes, balloons and heading of one view."""
    (wide, tall), name = block.size, block.view.name
    marks: list[Mark] = [Line(_paper(block, each), "rule") for each in block.view.lines]
    marks += [Line(_paper(block, each), "centre") for each in block.chains]
    left, foot = block.x, block.y
    if name != "above":
        level = block.at(0.0, found.ground)[1]
        marks.append(line("outline", (left - 3.0, level), (left + wide + 3.0, level)))
    marks += beside(block.ticks, left - GAP)
    for k, (a, b, words) in enumerate(block.along, 1):
        x0, x1 = block.at(a, 0.0)[0], block.at(b, 0.0)[0]
        marks += under(x0, x1, foot - GAP - LANE * k + 3.0, words, foot)
    for k, (a, b, words) in enumerate(block.up, 1):
        y0, y1 = block.at(0.0, a)[1], block.at(0.0, b)[1]
        x = left - GAP - LANE * k + 3.0
        marks += upright(y0, y1, x, words, (left, left))
    marks += column(block.ends, left + wide + GAP + RADIUS + 2.0)
    top = foot + tall + block.margins()[3] - 4.0
    return [*marks, Text(left, top, HEADINGS[name], 2.5)]


def _paper(block: Block, points: Floats) -> Floats:
    factor = 1e3 * block.scale
    moved: Floats = (points - block.low) * factor + np.array([block.x, block.y])
    return moved


def _rotors(study: Study, block: Block, drawn: list[Mark]) -> list[Mark]:
    """Numbers and turns of the rotors on their discs, clear of what is ``drawn``."""
    marks: list[Mark] = []
    for label in rotor_labels(study):
        places = [block.at(float(u), float(v)) for u, v in label.places]
        marks += set_down(label.words, places, [*drawn, *marks])
    return marks


def _nose(block: Block) -> list[Mark]:
    """Which way the nose points."""
    x, y = block.at(0.0, float(block.high[1]))
    nose = Text(x + 2.5, y + 5.0, "nose", 2.5)
    return [line("rule", (x, y + 1.5), (x, y + 8.0)), arrow((x, y + 10.0), (x, y), 3.5), nose]


def _title(study: Study, count: int, scale: float, views: Mapping[str, WholeView]) -> Title:
    brief, layout = study.brief, study.layout
    pairs = ", the upper of a pair first" if layout.paired else ""
    lines = [
        f"{layout.kind}; ready to fly {show(study.all_up_mass, 'kg', 'kg', 3)}, frame "
        f"{show(study.frame_mass, 'kg', 'g')}",
        f"chain lines: motor axes on Ø{mm(round(2 * layout.motor_radius, 4))}, propellers "
        f"Ø{mm(round(brief.propeller.diameter, 4))}, seen edge on cut short; "
        f"{mm(round(layout.tip_gap, 4))} between neighbouring tips",
        f"CW, CCW: turn of each rotor from above{pairs}; heights are from the ground it stands on",
    ]
    if brief.payload.slung:
        below = show(payload_middle(study.frame, brief), "m", "m", 2)
        lines.append(f"{numbers(study)['payload']} hangs {below} below on its line: not drawn")
    if study.frame.hinge is not None:
        size = folded_size(study.frame, study.layout, study.assembly)
        lines.append(
            f"chain outlines: arms folded by {np.degrees(study.frame.hinge.turn):.0f}°, within "
            f"Ø{mm(round(size.across, 4))}; propellers, battery and payload off"
        )
    hidden = unseen(
        views, {k: n for k, n in numbers(study).items() if k not in ("disc", "payload")}
    )
    if hidden:
        lines.append(f"covered in all three views: {', '.join(map(str, hidden))}")
    facts = (
        ("scale", scale_words(scale)),
        ("sheet", f"1 of {count}, {SIZE}"),
        ("file", "assembly.step"),
        ("revision of the whole", _revision(study)),
        ("drawn by", f"Refledge {study.version}"),
    )
    foot = (
        "Numbers are those of the list and of the part drawings. Items are plain blocks; their own",
        "masts, screws and wires are not drawn: bolts.csv and the build book have them.",
    )
    return Title(
        "General arrangement", brief.title, tuple(lines), facts, foot=foot, first_angle=False
    )


def _revision(study: Study) -> str:
    """Eight letters that change when a part's shape or place does."""
    told = hashlib.sha256()
    for place in study.assembly.placements:
        if place.group == "part":
            where = np.round(np.column_stack([place.rotation, place.translation]) * 1e6)
            told.update(f"{place.key} {revision(study.assembly.meshes[place.key])}".encode())
            told.update((where + 0.0).astype("<i8").tobytes())
    return told.hexdigest()[:8]
