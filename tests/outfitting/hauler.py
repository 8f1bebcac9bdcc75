"""The invented hauler of the loading tests with options that need, exclude and replace one another."""

from dataclasses import replace

from tests.loading.airplanes import hauler
from wringout.airplane.airplane import Airplane, Envelope, Item, Option, Station, Tank
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate

BIG = Option(
    "31-inch tyres",
    off=(Item("26-inch tyres", 18.0, 1.60),),
    on=(Item("31-inch tyres", 27.5, 1.60),),
    hours=2 * 3600.0,
    people=2,
    price="EUR 2 900",
    place="main wheels",
    fits=("tail wheel",),
    reason="the nose wheel's legs take small tyres only",
    drag_area_change=Estimate(0.04, 0.02, Dimension.AREA, "belief"),
)
SMALL = Option("20-inch tyres", place="main wheels", price="EUR 400")
FLOOR = Option(
    "cargo floor",
    on=(Item("cargo floor", 9.5, 2.95),),
    price="EUR 1 450",
    stations=(Station("bay", 2.55, 3.35, 210.0, "things", floor_area=1.5, floor_load_limit=300.0),),
)
WINCH = Option("winch", on=(Item("winch", 14.0, 3.2),), price="USD 900", needs=("cargo floor",))
HEAVY = Option(
    "long engine",
    off=(Item("engine", 140.0, 0.2),),
    on=(Item("long engine", 163.0, 0.15),),
    excludes=("nose wheel",),
    reason="its exhaust runs where the nose leg stands",
)
HEATER = Option("heater", on=(Item("heater", 4.0, 0.6),), fitted=True, hours=3600.0, price="EUR 700")
MORE = Option("gross-weight kit", envelope="heavier", price="EUR 3 100")
TANK = Option("tip tanks", on=(Item("tips", 6.0, 2.1),), tanks=(Tank("tips", 0.05, 0.001, ((0.0, 2.1),)),))


def optioned() -> Airplane:
    """The hauler with all of them; the heater was aboard when it was weighed."""
    airplane = hauler()
    heavier = Envelope(
        "heavier",
        ((1.80, 600.0), (1.80, 900.0), (1.92, 1180.0), (2.25, 1180.0), (2.25, 600.0)),
        maximum_takeoff_mass=1180.0,
    )
    return replace(
        airplane,
        envelopes=(*airplane.envelopes, heavier),
        options=(BIG, SMALL, FLOOR, WINCH, HEAVY, HEATER, MORE, TANK),
    )
