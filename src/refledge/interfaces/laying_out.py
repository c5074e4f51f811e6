"""What ``refledge layouts`` does, and what it says at the end."""

import json
import shutil
import tempfile
import textwrap
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from refledge.choosing.candidates import Candidates, gather
from refledge.choosing.choosing import chosen_brief
from refledge.choosing.compare import MOST, Comparison, compare
from refledge.errors import InputError, Problem
from refledge.inputs.also import Also, read_also
from refledge.inputs.brief import read_brief
from refledge.inputs.files import read_text
from refledge.interfaces.bench_options import learned_for
from refledge.outputs.flying_words import loss_short
from refledge.outputs.layouts_files import RECORD, record_json, write_layouts
from refledge.outputs.layouts_words import (
    buys,
    gains,
    gives_up,
    kind_name,
    left_out,
    notes,
    rows_of,
    verdict,
)
from refledge.whole import checked_folder, write_whole

Progress = Callable[[str, float], None]
_NAME, _CELL = 23, 16  # letters of the table's first and other columns
_WIDTH = 120  # letters of a line where the terminal does not say


@dataclass(frozen=True)
class Asked:
    """What the command line asked for."""

    brief: Path
    also: Path | None = None
    out: Path | None = None
    jobs: int = 1
    scheduler: str = ""
    most: int = MOST
    store: Path | None = None


def run(asked: Asked, progress: Progress) -> tuple[Comparison, Path | None]:
    """Compare, and write the folder where one is named; the page's path."""
    brief, also = read_brief(asked.brief), _also(asked)
    learned = learned_for(brief, asked.brief, asked.store)
    with _folder(asked.out) as folder:
        found = compare(
            brief,
            also,
            folder,
            jobs=asked.jobs,
            scheduler=asked.scheduler,
            most=asked.most,
            learned=learned,
            progress=progress,
        )
        page = write_layouts(found, asked.out) if asked.out else None
    return found, page


def _also(asked: Asked) -> Also:
    return read_also(asked.also) if asked.also else Also()


@contextmanager
def _folder(out: Path | None) -> Iterator[Path]:
    """Where the sweep's files go: the folder named, or one that is gone afterwards."""
    if out is None:
        with tempfile.TemporaryDirectory(prefix="refledge-") as name:
            yield Path(name)
        return
    yield checked_folder(out)


def choose(
    asked: Asked, key: str, target: Path | None, progress: Progress, *, force: bool
) -> tuple[Path, ...]:
    """Write a copy of the brief with finalist ``key`` in it; every file written, the brief first.

    A comparison of the same candidates that stands in the folder named is used; otherwise one is
    made.
    """
    place = target or asked.brief.with_name(f"{asked.brief.stem}-{key}.toml")
    if place.exists() and not force:
        step = "name another file with --to, or add --force to write over it"
        raise InputError(Problem(str(place), "--to", "a file that exists", "a new file", step))
    candidates = gather(read_brief(asked.brief), _also(asked))
    numbers = _known(asked, candidates)
    if not numbers:
        found, _ = run(asked, progress)
        numbers = {each.key: each.candidate for each in found.finalists}
    if key not in numbers:
        allowed = ", ".join(numbers) or "none: nothing could be sized"
        step = "choose one of the letters that the comparison shows"
        raise InputError(Problem("--choose", "KEY", key, allowed, step))
    if numbers[key] < 0:
        step = "give the brief itself to refledge design"
        raise InputError(Problem("--choose", "KEY", key, "a layout other than the brief's", step))
    text = read_text(asked.brief, "a brief")
    made = chosen_brief(text, candidates, numbers[key], place.resolve())
    files = {place: made.text} | {place.with_name(n): t for n, t in made.tables.items()}
    for path, content in files.items():
        write_whole(path, content)
    read_brief(place)  # what was written must read back
    return tuple(files)


