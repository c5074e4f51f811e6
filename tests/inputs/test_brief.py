"""Reading a brief: SI values, defaults noted, and every problem with its line."""

from math import pi

import pytest

from refledge.errors import InputError
from refledge.inputs.brief import parse_brief
from refledge.model.items import Condition
from tests.inputs.faults import problem, problems
from tests.inputs.texts import GOOD, line_number, spoil


def test_values_come_in_si() -> None:
    brief = parse_brief(GOOD)
    assert brief.mission.hover_time == 720.0
    assert brief.motor.Kv == pytest.approx(530 * 2 * pi / 60)
    assert brief.propeller.diameter == pytest.approx(0.2794)
    assert brief.battery.capacity == pytest.approx(28_800)
    assert brief.battery.cells == 4
    assert brief.printer.filaments == ("PETG", "PLA")
    assert brief.motor.condition == Condition(sound=5, scrap=1)
    assert brief.battery.condition == Condition(sound=1)
    assert brief.others == ()


def test_a_word_is_one_of_it() -> None:
    brief = parse_brief(spoil(("{ sound = 5, scrap = 1 }", '"to_buy"')))
    assert brief.motor.condition == Condition(to_buy=1)


def test_every_default_is_noted_with_value_and_reason() -> None:
    noted = {each.field: each for each in parse_brief(GOOD).assumed}
    assert noted["mission.air_temperature"].value == "25.0 °C"
    assert noted["mission.air_temperature"].reason == "a summer day, 25 °C"
    assert noted["battery.chemistry"].value == "LiPo"
    assert noted["limits.thrust_margin"].value == "1.80"
    assert noted["layout.motor_radius"].value == "none"
    assert noted["wiring"].value == "120 g"
    assert "mission.hover_time" not in noted
    assert "motor.condition.suspect" not in noted
    assert "note" not in noted


def test_what_is_stated_is_not_assumed() -> None:
    brief = parse_brief(GOOD + '[limits]\nmotor_tilt = "2 deg"\n')
    assert brief.limits.motor_tilt == pytest.approx(2 * pi / 180)
    noted = {each.field for each in brief.assumed}
    assert "limits.motor_tilt" not in noted
    assert "limits.separation" in noted


def test_others_and_angles_and_fractions() -> None:
    brief = parse_brief(
        GOOD
        + '[layout]\nkind = "free"\narm_angles = ["60 deg", "-60 deg", "3.141592653589793 rad"]\n'
        + '[[others]]\nname = "r"\nmass = "14 g"\ncondition = "sound"\nlength = "35 mm"\n'
        + 'width = "2 cm"\nheight = "8 mm"\nx = "-50 mm"\nfixed = false\n'
        + '[frame]\ninfill = "35 %"\nwalls = 3\n[limits]\nseparation = 0.2\nflight_factor = 2\n'
    )
    assert brief.layout.arm_angles == pytest.approx((pi / 3, -pi / 3, pi))
    (other,) = brief.others
    assert (other.x, other.z, other.fixed) == (-0.05, None, False)
    assert brief.frame.infill == pytest.approx(0.35)
    assert brief.frame.walls == 3
    assert (brief.limits.separation, brief.limits.flight_factor) == (0.2, 2.0)
    assert "others[1].y" in {each.field for each in brief.assumed}


def test_a_bare_number_is_refused_with_its_unit_shown() -> None:
    found = problem(('mass = "84 g"', "mass = 84"))
    assert found.where == f"brief.toml:{line_number('84 g')}"
    assert found.field == "motor.mass"
    assert found.given == "84, a number without a unit"
    assert '"85 g"' in found.allowed
    assert '"84 g"' in found.next_step


FILAMENTS = 'filaments = ["PETG", "PLA"]'


