"""The hinge of a folding arm: two bolts at its root in place of four."""

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class HingeDesign:
    """The arm turns between the plates on a pivot bolt; a lock bolt holds it open.

    The pivot is the right one of the outer clamp bolts, looking outwards; the lock stands where the
    left one of the inner pair would, so that the wire bore passes between the two.
    """

    lock: str
    """Thread of the lock bolt, such as ``M4``."""
    kind: str
    """What the lock is made of: ``steel``, or ``polyamide`` where it is to shear in a crash."""
    pivot_bore: float
    """Bore of arm and plates at the pivot as it comes out, m."""
    lock_bore: float
    """The same at the lock, m."""
    turn: float = 0.0
    """How far the arms fold, clockwise from above, rad."""
    lead: float = 0.0
    """How far an arm may turn ahead of its neighbours on the way, rad."""
