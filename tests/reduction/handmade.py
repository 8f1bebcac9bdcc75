"""A small invented airplane and hand-made flights whose truth is known, for the tests of reduction."""

from collections.abc import Mapping, Sequence
from datetime import UTC, date, datetime, timedelta

import numpy as np
from numpy.typing import NDArray

from wringout.airplane.airplane import (
    Airplane,
    Configuration,
    EmptyRecord,
    Engine,
    Envelope,
    FlapSetting,
    Fuel,
    Geometry,
    PowerChartRow,
    Propeller,
    Station,
    Tank,
    Undercarriage,
)
from wringout.dossier.card import Card, CardLoading, CardPoint, PointKind, WeatherReading
from wringout.dossier.dossier import Strip
from wringout.manoeuvres.manoeuvre import Event, Manoeuvre, ManoeuvreKind
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.recordings.recording import CHANNELS, Recording, Track
from wringout.reduction.flown import Flight

FloatArray = NDArray[np.float64]

START = datetime(2026, 5, 12, 9, 0, tzinfo=UTC)
KNOT = 1852.0 / 3600.0
FIELD_ELEVATION = 412.0
DIMENSIONS = {
    **CHANNELS,
    "east_speed": Dimension.SPEED,
    "north_speed": Dimension.SPEED,
    "rate_of_climb": Dimension.SPEED,
    "pressure_altitude_rate": Dimension.SPEED,
    "minimum_indicated_airspeed": Dimension.SPEED,
    "warning_indicated_airspeed": Dimension.SPEED,
    "entry_rate": Dimension.ACCELERATION,
    "ground_roll": Dimension.LENGTH,
    "air_distance": Dimension.LENGTH,
    "air_distance_per_slope": Dimension.LENGTH,
    "lift_off_ground_speed": Dimension.SPEED,
    "touchdown_ground_speed": Dimension.SPEED,
    "obstacle_ground_speed": Dimension.SPEED,
    "roll_track": Dimension.ANGLE,
    "strip_slope": Dimension.SLOPE,
    "strip_height": Dimension.LENGTH,
}
STRIP = Strip("Tarn Meadow", FIELD_ELEVATION, 620.0, np.radians(90.0), 0.02, "short dry grass")


def airplane() -> Airplane:
    """A two-seat tail-wheel airplane, invented, its empty mass from a record."""
    undercarriage = Undercarriage("tail wheel", main_arm=0.25, third_arm=5.3, track=2.1, cg_height=1.0)
    rows = tuple(
        PowerChartRow(rpm / 60.0, 100.0 * hpa, altitude, 149_000.0 * (rpm / 2700.0) * (hpa / 1000.0) ** 1.1)
        for rpm in (2200.0, 2400.0, 2600.0)
        for hpa in (600.0, 700.0, 800.0)
        for altitude in (0.0, 2500.0)
    )
    return Airplane(
        name="Test",
        maker="Nobody",
        invented=True,
        geometry=Geometry(span=10.9, wing_area=17.6, wing_height=2.0),
        stations=(Station("seats", 0.5, 0.5, None, "people", seats=2),),
        combined_limits=(),
        fuel=Fuel("avgas", 720.0),
        tanks=(Tank("wings", 0.18, 0.004, ((0.0, 0.6),)),),
        envelopes=(Envelope("normal", ((0.1, 600.0), (0.1, 1090.0), (0.9, 1090.0), (0.9, 600.0)), 1090.0),),
        empty=EmptyRecord(
            "tail wheel",
            Estimate(668.0, 1.5, Dimension.MASS, "record"),
            Estimate(0.4, 0.003, Dimension.LENGTH, "record"),
            "record",
        ),
        kits=(),
        configurations=(Configuration("tail wheel", undercarriage, "normal"),),
        flaps=(FlapSetting("up", 0.0), FlapSetting("30", np.radians(30.0))),
        engine=Engine(
            "naturally aspirated",
            149_000.0,
            45.0,
            specific_consumption=7.5e-8,
            specific_consumption_full=9e-8,
            chart=rows,
        ),
        propeller=Propeller("constant speed", 2.03),
        seats_weight=85.0,
    )


def estimate(name: str, value: float, sd: float) -> Estimate:
    """A measure with its dimension."""
    return Estimate(value, sd, DIMENSIONS[name], "hand-made")


def manoeuvre(
    kind: ManoeuvreKind, start: float, end: float, measures: Mapping[str, tuple[float, float]], *events: Event
) -> Manoeuvre:
    """A manoeuvre with measures given as (value, sd)."""
    return Manoeuvre(
        kind, start, end, events, {name: estimate(name, *pair) for name, pair in measures.items()}
    )


