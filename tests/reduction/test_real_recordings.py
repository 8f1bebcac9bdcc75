"""Recordings made by others, where the folder of real recordings is at hand."""

import csv
import os
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np
import pytest

from tests.reduction.handmade import airplane, flight
from wringout.dossier.card import CardPoint, WeatherReading
from wringout.dossier.dossier import Strip
from wringout.manoeuvres import find
from wringout.physics.airspeed import calibrated_from_true
from wringout.physics.atmosphere import standard_pressure
from wringout.physics.constants import CELSIUS_ZERO, FOOT, INCH_OF_MERCURY, KNOT
from wringout.recordings import ChannelColumn, ColumnMapping, read, smooth
from wringout.reduction import reduce
from wringout.reduction.gps_legs import solve
from wringout.reduction.points import LandingPoint, TakeoffPoint

FOLDER = Path(os.environ.get("WRINGOUT_RECORDINGS", Path(__file__).parents[3] / "shared" / "recordings"))
pytestmark = pytest.mark.skipif(not FOLDER.is_dir(), reason="the folder of real recordings is not here")


def runs(name: str) -> dict[str, list[dict[str, float]]]:
    """Three-leg runs of one file by run number."""
    found: dict[str, list[dict[str, float]]] = {}
    with (FOLDER / "three_leg" / name).open(encoding="utf-8", newline="") as rows:
        for row in csv.DictReader(rows):
            numbers = {key: float(text) for key, text in row.items() if key not in {"config", "run"}}
            found.setdefault(row["run"], []).append(numbers)
    return found


def test_airspeed_calibration_of_three_leg_runs() -> None:
    """Fast clean runs: wind 48–54° at 13.7–14.2 kt, indicated 0.9 to 3.0 kt above calibrated."""
    for run, rows in runs("clean.csv").items():
        if run not in {"1", "2", "3", "4"}:
            continue
        speed = np.array([row["gps_ground_speed_kt"] for row in rows]) * KNOT
        track = np.radians([row["gps_track_deg"] for row in rows])
        legs = solve(speed * np.sin(track), speed * np.cos(track), 0.3, [run] * 3)
        wind_from = np.degrees(np.arctan2(-legs.wind[0], -legs.wind[1])) % 360.0
        assert 48.0 <= round(wind_from) <= 54.0
        assert 13.7 <= round(float(np.hypot(*legs.wind)) / KNOT, 1) <= 14.2
        pressure = standard_pressure(rows[0]["pressure_altitude_ft"] * FOOT)
        calibrated = calibrated_from_true(legs.true_airspeed[0], pressure, rows[0]["oat_c"] + CELSIUS_ZERO)
        assert 0.85 <= rows[0]["kias"] - float(calibrated) / KNOT <= 3.05


def test_airspeed_calibration_with_flap_ten() -> None:
    """Flap 10: wind 46–54° at 12–16 kt in every run."""
    for run, rows in runs("flap10.csv").items():
        speed = np.array([row["gps_ground_speed_kt"] for row in rows]) * KNOT
        track = np.radians([row["gps_track_deg"] for row in rows])
        legs = solve(speed * np.sin(track), speed * np.cos(track), 0.3, [run] * len(rows))
        assert 46 <= round(np.degrees(np.arctan2(-legs.wind[0], -legs.wind[1])) % 360.0) <= 54
        assert 12 <= round(float(np.hypot(*legs.wind)) / KNOT) <= 16


