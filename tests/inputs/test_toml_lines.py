"""Lines of keys in TOML texts, against texts whose lines are known."""

import tomllib
from collections.abc import Iterator
from typing import Any

import pytest
import tomlkit
from hypothesis import given, settings
from hypothesis import strategies as st

from refledge.inputs.toml_lines import Path, line_of, locate

TEXT = '''\
# title = "not this line", [nor] = "this"
title = "a # ] } b"
"odd key".'x.y' = 1
note = """
motor = 7
[motor]
a quote \\""" and two at the end"""""
[motor]
condition = { sound = 5, "scrap" = 1 }   # [[others]]
a . b.c = 2
list = [ 1,   # one

  2, # ], two
  { k = "}" }, [ 3,
   4 ],
]
empty = ""

[[others]]
name = 'GNSS # '
 [others.sub]
 when = 1979-05-27T07:32:00Z
[[others]]
name = \'\'\'x
]\'\'\'
[[others.deep]]
z = 1
[[others.deep]]
z = 2
[ spaced . "out" ]
k = -inf'''

EXPECTED: dict[Path, int] = {
    ("title",): 2,
    ("odd key",): 3,
    ("odd key", "x.y"): 3,
    ("note",): 4,
    ("motor",): 8,
    ("motor", "condition"): 9,
    ("motor", "condition", "sound"): 9,
    ("motor", "condition", "scrap"): 9,
    ("motor", "a"): 10,
    ("motor", "a", "b"): 10,
    ("motor", "a", "b", "c"): 10,
    ("motor", "list"): 11,
    ("motor", "list", 0): 11,
    ("motor", "list", 1): 13,
    ("motor", "list", 2): 14,
    ("motor", "list", 2, "k"): 14,
    ("motor", "list", 3): 14,
    ("motor", "list", 3, 0): 14,
    ("motor", "list", 3, 1): 15,
    ("motor", "empty"): 17,
    ("others",): 19,
    ("others", 0): 19,
    ("others", 0, "name"): 20,
    ("others", 0, "sub"): 21,
    ("others", 0, "sub", "when"): 22,
    ("others", 1): 23,
    ("others", 1, "name"): 24,
    ("others", 1, "deep"): 26,
    ("others", 1, "deep", 0): 26,
    ("others", 1, "deep", 0, "z"): 27,
    ("others", 1, "deep", 1): 28,
    ("others", 1, "deep", 1, "z"): 29,
    ("spaced",): 30,
    ("spaced", "out"): 30,
    ("spaced", "out", "k"): 31,
}


def paths(value: Any, path: Path = ()) -> Iterator[Path]:
    """Every path in a parsed document."""
    if path:
        yield path
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from paths(inner, (*path, key))
    elif isinstance(value, list):
        for index, inner in enumerate(value):
            yield from paths(inner, (*path, index))


def test_the_text_is_valid() -> None:
    assert set(paths(tomllib.loads(TEXT))) == set(EXPECTED)


def test_every_line() -> None:
    assert locate(TEXT) == EXPECTED


@pytest.mark.parametrize(
    ("path", "line"),
    [
        (("motor", "list", 1), 13),
        (("motor", "mass"), 8),
        (("others", 1, "mass"), 23),
        (("nothing", "here"), 1),
        ((), 1),
    ],
)
def test_what_is_missing_is_placed_at_what_holds_it(path: Path, line: int) -> None:
    assert line_of(locate(TEXT), path) == line


@pytest.mark.parametrize("text", ["", "\n", "# only a comment", "a=1", "\n\na = [\n]\n"])
def test_short_texts(text: str) -> None:
    assert set(locate(text)) == set(paths(tomllib.loads(text)))


scalars = st.one_of(
    st.integers(-(2**31), 2**31), st.booleans(), st.text(max_size=12), st.floats(allow_nan=False)
)
values = st.recursive(
    scalars,
    lambda inner: st.one_of(
        st.lists(inner, max_size=3), st.dictionaries(st.text(max_size=6), inner, max_size=3)
    ),
    max_leaves=12,
)


@settings(max_examples=150, deadline=None)
@given(st.dictionaries(st.text(max_size=6), values, max_size=6))
def test_all_that_a_writer_writes_is_found(document: dict[str, Any]) -> None:
    """tomlkit writes it, tomllib reads it, and each path has the line that its key stands on."""
    text = tomlkit.dumps(document).replace("\r\n", "\n")
    lines = locate(text)
    assert set(paths(tomllib.loads(text))) <= set(lines)
    assert all(1 <= line <= text.count("\n") + 1 for line in lines.values())
    rows = text.split("\n")
    for path, line in lines.items():
        if isinstance(path[-1], str) and path[-1].isidentifier():
            assert path[-1] in rows[line - 1]
