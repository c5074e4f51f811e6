"""The brief of the aircraft to draw: an invented lake-sampling team's."""

from refledge.model.brief import Brief, Mission, Payload
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


def brief(propeller: float = 0.2032) -> Brief:
    one = Condition(sound=1)
    return Brief(
        title="Lake sampler",
        mission=Mission(hover_time=720.0, all_up_limit=3.5),
        motor=Motor(
            name="motor",
            mass=0.085,
            condition=one,
            Kv=70.0,
            resistance=0.08,
            no_load_current=0.6,
            max_current=25.0,
            diameter=0.035,
            height=0.026,
            holes="M3 16x19",
        ),
        propeller=Propeller(
            name="propeller", mass=0.012, condition=one, diameter=propeller, pitch=0.119
        ),
        speed_controller=SpeedController(
            name="controller", mass=0.02, condition=one, max_current=35.0
        ),
        battery=Battery(
            name="pack",
            mass=0.52,
            condition=one,
            length=0.103,
            width=0.040,
            height=0.034,
            cells=4,
            capacity=18000.0,
            resistance=0.012,
            max_current=100.0,
        ),
        flight_controller=FlightController(
            name="flight controller",
            mass=0.04,
            condition=one,
            length=0.038,
            width=0.038,
            height=0.014,
            holes="M3 30.5x30.5",
        ),
        payload=Payload(
            name="bottle",
            mass=0.6,
            condition=one,
            length=0.08,
            width=0.08,
            height=0.22,
            below=1.5,
            slung=True,
        ),
        others=(
            Placed(
                name="receiver", mass=0.01, condition=one, length=0.02, width=0.014, height=0.006
            ),
        ),
        printer=Printer(bed_length=0.25, bed_width=0.22, height=0.25, filaments=("petg",)),
    )
