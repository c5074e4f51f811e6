"""Steps on the bench: what is put together before the frame is."""

from refledge.outputs.book.stage import DOWN, NUTS, OUT, Stage

ON_THE_BENCH: tuple[Stage, ...] = (
    Stage(
        "Heat-set inserts into the seat", ("seat",), base=("seat",),
        fasteners=("flight-controller seat",), unless=NUTS,
        caption="An insert goes into each blind hole: on top, and in the feet from below.",
        say=(
            "Fit a conical or insert tip to the soldering iron and set it near the nozzle "
            "temperature of the plastic ({nozzle}).",
            "Stand the insert on its hole, press straight down without force, and let the heat do "
            "the work. Stop when it stands 0.2 mm proud, then press it flush with a cold flat "
            "plate and hold it there for ten seconds.",
            "Let it cool. A screw must turn in by hand and stand square to the face.",
        ),
        caution=(
            "Hot metal, fumes",
            "The tip burns skin and the plastic gives off fumes: air the room, do not touch the "
            "insert for a minute. Too hot or too long, and the plastic runs into the thread.",
        ),
    ),
    Stage(
        "Nuts into the seat", ("seat",), base=("seat",), only=NUTS,
        fasteners=("flight-controller seat",),
        caption="A nut goes into each slot from outside, at the feet and under the plate.",
        say=(
            "Run a drill of the bolt hole's size through every hole by hand, from its open end: "
            "one printed layer shuts it where it meets the slot.",
            "Push a plain nut into each slot, one corner first, until it stops under the hole; "
            "look through the hole: the thread stands in the middle. A nut that will not go in by "
            "hand wants a file, not a hammer.",
            "Turn a screw into each nut and pull: it must draw the nut flat against its ledge and "
            "not turn it. Then take it out again.",
            "Tighten the seat's screws later with no more than {nut_torque}: more turns the "
            "nut in the plastic.",
        ),
    ),
    Stage(
        "Motors onto their mounts", ("motor",), base=("mount",), one=True,
        fasteners=("motors on their mounts", "motors"),
        say=(
            "Screw each motor to its mount now: later the arm covers the screw heads.",
            "Lead the three wires out through the notch.",
            "Turn the motor by hand. If anything scrapes, a screw is too long.",
        ),
        caution=(
            "Screws too long",
            "A screw that reaches the winding ruins the motor and may set it on fire. Measure "
            "before you tighten.",
        ),
    ),
    Stage(
        "Two parts of each arm", ("arm_outer",), base=("arm_inner",), one=True, lift=OUT,
        fasteners=("laps of the arms",),
        say=(
            "Clear the bolt holes of the lap with a drill.",
            "Lay the motor wires into the groove before you close the lap.",
        ),
    ),
    Stage(
        "Two parts of each leg", ("leg_lower",), base=("leg_upper",), one=True, lift=DOWN,
        fasteners=("joints of the legs",),
        say=(
            "Lay the two tongues side by side and put two bolts through, washers under head and "
            "nut. The joint is straight when the gaps at both its ends are alike.",
            "Stand each leg against a rule: the strut must run straight through the joint. All "
            "legs must be equally long.",
        ),
    ),
    Stage(
        "Payload rails under the battery tray", ("rail",), base=("tray",), lift=DOWN,
        fasteners=("payload rails on the tray",),
        say=(
            "Now, while the tray lies on the bench: later the plate covers the screw heads.",
            "Screws come from above, heads sunk into the tray's shelves, nuts under the rails' "
            "flanges. Both rails are the same part, lips inwards.",
            "Slide the carrier through both rails before you tighten: it must run by hand over the "
            "whole length.",
        ),
    ),
    Stage(
        "Battery tray under the lower plate", ("tray", "rail"), base=("lower_plate",), lift=DOWN,
        fasteners=("battery tray",),
        say=(
            "Thread the two straps through their slots first.",
            "{webbing}",
            "Screw heads sink into the battery's side of the tray; nuts lie on the plate. Run a "
            "finger over the heads: none may stand out, or it wears through the battery.",
        ),
        caution=(
            "Sharp edges and lithium",
            "A burr or a proud screw head can cut a battery open. Smooth everything it touches.",
        ),
    ),
    Stage(
        "Seat onto the upper plate", ("seat",), base=("upper_plate",),
        fasteners=("flight-controller seat, from below",), unless="standoff",
        say=("Screws come from below, through the plate into the posts.",),
    ),
    Stage(
        "Carrier and elastic standoffs onto the upper plate", ("standoff", "seat"),
        base=("upper_plate",), only="standoff",
        fasteners=("flight-controller carrier, from below",),
        say=(
            "Turn one stud of each standoff into a post of the carrier by hand until the rubber "
            "just sits on the plastic, no further: a twisted standoff is a stiff one.",
            "Put the four lower studs through the plate, washer and lock nut from below. Hold the "
            "rubber while you tighten.",
            "Press the carrier down and aside with a finger: it must give the same at all four "
            "corners and come back.",
            "Later lead every wire to the controller in a loose loop and tie none of them to the "
            "carrier: a taut wire passes on what the standoffs hold back.",
        ),
    ),
)  # fmt: skip
