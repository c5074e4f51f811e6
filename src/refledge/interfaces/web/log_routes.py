"""The project's log: read, and written to."""

from typing import TYPE_CHECKING, Any

from fastapi import APIRouter, Request
from starlette.concurrency import run_in_threadpool
from starlette.responses import Response

from refledge.interfaces.web.answers import Answer
from refledge.interfaces.web.bodies import body_of, text_in, texts_in
from refledge.interfaces.web.log_forms import write_entry
from refledge.interfaces.web.logbook_doc import logbook_doc

if TYPE_CHECKING:
    from refledge.interfaces.web.workbench import Workbench


class LogRoutes:
    """The store lies beside the brief, where ``refledge log`` and ``crash`` look for it."""

    def __init__(self, bench: "Workbench") -> None:
        self.bench = bench

    def add_to(self, router: APIRouter) -> None:
        router.add_api_route("/api/logbook", self.read, methods=["GET"])
        router.add_api_route("/api/logbook", self.write, methods=["POST"])

    def read(self) -> Response:
        return Answer(self._document())

    async def write(self, request: Request) -> Response:
        """One entry; every open page hears of it."""
        body = await body_of(request, "form", "values")
        form, values = text_in(body, "form"), texts_in(body, "values")
        return Answer(await run_in_threadpool(self._written, form, values))

    def _written(self, form: str, values: dict[str, str]) -> dict[str, Any]:
        said = write_entry(self.bench.opened().path.parent, form, values)
        self.bench.log.note("log", f"log entry {said}")
        self.bench.events.publish("logbook", {})
        return {"said": said, "logbook": self._document()}

    def _document(self) -> dict[str, Any]:
        return logbook_doc(self.bench.opened().path.parent)
