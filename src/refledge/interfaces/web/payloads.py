"""What each kind of job is given to work on."""

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from refledge.interfaces.web.crash_options import crash_asked, none_of
from refledge.interfaces.web.job_kinds import kind_of
from refledge.interfaces.web.refusals import BusyError
from refledge.interfaces.web.screen import Screen
from refledge.interfaces.web.session import Session
from refledge.interfaces.web.shape_options import shape_asked

READERS: Mapping[str, Callable[[Mapping[str, Any]], Any]] = {
    "crash": crash_asked,
    "shape": shape_asked,
}
"""Kinds that may be told something beside the brief."""
GROWN = "-grown-arm"
"""A grown arm's folder lies beside the build's, by this ending."""


def payload_of(
    kind: str, session: Session, screen: Screen, build_folder: Path, options: Mapping[str, Any]
) -> Any:
    """The payload of ``tasks.TASKS[kind]``; raises BusyError where it is not there yet.

    Raises RequestError or InputError where the options are not those of the kind.
    """
    if kind not in READERS:
        none_of(options)
    if kind_of(kind).wants == "brief":
        return session.brief, str(session.path)
    asked = READERS[kind](options) if kind in READERS else None
    study = screen.study
    if study is None or screen.solids != "current" or screen.wants_sizing(session):
        raise BusyError("the frame is still being sized or drawn; try again when it is done")
    if kind == "build":
        verified = screen.verified if screen.is_verified(session) else None
        return study, str(session.path), str(build_folder), verified
    if kind == "shape":
        folder = build_folder.with_name(f"{build_folder.name}{GROWN}")
        return study, str(session.path), str(folder), asked
    return study if asked is None else (study, str(session.path), asked)
