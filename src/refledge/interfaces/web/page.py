"""The page itself: the built one from the package, or a plain one that says how to build it."""

from html import escape
from pathlib import Path
from typing import Final

from starlette.responses import FileResponse, HTMLResponse, Response

from refledge.interfaces.web.files import inside
from refledge.interfaces.web.refusals import MissingError

BUILT: Final = Path(__file__).parent / "page"
"""Where Vite puts the page; carried in the wheel, not in the repository."""
_TYPES: Final = {
    ".js": "text/javascript",
    ".css": "text/css",
    ".svg": "image/svg+xml",
    ".json": "application/json",
    ".png": "image/png",
    ".woff2": "font/woff2",
    ".map": "application/json",
    ".wasm": "application/wasm",
}
_MISSING: Final = """<!doctype html>
<html lang="en"><head><meta charset="utf-8"><title>Refledge</title></head>
<body><main><h1>The workbench's page has not been built</h1>
<p>The server runs, but the page is made from TypeScript, which takes Node 20 or newer.
With Node at hand, run this in the source folder, then load this page again:</p>
<pre>make page</pre>
<p>Everything works without it on the command line:</p>
<pre>refledge design brief.toml --out build/mine</pre>
</main></body></html>
"""


def index(token: str) -> Response:
    """The page with the token of this start in it."""
    built = BUILT / "index.html"
    text = built.read_text(encoding="utf-8") if built.is_file() else _MISSING
    meta = f'<meta name="refledge-token" content="{escape(token)}">'
    marked = text.replace("</head>", f"{meta}</head>", 1)
    return HTMLResponse(marked, headers={"Cache-Control": "no-store"})


def asset(name: str) -> Response:
    """One file of the page; their names carry a digest of their contents."""
    path = inside(BUILT, name)
    kind = _TYPES.get(path.suffix)
    if kind is None or not path.is_file():
        raise MissingError(f"no file {name[:80]} in the page")
    lasting = "public, max-age=31536000, immutable" if name.startswith("assets/") else "no-cache"
    return FileResponse(path, media_type=kind, headers={"Cache-Control": lasting})
