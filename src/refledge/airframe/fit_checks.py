"""Checks of fit: bed, propeller clearances, parts that meet."""

from refledge.airframe.judge import judge, none_margin
from refledge.model.brief import Brief
from refledge.model.checks import Check
from refledge.model.layout import Layout
from refledge.model.results import Assembly, PartSpec

LEAST_DISC_GAP = 5e-3
"""m; what a flexing blade needs above the mount: common practice, no source."""


def fit_checks(
    brief: Brief, layout: Layout, parts: tuple[PartSpec, ...], assembly: Assembly
) -> tuple[Check, ...]:
    """Bed fit of every printed part, clearances of the propellers, overlaps of solids."""
    return (
        *(_bed(brief, part) for part in parts if part.printed),
        _tip_gap(brief, layout),
        _disc_gap(assembly),
        _overlaps(assembly),
    )


def _bed(brief: Brief, part: PartSpec) -> Check:
    """Largest ratio of part to printer over the three directions, turned on the bed as needed."""
    long, short = sorted(part.size[:2], reverse=True)
    printer = brief.printer
    ratio = max(long / printer.bed_length, short / printer.bed_width, part.size[2] / printer.height)
    note = "" if part.fits_bed else "fits only if turned on the bed or split"
    return judge(
        key=f"bed-{part.key}", title="fits the printer", group="fit", part=part.name,
        demand=ratio, capacity=1.0, unit="1", shown="%",
        method="bounding box as it lies on the bed against bed and height",
        source="computed from the solid", note=note, exact=True,
    )  # fmt: skip


def _tip_gap(brief: Brief, layout: Layout) -> Check:
    return judge(
        key="propeller-tip-gap", title="gap between propeller tips", group="fit",
        part="propellers", demand=layout.tip_gap + 1e-9, capacity=brief.layout.tip_gap,
        unit="m", shown="mm", at_least=True, method="distance between disc centres less diameter",
        source="computed from the layout", exact=True,
        note="met exactly where it fixes the arm length",
    )  # fmt: skip


def _disc_gap(assembly: Assembly) -> Check:
    return judge(
        key="propeller-part-gap", title="propeller disc to the nearest part", group="fit",
        part="propellers", demand=assembly.least_gap, capacity=LEAST_DISC_GAP,
        unit="m", shown="mm", at_least=True, method="distance between solids in the assembly",
        source="computed from the solids", exact=True,
    )  # fmt: skip


def _overlaps(assembly: Assembly) -> Check:
    return judge(
        key="parts-overlap", title="parts that share volume", group="fit", part="assembly",
        demand=float(len(assembly.overlaps)), capacity=0.0, unit="1", shown="1",
        margin=none_margin(len(assembly.overlaps)),
        method="common volume of every pair of neighbouring solids above 1 mm3",
        source="computed from the solids", note="; ".join(assembly.overlaps), exact=True,
    )  # fmt: skip
