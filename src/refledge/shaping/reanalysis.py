"""The grown arm as it will be printed, solved as every other arm: same loads, mesh rule, judge."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import nan

import numpy as np

from refledge.airframe.grown_beams import TipGive
from refledge.errors import AnalysisError
from refledge.shaping.bearing import Bears, Solved, bears
from refledge.shaping.printable import Printable
from refledge.solids.cases import FaceLoad, SolidCase
from refledge.solids.faces import patch
from refledge.solids.figures import MODE, MeshRun
from refledge.solids.port import MeshSize
from refledge.solids.static import static
from refledge.study import Study
from refledge.verify.plastics import printed_body
from refledge.verify.results import PartVerified
from refledge.verify.run import factors, solved, verified_of
from refledge.verify.setup import arm_setup
from refledge.verify.stability import stability

EDGE = 2.5e-3
"""m; finer of the two meshes: members of two or three voxels get one or two elements across."""
CASE, SEAT = "full thrust", "seat"
Progress = Callable[[str, float], None]


@dataclass(frozen=True)
class Buckles:
    """How near an arm is to buckling in the load case that is nearest, the brief's factor in."""

    use: float
    """Load over the least that buckles it (1); nan where ``why`` says."""
    case: str
    error: float
    """Mesh error, as a share of ``use``."""
    why: str
    """Why nothing was found, "" where it was."""


@dataclass(frozen=True, eq=False)
class ArmFound:
    """Headline figures of an arm as a solid, held at its clamp, with what rides on its tip."""

    deflection: float
    """m, of the motor's seat at full thrust."""
    tilt: float
    """rad, the same."""
    modes: tuple[float, ...]
    """Hz."""
    use: float
    """Greatest use of strength in all load cases, with the brief's factor, by the rule (1)."""
    case: str
    """Where."""
    errors: tuple[float, float, float, float]
    """Mesh errors of deflection, tilt, first mode and use, as shares of them."""
    buckling: Buckles
    verified: PartVerified
    give: TipGive
    """Of the tenon's top, on the finest mesh."""
    bears: Bears | None = None
    """For an arm that is to be kept, where that was asked for."""


def reanalyse(
    study: Study, part: Printable, edge: float = EDGE, *, keep: bool = False, settle: bool = True
) -> ArmFound:
    """The arm of ``study`` with ``part`` in its place; tip, clamp and loads are the study's own.

    Walls, skins and infill are the brief's. keep: whether other loads are judged too, for an arm
    that is to be kept. settle: whether finer meshes are made while the mesh error leaves its
    strength in doubt. Raises AnalysisError where the clamp's rings or the
    seat are not level faces of the part, or where it cannot be meshed.
    """
    setup = replace(arm_setup(study), size=MeshSize(edge), beam={})
    body = replace(printed_body(study, "arm"), surface=part.mesh)
    found = solved(study, setup, body, settle=settle)
    stable = stability(setup, found, factors(study, setup))
    verified = verified_of(study, setup, found, stable)
    made = arm_found(study, verified, tip_give(found.finest))
    if not keep or stable is None:
        return made
    return replace(made, bears=bears(Solved(study, setup, body, found, verified, stable)))


def tip_give(run: MeshRun) -> TipGive:
    """Motion of the seat under unit forces and moments in its middle, on a mesh solved before."""
    centre = patch(run.mesh, SEAT).centre
    units = [
        SolidCase(f"unit {row}", (FaceLoad(SEAT, each[:3], centre, each[3:]),), riders_feel=False)
        for row, each in enumerate(np.eye(6))
    ]
    give = static(run.system, units).motion(SEAT).T
    return TipGive(centre, (give + give.T) / 2)


def arm_found(study: Study, verified: PartVerified, give: TipGive) -> ArmFound:
    """The same figures of any arm that was solved as a solid."""
    limits = study.brief.limits
    factors = {"flight": limits.flight_factor}
    figures = {each.name: each for each in verified.figures}
    spots = [
        (factors.get(spot.kind, limits.landing_factor), spot, worse)
        for spot in verified.spots
        for worse in (False, True)
    ]
    uses = [
        (factor * (spot.layers if layers else spot.plastic), spot, layers)
        for factor, spot, layers in spots
    ]
    if not uses:
        raise AnalysisError("an arm without load cases has no use of strength")
    use, spot, layers = max(uses, key=lambda each: each[0])
    error = (spot.layers_error if layers else spot.plastic_error) / max(
        spot.layers if layers else spot.plastic, 1e-30
    )
    bent, tilted = (figures[f"{CASE}: {what} of seat"] for what in ("deflection", "tilt"))
    modes = [each for name, each in figures.items() if name.startswith(MODE)]
    three = (bent, tilted, modes[0])
    return ArmFound(
        deflection=bent.finest,
        tilt=tilted.finest,
        modes=tuple(each.finest for each in modes),
        use=use,
        case=spot.case,
        errors=(*(each.error / max(abs(each.finest), 1e-30) for each in three), error),  # type: ignore[arg-type]
        buckling=_buckles(study, verified),
        verified=verified,
        give=give,
    )


def _buckles(study: Study, verified: PartVerified) -> Buckles:
    if verified.buckled is None or verified.buckled.why:
        why = "not looked at" if verified.buckled is None else verified.buckled.why
        return Buckles(nan, "", nan, why)
    limits = study.brief.limits
    factors = {"flight": limits.flight_factor}
    each = [
        (factors.get(spot.kind, limits.landing_factor) * (spot.buckling or 0.0), spot)
        for spot in verified.spots
    ]
    use, spot = max(each, key=lambda pair: pair[0])
    share = (spot.buckling_error or 0.0) / max(spot.buckling or 0.0, 1e-30)
    return Buckles(use, spot.case, share, "")
