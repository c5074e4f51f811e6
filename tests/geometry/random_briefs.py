"""Random valid briefs.

Sizes hang together as those of real aircraft do (motor, pack and masses follow the propeller) but
range far: 4 to 16 inch propellers, 120 to 400 mm beds, every layout, family, screw, nozzle.
"""

import random
import re

from refledge.model.fields import infos
from refledge.model.wishes import ARM_FAMILIES, LAYOUT_KINDS, FrameWish

INCH = 25.4  # mm
MOTORS = {"M2": (2, 12, 14), "M2.5": (2.5, 14, 16), "M3": (3, 19, 25), "M4": (4, 25, 30)}
"""Screw to (thread, circle diameters), mm."""
CONTROLLERS = ("M3 30.5x30.5", "M2 20x20", "M2.5 25.5x25.5", "M3 45x45", "none")
TUBES = ("carbon-tube-12x10", "carbon-tube-16x14", "carbon-tube-20x18", "aluminium-tube-25x23")
ASKED = 0.4
"""Share of briefs that ask for each of the frame's choices."""


def brief_text(seed: int) -> str:
    """A brief that can be read, as TOML."""
    draw = random.Random(seed)
    inches = draw.uniform(4.0, 16.0)
    scale = inches / 11.0
    holes, can = _motor(draw, inches)
    kind = draw.choice(LAYOUT_KINDS)
    rotors = rotors_of(kind)
    lift = 0.9 * scale**2.4 * rotors / 6 * 3.2  # kg: what such rotors carry with ease
    tables = (
        _mission(draw, lift), _drive(draw, scale, inches, holes, can),
        _pack(draw, scale, lift), _controller(draw), _payload(draw, lift), _others(draw),
        _printer(draw), _layout(draw, kind, inches), _frame(draw, inches),
    )  # fmt: skip
    text = f'title = "random {seed}"\nwiring = "{40 * scale:.0f} g"\n' + "".join(tables)
    options = _options(seed, text)
    if 'weak_link = "bolt"' in options:  # which only folding arms have
        options = 'arm_root = "folding"\n' + re.sub('arm_root = ".*"\n', "", options)
    if 'arm_root = "folding"' in options:  # which no tube, mast, holder go with
        text = text.replace('arm_family = "tube"', 'arm_family = "box"')
        options = re.sub('(mast|receiver_holder|antenna_holder) = ".*"\n', "", options)
    if 'gear = "skids"' in options:  # which stand on four legs
        text = re.sub(r"\nlegs = \d", "\nlegs = 4", text)
    return text + options


def _options(seed: int, text: str) -> str:
    """What the brief may ask of the frame beside its sizes, each asked for in ``ASKED`` of briefs.

    Each drawn apart, so that a new one leaves the rest of every brief as it is.
    """
    found = ""
    for name, field in infos(FrameWish).items():
        if not field.choices or f"\n{name} = " in text:
            continue
        draw = random.Random(f"{name} {seed}")
        if draw.random() < ASKED:
            found += f'{name} = "{draw.choice(field.choices)}"\n'
    if "GNSS receiver" in text and random.Random(f"mast {seed}").random() < ASKED:
        found += 'mast = "GNSS receiver"\n'
    for wish in ("receiver_holder", "antenna_holder"):
        if random.Random(f"{wish} {seed}").random() < ASKED:
            found += f'{wish} = "receiver"\n'
    return found + _antennas(seed)


def _antennas(seed: int) -> str:
    """What the antennas are like, in half of the briefs."""
    draw = random.Random(f"antennas {seed}")
    if draw.random() < 0.5:
        return ""
    return (
        f'[antennas]\ncount = {draw.choice((1, 2))}\nlength = "{draw.uniform(15, 90):.0f} mm"\n'
        f'diameter = "{draw.uniform(1.0, 6.0):.1f} mm"\ntilt = "{draw.uniform(0, 45):.0f} deg"\n'
    )


def rotors_of(kind: str) -> int:
    counts = {"four": 4, "six": 6, "eight": 8, "three": 6, "free": 5}
    return 8 if kind == "four-pairs" else counts[kind.split("-", maxsplit=1)[0]]


def _motor(draw: random.Random, inches: float) -> tuple[str, float]:
    """Hole pattern and can, mm, of a motor for propellers of ``inches``."""
    fitting = {6.5: "M2", 8.0: "M2.5", 13.0: "M3", 99.0: "M4"}
    screw = next(size for most, size in fitting.items() if inches < most)
    thread, first, second = MOTORS[screw]
    if draw.random() < 0.3:
        first = second
    least = second + 2 * thread
    return f"{screw} {first}x{second}", draw.uniform(least, least + 14.0)


def _mission(draw: random.Random, lift: float) -> str:
    return (
        f'[mission]\nhover_time = "{draw.uniform(3, 20):.0f} min"\n'
        f'all_up_limit = "{min(25.0, 2.5 * lift + 0.3):.2f} kg"\n'
        f'air_temperature = "{draw.uniform(-10, 35):.0f} degC"\n'
    )


