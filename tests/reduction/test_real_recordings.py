"""Recordings made by others, where the folder of real recordings is at hand."""

import csv
import os
from dataclasses import replace
from datetime import UTC, datetime
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
