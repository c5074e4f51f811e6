"""Imports point one way: each layer knows only the layers above it in docs/architecture.md."""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[1] / "src" / "refledge"

EDGE = {"errors", "units", "typed", "whole"}
MODELS = EDGE | {"data", "model"}
MAY_IMPORT = {
    "errors": set(),
    "units": set(),
    "typed": set(),
    "whole": {"errors"},
    "data": EDGE,
    "model": EDGE | {"data"},
    "inputs": MODELS,
    "flight": MODELS,
    "geometry": MODELS,
    "analysis": EDGE,
    "printing": MODELS | {"analysis"},
    "bench": MODELS | {"analysis"},
    "sweeps": MODELS | {"flight"},
    "store": MODELS | {"bench"},
    "solids": MODELS | {"geometry", "analysis"},
    "airframe": MODELS | {"inputs", "flight", "geometry", "analysis", "printing"},
    "study": MODELS | {"inputs", "flight", "geometry", "analysis", "printing", "airframe"},
    "live": MODELS | {"inputs", "flight", "geometry", "analysis", "printing", "airframe", "study"},
    "verify": MODELS
    | {"flight", "geometry", "analysis", "solids", "printing", "airframe", "study"},
    "voxels": EDGE,
    "shaping": MODELS
    | {"flight", "geometry", "analysis", "printing", "voxels", "airframe", "study", "solids"}
    | {"verify"},
    "choosing": MODELS | {"inputs", "flight", "sweeps", "printing", "airframe", "study"},
    "planning": MODELS | {"inputs", "geometry", "analysis", "printing", "airframe", "study"},
    "repair": MODELS | {"analysis", "store", "printing", "airframe", "study"},
    "outputs": MODELS
    | {"geometry", "bench", "store", "printing", "study", "verify"}
    | {"shaping", "choosing", "planning", "repair", "flight"},
    "interfaces": MODELS
    | {"inputs", "geometry", "bench", "store", "sweeps", "airframe", "study", "verify", "outputs"}
    | {"printing", "shaping", "choosing", "planning", "repair", "live"},
}
FILES = sorted(PACKAGE.rglob("*.py"))
ONLY_KERNEL = {"build123d", "OCP"}


def layer_of(path: Path) -> str:
    """First name below the package."""
    first = path.relative_to(PACKAGE).parts[0]
    return first.removesuffix(".py")


def imported(path: Path) -> Iterator[str]:
    """Every module imported anywhere in the file, inside functions included."""
    for node in ast.walk(ast.parse(path.read_text())):
        if isinstance(node, ast.Import):
            yield from (name.name for name in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: relative import"
            yield node.module or ""
            yield from (f"{node.module}.{name.name}" for name in node.names)


def own_layers(path: Path) -> set[str]:
    named = [name.split(".")[1] for name in imported(path) if name.startswith("refledge.")]
    return {n for n in named if (PACKAGE / n).exists() or (PACKAGE / f"{n}.py").exists()}


@pytest.mark.parametrize("path", FILES, ids=lambda p: str(p.relative_to(PACKAGE)))
def test_imports_only_from_layers_above(path: Path) -> None:
    layer = layer_of(path)
    if layer == "__init__":
        return
    assert layer in MAY_IMPORT, f"{layer} is not a layer of docs/architecture.md"
    assert own_layers(path) - {layer} <= MAY_IMPORT[layer]


@pytest.mark.parametrize("path", FILES, ids=lambda p: str(p.relative_to(PACKAGE)))
def test_solid_library_stays_behind_its_port(path: Path) -> None:
    """Only inside geometry/kernel/, whether imported or loaded by name."""
    heavy = {name.split(".")[0] for name in imported(path)} & ONLY_KERNEL
    named = {name for name in ONLY_KERNEL if f'"{name}.' in path.read_text()}
    assert not heavy | named or path.parent == PACKAGE / "geometry" / "kernel"


def test_the_rule_sees_imports_inside_functions(tmp_path: Path) -> None:
    sample = tmp_path / "sample.py"
    sample.write_text("def f():\n    from refledge.outputs import report\n    return report\n")
    assert "refledge.outputs" in set(imported(sample))


def test_mesher_stays_in_its_own_process() -> None:
    """Its modelling library and ours break each other: only the worker may load it, by any name."""
    loads = (
        '"netgen',
        '"ngsolve',
        "import netgen",
        "import ngsolve",
        "from netgen",
        "from ngsolve",
    )
    naming = {path for path in FILES if any(each in path.read_text() for each in loads)}
    assert naming == {PACKAGE / "solids" / "worker.py"}
