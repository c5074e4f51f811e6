"""The build that was written last: its files as pages, and all of it in one file."""

import tempfile
import zipfile
from pathlib import Path
from typing import TYPE_CHECKING

from fastapi import APIRouter
from starlette.background import BackgroundTask
from starlette.responses import FileResponse, Response

from refledge.interfaces.web.files import inside
from refledge.interfaces.web.refusals import MissingError

if TYPE_CHECKING:
    from refledge.interfaces.web.workbench import Workbench


class BuildRoutes:
    """The addresses under /build and /api/build.zip."""

    def __init__(self, bench: "Workbench", key: str) -> None:
        self.bench = bench
        self.key = key

    def add_to(self, router: APIRouter) -> None:
        router.add_api_route("/api/build.zip", self.build_zip, methods=["GET"])
        router.add_api_route("/build/{key}/{path:path}", self.build_file, methods=["GET"])

    def build_zip(self) -> Response:
        folder = self._built()
        with (
            tempfile.NamedTemporaryFile(suffix=".zip", delete=False) as made,
            zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as archive,
        ):
            for path in sorted(folder.rglob("*")):
                if path.is_file() and not path.is_symlink():
                    archive.write(path, Path(folder.name) / path.relative_to(folder))
        clean = BackgroundTask(Path(made.name).unlink, missing_ok=True)
        return FileResponse(
            made.name, media_type="application/zip", filename=f"{folder.name}.zip", background=clean
        )

    def build_file(self, key: str, path: str) -> Response:
        """A file of the build as a page of its own, in which no script runs."""
        if key != self.key:
            raise MissingError("no such address")
        file = inside(self._built(), path)
        if not file.is_file():
            raise MissingError("no such file in the build")
        policy = "default-src 'none'; img-src 'self' data:; style-src 'self' 'unsafe-inline'"
        return FileResponse(
            file, headers={"Content-Security-Policy": policy, "Cache-Control": "no-store"}
        )

    def _built(self) -> Path:
        with self.bench.lock:
            folder = self.bench.build_folder
        if not (folder / "build.json").is_file():
            raise MissingError("no build has been written yet")
        return folder
