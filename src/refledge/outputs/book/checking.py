"""Chapters after assembly: wiring, motors, balance, bench, first flights, inspection."""

from refledge.flight.wires import LASTING, SHORT
from refledge.outputs.book.balance import balance, direction
from refledge.outputs.book.blocks import (
    Block,
    Caution,
    Chapter,
    Diagram,
    Grid,
    Points,
    Words,
)
from refledge.outputs.book.folding import LOCKED
from refledge.outputs.book.making import cautions
from refledge.outputs.book.motors import motor_sheet
from refledge.outputs.book.wiring import Wire, way, wires
from refledge.outputs.tables import turn_words
from refledge.outputs.words import CAUTIONS
from refledge.study import Study
from refledge.units import figure, show
from refledge.verify.on_bench import BenchReadings


def wiring(study: Study) -> Chapter:
    """Every lead with gauge and length."""
    rows = tuple(_wire(each) for each in wires(study))
    head = ("from, to", "leads", "hover", "full thrust", "gauge", "length", "lost in hover")
    density = f"{LASTING / 1e6:.0f} A/mm² in hover and {SHORT / 1e6:.0f} A/mm² at full thrust"
    return Chapter(
        "Wiring",
        (
            *cautions("Lithium packs"),
            Grid(head, rows, frozenset(range(1, 7)), "Leads; currents are those of one lead",
                 (0.36, 0.07, 0.09, 0.11, 0.17, 0.1, 0.1)),
            Words(
                "Gauges are the thinnest even AWG that carries the current at no more than "
                f"{density} (common practice, no source); areas by the definition of ASTM B258, "
                "copper at 20 °C. Signal leads are chosen to stand handling. Lengths follow the "
                "places of the parts with a tenth for the way and 30 mm for the ends: cut one, try "
                "it, then cut the rest."
            ),
            Words(way(study)),
            Points(
                (
                    "No bare metal: heat-shrink on every joint.",
                    "Before the first plug-in measure plus against minus: no short.",
                    "First plug-in through a lamp or a current limiter.",
                    "Nothing can reach a propeller; nothing rubs on a printed edge.",
                ),
                boxes=True,
            ),
        ),
    )  # fmt: skip


def _wire(each: Wire) -> tuple[str, ...]:
    current = (show(each.hover, "A", "A"), show(each.full, "A", "A")) if each.full else ("–", "–")
    lost = f"{1e3 * each.lost:.0f} mV" if each.full else "–"
    area = show(each.gauge.area, "m^2", "mm^2", 2).replace("mm^2", "mm²")
    return (
        f"{each.what} ({each.note})", str(each.number), *current, f"AWG {each.gauge.awg}, {area}",
        show(each.length, "m", "mm", 2), lost,
    )  # fmt: skip


_PAIRS = " Outer arrow and upper number: the motor above; inner and lower: the motor below."


def motors(study: Study) -> Chapter:
    """Numbers and turn directions."""
    layout = study.layout
    rows = tuple(
        (
            str(k + 1), str(layout.arm_of_rotor[k] + 1), turn_words(layout.spin[k]),
            "upright" if layout.upper[k] else "upside down, below",
            *(f"{round(1e3 * float(v)):d}" for v in layout.positions[k][:2]),
        )
        for k in range(layout.n_rotors)
    )  # fmt: skip
    head = ("motor", "arm", "turns, from above", "motor stands", "nose (mm)", "left (mm)")
    return Chapter(
        "Motor numbers and turn directions",
        (
            Caution("Propellers off", "All of this is done without propellers."),
            Diagram(
                motor_sheet(study),
                "From above, nose up. CW: clockwise, CCW: counter-clockwise."
                + (_PAIRS if layout.paired else ""),
            ),
            Grid(head, rows, frozenset({0, 1, 4, 5})),
            Words(
                "The numbers are this book's. Flight controllers count in their own order: give "
                "each output the place of its motor, then test one by one, propellers off, at the "
                "lowest throttle. A motor that turns the wrong way: swap two of its three leads or "
                "change it in the speed controller."
            ),
            Points(tuple(f"motor {r[0]}: place right, turns {r[2]}" for r in rows), boxes=True),
        ),
    )


def balancing(study: Study) -> Chapter:
    """Where the battery goes."""
    found = balance(study)
    where = direction(found.x, found.y)
    state = f"lies {where} of the rotors' centre" if where else "lies at the rotors' centre"
    move = direction(found.battery_x, found.battery_y)
    advice = f"Move the battery {move}." if move else "The battery stands where it should."
    return Chapter(
        "Balance",
        (
            Words(
                f"By the mass table the centre of mass {state}; up to "
                f"{show(found.allowed, 'm', 'mm', 2)} is allowed. {advice} Every 10 mm of battery "
                f"move it by {show(found.each_centimetre, 'm', 'mm', 2)}."
            ),
            Points(
                (
                    "Battery and payload on, propellers off. Hang the aircraft by two fingertips "
                    "or two loops under opposite arms, close to the middle, on the left and right.",
                    "It must hang level nose to tail. If the nose drops, move the battery towards "
                    "the tail until it does not; mark the battery's place on the tray.",
                    "Turn by a quarter and do the same for left and right.",
                ),
                numbered=True,
            ),
        ),
    )


