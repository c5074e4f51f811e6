"""On which line each key of a TOML text stands.

The text has been parsed before, so it is known to be valid; this scan only keeps count of lines.
Grammar: TOML v1.0.0, sections Keys, String, Array, Inline Table, Table, Array of Tables.
"""

import re
import tomllib
from bisect import bisect_left
from collections.abc import Mapping

Path = tuple[str | int, ...]
"""Keys from the root down; a list element by its number from 0."""

_BLANK = re.compile(r"(?:[ \t\r\n]|#[^\n]*)*")
_KEY = re.compile(r"""[A-Za-z0-9_-]+|"(?:[^"\\\n]|\\.)*"|'[^'\n]*'""")
_SPACE = re.compile(r"[ \t]*")
_DOT = re.compile(r"[ \t]*\.[ \t]*")
# A long text may end in one or two quotes of its own before the three that close it.
_STRING = re.compile(
    r'"""(?:[^\\]|\\.)*?"{3,5}(?!")' + r"|'''.*?'{3,5}(?!')" + "|" + _KEY.pattern, re.DOTALL
)
_PLAIN = re.compile(r"[^,\]}#\n]*")  # number, date, true or false


def locate(text: str) -> dict[Path, int]:
    """Line, counted from 1, of every table, key and list element of a valid TOML ``text``."""
    scan = _Scan(text)
    scan.document()
    return scan.lines


def line_of(lines: Mapping[Path, int], path: Path) -> int:
    """Line of ``path``, or of the nearest thing around it that has one; 1 for the file."""
    while path and path not in lines:
        path = path[:-1]
    return lines.get(path, 1)


class _Scan:
    """A cursor over the text that notes lines as it goes."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self.breaks = [match.start() for match in re.finditer("\n", text)]
        self.lines: dict[Path, int] = {}
        self.counts: dict[Path, int] = {}  # elements so far of each array of tables

    def document(self) -> None:
        table: Path = ()
        self.skip(_BLANK)
        while self.at < len(self.text):
            if self.text[self.at] == "[":
                table = self.header()
            else:
                self.pair(table)
            self.skip(_BLANK)

    def header(self) -> Path:
        many = self.text.startswith("[[", self.at)
        self.at += 2 if many else 1
        path: Path = ()
        names = self.key()
        for depth, name in enumerate(names, start=1):
            path = (*path, name)
            self.note(path)
            if many and depth == len(names):
                self.counts[path] = self.counts.get(path, 0) + 1
            if path in self.counts:
                path = (*path, self.counts[path] - 1)
        self.note(path)
        self.at += 2 if many else 1
        return path

    def pair(self, table: Path) -> None:
        start = self.at
        path = table
        for name in self.key():
            path = (*path, name)
            self.note(path, start)
        self.skip(_BLANK)
        self.at += 1  # the equals sign
        self.skip(_BLANK)
        self.value(path)

    def value(self, path: Path) -> None:
        mark = self.text[self.at]
        if mark == "[":
            self.inside("]", path, array=True)
        elif mark == "{":
            self.inside("}", path, array=False)
        else:
            self.skip(_STRING if mark in "\"'" else _PLAIN)

    def inside(self, close: str, path: Path, *, array: bool) -> None:
        """Elements of a list or pairs of an inline table, up to and with the closing mark."""
        self.at += 1
        index = 0
        self.skip(_BLANK)
        while self.text[self.at] != close:
            if array:
                self.note((*path, index))
                self.value((*path, index))
            else:
                self.pair(path)
            index += 1
            self.skip(_BLANK)
            self.at += self.text[self.at] == ","
            self.skip(_BLANK)
        self.at += 1

    def key(self) -> list[str]:
        names: list[str] = []
        self.skip(_SPACE)
        while match := _KEY.match(self.text, self.at):
            self.at = match.end()
            names.append(_unquoted(match[0]))
            if not self.skip(_DOT):
                break
        self.skip(_SPACE)
        if not names:  # never in valid TOML; without this the scan would not move on
            raise ValueError(f"no key at character {self.at} of a TOML text")
        return names

    def skip(self, pattern: re.Pattern[str]) -> bool:
        match = pattern.match(self.text, self.at)
        if match:
            self.at = match.end()
        return match is not None

    def note(self, path: Path, at: int = -1) -> None:
        line = bisect_left(self.breaks, self.at if at < 0 else at) + 1
        self.lines.setdefault(path, line)


def _unquoted(key: str) -> str:
    if key[0] not in "\"'":
        return key
    return str(tomllib.loads(f"key = {key}")["key"])
