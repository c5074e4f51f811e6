"""What ``refledge repair`` does, and what it says."""

import json
from collections.abc import Iterator, Sequence
from pathlib import Path

from refledge.interfaces.bench_options import wrong
from refledge.interfaces.keeping import opened
from refledge.model.logbook import Damage
from refledge.outputs.print_plan import fitted_words
from refledge.outputs.record import plain
from refledge.outputs.repair_files import read_record
from refledge.repair.mending import Mending, mend, parse_broken
from refledge.units import show


def plan(build: Path, broke: Sequence[str], crash: int, older: Path | None, store: Path) -> Mending:
    """The repair of what is named, or of what a logged crash broke."""
    record = read_record(build)
    if bool(broke) == bool(crash):
        raise wrong("--broke", "both" if crash else "neither it nor --crash", "one of the two",
                    'say what broke, such as --broke "arm 2"')  # fmt: skip
    words = list(broke) if broke else _logged(store, crash)
    before = read_record(older) if older is not None else None
    return mend(parse_broken(words, record), record, before)


def _logged(store: Path, crash: int) -> list[str]:
    """What a logged crash broke; places of copies by their serial."""
    with opened(store, reading=True) as book:
        places = {life.serial: life.place for life in book.lives()}
        damage = [each.entry for each in book.entries("damage")]
    words = []
    for each in damage:
        if not isinstance(each, Damage) or each.crash != crash or each.outcome != "broken":
            continue
        place = places.get(each.serial, "")
        words.append(place if place.startswith(f"{each.part} ") else each.part)
    if not words:
        raise wrong("--crash", str(crash), "a logged crash that broke something",
                    "see refledge log show, or name the parts with --broke")  # fmt: skip
    return words


def lines(found: Mending, build: Path) -> Iterator[str]:
    """The plan for a person."""
    yield "print:"
    for job in found.jobs:
        p = job.part
        yield (
            f"  {job.copies} x {p.name} ({job.why}): {build / p.file}, {p.material}, "
            f"{show(job.copies * p.plastic, 'kg', 'g')}, {show(job.seconds, 's', 'h', 2)}, "
            f"revision {p.revision}"
        )
    total = sum(job.copies * job.part.cost for job in found.jobs)
    yield f"  together {show(found.seconds, 's', 'h', 2)} with one warm-up, about {total:.2f}"
    if found.jobs:
        yield f"  {fitted_words(found.prints)}"
    if found.fits:
        yield ""
        yield "does it fit the aircraft in the air?"
    for fit in found.fits:
        same = f"fits (revision {fit.new})"
        other = f"does not fit: {', '.join(fit.changed)} changed ({fit.old} to {fit.new})"
        yield f"  {fit.part}: {same if fit.fits else other}"
    for title, listed in (("steps:", found.steps), ("before it flies:", found.checks)):
        yield ""
        yield title
        yield from (f"  {n}. {step}" for n, step in enumerate(listed, 1))


def as_json(found: Mending) -> str:
    """The same for machines, SI."""
    document = {"print_s": found.seconds, "plan": plain(found)}
    return json.dumps(document, indent=1, ensure_ascii=False)
