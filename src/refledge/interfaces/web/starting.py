"""First run: the examples, a starter, or a brief that is there already."""

import tomllib
from pathlib import Path
from typing import Any, Final

from refledge.inputs.files import read_text
from refledge.inputs.starter import starter_text
from refledge.interfaces.web.files import inside, plain_name
from refledge.interfaces.web.refusals import BusyError, MissingError
from refledge.whole import write_whole

_PACKAGE: Final = Path(__file__).parents[2]
PLACES: Final = (_PACKAGE / "examples", _PACKAGE.parents[1] / "examples")
"""In an installed wheel; in a checkout."""
_TABLES: Final = (
    ("motor", "thrust_table"),
    ("propeller", "coefficients"),
    ("propeller", "thrust_table"),
    ("propeller", "blade_geometry"),
)


def examples() -> dict[str, Path]:
    """Key to folder of every example with a brief."""
    found: dict[str, Path] = {}
    for place in PLACES:
        for brief in sorted(place.glob("*/brief.toml")):
            found.setdefault(brief.parent.name, brief.parent)
    return found


def start_doc(project: Path) -> dict[str, Any]:
    """What can be opened."""
    return {
        "examples": [_example(key, folder) for key, folder in examples().items()],
        "briefs": [path.name for path in sorted(project.glob("*.toml")) if _is_brief(path)],
    }


def _example(key: str, folder: Path) -> dict[str, Any]:
    found = tomllib.loads((folder / "brief.toml").read_text(encoding="utf-8"))
    return {"key": key, "title": found.get("title", key), "note": found.get("note", "")}


def _is_brief(path: Path) -> bool:
    """A TOML file with a table of motors; others in the folder are somebody else's."""
    try:
        return "motor" in tomllib.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return False


def copy_example(key: str, project: Path, name: str) -> Path:
    """The example's brief as ``name`` in the project folder, with the tables it names."""
    folder = examples().get(key)
    if folder is None:
        raise MissingError(f'no example "{key[:40]}"')
    text = read_text(folder / "brief.toml", "a brief")
    told = tomllib.loads(text)
    wanted = {name: text.encode("utf-8")}
    for item, field in _TABLES:
        table = told.get(item, {}).get(field)
        if table:
            wanted[table] = (folder / table).read_bytes()
    for file, data in wanted.items():
        _free(project, file, data)
    for file, data in wanted.items():
        write_whole(inside(project, file), data)
    return project / name


def write_starter_brief(project: Path, name: str) -> Path:
    """A starter brief as ``name`` in the project folder."""
    data = starter_text().encode("utf-8")
    path = _free(project, name, data)
    write_whole(path, data)
    return path


def _free(project: Path, name: str, data: bytes) -> Path:
    """The path of a new file; raises BusyError where another stands there."""
    path = inside(project, plain_name(name, "name"))
    if path.exists() and path.read_bytes() != data:
        raise BusyError(f"{name} is there already with other contents; choose another name")
    return path


def put_table(project: Path, name: str, data: bytes, *, replace: bool) -> None:
    """A CSV table beside the brief."""
    path = inside(project, plain_name(name, "name"))
    if path.suffix.lower() != ".csv":
        raise PermissionError(name)
    if not replace:
        _free(project, name, data)
    write_whole(path, data)
