"""What was done to a brief, step by step, and what was undone."""

from collections.abc import Mapping
from dataclasses import dataclass, field

STEPS = 200
"""Steps of undo kept."""


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


class History:
    """The state of the moment between what can be undone and what can be done again."""

    def __init__(self, state: State) -> None:
        self.state = state
        self._undo: list[Step] = []
        self._redo: list[Step] = []

    @property
    def undo(self) -> Step | None:
        """What undo would go back to."""
        return self._undo[-1] if self._undo else None

    @property
    def redo(self) -> Step | None:
        """What redo would go on to."""
        return self._redo[-1] if self._redo else None

    def change(self, state: State, words: str) -> None:
        """Go on to a new state."""
        self.put_before(self.state, words)
        self.state = state

    def put_before(self, state: State, words: str) -> None:
        """Have undo lead to ``state`` first; the state of the moment stays."""
        self._undo.append(Step(state, words))
        del self._undo[:-STEPS]
        self._redo.clear()

    def back(self) -> None:
        """Undo one step; there is one."""
        self._move(self._undo, self._redo)

    def forward(self) -> None:
        """Do one step again; there is one."""
        self._move(self._redo, self._undo)

    def _move(self, source: list[Step], target: list[Step]) -> None:
        step = source.pop()
        target.append(Step(self.state, step.words))
        self.state = step.state

    def line(self) -> tuple[tuple[State, ...], tuple[str, ...], int]:
        """Every state from the oldest to the newest, the words from each to the next, and how
        many of those steps are undone."""
        later = tuple(reversed(self._redo))
        states = (*(s.state for s in self._undo), self.state, *(s.state for s in later))
        return states, tuple(s.words for s in (*self._undo, *later)), len(later)
