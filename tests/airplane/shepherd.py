"""A small invented airplane that the tests of this package damage."""

from datetime import date
from math import radians

from wringout.airplane import (
    Airplane,
    Battery,
    CombinedLimit,
    Configuration,
    Electrical,
    ElectricalLoad,
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

TAIL_WHEEL = Undercarriage("tail wheel", main_arm=0.55, third_arm=5.6, track=2.05, cg_height=1.15)
NOSE_WHEEL = Undercarriage("nose wheel", main_arm=1.15, third_arm=-0.4, track=2.05, cg_height=1.15)


def shepherd() -> Airplane:
    """An airplane in which everything is right."""
    return Airplane(
        name="Example 100",
        maker="invented",
        invented=True,
        geometry=Geometry(span=10.2, wing_area=15.8, wing_height=2.0),
        stations=(
            Station("front seats", 0.95, 0.95, 220.0, "people", seats=2),
            Station("bay", 1.5, 2.3, 120.0, "things", floor_area=0.7, floor_load_limit=245.0),
        ),
        combined_limits=(CombinedLimit("together", ("front seats", "bay"), 300.0),),
        fuel=Fuel("avgas", 720.0),
        tanks=(
            Tank("left", 0.07, 0.002, ((0.0, 1.02), (0.07, 1.0))),
            Tank("right", 0.07, 0.002, ((0.0, 1.0),)),
        ),
        envelopes=(Envelope("normal", ((0.72, 550.0), (0.82, 950.0), (1.12, 950.0), (1.12, 550.0)), 950.0),),
        empty=Weighing(
            date(2026, 5, 11),
            "tail wheel",
            (WheelReading("mains", 549.0, 2.0, 0.55), WheelReading("tail", 34.0, 2.0, 5.6)),
            0.5,
        ),
        kits=(ExchangeKit("nose kit", (Item("tail wheel", 7.5, 5.6),), (Item("nose wheel", 16.0, -0.35),)),),
        configurations=(
            Configuration("tail wheel", TAIL_WHEEL, "normal"),
            Configuration("nose wheel", NOSE_WHEEL, "normal", "nose kit"),
        ),
        flaps=(FlapSetting("up", 0.0), FlapSetting("landing", radians(40.0), 36.0)),
        engine=Engine("naturally aspirated", 119e3, 45.0),
        propeller=Propeller("constant speed", 1.93),
        seats_weight=86.0,
        electrical=Electrical(
            60.0,
            (Battery("main", 86400.0, 72000.0, 1.2, 12.0, charges_from="alternator"),),
            (ElectricalLoad("radio", 1.5, ("alternator", "main"), essential=True),),
        ),
    )
