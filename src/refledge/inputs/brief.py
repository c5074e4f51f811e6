"""The brief: a TOML file to a Brief in SI, with all that is wrong in it reported at once."""

import re
import tomllib
from dataclasses import replace
from pathlib import Path
from typing import Any

from refledge.errors import BriefError, InputError, Problem
from refledge.inputs.blades import read_blade_rows
from refledge.inputs.files import read_text
from refledge.inputs.grown import read_grown_arm
from refledge.inputs.rules import check_together
from refledge.inputs.tables import read_coefficients, read_thrust_table
from refledge.inputs.toml_lines import locate
from refledge.inputs.tree import TreeReader
from refledge.inputs.values import FieldError, as_given
from refledge.model.brief import Brief

_AT = re.compile(r"\s*\(at (?:line (\d+), column \d+|end of document)\)$")
_TABLES = (
    (("motor", "thrust_table"), read_thrust_table),
    (("propeller", "coefficients"), read_coefficients),
    (("propeller", "thrust_table"), read_thrust_table),
    (("propeller", "blade_geometry"), read_blade_rows),
    (("frame", "grown_arm"), read_grown_arm),
)


def read_brief(path: str | Path) -> Brief:
    """The brief in the file at ``path``; raises InputError, or BriefError with every problem."""
    file = Path(path)
    return parse_brief(read_text(file, "a brief"), file.name, str(file.parent))


def parse_brief(text: str, where: str = "brief.toml", folder: str = "") -> Brief:
    """The brief in a TOML ``text``; tables that it names are looked for in ``folder``."""
    tree = _tree(text, where)
    reader = TreeReader(where, locate(text))
    brief: Brief | None = reader.read(Brief, tree)
    for field, fault in check_together(reader.found):
        reader.fault(tuple(field.split(".")), fault)
    _check_tables(reader, folder)
    if reader.problems or brief is None:
        raise BriefError(*sorted(reader.problems, key=_line))
    return replace(brief, assumed=tuple(reader.assumed), folder=folder)


def _tree(text: str, where: str) -> dict[str, Any]:
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        match = _AT.search(str(error))
        line = int(match[1]) if match and match[1] else max(1, len(text.splitlines()))
        raise InputError(
            Problem(
                f"{where}:{line}",
                "file",
                _AT.sub("", str(error)),
                'TOML: tables in brackets, lines such as mass = "85 g", texts in quotes',
                "correct this line, then read it again",
            )
        ) from error
    except RecursionError as error:
        problem = Problem(where, "file", "lists within lists without end", "TOML", "correct it")
        raise InputError(problem) from error


def _check_tables(reader: TreeReader, folder: str) -> None:
    """Note what is wrong with the tables that the brief names."""
    for path, read in _TABLES:
        name = reader.found.get(".".join(path))
        if not name:
            continue
        file = Path(folder) / name
        if not file.is_file():
            step = f"put it into the folder {folder or '.'!r}, or strike this line out"
            reader.fault(path, FieldError(as_given(name), "a file beside the brief", step))
            continue
        try:
            read(file)
        except InputError as error:
            reader.problems.extend(error.problems)


def _line(problem: Problem) -> tuple[str, int]:
    name, _, line = problem.where.rpartition(":")
    return (name, int(line)) if line.isdigit() else (problem.where, 0)
