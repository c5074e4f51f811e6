"""The command line: one verb for each step of the job, shown in the order of the job."""

from importlib import import_module

from refledge.interfaces.app import app, main

__all__ = ["app", "main"]

IN_ORDER = (
    "new", "coupon", "reduce", "tap", "compare", "layouts", "design",
    "shape", "plan", "crash", "repair", "log", "serve",
)  # fmt: skip
"""Modules of ``interfaces/commands``; each adds its commands to the app as it loads."""

for _name in IN_ORDER:
    import_module(f"refledge.interfaces.commands.{_name}")
