"""The whole book of one study."""

from collections.abc import Callable

from refledge.outputs.book.assembling import assembling, bolts_grid
from refledge.outputs.book.blocks import Book, Chapter, Photo, Words
from refledge.outputs.book.checking import (
    balancing,
    bench,
    flying,
    inspecting,
    motors,
    wiring,
)
from refledge.outputs.book.folding import folding
from refledge.outputs.book.making import needed, printing
from refledge.outputs.printed import foot_notes
from refledge.outputs.words import headline, key_figures
from refledge.study import Study
from refledge.verify.on_bench import bench_readings

_COVER = "As it will stand. The pale discs are the space the propellers sweep."


def book_of(
    study: Study, cover: bytes, progress: Callable[[str], None] = lambda _what: None
) -> Book:
    """Everything that a stranger needs to build it; ``cover`` is a picture of the whole (PNG)."""
    return Book(
        title=study.brief.title,
        subtitle="Build book",
        facts=(("verdict", headline(study)), *key_figures(study)),
        cover=Photo(cover, _COVER, 0.82),
        chapters=(
            needed(study),
            printing(study),
            assembling(study, progress),
            _bolts(study),
            wiring(study),
            motors(study),
            balancing(study),
            bench(study, bench_readings(study)),
            *folding(study),
            flying(study),
            inspecting(study),
        ),
        version=study.version,
        notes=(*study.notes, *foot_notes(study)),
    )


def _bolts(study: Study) -> Chapter:
    return Chapter(
        "All bolts",
        (
            Words(
                "Torques are what the plastic under the washers stands for years, not what the "
                "screw stands. Snug: by hand until it stops, then no further. Order: always "
                "crosswise, in two rounds."
            ),
            bolts_grid(study.fasteners),
        ),
    )
