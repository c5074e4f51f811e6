"""Refledge: from a wreck, a printer and a few bench tests to an airframe you can print.

What is meant to be used stands in ``__all__``. Each name is loaded when it is first asked for, so
that ``import refledge`` is quick.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

from refledge.errors import RefledgeError

if TYPE_CHECKING:
    from refledge.inputs.brief import read_brief
    from refledge.model.brief import Brief
    from refledge.outputs.build import write_build
    from refledge.study import Study, design

__version__ = "0.1.0"
__all__ = [
    "Brief",
    "RefledgeError",
    "Study",
    "__version__",
    "design",
    "read_brief",
    "write_build",
]

_HOME = {
    "Brief": "refledge.model.brief",
    "Study": "refledge.study",
    "design": "refledge.study",
    "read_brief": "refledge.inputs.brief",
    "write_build": "refledge.outputs.build",
}


def __getattr__(name: str) -> Any:
    if name not in _HOME:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    value = globals()[name] = getattr(import_module(_HOME[name]), name)
    return value


def __dir__() -> list[str]:
    return sorted(__all__)
