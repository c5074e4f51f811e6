"""What was done in this session, in words, newest first; kept in memory."""

from collections import deque
from datetime import datetime
from typing import Any

ENTRIES = 500


class Log:
    """A short memory."""

    def __init__(self) -> None:
        self._entries: deque[dict[str, Any]] = deque(maxlen=ENTRIES)

    def note(self, what: str, text: str) -> None:
        """One line. what: edit, job, file, variant."""
        time = datetime.now().astimezone().isoformat(timespec="seconds")
        self._entries.appendleft({"time": time, "what": what, "text": text})

    def entries(self) -> list[dict[str, Any]]:
        return list(self._entries)