def _known(asked: Asked, candidates: Candidates) -> dict[str, int]:
    """Letter to candidate of an earlier comparison of the very same candidates; {} where none."""
    record = asked.out / RECORD if asked.out else None
    if record is None or not record.exists():
        return {}
    try:
        document = json.loads(record.read_text(encoding="utf-8"))
        same = document["fingerprint"] == candidates.grid.fingerprint
        known = {str(each["key"]): int(each["candidate"]) for each in document["finalists"]}
    except (ValueError, KeyError, TypeError) as error:
        step = "remove it, or name another folder"
        problem = Problem(str(record), "--out", "a damaged comparison", "one of layouts", step)
        raise InputError(problem) from error
    return known if same else {}


def holds(found: Comparison) -> bool:
    """At least one finalist keeps the brief's limits and wishes."""
    return any(each.holds for each in found.finalists)


def summary_lines(found: Comparison, page: Path | None) -> Iterator[str]:
    """The table, what each gives up, what is not on the list, how it was made."""
    finalists = found.finalists
    if not finalists:
        yield f"{found.brief.title}: no finalist could be sized."
    else:
        good = sum(each.holds for each in finalists)
        yield f"{found.brief.title}: {good} of {len(finalists)} finalists keep limits and wishes."
    width = shutil.get_terminal_size((_WIDTH, 24)).columns
    wide = max(1, (width - _NAME) // _CELL)
    for start in range(0, len(finalists), wide):
        part = finalists[start : start + wide]
        yield ""
        yield " " * _NAME + "".join(f"{each.key:<{_CELL}}" for each in part)
        for row in rows_of(part):
            yield from _wrapped(row.name, row.cells)
    for each in finalists:
        yield ""
        yield f"{each.key}, {kind_name(each.kind)} ({'; '.join(each.reasons)})"
        told = (
            ("gives", "; ".join(gains(each, finalists)) or "nothing of which no other gives more"),
            ("gives up", "; ".join(gives_up(each, finalists)) or "nothing"),
            ("verdict", verdict(each)),
            ("to get", buys(each) or "nothing"),
        )
        for name, words in told:
            yield from _filled(f"  {name:<10}", words, width)
    yield from _listed("Not on the list:", left_out(found), width)
    yield from _listed("How far to believe it:", notes(found), width)
    if page:
        yield ""
        yield f"page: {page}"


def _wrapped(name: str, cells: tuple[str, ...]) -> Iterator[str]:
    """One row of the table, long cells broken between words over further lines."""
    broken = [_broken(cell) for cell in cells]
    for k in range(max(len(each) for each in broken)):
        words = [each[k] if k < len(each) else "" for each in broken]
        head = name if k == 0 else ""
        yield (f"{head:<{_NAME}}" + "".join(f"{word:<{_CELL}}" for word in words)).rstrip()


def _broken(cell: str) -> list[str]:
    lines, line = [], ""
    for word in cell.split():
        if line and len(line) + 1 + len(word) >= _CELL:
            lines.append(line)
            line = word
        else:
            line = f"{line} {word}".strip()
    return [*lines, line]


def _listed(title: str, lines: list[str], width: int) -> Iterator[str]:
    if lines:
        yield ""
        yield title
        for line in lines:
            yield from _filled("  ", line, width)


def _filled(head: str, words: str, width: int) -> list[str]:
    """``words`` after ``head``, broken at ``width`` letters, further lines set in as far."""
    return textwrap.wrap(
        words, max(width, 60), initial_indent=head, subsequent_indent=" " * len(head)
    )


def summary_json(found: Comparison, page: Path | None) -> str:
    """The same for machines: SI values, one JSON object."""
    document = json.loads(record_json(found))
    for row, each in zip(document["finalists"], found.finalists, strict=True):
        row["one_rotor_stops"] = loss_short(each.flying.losses)
    document["page"] = str(page) if page else ""
    return json.dumps(document, indent=1, ensure_ascii=False, allow_nan=False)


def chosen_words(files: tuple[Path, ...], *, as_json: bool) -> str:
    """What --choose wrote, and the next step."""
    if as_json:
        return json.dumps({"brief": str(files[0]), "files": [str(each) for each in files]})
    return (
        f"Wrote {', '.join(map(str, files))}. Next: refledge design {files[0]} --out "
        f"build/{files[0].stem}"
    )
