"""Reading a grown arm that ``refledge shape`` kept: checked whole, each fault by file and field."""

import re
import tomllib
from collections.abc import Mapping
from dataclasses import fields
from functools import lru_cache
from pathlib import Path
from typing import Any

import numpy as np

from refledge.errors import InputError, Problem
from refledge.inputs.files import read_text
from refledge.inputs.grown_text import FACE, FORMAT, TABLES, UNITS, digest_of
from refledge.inputs.toml_lines import line_of, locate
from refledge.inputs.values import as_given
from refledge.model.grown import LOADS, GrownArm, GrownCase, content_key
from refledge.model.results import TriMesh
from refledge.typed import Floats
from refledge.whole import reason

AGAIN = "write it anew with refledge shape --verify"
_HEAD = re.compile(
    rb"ply\nformat binary_little_endian 1\.0\nelement vertex (\d{1,8})\n"
    rb"property double x\nproperty double y\nproperty double z\nelement face (\d{1,8})\n"
    rb"property list uchar int vertex_indices\nend_header\n"
)


def read_grown_arm(path: str | Path) -> GrownArm:
    """The arm whose record stands at ``path``, its surface beside it; raises InputError."""
    file = Path(path)
    text = read_text(file, "a grown arm's record")
    reader = _Reader(file.name, text)
    surface = file.parent / reader.name("surface")
    try:
        data = surface.read_bytes()
    except OSError as error:
        given = f'"{surface.name}", {reason(error)}'
        raise reader.fault("surface", given, "a file beside it") from error
    return _known(file.name, text, data)


def grown_paths(path: Path) -> tuple[Path, Path]:
    """The record and its surface, to be copied; raises InputError."""
    reader = _Reader(path.name, read_text(path, "a grown arm's record"))
    return path, path.parent / reader.name("surface")


@lru_cache(maxsize=4)
def _known(where: str, text: str, data: bytes) -> GrownArm:
    """The same contents are the same arm, read once."""
    reader = _Reader(where, text)
    _, _, body = text.partition(f'digest = "{reader.text("digest")}"\n')
    if digest_of(body, data) != reader.text("digest"):
        given = "a digest that does not fit the rest of the record and its surface"
        raise reader.fault("digest", given, "files as they were written")
    mesh, give = _mesh(reader, data), reader.array("give", (6, 6))
    units: dict[str, Any] = {table: _units(reader, table) for table in UNITS}
    cases = reader.tree.get("cases")
    if not (isinstance(cases, list) and cases and all(isinstance(each, dict) for each in cases)):
        raise reader.fault("cases", as_given(cases), "one table for each load case")
    arm = GrownArm(
        key=content_key(mesh, give, units["unit_plastic"]),
        title=reader.text("title"),
        version=reader.text("version"),
        how=reader.text("how"),
        mesh=mesh,
        at=reader.array("at", (3,)),
        give=give,
        modes=reader.array("modes", (-1,)),
        cases=tuple(_case(reader, number) for number in range(len(cases))),
        volume=reader.size("volume"),
        area=reader.size("area"),
        support=reader.size("support"),
        give_error=reader.size("give_error"),
        **units,
        **{name: reader.table(name, model) for name, model in TABLES.items()},
    )
    _sound(reader, arm)
    return arm


