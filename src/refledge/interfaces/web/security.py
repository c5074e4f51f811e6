"""Who may ask: the page that this server gave out, on this machine, and nobody else.

Against other pages in the same browser: Host (so that no foreign name can be made to lead here),
Origin, Sec-Fetch-Site, and a token that only our page carries. Plain ASGI, so that streams stay
streams.
"""

import secrets
from collections.abc import Iterable
from dataclasses import dataclass, field
from hmac import compare_digest
from typing import Final

from starlette.datastructures import Headers, MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from refledge.interfaces.web.answers import failure

TOKEN: Final = "X-Refledge-Token"
MOST_JSON: Final = 1 << 20
MOST_TABLE: Final = 2 << 20
"""Bytes of a body; longer ones are refused unread."""
POLICY: Final = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "style-src-attr 'unsafe-inline'",
        "img-src 'self' data: blob:",
        "connect-src 'self' blob:",
        "font-src 'self'",
        "worker-src 'self'",
        "base-uri 'none'",
        "form-action 'none'",
        "frame-ancestors 'none'",
    )
)
"""No inline script, nothing from elsewhere. Style attributes are let be: charts set them."""
HEADERS: Final = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
}


@dataclass(frozen=True)
class Pass:
    """What a request must show."""

    port: int
    token: str = field(default_factory=lambda: secrets.token_urlsafe(32), repr=False)

    @property
    def hosts(self) -> tuple[str, ...]:
        """Names under which this server may be asked."""
        return tuple(f"{name}:{self.port}" for name in ("127.0.0.1", "localhost", "[::1]"))

    @property
    def origins(self) -> tuple[str, ...]:
        return tuple(f"http://{host}" for host in self.hosts)


class Guard:
    """Refuses what is forged, and puts the headers of safety on every answer."""

    def __init__(self, app: ASGIApp, gate: Pass) -> None:
        self.app = app
        self.gate = gate

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            if scope["type"] == "lifespan":
                await self.app(scope, receive, send)
            return
        told = _with_headers(send)
        headers = Headers(scope=scope)
        refused = self._refused(scope, headers)
        if refused is not None:
            status, kind, words = refused
            await failure(status, kind, words)(scope, receive, told)
            return
        await self.app(scope, _limited(receive, _most(headers)), told)

    def _refused(self, scope: Scope, headers: Headers) -> tuple[int, str, str] | None:
        """Status, kind and words of the refusal; None where all is well."""
        if headers.get("host", "") not in self.gate.hosts:
            return 403, "refused", "this address is not the one that the workbench listens on"
        origin = headers.get("origin")
        if origin is not None and origin not in self.gate.origins:
            return 403, "refused", "another page may not ask the workbench"
        if headers.get("sec-fetch-site", "same-origin") not in ("same-origin", "none"):
            return 403, "refused", "another page may not ask the workbench"
        if scope["path"].startswith("/api/"):
            return self._api(scope, headers)
        if scope["method"] not in ("GET", "HEAD"):
            return 405, "request", "only GET here"
        return None

    def _api(self, scope: Scope, headers: Headers) -> tuple[int, str, str] | None:
        given = headers.get(TOKEN, "").encode("utf-8", "replace")
        if not compare_digest(given, self.gate.token.encode()):
            return 401, "token", "this page is of an earlier start of the workbench: load it again"
        length = headers.get("content-length", "0")
        if not length.isdigit() or int(length) > _most(headers):
            return 413, "request", f"at most {_most(headers) >> 20} MiB"
        return self._type(scope, headers)

    def _type(self, scope: Scope, headers: Headers) -> tuple[int, str, str] | None:
        """Bodies are JSON; a table that is put up is CSV."""
        if scope["method"] not in ("POST", "PUT", "PATCH"):
            return None
        found = headers.get("content-type", "").split(";")[0].strip().lower()
        table = scope["path"].startswith("/api/tables/")
        if table and found in ("text/csv", "text/plain"):
            return None
        empty = headers.get("content-length", "0") == "0" and "transfer-encoding" not in headers
        if not table and (found == "application/json" or (empty and not found)):
            return None
        return 415, "request", "CSV text is wanted" if table else "JSON is wanted"


def _most(headers: Headers) -> int:
    return MOST_TABLE if headers.get("content-type", "").startswith("text/") else MOST_JSON


class TooLongError(Exception):
    """A body without a stated length went on too long."""


def _limited(receive: Receive, most: int) -> Receive:
    """``receive`` that stops after ``most`` bytes."""
    taken = 0

    async def limited() -> Message:
        nonlocal taken
        message = await receive()
        taken += len(message.get("body", b""))
        if taken > most:
            raise TooLongError
        return message

    return limited


def _with_headers(send: Send, extra: Iterable[tuple[str, str]] = ()) -> Send:
    async def told(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in (*HEADERS.items(), *extra):
                headers.setdefault(name, value)
        await send(message)

    return told
