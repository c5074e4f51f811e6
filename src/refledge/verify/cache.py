"""Solved parts kept by content: the same solid, plastic, loads and mesh are not solved twice."""

import hashlib
import json
import tempfile
from dataclasses import asdict, fields
from pathlib import Path
from typing import Any

import numpy as np

from refledge import __version__
from refledge.geometry.kernel import write_step
from refledge.model.results import TriMesh
from refledge.solids.part import PrintedBody
from refledge.verify.results import BuckledShape, HotSpot, PartVerified, SolidFigure, WholeVerified
from refledge.verify.setup import Setup
from refledge.whole import write_whole, written_whole

FORMAT = 5


def content_key(setup: Setup, body: PrintedBody) -> str:
    """Hash of everything that the result depends on."""
    digest = hashlib.sha256(f"{__version__} {FORMAT} {setup.key}".encode())
    if body.surface is not None:
        digest.update(body.surface.vertices.tobytes() + body.surface.triangles.tobytes())
    else:
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / "part.step"
            write_step({setup.key: body.solid}, path)
            digest.update(path.read_bytes())
    held = setup.supports, setup.yields
    told = (body.plastic, body.build, body.skin, setup.regions, held, setup.size)
    digest.update(repr(told).encode())
    digest.update(
        repr(
            (setup.watch, setup.n_modes, setup.buckles, setup.by_hand, sorted(setup.beam.items()))
        ).encode()
    )
    for case in setup.cases:
        digest.update(repr((case.name, _plain(case))).encode())
    for mass in setup.masses:
        digest.update(repr(_plain(mass)).encode())
    return digest.hexdigest()[:32]


def load(folder: Path | None, key: str) -> PartVerified | None:
    """A kept result; None where there is none that can be read."""
    if folder is None or not (folder / f"{key}.json").exists():
        return None
    try:
        told = json.loads((folder / f"{key}.json").read_text(encoding="utf-8"))
        with np.load(folder / f"{key}.npz") as arrays:
            surface = TriMesh(arrays["vertices"], arrays["triangles"])
            use, moved = arrays["use"], arrays["buckled"]
        fields = (folder / f"{key}.vtu").read_text(encoding="utf-8")
    except (OSError, ValueError, KeyError):  # torn or foreign files are solved anew
        return None
    return PartVerified(
        key=told["key"],
        figures=tuple(SolidFigure(**each) for each in told["figures"]),
        spots=tuple(HotSpot(**(each | {"place": tuple(each["place"])})) for each in told["spots"]),
        dofs=told["dofs"],
        sizes=tuple(told["sizes"]),
        surface=surface,
        use=use,
        worst_case=told["worst_case"],
        fields=fields,
        buckled=BuckledShape(moved=moved, **told["buckled"]) if told["buckled"] else None,
    )


def keep(folder: Path | None, key: str, found: PartVerified) -> None:
    """Write a result; the JSON file comes last, so that no half result is read."""
    if folder is None:
        return
    with written_whole(folder / f"{key}.npz") as out:
        np.savez(
            out,
            vertices=found.surface.vertices,
            triangles=found.surface.triangles,
            use=found.use,
            buckled=np.zeros((0, 3)) if found.buckled is None else found.buckled.moved,
        )
    write_whole(folder / f"{key}.vtu", found.fields)
    told = {
        "key": found.key,
        "figures": [asdict(each) for each in found.figures],
        "spots": [asdict(each) for each in found.spots],
        "dofs": found.dofs,
        "sizes": found.sizes,
        "worst_case": found.worst_case,
        "buckled": found.buckled and {"case": found.buckled.case, "why": found.buckled.why},
    }
    write_whole(folder / f"{key}.json", json.dumps(told))


def load_whole(folder: Path | None, key: str) -> WholeVerified | None:
    """A kept whole airframe; None where there is none that can be read."""
    if folder is None or not (folder / f"{key}.npz").exists():
        return None
    try:
        with np.load(folder / f"{key}.npz") as kept:
            arrays = {name: kept[name] for name in kept.files}
        return WholeVerified(
            **(
                arrays
                | {"dofs": int(arrays["dofs"]), "partner": tuple(map(int, arrays["partner"]))}
            )
        )
    except (OSError, ValueError, KeyError, TypeError):  # torn or foreign files are solved anew
        return None


def keep_whole(folder: Path | None, key: str, found: WholeVerified) -> None:
    """Write a whole airframe's result."""
    if folder is None:
        return
    with written_whole(folder / f"{key}.npz") as out:
        np.savez(out, **{each.name: getattr(found, each.name) for each in fields(found)})


def _plain(value: Any) -> Any:
    """A dataclass with arrays as nested lists, for hashing."""
    if hasattr(value, "__dataclass_fields__"):
        return {name: _plain(getattr(value, name)) for name in value.__dataclass_fields__}
    if isinstance(value, np.ndarray):
        return value.tolist()
    if isinstance(value, tuple):
        return [_plain(each) for each in value]
    return value