class _Reader:
    """A record's tree, and one clear message for what is wrong in it."""

    def __init__(self, where: str, text: str) -> None:
        self.where = where
        try:
            self.tree: Mapping[str, Any] = tomllib.loads(text)
        except (tomllib.TOMLDecodeError, RecursionError) as error:
            problem = Problem(where, "file", f"no TOML ({error})", f'"{FORMAT}"', AGAIN)
            raise InputError(problem) from error
        self._lines = locate(text)
        if self.tree.get("format") != FORMAT:
            raise self.fault("format", as_given(self.tree.get("format")), f'"{FORMAT}"')

    def fault(self, field: str, given: str, allowed: str) -> InputError:
        """An error to raise, with the line of the ``field`` (dotted)."""
        path = tuple(int(p) if p.isdigit() else p for p in field.split("."))
        line = line_of(self._lines, path)
        return InputError(Problem(f"{self.where}:{line}", field, given, allowed, AGAIN))

    def value(self, field: str) -> Any:
        """What stands at a dotted path; raises InputError where nothing does."""
        found: Any = self.tree
        for step in field.split("."):
            try:
                found = found[int(step)] if isinstance(found, list) else found[step]
            except (KeyError, IndexError, TypeError) as error:
                raise self.fault(field, "nothing", "a value") from error
        return found

    def text(self, field: str) -> str:
        found = self.value(field)
        if not isinstance(found, str):
            raise self.fault(field, as_given(found), "a text in quotes")
        return found

    def truth(self, field: str) -> bool:
        found = self.value(field)
        if not isinstance(found, bool):
            raise self.fault(field, as_given(found), "true or false")
        return found

    def name(self, field: str) -> str:
        """A file's plain name, in the record's own folder."""
        found = self.text(field)
        if not found or found != Path(found).name:
            raise self.fault(field, as_given(found), "a file's name without folders")
        return found

    def size(self, field: str) -> float:
        """A number that is not negative."""
        return float(self.array(field, (), least=0.0))

    def array(self, field: str, shape: tuple[int, ...], least: float = -np.inf) -> Floats:
        """Finite numbers of a shape; -1 stands for any length but none."""
        found = self.value(field)
        try:
            made = np.asarray(found, np.float64)
        except (TypeError, ValueError):
            made = np.array(np.nan)
        fits = made.ndim == len(shape) and all(
            n == want or (want < 0 and n > 0) for n, want in zip(made.shape, shape, strict=False)
        )
        if not fits or isinstance(found, (bool, str)) or not np.all(np.isfinite(made)):
            wanted = " by ".join(map(str, shape)).replace("-1", "some") or "one"
            raise self.fault(field, as_given(found), f"{wanted} finite number(s)")
        if made.size and float(made.min()) < least:
            raise self.fault(field, as_given(found), f"at least {least:g}")
        return made

    def table(self, name: str, model: type) -> Any:
        """A table of numbers, counts and texts as a dataclass."""
        made: dict[str, Any] = {}
        for each in fields(model):
            field = f"{name}.{each.name}"
            if each.type in (str, "str"):
                made[each.name] = self.text(field)
            else:
                number = self.size(field)
                made[each.name] = int(number) if each.type in (int, "int") else number
        return model(**made)


def _case(reader: _Reader, number: int) -> GrownCase:
    at = f"cases.{number}"
    uses = ("plastic", "layers", "buckling")
    names = [f"{use}{more}" for use in uses for more in ("", "_error")]
    return GrownCase(
        title=reader.text(f"{at}.title"),
        kind=reader.text(f"{at}.kind"),
        load=reader.array(f"{at}.load", (len(LOADS),)),
        by_hand=reader.truth(f"{at}.by_hand"),
        **{name: reader.size(f"{at}.{name}") for name in names},
    )


def _units(reader: _Reader, table: str) -> Floats:
    return np.array([reader.array(f"{table}.{name}", (2,), least=0.0) for name in LOADS])


def _mesh(reader: _Reader, data: bytes) -> TriMesh:
    name, head = reader.name("surface"), _HEAD.match(data)
    where = f'"{name}"'
    if head is None:
        given = f"{where}, which is no PLY file of Refledge's"
        raise reader.fault("surface", given, "the surface written with the record")
    corners, faces = (int(each) for each in head.groups())
    rest = data[head.end() :]
    if len(rest) != 24 * corners + FACE.itemsize * faces:
        raise reader.fault("surface", f"{where}, cut short or too long", "the whole file")
    vertices = np.frombuffer(rest, "<f8", 3 * corners).reshape(-1, 3).astype(np.float64)
    found = np.frombuffer(rest, FACE, faces, offset=24 * corners)
    mesh = TriMesh(vertices, found["corners"].astype(np.int64))
    inside = mesh.triangles.size and 0 <= mesh.triangles.min() <= mesh.triangles.max() < corners
    if not inside or not np.isfinite(vertices).all():
        raise reader.fault("surface", f"{where}, with triangles of no corners", "a whole surface")
    return mesh


def _sound(reader: _Reader, arm: GrownArm) -> None:
    """What must be so of any arm: it gives under each load."""
    if not (np.allclose(arm.give, arm.give.T, rtol=1e-6) and np.linalg.eigvalsh(arm.give)[0] > 0):
        given = "a matrix that is not symmetric and positive"
        raise reader.fault("give", given, "how an arm gives under unit loads")
