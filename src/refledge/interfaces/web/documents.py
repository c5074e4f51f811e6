"""Documents of the workbench for the routes, made once for each revision."""

from collections.abc import Callable
from typing import Any, TypeVar

import numpy as np

from refledge import __version__
from refledge.interfaces.bench_options import opened, store_file
from refledge.interfaces.web.answers import conflict_doc
from refledge.interfaces.web.brief_doc import brief_doc
from refledge.interfaces.web.charts_doc import charts_doc, discharge_doc
from refledge.interfaces.web.job_doc import job_doc, kinds_doc, measured_doc
from refledge.interfaces.web.refusals import MissingError
from refledge.interfaces.web.results_doc import results_doc, tables_doc
from refledge.interfaces.web.session import ConflictError
from refledge.interfaces.web.shapes_doc import assembly_doc, shapes_doc
from refledge.interfaces.web.variants import Side, Snapshot, Variants
from refledge.interfaces.web.workbench import Workbench
from refledge.model.results import Assembly, Placement
from refledge.outputs.gltf import glb_bytes
from refledge.study import Study

Made = TypeVar("Made")


class Documents:
    """Everything that can be asked of a workbench, as plain values or bytes."""

    def __init__(self, bench: Workbench, variants: Variants) -> None:
        self.bench = bench
        self.variants = variants
        self._kept: dict[str, Any] = {}
        self._of = -1

    def state(self) -> dict[str, Any]:
        """All that a fresh page needs."""
        bench = self.bench
        with bench.lock:
            session = bench.session
            return {
                "version": __version__,
                "project": str(bench.folder),
                "file": session.path.name if session else None,
                "revision": bench.revision,
                "brief": self.brief() if session else None,
                "results": self.results() if session else None,
                "charts": self.charts() if bench.screen.study else None,
                "jobs": self.jobs(),
                "job_kinds": kinds_doc(),
                "variants": self.variants.all(),
                "conflict": bool(session and bench.conflicting()),
                "last_event": bench.events.last,
            }

    def answer(self, took: float) -> dict[str, Any]:
        """After an edit."""
        bench = self.bench
        with bench.lock:
            return {
                "revision": bench.revision,
                "brief": self.brief(),
                "results": self.results(),
                "charts": self.charts() if bench.screen.study else None,
                "took_ms": round(1e3 * took, 1),
            }

    def brief(self) -> dict[str, Any]:
        bench = self.bench
        with bench.lock:
            session, screen = bench.opened(), bench.screen
            return self._once(
                "brief", lambda: brief_doc(session, screen.dimensions(), screen.sized_value)
            )

    def results(self) -> dict[str, Any]:
        bench = self.bench
        with bench.lock:
            standing = bench.screen.standing(bench.opened())
            key = f"results {standing.sizing} {standing.solids}"
            return self._once(
                key, lambda: results_doc(bench.screen.study, standing, bench.revision)
            )

    def conflict(self) -> dict[str, Any]:
        """Both texts where another program has changed the file."""
        with self.bench.lock:
            session = self.bench.opened()
            theirs = session.theirs()
            if theirs is None:
                raise MissingError("the file is as this session left it")
            return conflict_doc(ConflictError(session.text, theirs))

    def charts(self) -> dict[str, Any]:
        study, revision = self._study()
        pending = self.bench.screen.solids != "current"
        return self._once(
            f"charts {pending}", lambda: charts_doc(study, revision, solids_pending=pending)
        )

    def measured(self) -> list[dict[str, Any]]:
        """Predictions against tests, from the bench's store beside the brief."""
        with opened(store_file(None, self.bench.opened().path.parent)) as store:
            return measured_doc(store.scores() if store else ())

    def shapes(self) -> dict[str, Any]:
        study, revision = self._study()
        return self._once("shapes", lambda: shapes_doc(study, revision))

    def discharge(self) -> dict[str, Any]:
        study, _ = self._study()
        return self._once("discharge", lambda: discharge_doc(study))

    def tables(self) -> list[dict[str, Any]]:
        return tables_doc(self._study()[0])

    def assembly(self) -> dict[str, Any]:
        study, revision = self._study()
        screen = self.bench.screen
        return assembly_doc(study.assembly, screen.meshes, screen.solids, revision)

    def assembly_glb(self) -> bytes:
        study, _ = self._study()
        return self._once("glb", lambda: glb_bytes(study.assembly, study.brief.title, __version__))

    def mesh_glb(self, key: str) -> tuple[bytes, str]:
        """One mesh in its own axes, and the name of its contents."""
        study, _ = self._study()
        placed = next((each for each in study.assembly.placements if each.key == key), None)
        if placed is None:
            raise MissingError(f'no body "{key[:40]}"')
        return glb_bytes(
            _alone(study.assembly, placed), key, __version__
        ), self.bench.screen.meshes[key]

    def jobs(self) -> list[dict[str, Any]]:
        return [job_doc(self.bench, job) for job in self.bench.jobs.all()]

    def snapshot(self, name: str) -> Snapshot:
        """What is on the screen, to be kept as a variant."""
        bench = self.bench
        with bench.lock:
            session = bench.opened()
            study, _ = self._study()
            return Snapshot(
                name, study.brief.title, session.text, session.by_hand, self.results(),
                self.assembly_glb(),
            )  # fmt: skip

    def side(self, name: str) -> Side:
        """One column of a comparison; ``now`` is the screen."""
        if name == "now":
            with self.bench.lock:
                return Side(name, self.results(), self.bench.opened().text)
        return Side(name, self.variants.results(name), self.variants.state(name).text)

    def _study(self) -> tuple[Study, int]:
        with self.bench.lock:
            study = self.bench.screen.study
            if study is None:
                raise MissingError(self.bench.screen.why_not)
            return study, self.bench.revision

    def _once(self, key: str, make: Callable[[], Made]) -> Made:
        """The document of this revision, made on first demand."""
        with self.bench.lock:
            if self._of != self.bench.revision:
                self._kept, self._of = {}, self.bench.revision
            if key not in self._kept:
                self._kept[key] = make()
            found: Made = self._kept[key]
            return found


def _alone(assembly: Assembly, placed: Placement) -> Assembly:
    """One mesh as an assembly of its own, unmoved."""
    still = Placement(placed.key, placed.key, placed.group, np.eye(3), np.zeros(3))
    return Assembly({placed.key: assembly.meshes[placed.key]}, (still,))
