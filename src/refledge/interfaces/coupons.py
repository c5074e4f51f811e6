"""What ``refledge coupon`` does."""

import json
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path

from refledge import __version__
from refledge.bench.predicting import arm_piece, bench_span, piece_name, predict_arm, tenon_saving
from refledge.errors import StoreError
from refledge.geometry.coupons import (
    HOLE_ALLOWANCE,
    SHORT_ARM,
    Coupon,
    coupon_keys,
    coupon_spec,
    coupon_title,
    make_coupon,
    short_arm,
)
from refledge.geometry.kernel import area, volume
from refledge.inputs.brief import read_brief
from refledge.inputs.built import read_built
from refledge.inputs.fasteners import hardware
from refledge.interfaces.bench_options import amount, card_of, cards_of, opened, store_file, wrong
from refledge.model.bench import ArmPiece
from refledge.model.brief import Brief
from refledge.model.learned_cards import LearnedCards
from refledge.model.learning import Prediction
from refledge.model.materials import MaterialCard
from refledge.model.parts import FrameDesign
from refledge.model.results import PartSpec
from refledge.outputs.bench_forms import form_text
from refledge.outputs.bench_words import prediction_lines
from refledge.outputs.coupon_files import write_coupon
from refledge.printing.mass import printed_mass, skin_thickness
from refledge.store import Store
from refledge.study import design
from refledge.whole import checked_folder

Progress = Callable[[str, float], None]
FIT = "fit"
"""Key of the piece whose readings go into the brief."""
_NO_BED = (float("inf"),) * 3


@dataclass(frozen=True, kw_only=True)
class Order:
    """What was asked for on the command line."""

    keys: tuple[str, ...]
    out: Path
    material: str
    screw: str
    brief: Path | None
    family: str
    span: str
    load: str
    store: Path | None


@dataclass(frozen=True)
class Made:
    """One piece and its files."""

    key: str
    name: str
    quantity: int
    mass: float
    files: tuple[Path, ...]
    predicted: str
    predictions: tuple[Prediction, ...]
    kept_in: str
    """Store that holds the predictions; "" where none does."""


def catalogue() -> Iterator[str]:
    """The list of pieces."""
    width = max(map(len, coupon_keys()))
    for key in coupon_keys():
        title, quantity = coupon_title(key)
        yield f"{key:<{width}}  {title}, print {quantity}"
    yield f"{SHORT_ARM:<{width}}  arm of a brief or build, whole or with less span, print 2"


def run(order: Order, progress: Progress) -> tuple[Made, ...]:
    """Make every piece asked for and write its files."""
    keys = _checked(order)
    checked_folder(order.out)
    beside = Path() if order.brief is None else _folder(order.brief)
    brief = None if order.brief is None else read_brief(_brief_file(order.brief))
    with opened(store_file(order.store, beside)) as store:
        cards, made = cards_of(store, brief.printer.spool_names if brief else None), []
        for k, key in enumerate(keys):
            progress(key, k / len(keys))
            if key == SHORT_ARM:
                made.append(_arm(order, brief, cards, store, progress))
            else:
                made.append(_plain(order, key, brief, cards))
    return tuple(made)


def _checked(order: Order) -> tuple[str, ...]:
    known = (*coupon_keys(), SHORT_ARM)
    for key in order.keys:
        if key not in known:
            raise wrong("KEY", f'"{key}"', ", ".join(known), "choose one of these")
    if SHORT_ARM in order.keys and order.brief is None:
        step = "add --brief with a brief or a build folder"
        raise wrong("--brief", "nothing", "the brief or build that the arm belongs to", step)
    if not order.material and set(order.keys) - {SHORT_ARM}:
        step = "add --material, such as --material PETG"
        raise wrong("--material", "nothing", ", ".join(cards_of(None).cards), step)
    if order.screw not in hardware().inserts:
        sizes = ", ".join(hardware().inserts)
        raise wrong("--screw", f'"{order.screw}"', sizes, "choose one of these")
    return tuple(dict.fromkeys(order.keys))


def _folder(brief: Path) -> Path:
    return brief if brief.is_dir() else brief.parent


def _brief_file(given: Path) -> Path:
    return given / "brief.toml" if given.is_dir() else given


def _plain(order: Order, key: str, brief: Brief | None, cards: LearnedCards) -> Made:
    card = card_of("--material", order.material, cards)
    allowance = HOLE_ALLOWANCE if brief is None else brief.frame.hole_allowance
    coupon = make_coupon(key, hardware(), screw=order.screw, hole_allowance=allowance)
    spec = coupon_spec(coupon, card, _bed(brief))
    hole = hardware().screws[order.screw].clearance_hole
    form = form_text(coupon, card.key, screw=order.screw, hole=hole)
    files = write_coupon(order.out, coupon, spec, card.name, __version__, form)
    return Made(key, coupon.name, coupon.quantity, spec.mass, files, "", (), "")


