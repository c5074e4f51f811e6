"""The print plan as files: a page, tables, and for each plate one 3MF and one picture."""

from collections.abc import Iterator, Sequence

import numpy as np
from markupsafe import Markup
from scipy.spatial import ConvexHull

from refledge.model.results import TriMesh
from refledge.outputs.bench_blocks import Block, block_page
from refledge.outputs.charts import svg
from refledge.outputs.pose import on_bed
from refledge.outputs.printed import foot_notes, print_mesh
from refledge.outputs.tables import Cell, Column, Table
from refledge.outputs.threemf import Placed, plate_bytes
from refledge.outputs.words import degrees, material_name
from refledge.planning.plan import PlannedPart, PrintPlan
from refledge.printing.plates import Laid, Plate
from refledge.study import Study
from refledge.typed import Floats

PAGE = "print-plan.html"
_WIDE = 420.0
"""Width of a bed in a picture."""
_LETTER = 7.6
"""Room for a letter there."""

CAUTIONS = (
    "Times and grams are planning figures, not a tool path's; weigh and time your prints and feed "
    "them back with refledge log print (or --records).",
    "Print in a ventilated room: heated plastic gives off fumes and fine particles. Fibre-filled "
    "plastics shed dust: wear a mask and gloves when you clean them up.",
    "Do not leave a printer alone for the first layers, nor where a fire would not be noticed.",
    "Dry spools in a dryer made for it, never in an oven used for food.",
)  # common practice, no source


def plan_files(study: Study, plan: PrintPlan) -> dict[str, bytes]:
    """Path in the build to contents."""
    files: dict[str, bytes] = {}
    pictures = [plate_picture(study, plan, plate, title) for title, plate in _alike(plan.plates)]
    for number, plate in enumerate(plan.plates, 1):
        files[f"plates/plate-{number}.svg"] = plate_picture(
            study, plan, plate, f"Plate {number}"
        ).encode()
        files[f"plates/plate-{number}.3mf"] = _plate_3mf(study, plan, plate, number)
    table = plan_table(plan)
    files["print_plan.csv"] = table.csv_text().encode()
    files["tables/print_plan.json"] = table.json_text().encode()
    files[PAGE] = plan_page(study, plan, pictures).encode()
    return files


def plan_table(plan: PrintPlan) -> Table:
    """One row for each kind of part."""
    columns = (
        Column("part"),
        Column("copies"),
        Column("material"),
        Column("pose"),
        Column("time each", "min", "s"),
        Column("uncertainty", "min", "s"),
        Column("filament each", "g", "kg"),
        Column("filament each, length", "m", "m"),
        Column("support each", "cm^3", "m^3"),
        Column("layer boundary use"),
        Column("price each, low"),
        Column("price each, high"),
        Column("why"),
        Column("next best"),
    )
    rows = tuple(_row(part) for part in plan.parts)
    return Table("print_plan", columns, rows)


def _row(part: PlannedPart) -> tuple[Cell, ...]:
    low, high = part.price
    return (
        part.spec.key,
        part.spec.quantity,
        part.spec.material,
        part.chosen.label,
        part.seconds,
        part.spread,
        part.mass,
        part.length,
        part.chosen.support.plastic,
        round(part.chosen.layer_use, 3) if part.has_loads else "no stress results",
        round(low, 2),
        round(high, 2),
        part.reason,
        part.next_best,
    )


def plan_page(study: Study, plan: PrintPlan, pictures: Sequence[str]) -> str:
    """The print plan as one page."""
    return block_page(
        "print plan",
        f"Print plan: {study.brief.title}",
        list(_blocks(study, plan, pictures)),
        study.version,
        note=totals(plan),
    )


def totals(plan: PrintPlan) -> str:
    """The sums in one sentence."""
    low, high = plan.price
    copies = sum(part.spec.quantity for part in plan.parts)
    return _unlaid(plan) + (
        f"{copies} parts on {len(plan.plates)} plates: {hours(plan.seconds)} of printing, give or "
        f"take {hours(plan.spread)}; {1e3 * plan.mass:.0f} g of filament for {low:.2f} to "
        f"{high:.2f} in the currency of the material card; about {plan.energy / 3.6e6:.1f} kWh."
    )