@pytest.mark.parametrize(
    ("old", "new", "field", "said"),
    [
        ('"95 mohm"', '"95 mA"', "motor.resistance", "95 mA"),
        ('"95 mohm"', '"95"', "motor.resistance", "no unit"),
        ('"95 mohm"', '"much"', "motor.resistance", "not a number"),
        ('"95 mohm"', '"95 mohm)"', "motor.resistance", "is not a quantity"),
        ('"95 mohm"', '"9,5 mohm"', "motor.resistance", "point"),
        ('"95 mohm"', '"1e999 ohm"', "motor.resistance", "finite"),
        ('"95 mohm"', '"900 ohm"', "motor.resistance", "between 1 mohm and 10000 mohm"),
        ('"95 mohm"', '"0.1 mohm"', "motor.resistance", "too small"),
        ('"95 mohm"', "true", "motor.resistance", "a text with a unit"),
        ('"95 mohm"', '["95 mohm"]', "motor.resistance", "a text with a unit"),
        ('"11 in"', '"11 kg"', "propeller.diameter", "11 kg"),
        ("cells = 4", "cells = 0", "battery.cells", "between 1 and 14"),
        ("cells = 4", "cells = 4.0", "battery.cells", "whole number"),
        ("cells = 4", 'cells = "4"', "battery.cells", "whole number"),
        ("cells = 4", "cells = true", "battery.cells", "whole number"),
        ('title = "Test"', "title = 7", "title", "text in quotes"),
        ('title = "Test"', 'title = "  "', "title", "empty text"),
        ('["PETG", "PLA"]', '"PETG"', "printer.filaments", "list of texts"),
        ('["PETG", "PLA"]', '["PETG", 7]', "printer.filaments", "list of texts"),
        ('["PETG", "PLA"]', "[]", "printer.filaments", "empty list"),
        ('["PETG", "PLA"]', '["PLA", "PLA"]', "printer.filaments", "repetition"),
        ('["PETG", "PLA"]', '["PETG", "plaa"]', "printer.filaments", 'did you mean "PLA"'),
        ('["PETG", "PLA"]', '["carbon-tube-16x14"]', "printer.filaments", '"PETG"'),
        (FILAMENTS, f'spools = ["grey 3"]\n{FILAMENTS}', "printer.spools", "a colon"),
        (FILAMENTS, f'spools = ["PEET: grey"]\n{FILAMENTS}', "printer.spools", '"PETG"'),
        (FILAMENTS, f'spools = ["PLA: a", "PLA: b"]\n{FILAMENTS}', "printer.spools", "one spool"),
        ('"M3 16x19"', '"16 by 19"', "motor.holes", '"M3 19x19"'),
        ('"M3 30.5x30.5"', '"M3 30.5x20"', "flight_controller.holes", "not a square"),
        ("{ sound = 5, scrap = 1 }", '"fine"', "motor.condition", '"suspect"'),
        ("{ sound = 5, scrap = 1 }", "5", "motor.condition", "sound = 5"),
        ("{ sound = 5, scrap = 1 }", "{ sound = -5 }", "motor.condition.sound", "0 or more"),
        ("{ sound = 5, scrap = 1 }", "{ scarp = 1 }", "motor.condition.scarp", '"scrap"'),
    ],
)
def test_a_wrong_value_is_one_problem(old: str, new: str, field: str, said: str) -> None:
    found = problem((old, new))
    assert found.field == field
    assert said in str(found)
    assert found.where == f"brief.toml:{line_number(old)}"


@pytest.mark.parametrize(
    ("extra", "field", "said"),
    [
        ('[layout]\nkind = "six"\n', "layout.kind", '"six-x"'),
        ("[layout]\npairs = 1\n", "layout.pairs", "true or false"),
        ('[layout]\narm_angles = "60 deg"\n', "layout.arm_angles", "list of angles"),
        ('[layout]\nkind = "free"\narm_angles = [60, 1, 2]\n', "layout.arm_angles", '"60 deg"'),
        ('[layout]\nkind = "free"\n', "layout.arm_angles", "at least 3"),
        ('[layout]\narm_angles = ["60 deg"]\n', "layout.arm_angles", "strike"),
        ("[layout]\npairs = true\n", "layout.pairs", '"three-pairs"'),
        ("[frame]\ninfill = nan\n", "frame.infill", "finite"),
        ("[frame]\ninfill = 40\n", "frame.infill", "between 5 % and 100 %"),
        ('[frame]\nmaterial = "PETGG"\n', "frame.material", 'did you mean "PETG"'),
        ('[frame]\nmaterial = "PA66-GF30-moulded"\n', "frame.material", '"PA6-GF"'),
        ('[frame]\narm_family = "tube"\ntube = ""\n', "frame.tube", "carbon-tube-16x14"),
        ('[frame]\ntube = "PLA"\n', "frame.tube", "carbon-tube-16x14"),
        ('[limits]\nheat_reserve = "10 degC"\n', "limits.heat_reserve", "between 0 K and 100 K"),
        ("[[others]]\n", "others[1].name", "nothing"),
        ("[limits]\nwhen = 1979-05-27\n", "limits.when", "unknown key"),
        ("frame = 5\n", "printer.frame", "before the first table"),
        ('Kv = "9 rpm/V"\n', "printer.Kv", "[motor]"),
        ('shape = "x"\n', "printer.shape", "strike it out"),
        ("[hopes]\n", "hopes", "unknown table"),
    ],
)
def test_wrong_lines_at_the_end(extra: str, field: str, said: str) -> None:
    found = problems(GOOD + extra)
    assert found[0].field == field
    assert said in str(found[0])
    assert len(found) == (6 if "others" in extra else 1)
    assert line_number("filaments") < int(found[0].where.split(":")[1])


