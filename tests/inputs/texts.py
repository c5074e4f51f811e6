"""A short good brief, as lines, for tests to spoil."""

GOOD = """\
title = "Test"

[mission]
hover_time = "12 min"
all_up_limit = "3.5 kg"

[motor]
name = "m"
mass = "84 g"
condition = { sound = 5, scrap = 1 }
Kv = "530 rpm/V"
resistance = "95 mohm"
no_load_current = "0.5 A"
max_current = "25 A"
diameter = "42 mm"
height = "26 mm"
holes = "M3 16x19"

[propeller]
name = "p"
mass = "13 g"
condition = { sound = 6 }
diameter = "11 in"
pitch = "4.7 in"

[speed_controller]
name = "c"
mass = "16 g"
condition = { sound = 6 }
max_current = "30 A"

[battery]
name = "b"
mass = "760 g"
condition = "sound"
length = "160 mm"
width = "48 mm"
height = "40 mm"
cells = 4
capacity = "8000 mAh"
resistance = "12 mohm"
max_current = "160 A"

[flight_controller]
name = "f"
mass = "38 g"
condition = "sound"
length = "44 mm"
width = "44 mm"
height = "16 mm"
holes = "M3 30.5x30.5"

[payload]
name = "l"
mass = "600 g"
condition = "sound"
length = "80 mm"
width = "80 mm"
height = "260 mm"

[printer]
bed_length = "250 mm"
bed_width = "220 mm"
height = "250 mm"
filaments = ["PETG", "PLA"]
"""


def spoil(*changes: tuple[str, str], text: str = GOOD) -> str:
    """The text with each old line (or part of one) exchanged; an old part must be there once."""
    for old, new in changes:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return text


def line_number(part: str, text: str = GOOD) -> int:
    """Line on which ``part`` stands, from 1; it must stand on one line only."""
    (found,) = (i for i, line in enumerate(text.splitlines(), start=1) if part in line)
    return found
