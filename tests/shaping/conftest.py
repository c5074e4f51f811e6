"""The example's study with its arm's family and plastic given, and its arm grown, once for all.

To be quick the study is sized with one plate thickness and one pass, and the arm is stopped on the
way and taken up again (strength left off: it needs more steps than fit here; ``tests/voxels`` grows
with it): that this ends where a growth in one go does is tested in ``tests/voxels``.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path

import pytest

from refledge.airframe import sizing
from refledge.inputs.brief import read_brief
from refledge.shaping import shape
from refledge.shaping.figures import Stand, stand_of
from refledge.shaping.shape import Growing, Shaped, Wish, shape_arm
from refledge.shaping.space import Space, space_of
from refledge.study import Study, design

EXAMPLE = Path(__file__).parents[1] / "briefs" / "lake-sampler" / "brief.toml"
QUICK = Wish(voxel=3e-3, iterations=20, use=None)
STOPPED = 17


@pytest.fixture(scope="session")
def study() -> Study:
    brief = read_brief(EXAMPLE)
    frame = replace(brief.frame, material="ASA", arm_family="truss")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(sizing, "PLATES", (sizing.FIRST_PLATE,))
        patch.setattr("refledge.study.RESIZING_PASSES", 1)
        return design(replace(brief, frame=frame, layout=replace(brief.layout, kind="six-x")))


@pytest.fixture(scope="session")
def space(study: Study) -> Space:
    """Coarse: 3 mm."""
    return space_of(study, 3e-3)


@pytest.fixture(scope="session")
def stand(study: Study, space: Space) -> Stand:
    return stand_of(study, space, "cpu")


def pulled(stand: Stand, tip: float, own: float) -> Stand:
    """The stand with forces on the tip and of the arm's own plastic these times as great."""

    def times(values: tuple[float, float, float]) -> tuple[float, float, float]:
        x, y, z = values
        return own * x, own * y, own * z

    loads = tuple(
        replace(load, felt=replace(load.felt, field=times(load.felt.field),
                                   turn=times(load.felt.turn)))
        for load in stand.loads
    )  # fmt: skip
    return replace(stand, loads=loads, fields=tip * stand.fields)


@contextmanager
def laid_out(space: Space, stand: Stand) -> Iterator[pytest.MonkeyPatch]:
    """``shape_arm`` with the study's own room and stand at 3 mm, found once for all."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(shape, "space_of", lambda *_: space)
        patch.setattr(shape, "stand_of", lambda *_: stand)
        yield patch


@dataclass(frozen=True)
class Halves:
    """A growth stopped after STOPPED steps, and the same taken up from the folder."""

    first: Shaped
    told: list[Growing]
    pictures: list[tuple[tuple[int, ...], float, float]]
    """Shape, least and greatest of each picture."""
    second: Shaped
    seen: list[int]
    folder: Path
    files: list[Path]
    """In the folder after the first."""


@pytest.fixture(scope="session")
def halves(
    study: Study, space: Space, stand: Stand, tmp_path_factory: pytest.TempPathFactory
) -> Halves:
    told: list[Growing] = []
    pictures = []

    def stop(now: Growing) -> bool:
        told.append(now)
        picture = now.picture()
        pictures.append((picture.shape, float(picture.min()), float(picture.max())))
        return now.iteration < STOPPED

    folder = tmp_path_factory.mktemp("growing")
    with laid_out(space, stand):
        first = shape_arm(study, QUICK, stop, folder)
        files, seen = list(folder.iterdir()), list[int]()
        second = shape_arm(study, QUICK, lambda now: seen.append(now.iteration), folder)
    return Halves(first, told, pictures, second, seen, folder, files)


@pytest.fixture(scope="session")
def shaped(halves: Halves) -> Shaped:
    return halves.second
