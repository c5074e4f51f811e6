"""Steps of undo on disk, a line for each, so that they outlive the server.

Each line is JSON: what was done (``open``, ``change``, ``before``, ``undo``, ``redo``), its words,
the state it led to where that is new, and the digest of the state it was done on. A line that does
not follow from those before it (two servers on one brief; a disk that lost some) makes the whole
journal worthless: it is not believed, and a new one is begun. Half a line at the end is left out.
"""

import hashlib
import json
import logging
from pathlib import Path
from typing import Any

from refledge.errors import BuildError
from refledge.interfaces.web.files import HIDDEN
from refledge.interfaces.web.history import STEPS, History, State
from refledge.whole import write_whole

_log = logging.getLogger("refledge.web")
LONGEST = 4 * STEPS
"""Lines after which the journal is written anew, with no more than what it still needs."""


class _UnbelievableError(Exception):
    """A line that does not follow from those before it."""


class Journal:
    """The journal of one brief, in the hidden folder beside it."""

    def __init__(self, brief: Path) -> None:
        self.path = brief.parent / HIDDEN / "undo" / f"{brief.name}.jsonl"
        self._lines = 0
        self._off = False

    def read(self) -> History | None:
        """The history as it was left; None where there is none to believe."""
        try:
            lines = self.path.read_text(encoding="utf-8").split("\n")[:-1]
            return _replayed([json.loads(line) for line in lines])
        except FileNotFoundError:
            return None
        except (OSError, ValueError, KeyError, TypeError, AttributeError, _UnbelievableError):
            _log.warning("%s is not a journal that can be followed; undo begins anew", self.path)
            return None

    def begin(self, history: History) -> None:
        """Write a journal that says just this history."""
        states, words, undone = history.line()
        lines = [_line("open", None, states[0])]
        for before, state, each in zip(states[:-1], states[1:], words, strict=True):
            lines.append(_line("change", before, state, each))
        for number in range(undone):
            lines.append(_line("undo", states[-1 - number]))
        self._lines = len(lines)
        self._trying(lambda: self._write("".join(lines)))

    def note(
        self,
        did: str,
        before: State,
        history: History,
        state: State | None = None,
        words: str = "",
    ) -> None:
        """One thing done on the state ``before``, after which ``history`` stands as it does."""
        if not 0 < self._lines < LONGEST:
            self.begin(history)
            return
        self._lines += 1
        self._trying(lambda: self._append(_line(did, before, state, words)))

    def _write(self, text: str) -> None:
        self.path.parent.mkdir(parents=True, exist_ok=True)
        write_whole(self.path, text.encode("utf-8"))

    def _append(self, line: str) -> None:
        with self.path.open("a", encoding="utf-8") as out:
            out.write(line)

    def _trying(self, work: Any) -> None:
        """An edit is not refused because its journal cannot be written; the terminal is told."""
        if self._off:
            return
        try:
            work()
        except (OSError, BuildError) as error:
            self._off = True
            _log.warning("undo will not outlive this server: %s", error)


def _key(state: State) -> str:
    by_hand = json.dumps(dict(sorted(state.by_hand.items())))
    return hashlib.sha256(f"{state.text}\n{by_hand}".encode()).hexdigest()[:16]


def _line(did: str, before: State | None, state: State | None = None, words: str = "") -> str:
    told: dict[str, Any] = {"did": did, "on": _key(before) if before else ""}
    if state is not None:
        told |= {"text": state.text, "by_hand": dict(state.by_hand), "words": words}
    return json.dumps(told, ensure_ascii=False) + "\n"


def _replayed(lines: list[dict[str, Any]]) -> History | None:
    if not lines:
        return None
    first, *rest = lines
    history = History(_state(first))
    for line in rest:
        if line["on"] != _key(history.state):
            raise _UnbelievableError
        _redone(history, line)
    return history


def _redone(history: History, line: dict[str, Any]) -> None:
    did = line["did"]
    if did == "change":
        history.change(_state(line), str(line["words"]))
    elif did == "before":
        history.put_before(_state(line), str(line["words"]))
    elif did == "undo" and history.undo:
        history.back()
    elif did == "redo" and history.redo:
        history.forward()
    else:
        raise _UnbelievableError


def _state(line: dict[str, Any]) -> State:
    by_hand = {str(path): float(value) for path, value in line["by_hand"].items()}
    return State(str(line["text"]), by_hand)