@pytest.mark.parametrize(
    ("changes", "field", "said"),
    [
        ([('"250 mm"\nbed', '"210 mm"\nbed')], "printer.bed_width", "longer side"),
        ([('"600 g"', '"3.5 kg"')], "payload.mass", "all-up limit"),
        ([("filaments", 'layer = "0.4 mm"\nfilaments')], "printer.layer", "thinner"),
    ],
)
def test_fields_that_contradict_one_another(
    changes: list[tuple[str, str]], field: str, said: str
) -> None:
    found = problem(*changes)
    assert found.field == field
    assert said in str(found)


def test_a_contradiction_waits_for_its_values() -> None:
    """A bad payload mass is one problem, not also a payload heavier than the limit."""
    assert problem(('"600 g"', '"90 kg"')).field == "payload.mass"


def test_a_missing_field_is_placed_at_its_table() -> None:
    found = problem(('Kv = "530 rpm/V"\n', ""))
    assert found.field == "motor.Kv"
    assert found.given == "nothing"
    assert "speed constant" in found.next_step
    assert found.where == f"brief.toml:{line_number('[motor]')}"


def test_a_missing_table_is_one_problem() -> None:
    start, end = GOOD.index("[battery]"), GOOD.index("[flight_controller]")
    (found,) = problems(GOOD[:start] + GOOD[end:])
    assert found.field == "battery"
    assert "[battery]" in found.next_step
    assert "capacity" in found.allowed


def test_a_table_that_is_no_table_is_one_problem() -> None:
    start, end = GOOD.index("[payload]"), GOOD.index("[printer]")
    (found,) = problems("payload = 5\n" + GOOD[:start] + GOOD[end:])
    assert (found.field, found.where) == ("payload", "brief.toml:1")


def test_one_table_of_others_is_told_its_form() -> None:
    (found,) = problems(GOOD + '[others]\nname = "r"\n')
    assert found.field == "others"
    assert "[[others]]" in found.next_step


def test_a_misspelt_required_key_is_one_problem() -> None:
    found = problem(("hover_time", "hover_tmie"))
    assert found.field == "mission.hover_tmie"
    assert found.next_step == 'did you mean "hover_time"?'


def test_a_misspelt_table_is_one_problem() -> None:
    found = problem(("[battery]", "[batery]"))
    assert found.field == "batery"
    assert found.next_step == 'did you mean "battery"?'


def test_what_the_reader_fills_cannot_be_stated() -> None:
    found = problems('folder = "/tmp"\n' + GOOD)
    assert [each.field for each in found] == ["folder"]


def test_ten_mistakes_are_ten_problems_each_on_its_line() -> None:
    mistakes = [
        ("12 min", 'hover_time = "12 kg"'),
        ("84 g", "mass = 84"),
        ("M3 16x19", 'holes = "16/19"'),
        ("pitch", 'ptch = "4.7 in"'),
        ("30 A", 'max_current = "3000 A"'),
        ("cells", 'cells = "four"'),
        ("8000 mAh", 'capacity = "5 mAh"'),
        ("600 g", 'mass = "3.6 kg"'),
        ("bed_width", 'bed_width = "251 mm"'),
        ("filaments", 'filaments = ["PETG", "PEET"]'),
    ]
    lines = GOOD.splitlines()
    numbers = [line_number(part) for part, _ in mistakes]
    for number, (_, new) in zip(numbers, mistakes, strict=True):
        lines[number - 1] = new
    found = problems("\n".join(lines))
    assert [each.where for each in found] == [f"brief.toml:{number}" for number in numbers]
    assert all(each.given and each.allowed and each.next_step for each in found)


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ('title = "x"\nmass = 84 g\n', 2),
        ("a = 1\na = 2\n", 2),
        ("a = 1\n\n[b\n", 3),
        ('a = """never closed\n\n', 2),
        ("a = " + "[" * 5000, None),
    ],
)
def test_broken_toml_is_one_clear_error(text: str, line: int | None) -> None:
    with pytest.raises(InputError) as caught:
        parse_brief(text, "my.toml")
    (found,) = caught.value.problems
    assert found.where == ("my.toml" if line is None else f"my.toml:{line}")
    assert "(at" not in found.given


def test_an_empty_text_lacks_every_required_part() -> None:
    found = problems("")
    assert [each.field for each in found] == [
        "title", "mission", "motor", "propeller", "speed_controller", "battery",
        "flight_controller", "payload", "printer",
    ]  # fmt: skip