def moment(seconds: float) -> datetime:
    """A clock time so many seconds after the recording's start."""
    return START + timedelta(seconds=seconds)


def point(
    identity: str, kind: PointKind, start: float | None = None, end: float | None = None, **more: object
) -> CardPoint:
    """A card point, flap up and full power unless said otherwise."""
    fields: dict[str, object] = {"flap": "up", "power": "full", **more}
    return CardPoint(
        id=identity,
        kind=kind,
        start=None if start is None else moment(start),
        end=None if end is None else moment(end),
        **fields,  # type: ignore[arg-type]  # a test's shorthand
    )


def weather(
    seconds: float = 0.0, wind: float = 4.0, from_degrees: float = 90.0, mast: float = 2.0
) -> WeatherReading:
    """A reading on the field, standard pressure, 15 °C."""
    return WeatherReading(
        time=moment(seconds),
        elevation=FIELD_ELEVATION,
        qnh=101_325.0,
        temperature=288.15,
        dew_point=None,
        wind_direction=np.radians(from_degrees),
        wind_speed=wind,
        wind_speed_sd=0.5,
        wind_height=mast,
    )


def still_track(
    duration: float, height: float, speed: tuple[float, float] = (0.0, 0.0), up_speed: float = 0.0
) -> Track:
    """A track of constant velocity sampled at 1 Hz."""
    time = np.arange(0.0, duration + 1.0)
    ones = np.ones_like(time)
    return Track(
        latitude=0.9,
        longitude=0.0,
        time=time,
        east=speed[0] * time,
        north=speed[1] * time,
        up=height + up_speed * time,
        east_speed=speed[0] * ones,
        north_speed=speed[1] * ones,
        up_speed=up_speed * ones,
        east_acceleration=0.0 * ones,
        north_acceleration=0.0 * ones,
        up_acceleration=0.0 * ones,
        position_sd=1.0 * ones,
        height_sd=2.0 * ones,
        speed_sd=0.05 * ones,
        up_speed_sd=0.05 * ones,
        acceleration_sd=0.05 * ones,
    )


def flight(
    points: Sequence[CardPoint],
    manoeuvres: Sequence[Manoeuvre],
    *,
    track: Track | None = None,
    readings: Sequence[WeatherReading] | None = None,
    channels: Mapping[str, FloatArray] | None = None,
    fuel_at_shutdown: float | None = 0.060,
    name: str = "flight 1",
) -> Flight:
    """A flight of two hours: 140 L at start-up, 60 L at shutdown, 160 kg in the seats."""
    path = track or still_track(7200.0, FIELD_ELEVATION)
    card = Card(
        name=name,
        title=name,
        day=date(2026, 5, 12),
        pilot="A. Nother",
        configuration="tail wheel",
        recordings=(),
        loading=CardLoading(
            stations={"seats": 160.0},
            station_arms={},
            fuel={"wings": 0.140},
            mass_sd=1.0,
            fuel_sd=0.002,
            fuel_at_shutdown=None if fuel_at_shutdown is None else {"wings": fuel_at_shutdown},
        ),
        weather=tuple(readings) if readings is not None else (weather(),),
        points=tuple(points),
        height_reference="mean sea level",
    )
    recording = Recording("log.csv", START, path.time, dict(channels or {}), (), ())
    return Flight(card, recording, path, tuple(manoeuvres))


def legs(
    rng: np.random.Generator,
    airspeeds: Mapping[str, float],
    headings: Sequence[float],
    wind: tuple[float, float],
    *,
    leg_sd: float = 0.0,
    astray: FloatArray | None = None,
    more: Mapping[str, Mapping[str, tuple[float, float]]] | None = None,
    start: float = 600.0,
) -> tuple[list[Manoeuvre], list[CardPoint]]:
    """Level legs of 60 s with turns of 30 s at each airspeed on each heading [deg], and their card points.

    `astray` (legs, 2) is by how much the wind of each leg differs from the one given.
    """
    found: list[Manoeuvre] = []
    points: list[CardPoint] = []
    time = start
    for name, airspeed in airspeeds.items():
        first = time
        for heading in np.radians(headings):
            speed = airspeed + rng.normal(0.0, leg_sd)
            shift = np.zeros(2) if astray is None else astray[len(found)]
            east = speed * np.sin(heading) + wind[0] + shift[0]
            north = speed * np.cos(heading) + wind[1] + shift[1]
            measures = {
                "east_speed": (east, 0.02),
                "north_speed": (north, 0.02),
                "height": (1500.0, 2.0),
                **((more or {}).get(name, {})),
            }
            found.append(manoeuvre("level leg", time, time + 60.0, measures))
            time += 90.0
        points.append(point(name, "level", first - 5.0, time - 20.0))
    return found, points
