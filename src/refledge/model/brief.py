"""The brief: what is left, what the aircraft must do, what can be printed, what must hold."""

from dataclasses import dataclass

from refledge.model.antennas import Antennas
from refledge.model.fields import part, quantity, text
from refledge.model.items import (
    Battery,
    Box,
    FlightController,
    Motor,
    Placed,
    Propeller,
    SpeedController,
    Standoffs,
    power_drawn,
)
from refledge.model.limits import Limits
from refledge.model.printer import Printer
from refledge.model.wishes import FrameWish, LayoutWish


@dataclass(frozen=True, kw_only=True)
class Mission:
    """What the aircraft must do, and where."""

    hover_time: float = quantity("hover time wanted", "s", "min", low=10.0, high=7200.0)
    all_up_limit: float = quantity("all-up mass not to exceed", "kg", low=0.05, high=25.0)
    altitude: float = quantity(
        "height of the site above sea level",
        "m",
        low=-450.0,
        high=6000.0,
        default=0.0,
        reason="sea level",
    )
    air_temperature: float = quantity(
        "air temperature",
        "K",
        "degC",
        low=233.15,
        high=328.15,
        default=298.15,
        reason="a summer day, 25 °C",
    )
    sunlight: str = text(
        "sun or shade on the parts",
        choices=("sun", "shade"),
        default="sun",
        reason="the worse case",
    )
    gust: float = quantity(
        "vertical gust met in flight",
        "m/s",
        low=0.0,
        high=20.0,
        default=5.0,
        reason="common practice, no source: a breezy day",
    )
    landing_speed: float = quantity(
        "sink speed of a hard landing",
        "m/s",
        low=0.1,
        high=5.0,
        default=1.0,
        reason="common practice, no source: a drop from 51 mm",
    )


@dataclass(frozen=True, kw_only=True)
class Payload(Box):
    """What is carried."""

    below: float | None = quantity(
        "its centre below the lower plate",
        "m",
        "mm",
        low=0.0,
        high=50.0,
        default=None,
        reason="none given: right under battery and rails",
    )
    forward: float = quantity(
        "its centre ahead of the middle", "m", "mm", low=-0.5, high=0.5, default=0.0
    )
    slung: bool = part(
        "hung on a line: it loads the frame but does not shake with it", default=False
    )
    drawn_power: float | None = power_drawn("it draws")

    def middle(self, lowest: float) -> float:
        """Its centre below the lower plate, m.

        lowest: how far down what hangs there reaches, m; taken where the brief says nothing.
        """
        return lowest + self.height / 2 if self.below is None else self.below


@dataclass(frozen=True)
class Assumed:
    """A default that the brief did not state."""

    field: str
    value: str
    reason: str


@dataclass(frozen=True, kw_only=True)
class Brief:
    """Everything that a design starts from, complete and in SI."""

    title: str = text("name of the aircraft")
    note: str = text("anything worth saying about it", default="")
    mission: Mission = part("what it must do")
    motor: Motor = part("the motors")
    propeller: Propeller = part("the propellers")
    speed_controller: SpeedController = part("the speed controllers")
    battery: Battery = part("the flight pack")
    flight_controller: FlightController = part("the flight controller")
    standoffs: Standoffs = part("the flight controller's elastic standoffs", default=Standoffs())
    antennas: Antennas = part("antennas in a printed holder", default=Antennas())
    payload: Payload = part("what is carried")
    others: tuple[Placed, ...] = part(
        "receiver, GNSS receiver, camera, lights and the like", default=()
    )
    wiring: float = quantity(
        "wires, plugs, straps and screws together",
        "kg",
        "g",
        low=0.0,
        high=5.0,
        default=0.12,
        reason="from memory, typical of six rotors",
    )
    printer: Printer = part("the printer")
    layout: LayoutWish = part("where the rotors should sit", default=LayoutWish())
    frame: FrameWish = part("what the frame should be", default=FrameWish())
    limits: Limits = part("what must hold", default=Limits())
    assumed: tuple[Assumed, ...] = part("defaults used, filled by the reader", default=())
    folder: str = part(
        "folder of the brief, for the tables it names; filled by the reader", default=""
    )
