"""Steps of a frame whose arms fold, in place of those of clamped ones."""

from refledge.outputs.book.stage import DOWN, HINGES, Stage

FOLDING: tuple[Stage, ...] = (
    Stage(
        "Legs onto the lower plate", ("leg", "leg_upper", "leg_lower"),
        base=("lower_plate", "tray", "rail"), lift=DOWN, only=HINGES,
        fasteners=("legs on the lower plate",),
        say=(
            "Each leg has one screw of its own, through the plate beside its arm's pivot: from "
            "above, head sunk, nut under the leg's flange. The pivot holds it too, later.",
            "Run a finger over the heads: an arm turns over each, none may stand out.",
        ),
    ),
    Stage(
        "Folding arms onto the lower plate", ("arm", "arm_inner", "arm_outer"),
        base=("lower_plate", "tray", "rail"), only=HINGES,
        say=(
            "Ream both bores of every arm and of both plates by hand with a drill of the bolt's "
            "own size: pivot and lock must go in with the fingers and not rattle. That is all the "
            "play that the arms will have.",
            "Looking outwards the pivot is the right one of the two bores, further out; the lock "
            "is the left one, further in. The wires' bore passes between them.",
            "No speed controller between the plates: the arms turn there. Tie them flat onto the "
            "upper plate later, clear of the heads of pivots and locks.",
            "Lead each arm's wires to the middle of the plates in a loop as long as the chapter on "
            "wiring says, so that they follow the arm when it folds.",
        ),
    ),
    Stage(
        "Upper plate: pivots and locks", ("upper_plate", "standoff", "seat"), only=HINGES,
        fasteners=("pivots of the arms", "locks of the arms"),
        say=(
            "Put all bolts in from above, washers under head and nut. The longer pivots go through "
            "a leg's flange.",
            "Tighten in two rounds: pivots and locks to half their torque, from arm to opposite "
            "arm, then to full torque. Turn the heads and only hold the nuts.",
            "Take one lock out, loosen its pivot by half a turn and swing that arm: clockwise from "
            "above it turns freely, no wire is pulled tight or pinched, and open again the lock "
            "goes in by hand. Do the same with every arm.",
            "Wait an hour and go round once more: plastic settles under the washers.",
        ),
        caution=(
            "A lock left out",
            "lets an arm fold in flight. Locks are counted before every take-off.",
        ),
    ),
)  # fmt: skip
