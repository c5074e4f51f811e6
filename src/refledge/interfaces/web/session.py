"""One open brief: its text on disk, what was done to it, and what others did to it meanwhile."""

import hashlib
from pathlib import Path

from refledge.inputs.brief import parse_brief
from refledge.inputs.files import read_text
from refledge.interfaces.web.history import History, State, Step
from refledge.interfaces.web.journal import Journal
from refledge.live.dimensions import ByHand
from refledge.model.brief import Brief
from refledge.whole import write_whole

BY_OTHERS = "changed by another program"
LEFT = "dimensions set by hand before this start"


class ConflictError(Exception):
    """The file on disk is not what this session last read or wrote."""

    def __init__(self, mine: str, theirs: str) -> None:
        super().__init__("the brief was changed by another program")
        self.mine = mine
        self.theirs = theirs


def digest(text: str) -> str:
    """Name of a text by its contents."""
    return hashlib.sha256(text.encode("utf-8")).hexdigest()


class Session:
    """The brief as this session has it. Not thread-safe: its owner holds a lock."""

    def __init__(self, path: Path) -> None:
        self.path = path
        text = read_text(path, "a brief")
        self.brief = self._parsed(text)
        self._seen = self._stamp()
        self._journal = Journal(path)
        left = self._journal.read()
        self.history = _resumed(left, text)
        if left:
            self._journal.begin(self.history)

    @property
    def state(self) -> State:
        return self.history.state

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
        return self.history.undo.words if self.history.undo else None

    @property
    def redoes(self) -> str | None:
        return self.history.redo.words if self.history.redo else None

    def change(self, state: State, words: str) -> None:
        """Go on to ``state``; raises InputError, or ConflictError, with nothing changed."""
        if state == self.state:
            return
        self._take(state, self._checked(state))
        self._changed(state, words)

    def undo(self) -> None:
        """Back by one step, if there is one."""
        self._move("undo", self.history.undo)

    def redo(self) -> None:
        """Forward by one step, if there is one."""
        self._move("redo", self.history.redo)

    def _move(self, did: str, step: Step | None) -> None:
        if step is None:
            return
        before = self.state
        self._take(step.state, self._checked(step.state))
        self.history.back() if did == "undo" else self.history.forward()
        self._journal.note(did, before, self.history)

    def _changed(self, state: State, words: str) -> None:
        before = self.state
        self.history.change(state, words)
        self._journal.note("change", before, self.history, state, words)

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
        self.brief = self._parsed(text)
        self._seen = self._stamp()
        self._changed(State(text, self.by_hand), BY_OTHERS)

    def keep_mine(self, theirs_hash: str) -> None:
        """Write ours over the file, if it is still the one with ``theirs_hash``."""
        theirs = self.theirs()
        if theirs is None:
            return
        if digest(theirs) != theirs_hash:
            raise ConflictError(self.state.text, theirs)
        lost, words = State(theirs, self.by_hand), "kept over another program's text"
        self._write(self.state.text)
        self.history.put_before(lost, words)
        self._journal.note("before", self.state, self.history, lost, words)

    def _checked(self, state: State) -> Brief:
        brief = self.brief if state.text == self.state.text else self._parsed(state.text)
        theirs = self.theirs()
        if theirs is not None:
            raise ConflictError(state.text, theirs)
        return brief

    def _take(self, state: State, brief: Brief) -> None:
        if state.text != self.state.text:
            self._write(state.text)
        self.brief = brief

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


def _resumed(history: History | None, text: str) -> History:
    """Where an earlier session left off, gone on to the file as it stands.

    Dimensions set by hand wait in the last step: there is no frame yet that they belong to.
    """
    if history is None:
        return History(State(text))
    if history.state != State(text):
        history.change(State(text), LEFT if history.state.text == text else BY_OTHERS)
    return history
