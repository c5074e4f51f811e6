"""The application: routes behind the guard, and a watch on the brief's file."""

import asyncio
import secrets
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path

from fastapi import FastAPI
from starlette.concurrency import run_in_threadpool
from starlette.responses import Response

from refledge.interfaces.web.answers import translate
from refledge.interfaces.web.documents import Documents
from refledge.interfaces.web.page import asset, index
from refledge.interfaces.web.routes import Routes
from refledge.interfaces.web.security import Guard, Pass
from refledge.interfaces.web.variants import Variants
from refledge.interfaces.web.workbench import Workbench

WATCH = 1.0
"""s between looks at the brief's file."""


def create_app(bench: Workbench, gate: Pass) -> FastAPI:
    """The whole server for one workbench."""
    app = FastAPI(
        title="Refledge", docs_url=None, redoc_url=None, openapi_url=None, lifespan=_watching(bench)
    )
    app.state.bench = bench
    documents = Documents(bench, Variants(bench.folder))
    app.include_router(Routes(documents, secrets.token_urlsafe(16)).router)
    _add_page(app, gate)
    translate(app)
    app.add_middleware(Guard, gate=gate)
    return app


def _add_page(app: FastAPI, gate: Pass) -> None:
    @app.get("/")
    def page() -> Response:
        return index(gate.token)

    @app.get("/{name:path}")
    def file(name: str) -> Response:
        return asset(name)


def _watching(bench: Workbench):  # type: ignore[no-untyped-def]
    @asynccontextmanager
    async def lifespan(_app: FastAPI) -> AsyncIterator[None]:
        await run_in_threadpool(bench.workers.prepare)
        watch = asyncio.create_task(_watch(bench))
        yield
        watch.cancel()
        await run_in_threadpool(bench.close)

    return lifespan


async def _watch(bench: Workbench) -> None:
    while True:
        await asyncio.sleep(WATCH)
        await run_in_threadpool(bench.watch)


def project_of(brief: Path | None, here: Path) -> Path:
    """The project folder: the brief's, or the one that the command was given in."""
    return brief.resolve().parent if brief else here.resolve()
