"""The bench: what was printed, how it was held and loaded, what was read."""

from dataclasses import dataclass

from refledge.model.fields import part, quantity, text
from refledge.model.wishes import ARM_FAMILIES

TEST_KINDS = (
    "cantilever", "three-point", "torsion", "creep", "density", "layer-pull", "insert-pull",
)  # fmt: skip
ORIENTATIONS = ("flat", "edge", "upright")
SHAPES = ("bar", "tube", "arm", "other")


@dataclass(frozen=True, kw_only=True)
class Spool:
    """The spool that the pieces were printed from."""

    name: str = text("what you call the spool; write it on the spool")
    maker: str = text("maker and product", default="")
    drying: str = text("how it was dried, such as 8 h at 80 degC", default="")


@dataclass(frozen=True, kw_only=True)
class PrintSettings:
    """How the pieces were printed."""

    orientation: str = text("how the piece lay on the bed", choices=ORIENTATIONS)
    printer: str = text("the printer", default="")
    nozzle_temperature: float | None = quantity(
        "nozzle temperature", "K", "degC", low=423.15, high=773.15, default=None
    )
    bed_temperature: float | None = quantity(
        "bed temperature", "K", "degC", low=273.15, high=473.15, default=None
    )
    layer: float = quantity(
        "layer height",
        "m",
        "mm",
        low=5e-5,
        high=1.2e-3,
        default=2e-4,
        reason="half of the usual nozzle",
    )
    line_width: float = quantity(
        "width of one printed line",
        "m",
        "mm",
        low=1e-4,
        high=2e-3,
        default=4.5e-4,
        reason="common practice, no source",
    )
    infill: float = quantity(
        "infill fraction",
        "1",
        "%",
        low=0.05,
        high=1.0,
        default=1.0,
        reason="test pieces are printed solid",
    )


@dataclass(frozen=True, kw_only=True)
class Room:
    """The room during the test."""

    temperature: float = quantity("room temperature", "K", "degC", low=253.15, high=353.15)
    humidity: float | None = quantity(
        "relative humidity", "1", "%", low=0.0, high=1.0, default=None
    )


@dataclass(frozen=True, kw_only=True)
class Gauges:
    """How far the instruments may be trusted; standard uncertainties."""

    name: str = text("the instruments; tests with the same ones share their errors", default="")
    scale: float = quantity(
        "relative standard uncertainty of the deflection gauge's scale",
        "1",
        "%",
        low=0.0,
        high=0.2,
        default=0.005,
        reason="common practice, no source: a dial gauge, or a caliper read twice",
    )
    load: float = quantity(
        "relative standard uncertainty of the weights",
        "1",
        "%",
        low=0.0,
        high=0.2,
        default=0.003,
        reason="common practice, no source: a kitchen scale near its range",
    )
    size: float = quantity(
        "standard uncertainty of a measured width or thickness",
        "m",
        "mm",
        low=0.0,
        high=1e-3,
        default=2e-5,
        reason="common practice, no source: the mean of three caliper readings",
    )
    span: float = quantity(
        "standard uncertainty of a span",
        "m",
        "mm",
        low=0.0,
        high=5e-3,
        default=3e-4,
        reason="common practice, no source: a steel rule",
    )


@dataclass(frozen=True, kw_only=True)
class Specimen:
    """One printed piece as measured with calipers."""

    name: str = text("number or name written on the piece")
    shape: str = text("its shape", choices=SHAPES, default="bar", reason="the plain bar")
    length: float | None = quantity("length", "m", "mm", low=1e-3, high=2.0, default=None)
    width: float | None = quantity("width", "m", "mm", low=5e-4, high=0.5, default=None)
    thickness: float | None = quantity(
        "thickness, in the direction of the load", "m", "mm", low=3e-4, high=0.5, default=None
    )
    bore: float | None = quantity("inside diameter", "m", "mm", low=0.0, high=0.5, default=None)
    mass: float | None = quantity("mass", "kg", "g", low=1e-5, high=5.0, default=None)
    break_load: float | None = quantity(
        "load at which it broke or pulled out", "N", low=0.1, high=1e5, default=None
    )
    note: str = text("what was seen", default="")


