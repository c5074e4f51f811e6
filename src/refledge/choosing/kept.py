"""Finalists kept in the sweep's folder by content: the same frame is not sized twice."""

import hashlib
import json
from dataclasses import replace
from pathlib import Path

from refledge import __version__
from refledge.choosing.finalist import Dropped, Finalist, Wanted, make_finalist
from refledge.choosing.rebuilt import plain, rebuilt
from refledge.whole import write_whole

FORMAT = 1
NAME = "finalist-"
"""Start of the name of a finalist's file; its content key follows."""


def kept_finalist(folder: Path, wanted: Wanted) -> Finalist | Dropped:
    """The finalist that lies in ``folder`` from an earlier run, or else made now and left there.

    A file that is torn or of another form is made anew. Raises BuildError where it cannot be
    written.
    """
    path = folder / f"{NAME}{content_key(wanted)}.json"
    found = _load(path)
    if found is None:
        found = make_finalist(wanted)
        _keep(path, found)
    if isinstance(found, Dropped):
        return found
    return replace(
        found,
        key=wanted.key,
        candidate=wanted.pick.candidate,
        reasons=wanted.pick.reasons,
        swept_frame_mass=wanted.swept_frame_mass,
    )


def content_key(wanted: Wanted) -> str:
    """Hash of all that sizing depends on: brief, rotor, first mass, material cards, version.

    Letter and reasons are not in it: they belong to the list that the finalist stands on.
    """
    rotor = wanted.candidates.rotor_of(max(wanted.pick.candidate, 0))
    cards = sorted(wanted.candidates.cards.items())
    told = (__version__, FORMAT, replace(wanted.brief, folder=""), rotor, wanted.first_mass, cards)
    return hashlib.sha256(repr(told).encode()).hexdigest()[:32]


def _load(path: Path) -> Finalist | Dropped | None:
    try:
        told = json.loads(path.read_text(encoding="utf-8"))
        model = Finalist if told["sized"] else Dropped
        found: Finalist | Dropped = rebuilt(model, told["found"])
    except (OSError, ValueError, KeyError, TypeError):  # none, torn or foreign: made anew
        return None
    return found


def _keep(path: Path, found: Finalist | Dropped) -> None:
    """All at once: a run that is killed leaves it whole or not at all."""
    told = {"sized": isinstance(found, Finalist), "found": plain(found)}
    write_whole(path, json.dumps(told))
