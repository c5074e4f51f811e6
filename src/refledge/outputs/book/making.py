"""Chapters before assembly: what is needed, what to print, preparing the parts."""

from refledge.geometry.drill import clearance, walls_under
from refledge.model.results import PartSpec
from refledge.outputs.book.blocks import (
    Block,
    Caution,
    Chapter,
    Gallery,
    Grid,
    Photo,
    Points,
    Words,
)
from refledge.outputs.book.pictures import part_picture
from refledge.outputs.printed import foot_notes
from refledge.outputs.words import CAUTIONS, capital, count, degrees, material_name
from refledge.study import Study
from refledge.units import show

TOOLS = (
    "hexagon keys for the screws, and a torque screwdriver from 0.1 N m up",
    "spanners for the lock nuts",
    "soldering iron, with a tip for heat-set inserts if there are any; solder, heat-shrink",
    "calliper, steel rule, scale that reads 1 g",
    "drills to clear printed holes, deburring knife",
    "the weights of the bench checks, a vice, a phone to record the tap test",
    "thread lock for the motor screws, cable ties, double-sided foam tape, marker",
)
"""Common practice, no source."""


def cautions(*names: str) -> list[Caution]:
    """Cautions of the whole tool by name, where they belong."""
    return [Caution(name, text) for name, text in CAUTIONS if name in names]


def needed(study: Study) -> Chapter:
    """Items, what to buy, tools."""
    rows = tuple(
        (s.name, str(s.needed), str(s.sound), str(s.inspect or "–"), str(s.buy or "–"), s.why)
        for s in study.shopping
    )
    return Chapter(
        "What you need",
        (
            Grid(
                ("what", "needed", "sound", "to inspect", "to buy", "remark"), rows,
                frozenset({1, 2, 3, 4}), "Items and fasteners", (0.36, 0.1, 0.09, 0.11, 0.09, 0.25),
            ),
            Words("Tools:"),
            Points(TOOLS, boxes=True),
            *cautions("Lithium packs", "Dust and fumes"),
        ),
    )  # fmt: skip


def printing(study: Study) -> Chapter:
    """Print list with pictures, settings, and checks of each piece."""
    printed = [spec for spec in study.parts if spec.printed]
    cut = [spec for spec in study.parts if not spec.printed]
    total = sum(spec.mass * spec.quantity for spec in printed)
    blocks: list[Block] = [
        Words(
            f"{count(sum(s.quantity for s in printed), 'piece')} of "
            f"{count(len(printed), 'shape')}, {show(total, 'kg', 'g')} of plastic. Each file lies "
            "turned as it prints. Print one arm first and do its bench checks before the others."
        ),
        Grid(
            ("file", "part", "pieces", "material", "each", "together", "size (mm)"),
            tuple(_row(study, spec) for spec in printed),
            frozenset({2, 4, 5}), "Print list; files are in parts/",
            (0.2, 0.2, 0.09, 0.12, 0.11, 0.11, 0.17),
        ),
        Gallery(tuple(_photo(study, spec) for spec in printed)),
        _settings(study),
        Points(
            (
                "Weigh every piece and write its mass on it. More than 5 % off the list: the "
                "printer's flow or the settings are not those assumed.",
                "Lay plates, mounts and arms on their templates (drawings.pdf): every hole shows "
                "its cross.",
                "Bend each arm by hand and listen: a crackle is a bad layer. Do not use it.",
                "Clear all holes by hand with a drill of the bolt's clearance, without heat.",
            ),
            boxes=True,
        ),
    ]  # fmt: skip
    if cut:
        rows = tuple((s.name, str(s.quantity), s.material, s.print_note) for s in cut)
        blocks.append(Grid(("part", "pieces", "stock", "how"), rows, frozenset({1}), "Cut"))
    return Chapter("What to print", tuple(blocks))


def _row(study: Study, spec: PartSpec) -> tuple[str, ...]:
    size = " × ".join(f"{1e3 * v:.0f}" for v in spec.size)
    return (
        f"{spec.key}.3mf", spec.name, str(spec.quantity), material_name(study, spec.material),
        show(spec.mass, "kg", "g"), show(spec.mass * spec.quantity, "kg", "g"), size,
    )  # fmt: skip


def _photo(study: Study, spec: PartSpec) -> Photo:
    fits = "" if spec.fits_bed else " DOES NOT FIT THE BED."
    words = f"{spec.quantity} × {spec.name}. {capital(spec.print_note)}.{fits}"
    return Photo(part_picture(study, spec.key), words)


def _first_layer(study: Study) -> str:
    """What the print files do about it, and what is left for the printer's own settings."""
    spread = study.brief.printer.first_layer_spread
    if spread == 0.0:
        return "drawn sharp: switch on the slicer's own compensation for a spreading first layer"
    words = (
        f"drawn in by {show(spread, 'm', 'mm', 2)} on each side in the print files: switch off the "
        "slicer's own compensation"
    )
    return ". ".join((words, *(each.removesuffix(".") for each in foot_notes(study))))


def _under_washers(study: Study) -> list[tuple[str, str]]:
    """What to do where perimeters do not reach under the clamp bolts' washers."""
    frame, screw = study.frame, study.task.hardware.screws[study.frame.clamp.screw]
    line = study.brief.printer.extrusion_width
    walls = walls_under(screw, clearance(screw, frame), line)
    if walls <= study.brief.frame.walls or study.brief.frame.infill >= 1.0:
        return []
    wide = show(screw.washer_diameter, "m", "mm", 2)
    words = (
        f"solid {wide} across, as wide as their washers: {walls} perimeters there, or solid infill "
        "by a modifier of that size; a washer on infill sinks in and its bolt goes slack"
    )
    return [(f"round the {screw.size} bolt holes of plates, arms and mounts", words)]


def _settings(study: Study) -> Grid:
    frame, printer = study.brief.frame, study.brief.printer
    rows = [
        ("perimeters", str(frame.walls)),
        ("solid layers at bottom and top", str(frame.skins)),
        ("infill", show(frame.infill, "1", "%")),
        *_under_washers(study),
        ("nozzle, layer height",
         f"{show(printer.nozzle, 'm', 'mm', 2)}, {show(printer.layer, 'm', 'mm', 2)}"),
        ("first layer", _first_layer(study)),
    ]  # fmt: skip
    for key in sorted({s.material for s in study.parts if s.printed} & set(study.cards)):
        card = study.cards[key]
        extra = ", closed chamber" if card.needs_enclosure else ""
        extra += ", hardened nozzle" if card.abrasive else ""
        dry = degrees(card.drying)
        rows.append(
            (card.name,
             f"nozzle {show(card.nozzle_temperature, 'K', 'degC')}, bed "
             f"{show(card.bed_temperature, 'K', 'degC')}{extra}; dry it: {dry}")
        )  # fmt: skip
    caption = "Settings that every figure in this book assumes"
    return Grid(("setting", "value"), tuple(rows), caption=caption, widths=(0.35, 0.65))
