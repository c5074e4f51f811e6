"""Files of one test piece: STEP, 3MF in print pose, its page of procedure, a form for readings."""

from collections.abc import Sequence
from pathlib import Path
from typing import Final

import numpy as np

from refledge.bench.procedures import procedure
from refledge.geometry.coupons import Coupon
from refledge.geometry.kernel import tessellate, write_step
from refledge.model.results import PartSpec, TriMesh
from refledge.outputs.bench_forms import COLUMNS, filled_in
from refledge.outputs.bench_pages import bench_page
from refledge.outputs.layer import Body
from refledge.outputs.pages import data_uri
from refledge.outputs.palette import rgb_of
from refledge.outputs.pose import on_bed
from refledge.outputs.render import picture, png_bytes
from refledge.outputs.threemf import threemf_bytes
from refledge.whole import checked_folder, write_whole

_VIEW: Final = (-0.9, 0.55, 560, 400)  # rad, rad, px, px
AFTER: Final = {"fit": "its lines, filled in, go into your brief"}
"""What to do with a form that is not reduced."""
_ROWS: Final = {"bend": 16, "torsion": 16, "cantilever": 16}


def write_coupon(
    folder: Path,
    coupon: Coupon,
    spec: PartSpec,
    material: str,
    version: str,
    form: str,
    predicted: tuple[str, Sequence[str]] = ("", ()),
) -> tuple[Path, ...]:
    """Write ``KEY.step``, ``.3mf``, ``.html`` (the procedure) and ``.toml`` (``form``).

    ``predicted``: name of the piece's predictions and a line for each. A form that has been filled
    in is left as it is.
    """
    checked_folder(folder)
    step, package, page, readings = (
        folder / f"{coupon.key}.{end}" for end in ("step", "3mf", "html", "toml")
    )
    mesh = tessellate(coupon.solid)
    draft = folder / f".{coupon.key}.part.step"
    write_step({coupon.name: coupon.solid}, draft, title=coupon.name)
    draft.replace(step)
    write_whole(package, threemf_bytes(spec, mesh, material, version))
    write_whole(page, sheet_html(coupon, spec, mesh, material, version, predicted))
    if not (readings.exists() and filled_in(readings.read_text(encoding="utf-8"))):
        write_whole(readings, form)
    return (step, package, page, readings)


def sheet_html(
    coupon: Coupon,
    spec: PartSpec,
    mesh: TriMesh,
    material: str,
    version: str,
    predicted: tuple[str, Sequence[str]] = ("", ()),
) -> str:
    """One page to print: the piece, how to test it, room for the readings."""
    body = Body(on_bed(spec, mesh), rgb_of(spec.key, "part"))
    azimuth, elevation, width, height = _VIEW
    shown = png_bytes(picture([body], azimuth, elevation, width, height))
    return bench_page(
        "sheet.html",
        title=coupon.name,
        procedure=procedure(coupon.procedure),
        quantity=coupon.quantity,
        file=coupon.key,
        then=AFTER.get(coupon.procedure, f"refledge reduce {coupon.key}.toml --store bench.sqlite"),
        material=material,
        size=np.asarray(spec.size).tolist(),
        mass=spec.mass,
        note=spec.print_note,
        picture=data_uri(shown),
        predicted_name=predicted[0],
        predicted=tuple(predicted[1]),
        columns=COLUMNS[coupon.procedure],
        rows=_ROWS.get(coupon.procedure, coupon.quantity),
        version=version,
    )
