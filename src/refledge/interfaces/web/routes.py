"""The addresses of docs/workbench-api.md. Work happens in threads, reading of bodies here."""

import time
from collections.abc import AsyncIterator, Callable
from typing import Any

from fastapi import APIRouter, Request
from starlette.concurrency import run_in_threadpool
from starlette.responses import Response, StreamingResponse

from refledge.interfaces.web.answers import Answer
from refledge.interfaces.web.bodies import (
    body_of,
    dimensions_in,
    edits_in,
    optional_text,
    options_in,
    raw_of,
    text_in,
)
from refledge.interfaces.web.build_routes import BuildRoutes
from refledge.interfaces.web.documents import Documents
from refledge.interfaces.web.files import inside
from refledge.interfaces.web.grown_routes import GrownRoutes
from refledge.interfaces.web.job_doc import build_doc, job_doc, verified_doc
from refledge.interfaces.web.log_routes import LogRoutes
from refledge.interfaces.web.refusals import BusyError, MissingError, RequestError
from refledge.interfaces.web.starting import copy_example, put_table, start_doc, write_starter_brief
from refledge.interfaces.web.variants import compared

GLB = "model/gltf-binary"


class Routes:
    """The router, with what it asks."""

    def __init__(self, documents: Documents, build_key: str) -> None:
        self.documents = documents
        self.bench = documents.bench
        self.variants = documents.variants
        self.build_key = build_key
        self.router = APIRouter(default_response_class=Answer)
        self._reading()
        self._editing()
        self._starting()
        self._jobs()
        LogRoutes(self.bench).add_to(self.router)
        GrownRoutes(self.bench).add_to(self.router)
        self._variants()
        BuildRoutes(self.bench, build_key).add_to(self.router)

    # ---- reading ----

    def _reading(self) -> None:
        documents = self.documents
        plain: dict[str, Callable[[], Any]] = {
            "/api/state": documents.state,
            "/api/brief": documents.brief,
            "/api/charts": documents.charts,
            "/api/charts/discharge": documents.discharge,
            "/api/charts/measured": documents.measured,
            "/api/shapes": documents.shapes,
            "/api/tables": documents.tables,
            "/api/assembly": documents.assembly,
            "/api/jobs": documents.jobs,
            "/api/variants": self.variants.all,
            "/api/log": lambda: {"entries": self.bench.log.entries()},
            "/api/conflict": documents.conflict,
            "/api/start": lambda: start_doc(self.bench.folder),
        }
        for path, make in plain.items():
            self.router.add_api_route(path, _answering(make), methods=["GET"])
        self.router.add_api_route("/api/results", self.results, methods=["GET"])
        self.router.add_api_route("/api/assembly.glb", self.assembly_glb, methods=["GET"])
        self.router.add_api_route("/api/meshes/{key}.glb", self.mesh_glb, methods=["GET"])
        self.router.add_api_route("/api/compare", self.compare, methods=["GET"])
        self.router.add_api_route("/api/events", self.events, methods=["GET"])

    def results(self, variant: str | None = None) -> Response:
        found = self.variants.results(variant) if variant else self.documents.results()
        return Answer(found)

    def assembly_glb(self, variant: str | None = None) -> Response:
        data = self.variants.glb(variant) if variant else self.documents.assembly_glb()
        return Response(data, media_type=GLB, headers={"Cache-Control": "no-store"})

    def mesh_glb(self, key: str, v: str = "") -> Response:
        data, name = self.documents.mesh_glb(key)
        lasting = "private, max-age=86400, immutable" if v == name else "no-store"
        return Response(data, media_type=GLB, headers={"Cache-Control": lasting})

    def compare(self, names: str = "") -> Response:
        sides = [self.documents.side(name.strip()) for name in names.split(",") if name.strip()]
        return Answer(compared(sides, self.bench.folder))

    async def events(self, request: Request, after: int | None = None) -> Response:
        last = request.headers.get("last-event-id", "")
        since = int(last) if after is None and last.isdigit() else after
        stream: AsyncIterator[str] = self.bench.events.stream(since)
        return StreamingResponse(
            stream, media_type="text/event-stream", headers={"Cache-Control": "no-store"}
        )

    # ---- editing ----

    def _editing(self) -> None:
        add = self.router.add_api_route
        add("/api/brief", self.edit, methods=["PATCH"])
        add("/api/brief/text", self.set_text, methods=["PUT"])
        add("/api/brief/resolve", self.resolve, methods=["POST"])
        add("/api/dimensions", self.set_dimensions, methods=["PATCH"])
        add("/api/undo", self.undo, methods=["POST"])
        add("/api/redo", self.redo, methods=["POST"])

    async def edit(self, request: Request) -> Response:
        body = await body_of(request, "edits", "hash")
        edits, seen = edits_in(body), optional_text(body, "hash")
        return await self._edited(lambda: self.bench.edit(edits, seen))

    async def set_text(self, request: Request) -> Response:
        body = await body_of(request, "text", "hash")
        text, seen = text_in(body, "text"), optional_text(body, "hash")
        return await self._edited(lambda: self.bench.set_text(text, seen))

    async def resolve(self, request: Request) -> Response:
        body = await body_of(request, "keep", "hash")
        keep = text_in(body, "keep")
        if keep == "theirs":
            return await self._edited(self.bench.keep_theirs)
        if keep == "mine":
            theirs = text_in(body, "hash")
            return await self._edited(lambda: self.bench.keep_mine(theirs))
        raise RequestError('keep is "mine" or "theirs"')

    async def set_dimensions(self, request: Request) -> Response:
        body = await body_of(request, "edits", "clear")
        values, clear = dimensions_in(body), body.get("clear") is True
        return await self._edited(lambda: self.bench.set_dimensions(values, clear=clear))

    async def undo(self, request: Request) -> Response:
        await body_of(request)
        return await self._edited(self.bench.undo)

    async def redo(self, request: Request) -> Response:
        await body_of(request)
        return await self._edited(self.bench.redo)

    async def _edited(self, change: Callable[[], None]) -> Response:
        """Make a change, then answer with what it did."""

        def work() -> Response:
            begun = time.perf_counter()
            with self.bench.lock:
                change()
                return Answer(self.documents.answer(time.perf_counter() - begun))

        return await run_in_threadpool(work)

    # ---- starting ----

    def _starting(self) -> None:
        self.router.add_api_route("/api/start", self.start, methods=["POST"])
        self.router.add_api_route("/api/tables/{name}", self.put_table, methods=["PUT"])

    async def start(self, request: Request) -> Response:
        body = await body_of(request, "example", "starter", "open", "name")
        return await run_in_threadpool(self._started, body)

    def _started(self, body: dict[str, Any]) -> Response:
        folder, bench = self.bench.folder, self.bench
        name = text_in(body, "name", "brief.toml")
        if not name.endswith(".toml"):
            raise RequestError("the name must end in .toml")
        if "open" in body:
            bench.open(inside(folder, text_in(body, "open")))
        elif "example" in body:
            bench.open(copy_example(text_in(body, "example"), folder, name))
        elif body.get("starter") is True:
            bench.open(write_starter_brief(folder, name))
        else:
            raise RequestError("name an example, a starter, or a brief to open")
        return Answer(self.documents.state())

    async def put_table(self, request: Request, name: str, replace: bool = False) -> Response:
        data = await raw_of(request)
        try:
            data.decode("utf-8")
        except UnicodeDecodeError as error:
            raise RequestError("a table is UTF-8 text", 415) from error
        await run_in_threadpool(put_table, self.bench.folder, name, data, replace=replace)
        return Answer({"name": name})

    # ---- jobs ----

    def _jobs(self) -> None:
        add = self.router.add_api_route
        add("/api/jobs", self.start_job, methods=["POST"])
        add("/api/jobs/{number}", self.cancel, methods=["DELETE"])
        add("/api/jobs/{number}/result", self.result, methods=["GET"])

    async def start_job(self, request: Request) -> Response:
        body = await body_of(request, "kind", "options")
        kind, options = text_in(body, "kind"), options_in(body)
        job = await run_in_threadpool(self.bench.start, kind, options)
        return Answer(job_doc(self.bench, job), status_code=202)

    def cancel(self, number: str) -> Response:
        return Answer(job_doc(self.bench, self.bench.cancel(number)))

    def result(self, number: str) -> Response:
        job = self.bench.jobs.get(number)
        if job is None:
            raise MissingError(f"no job {number[:20]}")
        if job.state != "done":
            raise BusyError(f"the job is {job.state}")
        if job.kind == "verify":
            study = self.bench.screen.study
            if study is None:
                raise MissingError("nothing is on the screen")
            return Answer(verified_doc(study, job.result))
        if job.kind == "build":
            report = f"/build/{self.build_key}/report.html"
            return Answer(build_doc(self.bench, job.result) | {"report": report})
        return Answer(job.result or {})

    # ---- variants ----

    def _variants(self) -> None:
        add = self.router.add_api_route
        add("/api/variants", self.keep, methods=["POST"])
        add("/api/variants/{name}", self.drop, methods=["DELETE"])
        add("/api/variants/{name}/use", self.use, methods=["POST"])

    async def keep(self, request: Request) -> Response:
        name = text_in(await body_of(request, "name"), "name")
        found = await run_in_threadpool(lambda: self.variants.keep(self.documents.snapshot(name)))
        self._told("kept", name)
        return Answer(found)

    def drop(self, name: str) -> Response:
        self.variants.drop(name)
        self._told("deleted", name)
        return Answer({})

    async def use(self, request: Request, name: str) -> Response:
        await body_of(request)
        state = await run_in_threadpool(self.variants.state, name)
        return await self._edited(lambda: self.bench.use(state, name))

    def _told(self, how: str, name: str) -> None:
        self.bench.log.note("variant", f"{name} {how}")
        self.bench.events.publish("variants", self.variants.all())


def _answering(make: Callable[[], Any]) -> Callable[[], Response]:
    def answer() -> Response:
        return Answer(make())

    return answer