def _unlaid(plan: PrintPlan) -> str:
    """What fits no bed, as a sentence of its own; empty where all fits."""
    if not plan.too_large:
        return ""
    large = [part.spec for part in plan.parts if part.spec.key in plan.too_large]
    sizes = [f"{s.name} ({1e3 * s.size[0]:.0f} x {1e3 * s.size[1]:.0f} mm)" for s in large]
    return (
        f"On no plate, for want of a bed large enough: {', '.join(sizes)}; the brief's printer or "
        "another (--printer) must take them, or the layout be smaller. "
    )


def hours(seconds: float) -> str:
    """Such as ``3 h 05 min``."""
    minutes = round(seconds / 60)
    return f"{minutes} min" if minutes < 60 else f"{minutes // 60} h {minutes % 60:02d} min"


def _blocks(study: Study, plan: PrintPlan, pictures: Sequence[str]) -> Iterator[Block]:
    yield Block(
        "Before you print",
        rows=tuple((name, degrees(how)) for name, how in plan.drying),
        heads=("Spool", "Dry it"),
        remark="Times and temperatures are typical; the maker's sheet goes before them.",
    )
    yield Block(
        "Plates, in this order",
        remark="What the assembly needs first prints first, so that building can start while the "
        "rest prints. The longest print of each step goes first.",
        heads=("Plate", "Material", "Parts", "Time"),
        rows=tuple(_plate_row(study, plan, p, n) for n, p in enumerate(plan.plates, 1)),
        numbers=(3,),
        charts=tuple(Markup(picture) for picture in pictures),
    )
    yield Block(
        "How each part lies, and what it takes",
        remark=_calibration(plan),
        heads=("Part", "Copies", "Time each", "Filament each", "Pose", "Why", "Next best"),
        rows=tuple(_part_row(part) for part in plan.parts),
        numbers=(1, 2, 3),
    )
    if feet := foot_notes(study):
        yield Block("Edges on the bed", heads=("",), rows=tuple((line,) for line in feet))
    yield Block("Cautions", heads=("",), rows=tuple((line,) for line in CAUTIONS))


def fitted_words(prints: int) -> str:
    """Whose prints are behind the times of spares and repairs."""
    if prints:
        return f"times and grams fitted to {prints} of your prints, from the log"
    return "times and grams by the model alone: log your prints (refledge log print)"


def time_words(plan: PrintPlan) -> str:
    """Whose prints are behind the times."""
    records = plan.calibration.records
    if not records:
        held = f" that fits this design, in {plan.prints}" if plan.prints else " yet"
        return f"Time model: no print of yours{held}."
    return f"Time model: fitted to {records} of your prints, from {plan.prints}."


def _calibration(plan: PrintPlan) -> str:
    changed = ", ".join(plan.poses_changed)
    poses = f"Lying otherwise than usual: {changed}." if changed else (
        "Every part lies as its sizing assumed, so the stresses that chose the poses stand."
    )  # fmt: skip
    return f"{time_words(plan)} {poses}"


def _plate_row(study: Study, plan: PrintPlan, plate: Plate, number: int) -> tuple[str, ...]:
    names = {part.spec.key: part.spec.name for part in plan.parts}
    counts: dict[str, int] = {}
    for each in plate.laid:
        counts[each.piece.key] = counts.get(each.piece.key, 0) + 1
    listed = ", ".join(f"{count} × {names[key]}" for key, count in counts.items())
    warm = study.brief.printer.warm_up
    return str(number), material_name(study, plate.material), listed, hours(plate.seconds + warm)


def _part_row(part: PlannedPart) -> tuple[str, ...]:
    return (
        part.spec.name,
        str(part.spec.quantity),
        f"{hours(part.seconds)} ± {hours(part.spread)}",
        f"{1e3 * part.mass:.1f} g",
        part.spec.print_note,
        part.reason,
        part.next_best,
    )


