"""A brief with invented, plausible figures: a water-sampling six-rotor."""

from refledge.model.brief import Assumed, Brief, Mission, Payload
from refledge.model.items import (
    Battery,
    Condition,
    FlightController,
    Motor,
    Placed,
    Propeller,
    SpeedController,
)
from refledge.model.printer import Printer


def fake_brief(title: str = "Lake sampler (invented)") -> Brief:
    return Brief(
        title=title,
        note="Six arms, rebuilt after a fall into the reeds.",
        mission=Mission(hover_time=720.0, all_up_limit=4.0),
        motor=Motor(
            name="motor 3508", mass=0.085, condition=Condition(sound=4, suspect=1, scrap=1),
            Kv=60.7, resistance=0.09, no_load_current=0.6, max_current=25.0,
            diameter=0.042, height=0.03, holes="M3 16x19",
        ),
        propeller=Propeller(
            name="11 x 4.7", mass=0.012, condition=Condition(sound=6), diameter=0.2794, pitch=0.119
        ),
        speed_controller=SpeedController(
            name="30 A", mass=0.028, condition=Condition(sound=6), max_current=30.0
        ),
        battery=Battery(
            name="4S 8000", mass=0.72, condition=Condition(sound=1), length=0.165, width=0.06,
            height=0.035, cells=4, capacity=28800.0, resistance=0.012, max_current=160.0,
        ),
        flight_controller=FlightController(
            name="controller", mass=0.04, condition=Condition(sound=1), length=0.05, width=0.05,
            height=0.015, holes="M3 30.5x30.5",
        ),
        payload=Payload(
            name="water bottle", mass=0.6, condition=Condition(sound=1), length=0.08, width=0.08,
            height=0.2, slung=True,
        ),
        others=(
            Placed(name="receiver", mass=0.015, condition=Condition(sound=1), length=0.03,
                   width=0.02, height=0.01),
        ),
        printer=Printer(bed_length=0.25, bed_width=0.21, height=0.25, filaments=("PETG", "ASA")),
        assumed=(
            Assumed("mission.gust", "5 m/s", "common practice, no source: a breezy day"),
            Assumed("frame.walls", "4", "1.8 mm of solid skin with the usual nozzle"),
        ),
    )  # fmt: skip
