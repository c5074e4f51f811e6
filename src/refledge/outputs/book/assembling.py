"""The chapter of assembly: every step with its picture, fasteners and cautions."""

from collections.abc import Callable

from refledge.model.results import Fastener
from refledge.outputs.book.blocks import Block, Caution, Chapter, Grid, Photo, Points, Step, Words
from refledge.outputs.book.filled_in import filled_in
from refledge.outputs.book.pictures import stage_picture
from refledge.outputs.book.stage import Stage
from refledge.outputs.book.stages import stages_of
from refledge.outputs.words import count
from refledge.study import Study
from refledge.units import show


def assembling(study: Study, progress: Callable[[str], None]) -> Chapter:
    """Steps in order, each built on those before."""
    blocks: list[Block] = [
        Words(
            "In each picture the new parts are dark and lifted off their place; a dashed line "
            "leads to it. What is pale is on already."
        ),
        Caution(
            "Propellers stay off",
            "No propeller goes on before the chapter that says so, however quick the test.",
        ),
    ]
    done: frozenset[str] = frozenset()
    for number, (stage, fasteners) in enumerate(stages_of(study), 1):
        progress(f"book, step {number}")
        blocks.append(_step(study, number, stage, fasteners, done))
        if not stage.one:
            done |= set(stage.parts) | set(stage.base)
    return Chapter("Assembly, step by step", tuple(blocks))


def _step(
    study: Study,
    number: int,
    stage: Stage,
    fasteners: tuple[Fastener, ...],
    done: frozenset[str],
) -> Step:
    each = f", {_times(study, stage)}" if stage.one else ""
    share = 0.48 if stage.base and len(stage.parts) == 1 else 0.66
    words = stage.caption or _caption(study, stage)
    blocks: list[Block] = [Photo(stage_picture(study, stage, done), words, share)]
    if stage.caution[0]:
        blocks.append(Caution(*stage.caution))
    if stage.say:
        known = filled_in(study)
        said = tuple(words.format(**known) for words in stage.say)
        blocks.append(Points(tuple(words for words in said if words), numbered=True))
    if fasteners:
        blocks.append(bolts_grid(fasteners))
    return Step(number, stage.title + each, tuple(blocks))


def bolts_grid(fasteners: tuple[Fastener, ...]) -> Grid:
    """Fasteners with quantity, torque and note."""
    rows = tuple((f.name, str(f.quantity), torque(f), f.where, f.note) for f in fasteners)
    head = ("fastener", "pieces", "torque", "where", "remark")
    return Grid(head, rows, frozenset({1, 2}), widths=(0.3, 0.09, 0.12, 0.25, 0.24))


def torque(fastener: Fastener) -> str:
    """In newton metres; "snug" where no figure is given: by hand until it stops, then no more.
    Glue has none."""
    if "insert" in fastener.name or "hexagon nut" in fastener.name:
        return "–"
    if not fastener.torque:
        return "glued" if "adhesive" in fastener.name else "snug"
    return show(fastener.torque, "N*m", "N*m", 2).replace("*", " ")


def _times(study: Study, stage: Stage) -> str:
    copies = sum(1 for place in study.assembly.placements if place.key == stage.parts[0])
    return count(copies, "time")


def _caption(study: Study, stage: Stage) -> str:
    """What is new, with how many."""
    names: dict[str, int] = {}
    for key in stage.parts:
        copies = [p for p in study.assembly.placements if p.key == key]
        shown = copies[:1] if stage.one else copies
        if shown:
            spec = next(
                (s.name for s in study.parts if s.key == key), shown[0].name.rstrip(" 0123456789")
            )
            names[spec] = names.get(spec, 0) + len(shown)
    listed = ", ".join(f"{number} × {name}" for name, number in names.items())
    hung = study.brief.payload.slung and "payload" in stage.parts
    more = " The payload hangs far below on its line and is not shown." if hung else ""
    return f"New: {listed}.{more}" if listed else ""
