"""The invented airplane of the charts' and the report's tests; nothing of it stands for a real one."""

from datetime import date
from math import radians

from wringout.airplane.airplane import (
    Airplane,
    CombinedLimit,
    Configuration,
    Engine,
    Envelope,
    ExchangeKit,
    FlapSetting,
    Fuel,
    Geometry,
    Item,
    Propeller,
    Station,
    Tank,
    Undercarriage,
    Weighing,
    WheelReading,
)
from wringout.quantity import Dimension, Estimate

TAIL_WHEEL = Undercarriage(
    "tail wheel", 1.98, 6.85, 2.05, 1.15, main_wheel_radius=0.37, third_wheel_radius=0.10
)
NOSE_WHEEL = Undercarriage(
    "nose wheel", 2.62, 0.85, 2.20, 1.05, main_wheel_radius=0.22, third_wheel_radius=0.20
)


def airplane() -> Airplane:
    """Fellside Shepherd 200, invented."""
    polygon = ((2.235, 650.0), (2.235, 900.0), (2.300, 1090.0), (2.520, 1090.0), (2.520, 650.0))
    return Airplane(
        name="Shepherd 200",
        maker="Fellside",
        invented=True,
        geometry=Geometry(10.9, 17.6, 2.05, 1.615, 2.0, 7.1, 2.45),
        stations=(
            Station("front seats", 2.15, 2.15, 220.0, "people", seats=2),
            Station("cargo bay", 2.95, 3.60, 160.0, "things", floor_area=0.9, floor_load_limit=245.0),
            Station("aft bay", 4.10, 4.10, 25.0, "things"),
        ),
        combined_limits=(CombinedLimit("both bays", ("cargo bay", "aft bay"), 170.0),),
        fuel=Fuel("avgas", 720.0),
        tanks=(
            Tank("left wing", 0.090, 0.002, ((0.0, 2.45), (0.090, 2.42))),
            Tank("right wing", 0.090, 0.002, ((0.0, 2.45), (0.090, 2.42)), burn_order=2),
        ),
        envelopes=(
            Envelope("normal, tail wheel", polygon, 1090.0, 1095.0),
            Envelope("normal, nose wheel", polygon, 1090.0, 1095.0),
        ),
        empty=Weighing(
            date(2026, 5, 4),
            "big tyres",
            (
                WheelReading("left main", 312.0, 2.0, 1.98),
                WheelReading("right main", 314.5, 2.0, 1.98),
                WheelReading("tail", 48.0, 0.5, 6.85),
            ),
            1.0,
            aboard_not_empty=(Item("tow bar", 4.0, 3.4),),
            missing_from_empty=(Item("oil", 1.5, 0.9),),
        ),
        kits=(
            ExchangeKit(
                "nose wheel kit",
                (Item("tail wheel and spring", 9.5, 6.75), Item("main gear, 29-inch tyres", 52.0, 1.98)),
                (Item("nose leg and wheel", 24.0, 0.85), Item("main gear, 6.00-6 tyres", 38.0, 2.62)),
                hours=16 * 3600.0,
                people=2,
            ),
        ),
        configurations=(
            Configuration("big tyres", TAIL_WHEEL, "normal, tail wheel"),
            Configuration("nose wheel", NOSE_WHEEL, "normal, nose wheel", "nose wheel kit"),
        ),
        flaps=tuple(
            FlapSetting(name, radians(angle))
            for name, angle in (("up", 0), ("15°", 15), ("30°", 30), ("45°", 45))
        ),
        engine=Engine("naturally aspirated", 149_000.0, 45.0, specific_consumption=7.6e-8),
        propeller=Propeller("constant speed", 2.03),
        seats_weight=86.0,
    )


def estimate(value: float, sd: float | None, dimension: Dimension, source: str = "sample") -> Estimate:
    """Short form for the sample."""
    return Estimate(value, sd, dimension, source)
