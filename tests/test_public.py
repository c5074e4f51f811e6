"""The declared surface: these names, no others, and a quick import."""

import subprocess
import sys
from importlib.metadata import version

import pytest

import refledge as rf
from refledge.errors import BriefError, RefledgeError
from refledge.inputs.brief import read_brief
from refledge.model.brief import Brief
from refledge.outputs.build import write_build
from refledge.study import Study, design

SURFACE = {
    "Brief": Brief,
    "RefledgeError": RefledgeError,
    "Study": Study,
    "__version__": version("refledge"),
    "design": design,
    "read_brief": read_brief,
    "write_build": write_build,
}


def test_the_surface_is_just_this() -> None:
    assert sorted(rf.__all__) == sorted(SURFACE)
    assert dir(rf) == sorted(SURFACE)


def test_every_name_is_the_thing_itself() -> None:
    for name, thing in SURFACE.items():
        assert getattr(rf, name) is thing or getattr(rf, name) == thing, name


def test_a_star_import_brings_all_of_it() -> None:
    space: dict[str, object] = {}
    exec("from refledge import *", space)
    assert set(SURFACE) <= set(space)


def test_unknown_names_are_refused_by_name() -> None:
    with pytest.raises(AttributeError, match="desing"):
        rf.desing  # noqa: B018


def test_the_errors_of_the_package_are_caught_by_its_base() -> None:
    assert issubclass(BriefError, rf.RefledgeError)


def test_importing_is_quick_and_loads_nothing_heavy() -> None:
    """Under 0.3 s, the best of three fresh interpreters; numpy and the solid library wait."""
    script = (
        "import sys, time\nstart = time.perf_counter()\nimport refledge\n"
        "spent = time.perf_counter() - start\n"
        "heavy = {'numpy', 'scipy', 'build123d', 'pint'} & set(sys.modules)\n"
        "print(spent, *heavy)"
    )
    runs = [
        subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
        for _ in range(3)
    ]
    said = [run.stdout.split() for run in runs]
    assert min(float(words[0]) for words in said) < 0.3
    assert all(len(words) == 1 for words in said), said
