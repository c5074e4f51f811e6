"""Answers in JSON, and every failure in one form without a trace of the code."""

import json
import logging
import re
from collections.abc import Awaitable, Callable
from typing import Any

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from starlette.exceptions import HTTPException
from starlette.responses import JSONResponse, Response

from refledge.errors import InputError, Problem, RefledgeError
from refledge.interfaces.web.refusals import BusyError, MissingError, RequestError
from refledge.interfaces.web.session import ConflictError, digest

_LINE = re.compile(r":(\d+)$")
_log = logging.getLogger("refledge.web")
KINDS = {404: "missing", 405: "request", 413: "request", 415: "request"}


class Answer(Response):
    """JSON as our documents are: already plain, never with NaN."""

    media_type = "application/json"

    def render(self, content: Any) -> bytes:
        return json.dumps(
            content, ensure_ascii=False, allow_nan=False, separators=(",", ":")
        ).encode("utf-8")


def failure(status: int, kind: str, message: str, **more: Any) -> JSONResponse:
    """One failure."""
    return JSONResponse({"error": {"kind": kind, "message": message, **more}}, status)


def problem_doc(problem: Problem) -> dict[str, Any]:
    """One thing that is wrong with an input."""
    line = _LINE.search(problem.where)
    return {
        "where": problem.where,
        "line": int(line[1]) if line else None,
        "field": problem.field,
        "given": problem.given,
        "allowed": problem.allowed,
        "next_step": problem.next_step,
    }


def _input(error: InputError) -> JSONResponse:
    problems = [problem_doc(each) for each in error.problems]
    first = error.problems[0] if error.problems else None
    words = f"{first.field}: given {first.given}; {first.next_step}" if first else str(error)
    return failure(422, "input", words, problems=problems)


def conflict_doc(error: ConflictError) -> dict[str, Any]:
    """Both texts."""
    return {
        "message": str(error),
        "mine": error.mine,
        "theirs": error.theirs,
        "theirs_hash": digest(error.theirs),
    }


def _conflict(error: ConflictError) -> JSONResponse:
    return JSONResponse({"error": {"kind": "conflict"} | conflict_doc(error)}, 409)


def _fault(error: Exception) -> JSONResponse:
    _log.error("a fault of the program", exc_info=error)
    words = "the program itself went wrong; the terminal it was started from says where"
    return failure(500, "fault", words)


def _http(error: HTTPException) -> JSONResponse:
    return failure(error.status_code, KINDS.get(error.status_code, "request"), "no such address")


Translated = Callable[[Any], JSONResponse]
TRANSLATIONS: dict[type[Exception], Translated] = {
    InputError: _input,
    ConflictError: _conflict,
    RefledgeError: lambda error: failure(422, "cannot", str(error)),
    MissingError: lambda error: failure(404, "missing", str(error)),
    BusyError: lambda error: failure(409, "busy", str(error)),
    PermissionError: lambda _error: failure(403, "refused", "that path is not in the project"),
    RequestError: lambda error: failure(error.status, "request", str(error)),
    RequestValidationError: lambda _error: failure(400, "request", "the request has a wrong form"),
    HTTPException: _http,
    Exception: _fault,
}


def translate(app: FastAPI) -> None:
    """Put every failure that can happen into our form."""
    for kind, words in TRANSLATIONS.items():
        app.add_exception_handler(kind, _handler(words))


def _handler(words: Translated) -> Callable[[Request, Exception], Awaitable[Response]]:
    async def handle(_request: Request, error: Exception) -> Response:
        return words(error)

    return handle