@dataclass(frozen=True, kw_only=True)
class ArmPiece:
    """Dimensions of an arm on the bench, as in docs/frame.md; all arms of the session are alike."""

    family: str = text("arm family", choices=ARM_FAMILIES)
    length: float = quantity("whole length", "m", "mm", low=0.02, high=1.5)
    width: float = quantity("width", "m", "mm", low=2e-3, high=0.2)
    depth_root: float = quantity("depth at the root", "m", "mm", low=2e-3, high=0.2)
    depth_tip: float = quantity("depth at the tip", "m", "mm", low=2e-3, high=0.2)
    root_length: float = quantity("root block", "m", "mm", low=0.0, high=0.3)
    tenon_length: float = quantity("tenon", "m", "mm", low=0.0, high=0.3)
    held: float = quantity("inner end to the edge of the clamp", "m", "mm", low=0.0, high=0.3)
    side: float = quantity("side walls", "m", "mm", low=0.0, high=0.05, default=0.0)
    top: float = quantity("top wall", "m", "mm", low=0.0, high=0.05, default=0.0)
    bottom: float = quantity("bottom wall", "m", "mm", low=0.0, high=0.05, default=0.0)
    pitch: float = quantity("rib or panel pitch", "m", "mm", low=0.0, high=0.5, default=0.0)
    web: float = quantity("rib or diagonal", "m", "mm", low=0.0, high=0.05, default=0.0)
    bore: float = quantity("wire bore", "m", "mm", low=0.0, high=0.1, default=0.0)


@dataclass(frozen=True, kw_only=True)
class StiffBar:
    """A bar of known stiffness that stands in for the piece to find what the clamp gives."""

    E: float = quantity("modulus", "Pa", "GPa", low=1e9, high=1e12)
    spread: float = quantity(
        "relative standard uncertainty of the modulus",
        "1",
        "%",
        low=0.0,
        high=0.3,
        default=0.02,
        reason="from memory, typical of plain steel and aluminium",
    )
    width: float = quantity("width", "m", "mm", low=1e-3, high=0.2)
    thickness: float = quantity("thickness", "m", "mm", low=1e-3, high=0.2)


@dataclass(frozen=True, kw_only=True)
class Reading:
    """One observation: a load (or a mass hung on), what the gauge showed, perhaps when."""

    mass: float | None = quantity("mass hung on", "kg", "g", low=0.0, high=100.0, default=None)
    load: float | None = quantity("load", "N", low=0.0, high=1000.0, default=None)
    read: float = quantity("gauge reading", "m", "mm", low=-1.0, high=1.0)
    time: float | None = quantity("time of the reading", "s", low=0.0, high=1e8, default=None)
    spread: float | None = quantity(
        "standard uncertainty of this reading", "m", "mm", low=1e-9, high=0.1, default=None
    )
    excluded: str = text("why this reading is not to be counted", default="")


@dataclass(frozen=True, kw_only=True)
class Series:
    """Readings in the order in which they were taken, without touching clamp or gauge."""

    specimen: str = text("which piece; for the stiff bar any text", default="1", reason="one piece")
    bar: str = text(
        "the piece, or the stiff bar in its place",
        choices=("piece", "stiff"),
        default="piece",
        reason="the piece itself",
    )
    span: float = quantity("clamp or supports to the load", "m", "mm", low=5e-3, high=2.0)
    lever: float | None = quantity(
        "torsion: axis to the load", "m", "mm", low=1e-3, high=1.0, default=None
    )
    pointer: float | None = quantity(
        "torsion: axis to the gauge", "m", "mm", low=1e-3, high=2.0, default=None
    )
    table: str = text("CSV beside this file with the readings", default="")
    photos: tuple[str, ...] = part("photos beside this file", default=())
    readings: tuple[Reading, ...] = part("the readings", default=())


@dataclass(frozen=True, kw_only=True)
class BenchFile:
    """One test session: one kind of test on pieces of one spool, printed alike."""

    title: str = text("what was tested and why")
    kind: str = text("kind of test", choices=TEST_KINDS)
    material: str = text("material key")
    date: str = text("day of the test, as 2026-05-31")
    note: str = text("anything else", default="")
    setup: str = text(
        "creep only: how the piece is held",
        choices=("cantilever", "three-point"),
        default="cantilever",
        reason="the usual bench",
    )
    filament_density: float | None = quantity(
        "density of the filament, from its sheet", "kg/m**3", low=500.0, high=9000.0, default=None
    )
    insert: str = text("insert-pull only: thread of the insert, such as M3", default="")
    predicted: str = text("name under which the pieces were predicted before the test", default="")
    accepted: str = text("why grave findings of this session do no harm", default="")
    spool: Spool = part("the spool")
    settings: PrintSettings = part("how it was printed")
    room: Room = part("the room")
    gauges: Gauges = part("the instruments", default=None)
    arm: ArmPiece | None = part("dimensions of the arm", default=None)
    stiff: StiffBar | None = part("the stiff bar", default=None)
    specimen: tuple[Specimen, ...] = part("the pieces", default=())
    series: tuple[Series, ...] = part("the readings", default=())


@dataclass(frozen=True, kw_only=True)
class Session:
    """A session as read, with what was assumed and the file itself, so that nothing is lost."""

    file: BenchFile
    source: str
    """Name of the file."""
    text: str
    """The file's own text, and that of its tables."""
    digest: str
    """SHA-256 of ``text``."""
    assumed: tuple[str, ...] = ()
    """Defaults that were used, in words."""