def _drive(draw: random.Random, scale: float, inches: float, holes: str, can: float) -> str:
    some = "{ sound = 8 }"
    screw, circles = holes.split()
    room = float(circles.split("x")[0]) - 1.3 * float(screw[1:]) - 1.0 - 2 * 0.9
    shaft = min(draw.uniform(4, 8), room)
    return (
        f'[motor]\nname = "motor"\nmass = "{84 * scale**2.5 + 4:.1f} g"\ncondition = {some}\n'
        f'Kv = "{530 / scale**1.4:.0f} rpm/V"\nresistance = "{95 * scale**0.3:.0f} mohm"\n'
        f'no_load_current = "0.5 A"\nmax_current = "{30 * scale + 8:.0f} A"\n'
        f'diameter = "{can:.1f} mm"\nheight = "{draw.uniform(14, 40):.1f} mm"\n'
        f'holes = "{holes}"\nshaft_clearance = "{shaft:.1f} mm"\n'
        f'[propeller]\nname = "propeller"\nmass = "{13 * scale**2.5 + 0.5:.1f} g"\n'
        f'condition = {some}\ndiameter = "{inches:.1f} in"\npitch = "{0.43 * inches:.1f} in"\n'
        f"blades = {draw.choice((2, 2, 3))}\n"
        f'[speed_controller]\nname = "controller"\nmass = "{16 * scale + 2:.0f} g"\n'
        f'condition = {some}\nmax_current = "{35 * scale + 10:.0f} A"\n'
    )


def _box(length: float, width: float, height: float) -> str:
    return f'length = "{length:.1f} mm"\nwidth = "{width:.1f} mm"\nheight = "{height:.1f} mm"\n'


def _pack(draw: random.Random, scale: float, lift: float) -> str:
    mass = draw.uniform(0.15, 0.3) * lift
    litres = mass / 2.3  # kg per litre of a lithium pack: from memory
    long = draw.uniform(1.5, 4.0)
    wide = (litres * 1e6 / long / draw.uniform(0.5, 1.0)) ** (1 / 3)
    cells = 4 if scale < 1.2 else 6
    return (
        f'[battery]\nname = "pack"\nmass = "{mass:.3f} kg"\ncondition = "sound"\n'
        + _box(long * wide, wide, litres * 1e6 / (long * wide * wide))
        + f'cells = {cells}\ncapacity = "{mass * 160 / cells / 3.7 * 1e3:.0f} mAh"\n'
        f'resistance = "{12 / lift * 3:.1f} mohm"\nmax_current = "300 A"\n'
    )


def _controller(draw: random.Random) -> str:
    holes = draw.choice(CONTROLLERS)
    pitch = 30.0 if holes == "none" else float(holes.split("x")[1])
    size = pitch + draw.uniform(5, 15)
    return (
        '[flight_controller]\nname = "flight controller"\nmass = "30 g"\ncondition = "sound"\n'
        + _box(size, size, draw.uniform(6, 20))
        + f'holes = "{holes}"\n'
    )


def _payload(draw: random.Random, lift: float) -> str:
    slung = draw.random() < 0.5
    height = draw.uniform(30, 120)
    below = draw.uniform(500, 2000) if slung else 80 + height / 2 + draw.uniform(0, 60)
    return (
        f'[payload]\nname = "payload"\nmass = "{draw.uniform(0.05, 0.2) * lift:.3f} kg"\n'
        'condition = "sound"\n'
        + _box(draw.uniform(30, 100), draw.uniform(30, 90), height)
        + f'below = "{below:.0f} mm"\nslung = {str(slung).lower()}\n'
    )


def _others(draw: random.Random) -> str:
    """A receiver and, perhaps, a GNSS receiver aloft."""
    found = (
        '[[others]]\nname = "receiver"\nmass = "12 g"\ncondition = "sound"\n'
        + _box(20, 14, 5)
        + f'x = "-{draw.uniform(40, 60):.0f} mm"\n'
    )
    if draw.random() < 0.6:
        found += (
            '[[others]]\nname = "GNSS receiver"\nmass = "30 g"\ncondition = "sound"\n'
            + _box(40, 40, 12)
            + f'z = "{draw.uniform(60, 140):.0f} mm"\n'
        )
    return found


def _printer(draw: random.Random) -> str:
    length = draw.uniform(120, 400)
    nozzle = draw.choice((0.25, 0.4, 0.4, 0.6, 0.8))
    return (
        f'[printer]\nbed_length = "{length:.0f} mm"\nbed_width = "'
        f'{draw.uniform(0.7, 1.0) * length:.0f} mm"\n'
        f'height = "{draw.uniform(120, 400):.0f} mm"\nnozzle = "{nozzle} mm"\n'
        f'layer = "{draw.choice((0.3, 0.5, 0.7)) * nozzle:.2f} mm"\nnozzle_limit = "300 degC"\n'
        'bed_limit = "115 degC"\nenclosed = true\nhardened_nozzle = true\nfilaments = ["ASA"]\n'
    )


def _layout(draw: random.Random, kind: str, inches: float) -> str:
    found = f'[layout]\nkind = "{kind}"\ntip_gap = "{draw.uniform(5, 60):.0f} mm"\n'
    if kind == "free":
        angles = [round(360 / 5 * i + draw.uniform(-12, 12)) for i in range(5)]
        turned = [each - 360 if each > 180 else each for each in angles]
        listed = ", ".join(f'"{each} deg"' for each in turned)
        found += f"arm_angles = [{listed}]\n"
    if draw.random() < 0.15:
        found += f'motor_radius = "{inches * INCH * draw.uniform(0.9, 1.6):.0f} mm"\n'
    return found


def _frame(draw: random.Random, inches: float) -> str:
    screw = draw.choice(("M2", "M2.5", "M3") if inches < 7.0 else ("M3", "M4", "M5"))
    return (
        f'[frame]\nmaterial = "ASA"\narm_family = "{draw.choice(ARM_FAMILIES)}"\n'
        f'tube = "{draw.choice(TUBES)}"\nlegs = {draw.randint(3, 8)}\n'
        f'ground_gap = "{draw.uniform(5, 80):.0f} mm"\nrod_screw = "{screw}"\n'
        f'hole_allowance = "{draw.uniform(0, 0.5):.2f} mm"\n'
        f'fit_gap = "{draw.uniform(0, 0.4):.2f} mm"\n'
    )
