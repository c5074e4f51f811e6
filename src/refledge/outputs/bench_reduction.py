"""The page of one reduced session: figures, charts of the readings, what to look at."""

from markupsafe import Markup

from refledge.bench.drawn import drawn_creep, drawn_pieces, drawn_series
from refledge.model.bench import BenchFile, Session
from refledge.model.bench_results import Measured, Reduction
from refledge.model.learning import Score
from refledge.outputs.bench_blocks import Block, block_page, finding_block
from refledge.outputs.bench_charts import charts_of, creep_chart, pieces_chart
from refledge.outputs.bench_words import amount, prop_title, score_words

_HEADS = ("property", "found", "95 % interval", "standard uncertainty", "pieces", "by")


def reduction_page(
    session: Session, found: Reduction, version: str, scores: tuple[Score, ...] = ()
) -> str:
    """HTML of what one session says."""
    file = session.file
    blocks = [
        Block("What was found", heads=_HEADS, rows=tuple(map(_row, found.measured)),
              numbers=(1, 2, 3, 4)),
        Block("Readings", _remark(file), charts=_charts(file, found)),
        finding_block(found.findings),
        Block("Where the uncertainty comes from", _SHARES, ("input", "share of the variance"),
              _shares(found), (1,)),
        Block("On the way", heads=("figure", "value"), numbers=(1,),
              rows=tuple((n, amount(v, u)) for n, v, u in found.figures)),
    ]  # fmt: skip
    if scores:
        rows = tuple(score_words(each) for each in scores)
        heads = ("predicted before the test", "predicted", "measured", "z")
        blocks.insert(1, Block("Against the prediction", heads=heads, rows=rows, numbers=(1, 2, 3)))
    if session.assumed:
        assumed = tuple(tuple(each.split(": ", 1)) for each in session.assumed)
        blocks.append(Block("Assumed", _ASSUMED, ("field", "taken as"), assumed))
    note = f"{found.material}, spool {found.spool}, printed {found.orientation}, {found.date}"
    kind = f"{found.kind} test"
    return block_page(kind, found.title, [b for b in blocks if _says(b)], version, note=note,
                      headline=_headline(found))  # fmt: skip


_SHARES = "By the law of propagation (JCGM 100); what to measure better is at the top."
_ASSUMED = "What the file left open, and what was taken instead. State it in the file to change it."


def _says(block: Block) -> bool:
    return bool(block.rows or block.charts or block.findings)


def _row(m: Measured) -> tuple[str, ...]:
    interval = f"{amount(m.carlo_low, m.unit)} to {amount(m.carlo_high, m.unit)}"
    uncertainty = f"{m.relative:.1%}"
    return (prop_title(m.prop), amount(m.value, m.unit), interval, uncertainty, str(m.pieces),
            m.method)  # fmt: skip


def _shares(found: Reduction) -> tuple[tuple[str, str], ...]:
    return tuple(
        (name, f"{share:.1%}") for m in found.measured for name, share in m.shares if share >= 5e-4
    )


def _headline(found: Reduction) -> tuple[str, str]:
    main = found.measured[0]
    words = f"{prop_title(main.prop)}: {amount(main.value, main.unit)} ± {main.relative:.1%}"
    grave = sum(each.grave for each in found.findings)
    if not grave:
        return "good", f"{words[:1].upper()}{words[1:]}"
    tail = "accepted in the file" if found.accepted else "look at what is marked before using it"
    return "near", f"{words[:1].upper()}{words[1:]}; {grave} grave findings, {tail}"


def _remark(file: BenchFile) -> str:
    if file.kind == "creep":
        return "The law through the readings, carried on to where it may be trusted."
    if file.kind in ("density", "layer-pull", "insert-pull"):
        return "Each piece alone, and the mean of all."
    return "Each series with its line, the zero free; below, what the line leaves."


def _charts(file: BenchFile, found: Reduction) -> tuple[Markup, ...]:
    if file.kind == "creep":
        return (Markup(creep_chart(drawn_creep(file))),)
    if file.kind in ("density", "layer-pull", "insert-pull"):
        return (Markup(pieces_chart(drawn_pieces(file), found.measured[0])),)
    return tuple(Markup(each) for each in charts_of(drawn_series(file)))
