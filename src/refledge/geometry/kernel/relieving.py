"""Bevels round everything that lies on the bed."""

from typing import Any

from refledge.geometry.kernel.library import MM, Solid, occ, parts_of
from refledge.geometry.kernel.measuring import bounds, is_valid_single

_LEVEL = 1e-7 * MM  # edges whose ends and belly lie within this of the bed lie on it, mm


def bevel_foot(solid: Solid, size: float) -> tuple[Solid, float]:
    """Bevel every edge of the lowest level faces by ``size`` on both sides, m.

    Returns the solid and the size that worked: halved up to twice where the modeller cannot build
    it, 0 where it cannot even then.
    """
    low = float(bounds(solid)[0, 2]) * MM
    edges = [each for each in parts_of(solid.shape, "EDGE") if _top(each) < low + _LEVEL]
    for attempt in (size, size / 2, size / 4):
        bevelled = _bevelled(solid, edges, attempt) if edges else None
        if bevelled is not None:
            return bevelled, attempt
    return solid, 0.0


def _top(edge: Any) -> float:
    """Greatest height of an edge, mm."""
    box = occ.Bnd.Bnd_Box()
    occ.BRepBndLib.BRepBndLib.AddOptimal_s(edge, box, False, False)
    return float(box.CornerMax().Z())


def _bevelled(solid: Solid, edges: list[Any], size: float) -> Solid | None:
    work = occ.BRepFilletAPI.BRepFilletAPI_MakeChamfer(solid.shape)
    for each in edges:  # each edge is met twice, and drags those that go on smoothly with it
        if work.Contour(each) == 0:
            work.Add(size * MM, each)
    try:
        work.Build()
        done = Solid(work.Shape()) if work.IsDone() else None
    except occ.Standard.Standard_Failure:
        return None
    return done if done is not None and is_valid_single(done) else None
