"""SVG (W3C SVG 1.1) from small functions: every text escaped, every number rounded once."""

from collections.abc import Iterable, Sequence
from xml.sax.saxutils import escape, quoteattr

# One set of styles for all charts. Colours come as custom properties so that a page in dark mode
# changes them; without colour, line dashes, patterns and words still tell things apart.
STYLE = """
.rf{font-family:system-ui,-apple-system,"Segoe UI",sans-serif;font-size:13px;
--ink:#1d2529;--soft:#69757b;--grid:#d7dcdd;--good:#1f7a6d;--near:#b0730f;--bad:#b03024;
--dunno:#6a5a8c;--one:#2b5d7d;--two:#c06a2b;--area:#e7ecec}
@media (prefers-color-scheme:dark){.rf{--ink:#e4e9ea;--soft:#9fabb0;--grid:#3b4549;--good:#5cc2b1;
--near:#e3ae55;--bad:#ef8074;--dunno:#b4a4da;--one:#86bbdd;--two:#eba473;--area:#2a3337}}
@media print{.rf{--ink:#000;--soft:#444;--grid:#ccc;--good:#1f7a6d;--near:#b0730f;--bad:#b03024;
--dunno:#6a5a8c;--one:#2b5d7d;--two:#c06a2b;--area:#e7ecec}}
.rf text{fill:var(--ink)}.rf .soft{fill:var(--soft)}.rf .strong{font-weight:600}
.rf .axis{stroke:var(--ink);stroke-width:1;fill:none}
.rf .grid{stroke:var(--grid);stroke-width:1;fill:none}
.rf .line{stroke:var(--one);stroke-width:2.2;fill:none}
.rf .line.second{stroke:var(--two);stroke-dasharray:9 4}
.rf .mode{stroke:var(--soft);stroke-width:1.3;stroke-dasharray:2 3;fill:none}
.rf .mode.heavy{stroke-width:2.2;stroke-dasharray:none}
.rf .mark{stroke:var(--ink);stroke-width:1.4;fill:none}
.rf .ghost{stroke:var(--soft);stroke-width:1.4;stroke-dasharray:3 3;fill:none}
.rf .shape{stroke:var(--two);stroke-width:2.6;fill:none;stroke-linecap:round}
.rf .area{fill:var(--area)}.rf .bar{fill:var(--one)}.rf .bar.second{fill:var(--two)}
.rf .good{fill:var(--good)}.rf .near{fill:var(--near)}.rf .bad{fill:var(--bad)}
.rf .dunno{fill:var(--dunno)}.rf .hollow{fill:none;stroke:var(--soft)}
""".replace("\n", "")


def number(value: float) -> str:
    """A coordinate with two decimals, without trailing noughts."""
    return f"{value + 0.0:.2f}".rstrip("0").rstrip(".") or "0"


def chart(width: float, height: float, title: str, items: Iterable[str]) -> str:
    """A whole SVG picture with a title for those who cannot see it."""
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="rf" role="img" '
        f'viewBox="0 0 {number(width)} {number(height)}" width="{number(width)}" '
        f'height="{number(height)}"><title>{escape(title)}</title><style>{STYLE}</style>'
        f"{''.join(items)}</svg>"
    )


def line(x1: float, y1: float, x2: float, y2: float, kind: str) -> str:
    return (
        f'<line x1="{number(x1)}" y1="{number(y1)}" x2="{number(x2)}" y2="{number(y2)}" '
        f'class="{kind}"/>'
    )


def polyline(points: Sequence[tuple[float, float]], kind: str) -> str:
    where = " ".join(f"{number(x)},{number(y)}" for x, y in points)
    return f'<polyline points="{where}" class="{kind}"/>'


def polygon(points: Sequence[tuple[float, float]], kind: str) -> str:
    where = " ".join(f"{number(x)},{number(y)}" for x, y in points)
    return f'<polygon points="{where}" class="{kind}"/>'


def rectangle(x: float, y: float, width: float, height: float, kind: str) -> str:
    return (
        f'<rect x="{number(x)}" y="{number(y)}" width="{number(max(width, 0))}" '
        f'height="{number(max(height, 0))}" class="{kind}"/>'
    )


def circle(x: float, y: float, radius: float, kind: str) -> str:
    return f'<circle cx="{number(x)}" cy="{number(y)}" r="{number(radius)}" class="{kind}"/>'


def text(
    x: float, y: float, words: str, kind: str = "", anchor: str = "start", turn: float = 0.0
) -> str:
    """Words at a point; ``anchor`` is start, middle or end; ``turn`` in degrees about the point."""
    turned = f' transform="rotate({number(turn)} {number(x)} {number(y)})"' if turn else ""
    return (
        f'<text x="{number(x)}" y="{number(y)}" text-anchor="{anchor}" '
        f"class={quoteattr(kind)}{turned}>{escape(words)}</text>"
    )


def shortened(words: str, most: int) -> str:
    """``words`` cut to ``most`` letters, the cut marked."""
    return words if len(words) <= most else words[: most - 1].rstrip() + "…"
