"""What requests may say: forms of their bodies, taken apart by hand and strictly."""

import json
from typing import Any

from starlette.requests import Request

from refledge.inputs.field_edits import Edit
from refledge.interfaces.web.refusals import RequestError
from refledge.interfaces.web.security import TooLongError


async def body_of(request: Request, *allowed: str) -> dict[str, Any]:
    """The JSON object of a request with no other keys than ``allowed``; {} for an empty body."""
    raw = await raw_of(request)
    if not raw:
        return {}
    try:
        found = json.loads(raw)
    except (ValueError, RecursionError) as error:
        raise RequestError("the body is not JSON") from error
    if not isinstance(found, dict):
        raise RequestError("the body must be a JSON object")
    extra = sorted(set(found) - set(allowed))
    if extra:
        raise RequestError(f"unknown keys: {', '.join(extra)[:200]}")
    return found


async def raw_of(request: Request) -> bytes:
    """The bytes of a request, as far as they may go."""
    try:
        return await request.body()
    except TooLongError as error:
        raise RequestError("the body is too long", 413) from error


def text_in(body: dict[str, Any], key: str, default: str | None = None) -> str:
    """A text of the body."""
    value = body.get(key, default)
    if not isinstance(value, str):
        raise RequestError(f"{key} must be a text")
    return value


def optional_text(body: dict[str, Any], key: str) -> str | None:
    """A text of the body, or None where it is not given."""
    return None if body.get(key) is None else text_in(body, key)


def options_in(body: dict[str, Any]) -> dict[str, Any]:
    """The options of a job: names and plain values."""
    found = body.get("options", {})
    if not isinstance(found, dict):
        raise RequestError("options must be an object")
    return found


def texts_in(body: dict[str, Any], key: str, most: int = 2000) -> dict[str, str]:
    """An object of texts, none longer than ``most``."""
    found = body.get(key, {})
    if not isinstance(found, dict) or not all(isinstance(each, str) for each in found.values()):
        raise RequestError(f"{key} must be an object of texts")
    if any(len(each) > most for each in found.values()):
        raise RequestError(f"a text of {key} is longer than {most} characters", 413)
    return found


def edits_in(body: dict[str, Any]) -> list[Edit]:
    """The edits of a PATCH."""
    return [_edit(each) for each in _list_in(body)]


def dimensions_in(body: dict[str, Any]) -> dict[str, Any]:
    """Path to text (or None) of a PATCH of dimensions."""
    found = {}
    for each in _list_in(body) if "edits" in body else []:
        if not isinstance(each, dict) or not isinstance(each.get("path"), str):
            raise RequestError("each edit needs a path")
        value = each.get("value")
        if value is not None and not isinstance(value, str):
            raise RequestError("a dimension is a text with its unit")
        found[each["path"]] = value
    return found


def _list_in(body: dict[str, Any]) -> list[Any]:
    found = body.get("edits")
    if not isinstance(found, list) or len(found) > 200:
        raise RequestError("edits must be a list of at most 200")
    return found


def _edit(raw: Any) -> Edit:
    if not isinstance(raw, dict) or not isinstance(raw.get("path"), str):
        raise RequestError("each edit needs a path")
    if set(raw) - {"path", "value", "add", "remove"}:
        raise RequestError("an edit has path and value, add or remove")
    add = raw.get("add")
    if add is not None and not isinstance(add, dict):
        raise RequestError("add must be an object of fields")
    return Edit(raw["path"], raw.get("value"), add, raw.get("remove") is True)
