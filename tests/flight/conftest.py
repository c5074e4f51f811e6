"""An invented aircraft of six measured rotors, shared by the flight tests."""

import math
from collections.abc import Callable

import numpy as np
import pytest

from refledge.flight.layout import lay_out
from refledge.flight.rotor import RotorModel
from refledge.flight.rotor_sources import rotor_from_coefficients
from refledge.model.brief import Brief, Mission, Payload
from refledge.model.items import (
    Battery,
    Condition,
    FlightController,
    Motor,
    Propeller,
    SpeedController,
)
from refledge.model.layout import Layout
from refledge.model.printer import Printer
from refledge.model.rotor_tables import CoefficientTable
from refledge.model.wishes import LayoutWish

INCH = 0.0254
SIX = Condition(sound=6)

# UIUC Propeller Database, static run of an 11x4.7 slow-fly propeller (Brandt, Deters, Ananda,
# Dantsker, Selig; Brandt and Selig, AIAA 2011-1255): every third row and the last.
RPM_11 = np.array([1666.0, 2556.0, 3423.0, 4290.0, 5175.0, 6021.0])
CT_11 = np.array([0.0986, 0.1042, 0.1091, 0.1151, 0.1209, 0.1259])
CP_11 = np.array([0.0392, 0.0401, 0.0418, 0.0442, 0.0468, 0.0493])


@pytest.fixture(scope="session")
def propeller() -> Propeller:
    return Propeller(name="11x4.7", mass=0.015, condition=SIX, diameter=11 * INCH, pitch=4.7 * INCH)


@pytest.fixture(scope="session")
def rotor(propeller: Propeller) -> RotorModel:
    return rotor_from_coefficients(propeller, CoefficientTable(RPM_11, CT_11, CP_11, "UIUC"))


@pytest.fixture(scope="session")
def brief(propeller: Propeller) -> Brief:
    motor = Motor(
        name="outrunner",
        mass=0.08,
        condition=SIX,
        Kv=920 * 2 * math.pi / 60,
        resistance=0.09,
        no_load_current=0.5,
        max_current=20.0,
        diameter=0.028,
        height=0.03,
        holes="M3 16x19",
    )
    return Brief(
        title="invented",
        mission=Mission(hover_time=600.0, all_up_limit=5.0, gust=5.0, landing_speed=1.5),
        motor=motor,
        propeller=propeller,
        speed_controller=SpeedController(
            name="controller", mass=0.03, condition=SIX, max_current=30.0
        ),
        battery=Battery(
            name="pack",
            mass=0.5,
            condition=Condition(sound=1),
            length=0.14,
            width=0.04,
            height=0.03,
            cells=4,
            capacity=5.0 * 3600,
            resistance=0.02,
            max_current=120.0,
        ),
        flight_controller=FlightController(
            name="controller",
            mass=0.02,
            condition=Condition(sound=1),
            length=0.04,
            width=0.04,
            height=0.01,
            holes="M3 30.5x30.5",
        ),
        payload=Payload(
            name="bottle",
            mass=0.6,
            condition=Condition(sound=1),
            length=0.1,
            width=0.1,
            height=0.25,
            slung=True,
        ),
        printer=Printer(bed_length=0.25, bed_width=0.21, height=0.2, filaments=("petg",)),
    )


@pytest.fixture(scope="session")
def layout_of(propeller: Propeller, rotor: RotorModel) -> Callable[[str], Layout]:
    def make(kind: str) -> Layout:
        ratio = rotor.torque_ratio(400.0)
        return lay_out(
            LayoutWish(), kind, propeller.diameter, 0.06, 0.05, -0.04, torque_ratio=ratio
        )

    return make