def _bed(brief: Brief | None) -> tuple[float, float, float]:
    if brief is None:
        return _NO_BED
    printer = brief.printer
    return (printer.bed_length, printer.bed_width, printer.height)


def _arm(
    order: Order, brief: Brief | None, cards: LearnedCards, store: Store | None, progress: Progress
) -> Made:
    assert brief is not None  # checked before
    frame, card = _frame(order, brief, cards, progress)
    if frame.arm.grown is not None:
        raise wrong(
            "arm",
            "a brief with grown arms",
            "a brief with drawn arms",
            "strike frame.grown_arm out: a grown arm is not itself when it is cut short",
        )
    span = amount("--span", order.span, "m") if order.span else frame.arm.span
    cut, coupon = short_arm(frame, hardware(), span)
    wish = brief.frame
    rho, printer = card.rho.value, brief.printer
    mass = printed_mass(volume(coupon.solid), area(coupon.solid), rho, wish, printer)
    settings = f"{wish.walls} perimeters, {wish.skins} solid layers, {wish.infill:.0%} infill"
    spec = coupon_spec(coupon, card, _bed(brief), settings=settings, mass=mass)
    piece = arm_piece(cut)
    name = piece_name(coupon.name, piece, card, brief.title)
    load = amount("--load", order.load, "kg")
    basis = f"Refledge {__version__}, {brief.title}, beam model, {card.E_xy.source}"
    saving = tenon_saving(piece, rho, skin_thickness(wish, printer), wish.infill)
    predictions = predict_arm(name, piece, card, load, mass, basis, saving)
    kept = _keep(store, predictions)
    files = _write_arm(order.out, coupon, spec, card, piece, name, predictions)
    return Made(coupon.key, coupon.name, coupon.quantity, mass, files, name, predictions, kept)


def _frame(
    order: Order, brief: Brief, cards: LearnedCards, progress: Progress
) -> tuple[FrameDesign, MaterialCard]:
    """The frame of a build, or a design of the brief; with another family where one is asked."""
    assert order.brief is not None  # checked before
    if order.brief.is_dir() and not order.family:
        built = read_built(order.brief)
        frame, card = built.frame, built.card
    else:
        wish = replace(brief.frame, arm_family=order.family or brief.frame.arm_family)
        study = design(replace(brief, frame=wish), learned=cards, progress=progress)
        frame, card = study.frame, study.cards[study.frame.arm.material]
    return frame, (card_of("--material", order.material, cards) if order.material else card)


def _keep(store: Store | None, predictions: tuple[Prediction, ...]) -> str:
    """Write predictions down; the same ones made again stand as they were."""
    if store is None:
        return ""
    known = {each.name: each for each in store.predictions()}
    for each in predictions:
        if each.name not in known:
            store.predict(each)
        elif abs(known[each.name].value / each.value - 1) > 1e-9:
            raise StoreError(f"{each.name!r} was predicted before with another value")
    return str(store.path)


def _write_arm(
    out: Path,
    coupon: Coupon,
    spec: PartSpec,
    card: MaterialCard,
    piece: ArmPiece,
    name: str,
    predictions: tuple[Prediction, ...],
) -> tuple[Path, ...]:
    form = form_text(coupon, card.key, arm=piece, span=bench_span(piece), predicted=name)
    lines = tuple(prediction_lines(predictions))
    return write_coupon(out, coupon, spec, card.name, __version__, form, (name, lines))


def lines(made: tuple[Made, ...], out: Path) -> Iterator[str]:
    """What was written, and what to do next."""
    for each in made:
        yield f"{each.key}: print {each.quantity} × {each.name}, {1e3 * each.mass:.1f} g each"
        if each.predictions:
            yield f"  predicted as {each.predicted}:"
            yield from (f"    {line}" for line in prediction_lines(each.predictions))
            yield f"  {'kept in ' + each.kept_in if each.kept_in else _NOT_KEPT}"
    yield ""
    yield f"In {out}: KEY.3mf to print, KEY.step, KEY.html (the procedure, one page),"
    if any(each.key != FIT for each in made):
        yield "KEY.toml (fill in the readings), then: refledge reduce KEY.toml --store bench.sqlite"
    if any(each.key == FIT for each in made):
        yield f"{FIT}.toml says what each step means: fill its lines in and put them into the brief"


_NOT_KEPT = "not kept: add --store bench.sqlite, or the test cannot be scored against it"


def as_json(made: tuple[Made, ...]) -> str:
    """The same for machines, SI."""
    document = [
        {
            "key": each.key,
            "name": each.name,
            "quantity": each.quantity,
            "mass_kg": each.mass,
            "files": [str(file) for file in each.files],
            "predicted": each.predicted,
            "predictions": [vars(p) for p in each.predictions],
            "store": each.kept_in,
        }
        for each in made
    ]
    return json.dumps({"pieces": document}, indent=1, ensure_ascii=False, allow_nan=False)