def test_the_trainers_legs_agree_with_its_own_wind_and_airspeed() -> None:
    """First day of the glass cockpit: wind 303° at 9 kt by its own reckoning, true airspeed within 4 %.

    The legs lie on 140° and 295° with three quarters of an hour between: direction and airspeed by satellite
    are no surer than 20° and 2 kt.
    """
    log = FOLDER / "glass_cockpit" / "training_2011-07-01.csv"
    columns = {
        "latitude": ("Latitude", "°"),
        "longitude": ("Longitude", "°"),
        "height": ("AltGPS", "ft"),
        "ground_speed": ("GndSpd", "kt"),
        "indicated_airspeed": ("IAS", "kt"),
        "true_airspeed": ("TAS", "kt"),
        "pressure_altitude": ("AltMSL", "ft"),
        "outside_air_temperature": ("OAT", "°C"),
    }
    mapped = {channel: ChannelColumn(*pair) for channel, pair in columns.items()}
    mapping = ColumnMapping("Lcl Date + Lcl Time + UTCOfst", "iso", mapped, header_row=3)
    recording = read(log, mapping)
    track = smooth(recording)
    spans = ((1340, 1480), (1530, 1820), (1900, 1960), (4400, 4480), (4490, 4530), (4590, 4670), (4940, 5090))
    points = [
        CardPoint(
            f"L{number}",
            "level",
            "up",
            "part",
            start=recording.start + timedelta(seconds=first),
            end=recording.start + timedelta(seconds=last),
        )
        for number, (first, last) in enumerate(spans)
    ]
    found = find(recording, track, 45.0 * KNOT)
    result = reduce([replace(flight(points, found, track=track), recording=recording)], airplane(), [])
    assert len(result.levels) == len(spans)
    for level in result.levels:
        inside = (recording.time >= level.origin.start) & (recording.time <= level.origin.end)
        own = float(np.nanmean(recording.channels["true_airspeed"][inside]))
        assert level.true_airspeed.value == pytest.approx(own, rel=0.04)
        assert abs(level.true_airspeed.value - own) < 2.5 * (level.true_airspeed.sd or 0.0)
    for _, direction, speed in result.winds:
        assert np.degrees(direction.value) == pytest.approx(303.0, abs=15.0)
        assert speed.value / KNOT == pytest.approx(9.0, abs=4.0)


def test_every_circuit_of_a_flown_test_gives_a_point_or_a_reason(tmp_path: Path) -> None:
    """Short-field circuits with a sparse log: take-offs and landings come out, the rest says why not."""
    source = FOLDER / "amateur_built" / "20190428_takeoff_landing_tests.csv"
    log = tmp_path / "circuits.csv"
    with (
        source.open(encoding="utf-8", newline="") as rows,
        log.open("w", encoding="utf-8", newline="") as out,
    ):
        table = csv.reader(rows)
        writer = csv.writer(out)
        writer.writerow(next(table))
        writer.writerows([f"{row[0]}-05:00", *row[1:]] for row in table)
    columns = {
        "latitude": ("lat", "°"),
        "longitude": ("lon", "°"),
        "height": ("gps_alt_ft", "ft"),
        "ground_speed": ("gs_kt", "kt"),
        "track": ("track_true_deg", "°"),
        "indicated_airspeed": ("ias_kt", "kt"),
        "pressure_altitude": ("pressure_altitude_ft", "ft"),
        "outside_air_temperature": ("oat_c", "°C"),
        "fuel_flow": ("fuel_flow_lph", "L/h"),
    }
    mapping = ColumnMapping(
        "time_local", "iso", {channel: ChannelColumn(*pair) for channel, pair in columns.items()}
    )
    recording = read(log, mapping)
    track = smooth(recording)
    manoeuvres = find(recording, track, 25.0)
    takeoffs = sum(found.kind == "take-off" for found in manoeuvres)
    landings = sum(found.kind == "landing" for found in manoeuvres)
    points = [
        *(CardPoint(f"T{n}", "take-off", "up", "full", strip="Nine") for n in range(takeoffs)),
        *(CardPoint(f"L{n}", "landing", "30", "idle", strip="Nine") for n in range(landings)),
    ]
    report = WeatherReading(
        time=datetime(2019, 4, 28, 21, 15, tzinfo=UTC),
        elevation=437.0 * FOOT,
        qnh=30.12 * INCH_OF_MERCURY,
        temperature=13.0 + CELSIUS_ZERO,
        dew_point=4.0 + CELSIUS_ZERO,
        wind_direction=np.radians(120.0),
        wind_speed=11.0 * KNOT,
        wind_speed_sd=3.0 * KNOT,
        wind_height=10.0,
    )
    flown = replace(flight(points, manoeuvres, track=track, readings=[report]), recording=recording)
    strip = Strip("Nine", 437.0 * FOOT, 2000.0 * FOOT, np.radians(90.7), 0.0, "asphalt")
    result = reduce([flown], airplane(), [strip])
    assert len(result.takeoffs) + len(result.landings) >= 6
    assert len(result.takeoffs) + len(result.landings) + len(result.left_out) >= len(points)
    made: list[TakeoffPoint | LandingPoint] = [*result.takeoffs, *result.landings]
    for point in made:
        # 11 kt from 29° off the strip at 10 m are about 8 kt at the wing.
        assert 3.0 < point.head_wind.value < 5.0
        assert point.ground_roll.sd is not None
    for found in result.takeoffs:
        assert 30.0 < found.lift_off_speed.value < 42.0
    for left in result.left_out:
        assert len(left.reason) > 20
