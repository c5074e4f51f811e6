"""Files of one test piece: STEP, 3MF in print pose, and its page of procedure."""

from pathlib import Path

from refledge.geometry.coupons import Coupon
from refledge.geometry.kernel import tessellate, write_step
from refledge.model.results import PartSpec
from refledge.outputs.threemf import threemf_bytes

_PAGE = """<!doctype html>
<html lang="en"><head><meta charset="utf-8"><title>{title}</title>
<style>@page {{ size: A4; margin: 18mm }} body {{ font: 11pt/1.35 sans-serif; max-width: 42em;
margin: auto }} h1 {{ font-size: 16pt }} dt {{ font-weight: bold; margin-top: .5em }}
dd {{ margin: 0 0 0 1.2em }}</style></head><body>
{fragment}</body></html>
"""


def write_coupon(
    folder: Path, coupon: Coupon, spec: PartSpec, material: str, version: str, fragment: str
) -> tuple[Path, ...]:
    """Write ``KEY.step``, ``KEY.3mf`` and ``KEY.html`` (the procedure's ``fragment`` as a page)."""
    folder.mkdir(parents=True, exist_ok=True)
    step, package, page = (folder / f"{coupon.key}.{end}" for end in ("step", "3mf", "html"))
    write_step({coupon.name: coupon.solid}, step)
    package.write_bytes(threemf_bytes(spec, tessellate(coupon.solid), material, version))
    page.write_text(_PAGE.format(title=coupon.name, fragment=fragment), encoding="utf-8")
    return (step, package, page)
