"""Pictures of the grown arm, as it grows and as it came out."""

from typing import TYPE_CHECKING

from fastapi import APIRouter
from starlette.responses import Response

from refledge.interfaces.web.payloads import GROWN
from refledge.interfaces.web.refusals import MissingError

if TYPE_CHECKING:
    from refledge.interfaces.web.workbench import Workbench

PICTURES = ("growing.png", "grown-below.png", "grown-above.png", "present.png")
"""What the page may show of the folder."""


class GrownRoutes:
    """The addresses under /api/grown."""

    def __init__(self, bench: "Workbench") -> None:
        self.bench = bench

    def add_to(self, router: APIRouter) -> None:
        router.add_api_route("/api/grown/{name}", self.picture, methods=["GET"])

    def picture(self, name: str) -> Response:
        """One of ``PICTURES``; raises MissingError for others and before there is one."""
        build = self.bench.build_folder
        path = build.with_name(f"{build.name}{GROWN}") / name
        if name not in PICTURES or not path.is_file():
            raise MissingError(f"no picture {name[:40]} of a grown arm")
        headers = {"Cache-Control": "no-store"}
        return Response(path.read_bytes(), media_type="image/png", headers=headers)
