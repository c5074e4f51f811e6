"""Last steps: electronics, payload, battery."""

from refledge.outputs.book.stage import DOWN, Stage

LAST: tuple[Stage, ...] = (
    Stage(
        "Flight controller and electronics", ("flight_controller", "others"),
        fasteners=("flight controller on its seat",),
        say=(
            "Arrow of the flight controller to the nose.",
            "Solder and plug the wires by the table in the chapter on wiring. Tie them down every "
            "50 mm, away from propellers and edges.",
            "What no part of the frame holds is stuck down with double-sided foam tape, or tied, "
            "where the general arrangement (drawings.pdf) has it.",
        ),
        final=True,
    ),
    Stage(
        "Raised item onto its mast", ("masted",), base=("mast", "upper_plate"), only="mast",
        say=(
            "Stick it on the mast's platform with double-sided foam tape, its arrow to the nose. "
            "Tie its lead to the column in two places, with no pull on the plug.",
        ),
        final=True,
    ),
    Stage(
        "Receiver into its holder", ("receiver",), base=("receiver_holder", "upper_plate"),
        only="receiver_holder",
        say=(
            "Set the receiver on its thin side into the pocket, plugs towards the open ends, and "
            "press it down until both lips have snapped over it.",
            "Lead its wires out through the open ends in a loose loop: nothing may pull on a plug.",
        ),
        final=True,
    ),
    Stage(
        "Antennas into their tubes", ("antenna",), base=("antenna_holder", "upper_plate"),
        caption="They go in from below the bridge; lifted out above they are in sight.",
        fasteners=("antenna holder, round each",),
        say=(
            "Push each antenna's stiff end up through its tube from below the bridge, until its "
            "lead begins at the tube's lower end.",
            "Put a drop of contact adhesive at the tube's upper end. Lead the leads from under the "
            "bridge along the plate to the receiver, no bend tighter than {coax} inside, and tie "
            "them down halfway.",
            "Once the propellers are on, turn each by hand: no antenna within a finger's width of "
            "a blade's tip.",
        ),
        final=True,
    ),
    Stage(
        "Cover onto the seat", ("cover",), base=("seat", "flight_controller", "upper_plate"),
        say=(
            "Lead every wire out below the cover: through the ways in its left and right walls, or "
            "under the seat's plate. None may lie between a rib and the plate.",
            "Press it down over the flight controller until both tongues snap under the seat's "
            "plate, front and rear. It comes off without a tool: press both tongues outwards.",
            "It keeps off fingers, grass and a few drops. It is not watertight.",
        ),
        final=True,
    ),
    Stage(
        "Payload carrier into its rails", ("carrier",), lift=DOWN,
        fasteners=("payload carrier in its rails",),
        say=(
            "{carrier}",
            "Slide the carrier between the lips from an open end and put one pin through each rail "
            "from below, lock nut on top, down to the washer and no tighter. To swap "
            "payloads take out the two pins.",
        ),
        final=True,
    ),
    Stage(
        "Battery and payload", ("battery", "payload"), lift=DOWN,
        say=(
            "Lay a strip of non-slip pad between tray and battery, and pull both straps tight: "
            "along the tray nothing but friction holds it, and a hard landing slides it out. Set "
            "the battery where the chapter on balance says.",
            "{payload}",
            "{weak_line}",
        ),
        caution=(
            "Propellers stay off",
            "From here on the aircraft can be powered. No propeller goes on before every bench "
            "check has passed.",
        ),
        final=True,
    ),
)  # fmt: skip