def bench(study: Study, expected: BenchReadings) -> Chapter:
    """Checks with the reading that the model expects, and a line for the reading found."""
    low, high = (1 - 2 * expected.deflection_spread), (1 + 2 * expected.deflection_spread)
    f_low, f_high = (1 - 2 * expected.frequency_spread), (1 + 2 * expected.frequency_spread)
    weight = show(expected.weight, "kg", "kg" if expected.weight >= 1 else "g", 2)
    rows = (
        (f"arm bends at the motor axis under {weight}, plates held in the vice",
         show(expected.deflection, "m", "mm", 2),
         _range(1e3 * expected.deflection, low, high, "mm"), ""),
        (f"first tap frequency of the same arm with its motor: {expected.moves}",
         show(expected.frequency, "Hz", "Hz"),
         _range(expected.frequency, f_low, f_high, "Hz"), ""),
        ("mass without battery and payload", show(expected.dry_mass, "kg", "g"),
         f"{figure(950 * expected.dry_mass)} to {figure(1050 * expected.dry_mass)} g", ""),
        ("mass ready to fly", show(expected.all_up_mass, "kg", "g"),
         f"at most {show(study.brief.mission.all_up_limit, 'kg', 'g')}", ""),
    )  # fmt: skip
    head = ("check", "expected", "goes on", "found")
    return Chapter(
        "Bench checks",
        (
            Caution(*_named("On the bench")),
            Grid(head, rows, frozenset({1}), widths=(0.42, 0.15, 0.23, 0.2)),
            Words(
                "The range is two standard uncertainties of the plastic's stiffness (masses: 5 %). "
                "Outside it, stop and find out why: settings, plastic, a bad layer, a loose bolt. "
                "refledge tap reads the tap test from a recording."
            ),
            *cautions("Thrust tests"),
            Points(
                (
                    "Proof: load each arm at the motor with the pull of its full thrust, upwards, "
                    f"{show(_full(study), 'N', 'N', 2)}, for a minute. No crackle, and it comes "
                    "back.",
                    "Every bolt at its torque; every nut shows a full thread.",
                    "Motors spin up without propellers: no vibration that a hand feels.",
                    "Radio: range check, and what happens when it is lost.",
                    "Then, outdoors, propellers on, aircraft tied down, shield between: full "
                    "thrust for two seconds, motors hand-warm at most.",
                ),
                boxes=True,
            ),
        ),
    )  # fmt: skip


def _range(value: float, low: float, high: float, unit: str) -> str:
    return f"{figure(value * low, 2)} to {figure(value * high, 2)} {unit}"


def _full(study: Study) -> float:
    """Pull of the first arm's motors at full thrust, N."""
    pairs = zip(study.full.rotors, study.layout.arm_of_rotor, strict=True)
    return sum(state.thrust for state, arm in pairs if arm == 0)


def _named(name: str) -> tuple[str, str]:
    return next((n, text) for n, text in CAUTIONS if n == name)


def flying(study: Study) -> Chapter:
    """The first-flight ladder: no rung before the one below has held."""
    minutes = study.hover.endurance / 60
    rungs = (
        ("hop", "10 s, knee high, no payload", "it stays where it is; nothing rattles"),
        ("hover", "1 min, head high, no payload", "motors and arms hand-warm; log: no clipping"),
        ("hover", f"{minutes / 3:.0f} min, no payload", "bolts tight; battery use as predicted"),
        ("gentle circles", "2 min, no payload", "no oscillation on stopping; log: vibration low"),
        ("hover with payload", "1 min, knee high", "all of the above; the payload hangs right"),
        ("hover with payload", f"{minutes / 2:.0f} min",
         f"half of the {figure(minutes, 2)} min: battery use as predicted"),
        ("the job", "first time short and close", "inspect as below after landing"),
    )  # fmt: skip
    rows = tuple((str(k), *rung, "") for k, rung in enumerate(rungs, 1))
    head = ("rung", "what", "how long, how high", "goes on when", "done")
    blocks: list[Block] = [
        Caution(*_named("Where you may fly")),
        *([Points((LOCKED,), boxes=True)] if study.frame.hinge is not None else []),
        Words("Propellers go on now: for each motor the one that turns its way, lettering up."),
        Grid(head, rows, frozenset({0}), widths=(0.08, 0.2, 0.27, 0.35, 0.1)),
        Words("Land at the first doubt. After any rung that fails, go back one after the repair."),
        Caution(
            "Distance", "Nobody but the pilot within 30 m, and no face in a propeller's plane."
        ),
    ]
    return Chapter("First flights, rung by rung", tuple(blocks))


def inspecting(study: Study) -> Chapter:
    """After every flight and after a knock."""
    routine: tuple[str, ...] = (
        "Arms: white lines or cracks at the root, the wire exit and the mounts. Bend each by hand.",
        "Bolts: marker lines on head and plastic still meet.",
        "Plates: cracks from hole to hole round the outer bolts of the arms.",
        "Legs: cracks where strut meets flange.",
        "Motors: no play, no scrape, screws tight.",
        "Propellers: nicks. Bend the blades; a white line is the end of it.",
        "Battery: no dent, no swelling, cool enough to hold.",
        "Wires: no bare copper, nothing loose.",
    )
    if study.frame.hinge is not None:
        routine = (LOCKED, *routine)
    return Chapter(
        "Inspection",
        (
            Words("After every flight:"),
            Points(routine, boxes=True),
            Words(
                "After a crash or hard landing: battery out first and away from anything that "
                "burns; wait; then all of the above, the proof load and the tap test of every arm. "
                "An arm whose frequency has dropped by more than 5 % is cracked, seen or not: "
                "print it again."
            ),
            *cautions("Lithium packs", "Proof-load every arm", "What these figures are"),
        ),
    )
