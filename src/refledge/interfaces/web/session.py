"""One open brief: its text on disk, what was done to it, and what others did to it meanwhile."""

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from refledge.inputs.brief import parse_brief
from refledge.inputs.files import read_text
from refledge.interfaces.web.files import write_whole
from refledge.live.dimensions import ByHand
from refledge.model.brief import Brief

STEPS = 200
"""Steps of undo kept."""


class ConflictError(Exception):
    """The file on disk is not what this session last read or wrote."""

    def __init__(self, mine: str, theirs: str) -> None:
        super().__init__("the brief was changed by another program")
        self.mine = mine
        self.theirs = theirs


@dataclass(frozen=True)
class State:
    """What can be undone: the text, and the dimensions set by hand."""

    text: str
    by_hand: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True)
class Step:
    """One step of undo or redo."""

    state: State
    """To go back (or forward) to."""
    words: str
    """What was done."""


def digest(text: str) -> str:
    """Name of a text by its contents."""
    return hashlib.sha256(text.encode("utf-8")).hexdigest()


class Session:
    """The brief as this session has it. Not thread-safe: its owner holds a lock."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.state = State(read_text(path, "a brief"))
        self.brief = self._parsed(self.state.text)
        self._seen = self._stamp()
        self._undo: list[Step] = []
        self._redo: list[Step] = []

    @property
    def text(self) -> str:
        return self.state.text

    @property
    def by_hand(self) -> ByHand:
        return self.state.by_hand

    @property
    def hash(self) -> str:
        return digest(self.state.text)

    @property
    def undoes(self) -> str | None:
        """What undo would take back, in words."""
        return self._undo[-1].words if self._undo else None

    @property
    def redoes(self) -> str | None:
        return self._redo[-1].words if self._redo else None

    def change(self, state: State, words: str) -> None:
        """Go on to ``state``; raises InputError, or ConflictError, with nothing changed."""
        if state == self.state:
            return
        brief = self._checked(state)
        self._undo.append(Step(self.state, words))
        del self._undo[:-STEPS]
        self._redo.clear()
        self._take(state, brief)

    def undo(self) -> None:
        """Back by one step, if there is one."""
        self._back(self._undo, self._redo)

    def redo(self) -> None:
        """Forward by one step, if there is one."""
        self._back(self._redo, self._undo)

    def _back(self, source: list[Step], target: list[Step]) -> None:
        if not source:
            return
        step = source[-1]
        brief = self._checked(step.state)
        source.pop()
        target.append(Step(self.state, step.words))
        self._take(step.state, brief)

    def theirs(self) -> str | None:
        """The text on disk where it is not ours; None where it is."""
        if self._stamp() == self._seen:
            return None
        text = read_text(self.path, "a brief")
        if text != self.state.text:
            return text
        self._seen = self._stamp()
        return None

    def take_theirs(self) -> None:
        """Go on with the file as it stands on disk; raises InputError where it has faults."""
        text = read_text(self.path, "a brief")
        brief = self._parsed(text)
        self._undo.append(Step(self.state, "changed by another program"))
        self._redo.clear()
        self.state, self.brief = State(text, self.by_hand), brief
        self._seen = self._stamp()

    def keep_mine(self, theirs_hash: str) -> None:
        """Write ours over the file, if it is still the one with ``theirs_hash``."""
        theirs = self.theirs()
        if theirs is None:
            return
        if digest(theirs) != theirs_hash:
            raise ConflictError(self.state.text, theirs)
        self._undo.append(Step(State(theirs, self.by_hand), "kept over another program's text"))
        self._redo.clear()
        self._write(self.state.text)

    def _checked(self, state: State) -> Brief:
        brief = self.brief if state.text == self.state.text else self._parsed(state.text)
        theirs = self.theirs()
        if theirs is not None:
            raise ConflictError(state.text, theirs)
        return brief

    def _take(self, state: State, brief: Brief) -> None:
        if state.text != self.state.text:
            self._write(state.text)
        self.state, self.brief = state, brief

    def _parsed(self, text: str) -> Brief:
        return parse_brief(text, self.path.name, str(self.path.parent))

    def _write(self, text: str) -> None:
        write_whole(self.path, text.encode("utf-8"))
        self._seen = self._stamp()

    def _stamp(self) -> tuple[int, int, int] | None:
        """What changes with every write by anybody; None while the file is gone."""
        try:
            found = self.path.stat()
        except FileNotFoundError:
            return None
        return found.st_mtime_ns, found.st_size, found.st_ino
