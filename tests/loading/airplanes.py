"""Invented airplanes for the tests, and the airplane of the printed adverse-loading examples."""

from dataclasses import replace
from datetime import date

from tests.loading.published import AVGAS_DENSITY, INCH, POUND, US_GALLON
from wringout.airplane.airplane import (
    Airplane,
    CombinedLimit,
    Configuration,
    EmptyRecord,
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
from wringout.dossier.card import CardLoading
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate

TAIL = Undercarriage("tail wheel", main_arm=1.60, third_arm=7.00, track=2.2, cg_height=1.3)
NOSE = Undercarriage("nose wheel", main_arm=2.35, third_arm=0.55, track=2.3, cg_height=1.3)

ENVELOPE = Envelope(
    "normal",
    ((1.80, 600.0), (1.80, 900.0), (1.88, 1090.0), (2.25, 1090.0), (2.25, 600.0)),
    maximum_takeoff_mass=1090.0,
    maximum_ramp_mass=1094.0,
    maximum_landing_mass=1090.0,
    maximum_zero_fuel_mass=1020.0,
)

BIG_WHEELS = ExchangeKit(
    "nose wheel",
    off=(Item("main legs", 24.0, 1.60), Item("tail wheel", 6.0, 7.00)),
    on=(Item("main legs", 27.0, 2.35), Item("nose leg", 14.0, 0.55)),
    hours=8 * 3600.0,
    people=2,
    price="invented",
)


def hauler() -> Airplane:
    """An invented two-seater with a long bay, two wing tanks and an auxiliary tank behind."""
    return Airplane(
        name="Test Hauler",
        maker="invented",
        invented=True,
        geometry=Geometry(
            span=10.9, wing_area=17.6, wing_height=2.1, mean_chord=1.60, mean_chord_leading_edge=1.50
        ),
        stations=(
            Station("front seats", 1.95, 1.95, 240.0, "people", seats=2),
            Station("bay", 2.55, 3.35, 180.0, "things", floor_area=1.5, floor_load_limit=150.0),
            Station("tail locker", 4.10, 4.10, 15.0, "things"),
        ),
        combined_limits=(CombinedLimit("bay and locker", ("bay", "tail locker"), 185.0),),
        fuel=Fuel("avgas", 720.0),
        tanks=(
            Tank("left", 0.090, 0.002, ((0.0, 2.05), (0.045, 2.08), (0.090, 2.12))),
            Tank("right", 0.090, 0.002, ((0.0, 2.05), (0.045, 2.08), (0.090, 2.12))),
            Tank("auxiliary", 0.040, 0.001, ((0.040, 2.90),), burn_order=2),
        ),
        envelopes=(ENVELOPE,),
        empty=Weighing(
            date(2024, 5, 4),
            "tail wheel",
            (
                WheelReading("left main", 312.0, 2.0, 1.60),
                WheelReading("right main", 311.0, 2.0, 1.60),
                WheelReading("tail", 49.0, 1.0, 7.00),
            ),
            reading_sd=0.5,
            aboard_not_empty=(Item("tool roll", 4.0, 3.0),),
            missing_from_empty=(Item("oil", 7.0, 0.4),),
        ),
        kits=(BIG_WHEELS,),
        configurations=(
            Configuration("tail wheel", TAIL, "normal"),
            Configuration("nose wheel", NOSE, "normal", kit="nose wheel"),
        ),
        flaps=(FlapSetting("up", 0.0),),
        engine=Engine("naturally aspirated", 149e3, 45.0),
        propeller=Propeller("constant speed", 2.03),
        seats_weight=86.0,
    )


def loading(**stations: float) -> CardLoading:
    """Pilot and observer, half tanks and a few things; further stations by keyword, '_' for a space."""
    masses = {"front seats": 172.0} | {name.replace("_", " "): mass for name, mass in stations.items()}
    return CardLoading(
        masses,
        {"bay": 2.8} if "bay" in masses else {},
        {"left": 0.06, "right": 0.06, "auxiliary": 0.0},
        mass_sd=0.8,
        fuel_sd=0.001,
    )


def printed_airplane() -> Airplane:
    """The airplane of the adverse-loading examples in AC 43.13-1B, ch. 10, as printed."""
    low, high, top = 8.5 * INCH, 21.9 * INCH, 2100.0 * POUND

    def station(name: str, arm: float, limit: float, seats: int) -> Station:
        kind = "people" if seats else "things"
        return Station(name, arm * INCH, arm * INCH, limit * POUND, kind, seats=seats)  # type: ignore[arg-type]

    return replace(
        hauler(),
        name="printed example",
        stations=(
            station("pilot", 16.0, 170.0, 1),
            station("front passenger", 16.0, 170.0, 1),
            station("rear passengers", 48.0, 340.0, 2),
            station("baggage", 75.5, 100.0, 0),
            station("oil", -49.0, 17.0, 0),
        ),
        combined_limits=(),
        fuel=Fuel("avgas", AVGAS_DENSITY),
        tanks=(Tank("wing", 40.0 * US_GALLON, 0.0, ((0.0, 22.0 * INCH),)),),
        envelopes=(
            Envelope("normal", ((low, 1000 * POUND), (low, top), (high, top), (high, 1000 * POUND)), top),
        ),
        empty=EmptyRecord(
            "as printed",
            Estimate(1169.0 * POUND, None, Dimension.MASS, "printed without uncertainty"),
            Estimate(10.6 * INCH, None, Dimension.LENGTH, "printed without uncertainty"),
            "AC 43.13-1B, ch. 10",
        ),
        kits=(),
        configurations=(Configuration("as printed", NOSE, "normal"),),
        engine=Engine("naturally aspirated", 165 * 745.7, 45.0),
        seats_weight=170.0 * POUND,
    )
