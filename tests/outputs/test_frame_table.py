"""Airframes side by side: every figure of the model, in its unit, with the change of two."""

from dataclasses import fields, replace

from refledge.model.frame_figures import FrameFigures
from refledge.outputs.frame_table import frame_heads, frame_lines, frame_rows

DRAWN = FrameFigures(
    name="drawn arms", arms="truss, ASA", all_up_mass=3.2, frame_mass=0.95, arm_mass=0.075,
    hover_time=1100.0, first_mode=18.0, tilt=0.0145, deflection=2e-3, felt=0.5, landing=600.0,
    use=0.8, worst="arms, hard landing", seconds=3.6e5, filament=1.0, support=0.0,
    price=(20.0, 40.5), verdicts=(("holds", 60), ("holds narrowly", 2), ("fails", 0)),
)  # fmt: skip
GROWN = replace(
    DRAWN, name="grown arms", all_up_mass=3.36, first_mode=24.3, support=1.2e-5, use=0.6,
    verdicts=(("holds", 58), ("holds narrowly", 3), ("fails", 1)),
)  # fmt: skip


def test_every_figure_stands_in_the_table_in_units_of_the_trade() -> None:
    rows = list(frame_rows([DRAWN, GROWN]))
    assert frame_heads([DRAWN, GROWN]) == ("", "drawn arms", "grown arms", "change")
    assert len(rows) == len(fields(FrameFigures)) - 2 + len(DRAWN.verdicts)
    told = {name: rest for name, *rest in rows}
    assert told["all-up mass"] == ["3.20 kg", "3.36 kg", "+5 %"]
    assert told["lowest mode of the free airframe"] == ["18.0 Hz", "24.3 Hz", "+35 %"]
    assert told["greatest use of strength and joints"] == ["80.0 %", "60.0 %", "−25 %"]
    assert told["support to break away"][2] == ""  # nil before: no share of it
    assert told["its price, currency of the material card"][0] == "20.00 to 40.50"
    assert told["checks: fails"] == ["0", "1", ""]
    assert told["printing time"][::2] == ["100 h", "none"]
    assert told["flight controller, were its worst mode in resonance"][0] == "0.500 m/s²"


def test_three_have_no_change_and_lines_are_aligned() -> None:
    frames = [DRAWN, GROWN, replace(GROWN, name="other")]
    assert frame_heads(frames)[-1] == "other"
    assert {len(row) for row in frame_rows(frames)} == {4}
    lines = list(frame_lines(frames))
    assert len(lines) == 1 + len(list(frame_rows(frames)))
    at = lines[0].index("other") + len("other")
    assert all(len(line) == at for line in lines)
