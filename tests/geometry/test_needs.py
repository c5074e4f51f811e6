"""A part is made again exactly when something that it depends on has changed."""

from collections.abc import Callable
from dataclasses import is_dataclass, replace
from typing import Any, cast

import pytest

from refledge.errors import GeometryError
from refledge.geometry import parts
from refledge.geometry.kernel import Solid, box, moments
from refledge.geometry.needs import Memory, needs_of
from refledge.geometry.parts import make_parts, part_quantities
from refledge.model.parts import FrameDesign
from tests.geometry.frames import (
    HARDWARE,
    clipped_frame,
    damped_frame,
    footed_frame,
    frame,
    guarded_frame,
    hinged_frame,
    layout,
    lined_frame,
    nut_frame,
    railed_frame,
    ring_frame,
    skidded_frame,
    standing_frame,
    tube_arm,
)
from tests.geometry.holders import covered_frame, held_frame, parted_legs
from tests.geometry.splits import split_arm

FRAMES: dict[str, tuple[str, Callable[[], FrameDesign]]] = {
    "one piece": ("six-x", frame),
    "pairs": ("three-pairs", lambda: frame(3, None, 2)),
    "split": ("six-x", lambda: frame(6, split_arm("truss"))),
    "standing": ("six-x", standing_frame),
    "with a line": ("six-x", lined_frame),
    "footed": ("six-x", footed_frame),
    "guards": ("six-x", guarded_frame),
    "guards in halves": ("six-x", lambda: guarded_frame("M3")),
    "skids": ("six-x", skidded_frame),
    "skids in parts": ("six-x", lambda: skidded_frame(0.041)),
    "railed": ("six-x", railed_frame),
    "railed for straps": ("six-x", lambda: railed_frame(0.010)),
    "damped": ("six-x", damped_frame),
    "nuts": ("six-x", nut_frame),
    "ring": ("six-x", ring_frame),
    "clips": ("six-x", clipped_frame),
    "holders": ("six-x", held_frame),
    "cover": ("six-x", covered_frame),
    "legs in parts": ("six-x", parted_legs),
    "one antenna": ("six-x", lambda: held_frame(count=1)),
    "hinged": ("six-x", hinged_frame),
    "hinged and split": ("six-x", lambda: hinged_frame(6, split_arm("box"))),
    "tube": ("four-plus", lambda: frame(4, tube_arm())),
}


class Watched:
    """Stands in for a design and notes which of its fields are read."""

    def __init__(self, design: Any, path: str, read: set[str]) -> None:
        self._design, self._path, self._read = design, path, read

    def __getattr__(self, name: str) -> Any:
        path, value = f"{self._path}{name}", getattr(self._design, name)
        if is_dataclass(value):
            return Watched(value, f"{path}.", self._read)
        if isinstance(getattr(type(self._design), name, None), property):
            getter: Any = vars(type(self._design))[name].fget
            return getter(self)
        self._read.add(path)
        return value


@pytest.mark.parametrize("name", FRAMES)
def test_makers_read_nothing_that_is_not_listed(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    kind, make = FRAMES[name]
    one = make()
    monkeypatch.setattr(parts, "shape_key", lambda *_: object())
    monkeypatch.setattr(parts, "_MADE", Memory())
    for key in part_quantities(one):
        read: set[str] = set()
        watched = cast(FrameDesign, Watched(one, "", read))
        monkeypatch.setattr(parts, "part_quantities", lambda _, key=key: {key: 1})
        make_parts(watched, layout(kind, one), HARDWARE)
        assert read - set(needs_of(key, one)) == set(), key
        assert len(read) > 4, "nothing was watched"


def test_an_unchanged_frame_gives_the_same_solids() -> None:
    one = frame()
    first = make_parts(one, layout("six-x", one), HARDWARE)
    other = replace(one, plate=replace(one.plate, material="other"))
    again = make_parts(other, layout("six-x", other), HARDWARE)
    assert all(again[key] is first[key] for key in first)


def test_only_the_changed_part_is_made_again() -> None:
    one = frame()
    first = make_parts(one, layout("six-x", one), HARDWARE)
    other = replace(one, leg=replace(one.leg, depth_top=0.010))
    again = make_parts(other, layout("six-x", other), HARDWARE)
    assert [key for key in first if again[key] is not first[key]] == ["leg"]
    assert moments(again["leg"]).size > moments(first["leg"]).size


def test_memory_forgets_the_least_used() -> None:
    memory, made = Memory(2), []

    def make(name: str) -> Solid:
        def maker() -> Solid:
            made.append(name)
            return box((0.0, 0.0, 0.0), (1e-2, 1e-2, 1e-2))

        return memory.get(name, maker)

    for name in ("a", "b", "a", "c", "a", "b"):
        make(name)
    assert made == ["a", "b", "c", "b"]


def test_what_cannot_be_made_is_not_remembered() -> None:
    memory = Memory()

    def refuse() -> Solid:
        raise GeometryError("too thin")

    for _ in range(2):
        with pytest.raises(GeometryError, match="too thin"):
            memory.get("key", refuse)
    assert memory.get("key", lambda: box((0, 0, 0), (1e-2, 1e-2, 1e-2))) is not None
