"""The pages of the bench, put together from blocks: a table, charts, findings under one title."""

from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

from refledge.model.bench_results import Finding
from refledge.outputs.bench_pages import bench_page


@dataclass(frozen=True)
class Block:
    """One part of a page."""

    title: str
    remark: str = ""
    heads: tuple[str, ...] = ()
    rows: tuple[tuple[str, ...], ...] = ()
    numbers: tuple[int, ...] = ()
    """Columns that hold numbers, from 0."""
    charts: tuple[Markup, ...] = ()
    findings: tuple[Finding, ...] = ()


def block_page(
    kind: str,
    title: str,
    blocks: Sequence[Block],
    version: str,
    *,
    note: str = "",
    headline: tuple[str, str] | None = None,
) -> str:
    """The page; ``headline``: class of the report's style (good, near, bad) and the words."""
    return bench_page(
        "bench.html",
        kind=kind,
        title=title,
        blocks=tuple(blocks),
        version=version,
        note=note,
        headline=headline,
    )


def finding_block(findings: Sequence[Finding], title: str = "What to look at") -> Block:
    """Grave ones first; says so where there is nothing."""
    ordered = tuple(sorted(findings, key=lambda f: not f.grave))
    return Block(title, findings=ordered or (Finding("none", False, "Nothing stands out."),))
