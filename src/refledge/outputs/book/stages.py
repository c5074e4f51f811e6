"""The order of assembly: which parts and items come on in which step, with which fasteners.

Parts that no stage names come on in a step of their own, so that a new kind of part is never left
out of the book.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from refledge.errors import BuildError
from refledge.geometry.items import other_key
from refledge.model.results import Fastener
from refledge.outputs.book.bench_stages import ON_THE_BENCH
from refledge.outputs.book.frame_stages import OF_THE_FRAME
from refledge.outputs.book.hinge_stages import FOLDING
from refledge.outputs.book.last_stages import LAST
from refledge.outputs.book.stage import DOWN, HINGES, NUTS, UP, Stage
from refledge.outputs.words import capital, count
from refledge.study import Study

STAGES: tuple[Stage, ...] = (*ON_THE_BENCH, *FOLDING, *OF_THE_FRAME, *LAST)


def stages_of(study: Study) -> tuple[tuple[Stage, tuple[Fastener, ...]], ...]:
    """The steps that this airframe needs, each with its fasteners, every fastener in just one."""
    placed = {each.key for each in study.assembly.placements}
    frame = study.frame
    held = _named(study, frame.receiver_holder.item if frame.receiver_holder else "")
    masted = _named(study, frame.mast.item if frame.mast else "")
    others = tuple(sorted(key for key in placed if key.startswith("other_")))
    others = tuple(key for key in others if key not in (*held, *masted))
    special = {"others": others, "receiver": held, "masted": masted}
    listed = {spec.key for spec in study.parts}
    placed |= {NUTS} if study.frame.seat.threads == "nuts" else set()
    placed |= {HINGES} if study.frame.hinge is not None else set()
    known = {key for stage in STAGES for key in stage.parts + stage.base}
    extra = [_own(study, spec.key) for spec in study.parts if spec.key not in known]
    ordered = [s for s in STAGES if not s.final] + extra + [s for s in STAGES if s.final]
    kept = [_present(stage, placed | listed, special) for stage in ordered]
    return tuple(_with_fasteners([stage for stage in kept if stage is not None], study.fasteners))


def _named(study: Study, name: str) -> tuple[str, ...]:
    """Key of the other item of that name."""
    return tuple(
        other_key(i) for i, each in enumerate(study.brief.others) if name and each.name == name
    )


def _own(study: Study, key: str) -> Stage:
    """A step for a part that no stage names."""
    spec = next(each for each in study.parts if each.key == key)
    heights = [float(p.translation[2]) for p in study.assembly.placements if p.key == key]
    lift = DOWN if heights and max(heights) < 0 else UP
    title = f"{capital(spec.name)}: {count(spec.quantity, 'piece')}"
    say = (f"Fit the {spec.name} as the picture shows, with the fasteners below.",)
    return Stage(title, (key,), lift=lift, fasteners=(spec.name,), say=say)


def _present(stage: Stage, known: set[str], special: Mapping[str, tuple[str, ...]]) -> Stage | None:
    """The stage with only what this airframe has; None where nothing is new in it.

    special: words that stand for items, and the keys of those.
    """
    wanted = tuple(k for key in stage.parts for k in special.get(key, (key,)))
    parts = tuple(key for key in wanted if key in known)
    base = tuple(key for key in stage.base if key in known)
    if (stage.only and stage.only not in known) or stage.unless in known:
        return None
    if not parts or (stage.base and not base):
        return None
    return replace(stage, parts=parts, base=base)


def _with_fasteners(
    stages: Sequence[Stage], fasteners: Sequence[Fastener]
) -> Iterator[tuple[Stage, tuple[Fastener, ...]]]:
    """Each fastener to the stage whose words fit its place best; inserts to the first such."""
    taken: dict[int, list[Fastener]] = {}
    for fastener in fasteners:
        taken.setdefault(_home(stages, fastener), []).append(fastener)
    for number, stage in enumerate(stages):
        yield stage, tuple(taken.get(number, ()))


def _home(stages: Sequence[Stage], fastener: Fastener) -> int:
    fits = [
        (len(words), number)
        for number, stage in enumerate(stages)
        for words in stage.fasteners
        if fastener.where.startswith(words) or words in fastener.where
    ]
    if not fits:
        if not stages:
            raise BuildError("the book has no steps to put fasteners into")
        closing = [n for n, stage in enumerate(stages) if "upper_plate" in stage.parts]
        return closing[0] if closing else len(stages) - 1
    return max(fits, key=lambda fit: (fit[0], -fit[1]))[1]
