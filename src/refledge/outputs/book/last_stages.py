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
        say=("Two straps, pulled tight. Slide the battery to where the chapter on balance says.",),
        caution=(
            "Propellers stay off",
            "From here on the aircraft can be powered. No propeller goes on before every bench "
            "check has passed.",
        ),
        final=True,
    ),
)  # fmt: skip