def plate_picture(study: Study, plan: PrintPlan, plate: Plate, title: str) -> str:
    """The bed from above with the outline of every copy, as SVG."""
    scale = _WIDE / plate.bed.length
    height = plate.bed.width * scale
    specs = {part.spec.key: part.spec for part in plan.parts}
    items = [
        svg.rectangle(20, 40, _WIDE, height, "area"),
        svg.text(20, 24, f"{title}, {material_name(study, plate.material)}", "strong"),
    ]
    for each in plate.laid:
        spec = specs[each.piece.key]
        outline = _outline(on_bed(spec, study.assembly.meshes[spec.key]), each)
        drawn = [(20 + x * scale, 40 + height - y * scale) for x, y in outline.tolist()]
        items.append(svg.polygon(drawn, "bar"))
    for each in plate.laid:
        (a, b), upright = each.size, each.size[1] > each.size[0]
        x, y = 20 + (each.x + a / 2) * scale, 40 + height - (each.y + b / 2) * scale
        room = max(3, int((b if upright else a) * scale / _LETTER))
        name = specs[each.piece.key].name
        whole = f"{name} {each.piece.copy}"
        label = whole if len(whole) <= room else svg.shortened(name, room)
        shift = (5.0, 0.0) if upright else (0.0, 5.0)
        items.append(_label(x + shift[0], y + shift[1], label, -90.0 if upright else 0.0))
    words = f"{1e3 * plate.bed.length:.0f} mm × {1e3 * plate.bed.width:.0f} mm, {plate.bed.name}"
    items.append(svg.text(20 + _WIDE, 40 + height + 18, words, "soft", "end"))
    return svg.chart(_WIDE + 40, height + 70, title, items)


def _outline(mesh: TriMesh, laid: Laid) -> Floats:
    """(n, 2), m: convex outline of a posed part where it lies on the bed."""
    points = mesh.vertices[:, :2]
    if laid.turned:
        points = np.c_[points[:, 1].max() - points[:, 1], points[:, 0]]
    hull = points[ConvexHull(points).vertices]
    return np.asarray(hull + np.array([laid.x, laid.y]))


def _label(x: float, y: float, words: str, turn: float) -> str:
    """White letters that stay legible on the parts in light and dark."""
    found = svg.text(x, y, words, "", "middle", turn)
    style = "fill:#fff;stroke:#0008;stroke-width:2.5;paint-order:stroke"
    return found.replace("<text ", f'<text style="{style}" ', 1)


def _alike(plates: Sequence[Plate]) -> list[tuple[str, Plate]]:
    """One picture for each run of plates that hold the same; its title and the first of them."""
    runs: list[tuple[int, int, Plate]] = []
    for number, plate in enumerate(plates, 1):
        if runs and _same(runs[-1][2], plate):
            runs[-1] = (runs[-1][0], number, runs[-1][2])
        else:
            runs.append((number, number, plate))
    return [
        (f"Plate {a}" if a == b else f"Plates {a} to {b}, one each", plate) for a, b, plate in runs
    ]


def _same(one: Plate, other: Plate) -> bool:
    def places(plate: Plate) -> list[tuple[str, float, float, bool]]:
        return [(each.piece.key, each.x, each.y, each.turned) for each in plate.laid]

    return (one.bed, one.material) == (other.bed, other.material) and places(one) == places(other)


def _plate_3mf(study: Study, plan: PrintPlan, plate: Plate, number: int) -> bytes:
    parts = {part.spec.key: part.spec for part in plan.parts}
    placed = [
        Placed(parts[each.piece.key], each.piece.copy, each.x, each.y, each.turned)
        for each in plate.laid
    ]
    meshes = {
        key: on_bed(parts[key], print_mesh(study, parts[key]))
        for key in dict.fromkeys(each.piece.key for each in plate.laid)
    }
    title = f"Plate {number} of {len(plan.plates)}"
    return plate_bytes(placed, meshes, material_name(study, plate.material), title, study.version)
