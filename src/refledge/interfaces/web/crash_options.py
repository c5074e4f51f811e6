"""What the page asks of a crash, read as ``refledge crash`` reads its options."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from refledge.errors import InputError
from refledge.interfaces.bench_options import wrong
from refledge.interfaces.crashing import asked
from refledge.interfaces.web.refusals import RequestError
from refledge.repair.breaking import Asked

DEFAULTS: Mapping[str, Any] = {
    "speed": "5 m/s", "samples": 400, "weak-link": "", "flying": "5 h", "service": "90 %",
}  # fmt: skip
"""As on the command line (interfaces/commands/crash.py); a test holds them together."""
SAMPLES = range(20, 5001)
"""Fewer say nothing; more take longer than anyone waits in front of a page (a choice)."""


def crash_asked(options: Mapping[str, Any]) -> Asked:
    """The options in SI; raises RequestError for a wrong form, InputError for a wrong value."""
    extra = sorted(set(options) - set(DEFAULTS))
    if extra:
        raise RequestError(f"unknown options: {', '.join(extra)[:200]}")
    every = {**DEFAULTS, **options}
    samples = every.pop("samples")
    if isinstance(samples, bool) or not isinstance(samples, int | str):
        raise RequestError("samples is a whole number")
    if not all(isinstance(each, str) for each in every.values()):
        raise RequestError("each option but samples is a text")
    try:
        number = _number(samples)
        return asked(
            every["speed"], number, every["weak-link"], every["flying"], every["service"], 1
        )
    except InputError as error:
        raise at_page(error) from error


def _number(samples: int | str) -> int:
    """How many crashes; raises InputError where that many are not computed."""
    given = str(samples).strip()
    if not given.isdigit() or int(given) not in SAMPLES:
        allowed = f"a whole number from {SAMPLES[0]} to {SAMPLES[-1]}"
        raise wrong("samples", f'"{given}"', allowed, "write another")
    return int(given)


def at_page(error: InputError) -> InputError:
    """The same refusal with the fields' names as the page has them."""
    named = (
        replace(each, where="the page", field=each.field.removeprefix("--"))
        for each in error.problems
    )
    return InputError(*named)


def none_of(options: Mapping[str, Any]) -> None:
    """Raise RequestError where a kind of job that has no options is given some."""
    if options:
        raise RequestError(f"this job has no options: {', '.join(map(str, options))[:200]}")
