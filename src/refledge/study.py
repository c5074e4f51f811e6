"""The spine: one brief in, one study out."""

from collections.abc import Mapping
from dataclasses import dataclass

from refledge.geometry.kernel import Solid
from refledge.model.brief import Brief
from refledge.model.checks import Check, Verdict
from refledge.model.flight import OperatingPoint, SpeedRange
from refledge.model.layout import Layout
from refledge.model.loads import LoadCase
from refledge.model.materials import MaterialCard
from refledge.model.parts import FrameDesign
from refledge.model.results import (
    Alternative,
    Assembly,
    ClosureStep,
    Deflected,
    Driver,
    Fastener,
    LayoutOption,
    MassLine,
    ModeSet,
    PartSpec,
    ShoppingLine,
)


@dataclass(frozen=True, eq=False, kw_only=True)
class Study:
    """Everything computed for one brief."""

    version: str
    brief: Brief
    cards: Mapping[str, MaterialCard]
    layout: Layout
    layout_options: tuple[LayoutOption, ...]
    frame: FrameDesign
    hover: OperatingPoint
    full: OperatingPoint
    speeds: SpeedRange
    all_up_mass: float
    frame_mass: float
    closure: tuple[ClosureStep, ...]
    loads: tuple[LoadCase, ...]
    parts: tuple[PartSpec, ...]
    solids: Mapping[str, Solid]
    assembly: Assembly
    masses: tuple[MassLine, ...]
    deflected: tuple[Deflected, ...]
    arm_modes: ModeSet
    airframe_modes: ModeSet
    checks: tuple[Check, ...]
    drivers: tuple[Driver, ...]
    alternatives: tuple[Alternative, ...]
    fasteners: tuple[Fastener, ...]
    shopping: tuple[ShoppingLine, ...]
    notes: tuple[str, ...]
    """Assumptions and cautions that belong to this study, in words."""

    @property
    def verdict(self) -> Verdict:
        """The worst verdict of all checks; cannot say ranks below fails."""
        found = {check.verdict for check in self.checks}
        for verdict in (Verdict.FAILS, Verdict.UNKNOWN, Verdict.NARROWLY):
            if verdict in found:
                return verdict
        return Verdict.HOLDS
