"""Traps met in real logs, each in a simulated flight whose truth is known."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from tests.manoeuvres.flying import STALL_SPEED, TICK, Flight, circuit
from tests.recordings.logs import gpx, point
from wringout.manoeuvres import Manoeuvre, find
from wringout.recordings import ChannelColumn, ColumnMapping, Recording, read, smooth
from wringout.recordings.recording import FloatArray

KNOT = 1852 / 3600


def searched(recording: Recording, stall_speed: float = STALL_SPEED) -> tuple[Manoeuvre, ...]:
    """Everything found in a recording."""
    return find(recording, smooth(recording), stall_speed)


def of_kind(manoeuvres: Sequence[Manoeuvre], kind: str) -> list[Manoeuvre]:
    """Those of one kind."""
    return [each for each in manoeuvres if each.kind == kind]


def counted(manoeuvres: Sequence[Manoeuvre]) -> tuple[int, int]:
    """Take-offs and landings."""
    kinds = Counter(each.kind for each in manoeuvres)
    return kinds["take-off"], kinds["landing"]


def moment(manoeuvre: Manoeuvre, name: str) -> float:
    """When an event was [s]."""
    return next(event.time for event in manoeuvre.events if event.name == name)


def holds(manoeuvre: Manoeuvre, measure: str, truth: float, widths: float = 3.0) -> bool:
    """Whether a measure holds the truth within so many of its standard uncertainties."""
    estimate = manoeuvre.measures[measure]
    assert estimate.sd is not None
    return abs(estimate.value - truth) < widths * estimate.sd


def standing() -> Flight:
    """Forty seconds at rest on the strip."""
    flight = Flight()
    flight.stand(40.0)
    return flight


def one_circuit() -> Flight:
    """Take-off, circuit, landing to a full stop."""
    flight = standing()
    flight.take_off()
    circuit(flight)
    flight.land(100.0)
    flight.stand(20.0)
    return flight


ONE = one_circuit()


# ── What a log counts from, and how often it says it ───────────────────────────────────────────────────


def test_heights_above_the_ellipsoid_change_no_distance() -> None:
    """Forty-seven metres more: the strip lies higher, and every distance and moment is the same."""
    recording = ONE.recorded(np.random.default_rng(1))
    raised = replace(
        recording, channels={**recording.channels, "height": recording.channels["height"] + 47.0}
    )
    for one, other in zip(searched(recording), searched(raised), strict=True):
        assert [event.time for event in one.events] == pytest.approx(
            [event.time for event in other.events], abs=1e-3
        )
        for name, estimate in one.measures.items():
            shift = 47.0 if name in {"strip_height", "height"} else 0.0
            assert other.measures[name].value - estimate.value == pytest.approx(shift, abs=1e-3), name


def written_gpx(path: Path, recording: Recording, delays: Sequence[float]) -> Path:
    """A GPX with every fix once for each delay [s], as apps write that listen to two sources at once."""
    channels = recording.channels
    rows = [
        (time + delay, np.degrees(latitude), np.degrees(longitude), height)
        for time, latitude, longitude, height in zip(
            recording.time,
            channels["latitude"],
            channels["longitude"],
            channels["height"],
            strict=True,
        )
        for delay in delays
    ]
    path.write_text(gpx([point(*row) for row in sorted(rows)]), encoding="utf-8")
    return path


@pytest.mark.parametrize("delays", [(0.0, 0.1), (0.0, 0.4)])
def test_two_interleaved_time_streams_are_one_flight(tmp_path: Path, delays: tuple[float, ...]) -> None:
    """Each fix again under a later time: the same take-off and landing, true within their uncertainties."""
    seen = ONE.recorded(np.random.default_rng(2), step=1.0)
    recording = read(written_gpx(tmp_path / "two.gpx", seen, delays))
    manoeuvres = searched(recording)
    assert counted(manoeuvres) == (1, 1)
    (takeoff,), (landing,) = of_kind(manoeuvres, "take-off"), of_kind(manoeuvres, "landing")
    assert holds(takeoff, "ground_roll", ONE.distances["ground roll"][0])
    assert holds(landing, "ground_roll", ONE.distances["landing roll"][0])


def csv_of(path: Path, columns: dict[str, FloatArray], time: FloatArray, mapping: ColumnMapping) -> Recording:
    """Columns written with enough digits and read back."""
    header = ["t", *columns]
    rows = [
        ",".join([f"{t:.2f}", *(f"{column[k]:.9f}" for column in columns.values())])
        for k, t in enumerate(time)
    ]
    path.write_text("\n".join([",".join(header), *rows]) + "\n", encoding="utf-8")
    return read(path, mapping)


UNITS = {"latitude": "rad", "longitude": "rad", "height": "m", "ground_speed": "m/s", "track": "rad"}


def mapped(names: Sequence[str]) -> ColumnMapping:
    """A table whose columns bear the channels' names, in SI."""
    return ColumnMapping(
        "t",
        "elapsed",
        {name: ChannelColumn(name, UNITS[name]) for name in names},
        elapsed_start="2026-05-02T08:00:00+00:00",
    )


def doppler(flight: Flight, time: FloatArray, generator: np.random.Generator) -> dict[str, FloatArray]:
    """Ground speed and track as a receiver has them by Doppler, at the moments of a log."""
    places = np.array(flight.rows)[:, :2]
    velocity = np.gradient(places, TICK, axis=0)
    at = np.clip(np.round(time / TICK).astype(int), 0, len(places) - 1)
    east, north = (velocity[at, k] + generator.normal(0.0, 0.05, len(time)) for k in (0, 1))
    return {"ground_speed": np.hypot(east, north), "track": np.arctan2(east, north) % (2 * np.pi)}


def test_stale_positions_beside_fresh_speeds(tmp_path: Path) -> None:
    """The place stands for two seconds while the speed goes on: rolls are true within their uncertainties."""
    generator = np.random.default_rng(3)
    seen = ONE.recorded(generator, step=0.5, airspeed=False)
    columns = {
        name: np.repeat(values[::4], 4)[: len(seen.time)] if name != "height" else values
        for name, values in seen.channels.items()
    } | doppler(ONE, seen.time, generator)
    recording = csv_of(tmp_path / "stale.csv", columns, seen.time, mapped(tuple(columns)))
    manoeuvres = searched(recording)
    assert counted(manoeuvres) == (1, 1)
    (takeoff,), (landing,) = of_kind(manoeuvres, "take-off"), of_kind(manoeuvres, "landing")
    assert holds(takeoff, "ground_roll", ONE.distances["ground roll"][0])
    assert holds(takeoff, "lift_off_ground_speed", 26.0)
    assert holds(landing, "ground_roll", ONE.distances["landing roll"][0])


def test_a_fast_logger_that_repeats_the_receivers_seconds(tmp_path: Path) -> None:
    """Four rows a second of a one-hertz receiver: found as from the receiver's own rows."""
    seen = ONE.recorded(np.random.default_rng(4), step=1.0, airspeed=False)
    rows = np.arange(0.0, seen.time[-1], 0.25)
    columns = {name: values[np.floor(rows).astype(int)] for name, values in seen.channels.items()}
    fast = searched(csv_of(tmp_path / "fast.csv", columns, rows, mapped(tuple(columns))))
    slow = searched(csv_of(tmp_path / "slow.csv", dict(seen.channels), seen.time, mapped(tuple(columns))))
    assert counted(fast) == counted(slow) == (1, 1)
    for kind in ("take-off", "landing"):
        (one,), (other,) = of_kind(fast, kind), of_kind(slow, kind)
        assert one.measures["ground_roll"].value == pytest.approx(
            other.measures["ground_roll"].value, abs=other.measures["ground_roll"].sd
        )


@pytest.mark.parametrize("share", [1.05, 1.09])
def test_an_airspeed_that_reads_high_hides_nothing(share: float) -> None:
    """Five to nine per cent too much: the same stalls, legs, climbs and runs, with the airspeed as logged."""
    flight = standing()
    flight.take_off()
    flight.fly(90.0, climb=3.0)
    flight.to_speed(34.0)
    flight.fly(60.0)
    flight.stall(21.5)
    flight.to_speed(30.0)
    flight.fly(30.0)
    flight.stall(21.0)
    flight.fly(40.0, climb=1.0)
    recording = flight.recorded(np.random.default_rng(5))
    high = replace(
        recording,
        channels={
            **recording.channels,
            "indicated_airspeed": share * recording.channels["indicated_airspeed"],
        },
    )
    true, read_high = searched(recording), searched(high)
    assert Counter(each.kind for each in true)["stall"] == 2
    assert [(each.kind, round(each.start)) for each in read_high if each.kind != "climb"] == [
        (each.kind, round(each.start)) for each in true if each.kind != "climb"
    ]
    assert len(of_kind(read_high, "climb")) == len(of_kind(true, "climb"))
    for one, other in zip(of_kind(true, "stall"), of_kind(read_high, "stall"), strict=True):
        name = "minimum_indicated_airspeed"
        assert other.measures[name].value == pytest.approx(share * one.measures[name].value, rel=1e-6)


# ── On the ground ──────────────────────────────────────────────────────────────────────────────────────


def test_taxiing_back_along_the_strip_is_no_run() -> None:
    """Full stop, back at fifteen knots, round, and off again: two runs the same way, each of true length."""
    flight = one_circuit()
    for _ in range(2):
        flight.course += np.pi
        flight.taxi(50.0, 15 * KNOT)
    flight.stand(5.0)
    flight.take_off()
    circuit(flight)
    flight.land(100.0)
    flight.stand(20.0)
    manoeuvres = searched(flight.recorded(np.random.default_rng(6)))
    assert counted(manoeuvres) == (2, 2)
    for takeoff, truth in zip(of_kind(manoeuvres, "take-off"), flight.distances["ground roll"], strict=True):
        assert holds(takeoff, "ground_roll", truth)
        assert np.cos(takeoff.measures["roll_track"].value) > 0.999


def test_drifting_backwards_while_parked_is_no_run() -> None:
    """Pushed back and rolling back in the wind before the run: it begins where the airplane goes forward."""
    flight = standing()
    flight.taxi(20.0, -0.6)
    flight.taxi(6.0, -1.5)
    flight.stand(4.0)
    flight.take_off()
    circuit(flight)
    flight.land(100.0)
    flight.taxi(15.0, -0.8)
    flight.stand(10.0)
    manoeuvres = searched(flight.recorded(np.random.default_rng(7)))
    assert counted(manoeuvres) == (1, 1)
    (takeoff,), (landing,) = of_kind(manoeuvres, "take-off"), of_kind(manoeuvres, "landing")
    assert moment(takeoff, "start of roll") == pytest.approx(flight.events["start of roll"][0], abs=2.0)
    assert holds(takeoff, "ground_roll", flight.distances["ground roll"][0])
    assert holds(landing, "ground_roll", flight.distances["landing roll"][0])
    assert np.cos(takeoff.measures["roll_track"].value) > 0.999


def rolled_out(taxi_speed: float) -> tuple[Flight, float]:
    """Brakes to a taxi speed and goes on at it; the roll [m] to a stop had it braked on at 2 m/s²."""
    flight = standing()
    flight.take_off()
    circuit(flight)
    flight.land(100.0, until=taxi_speed)
    flight.taxi(90.0, taxi_speed)
    flight.stand(20.0)
    return flight, flight.distances["landing roll"][0] + taxi_speed**2 / 4.0


@pytest.mark.parametrize("taxi_speed", [3.0, 6.0])
def test_a_roll_that_ends_in_a_taxi_ends_where_braking_does(taxi_speed: float) -> None:
    """Never stopped: the missing metres are added, named, and their uncertainty holds the truth."""
    flight, truth = rolled_out(taxi_speed)
    (landing,) = of_kind(searched(flight.recorded(np.random.default_rng(8))), "landing")
    assert any("rolls on into taxi" in note for note in landing.notes), landing.notes
    assert holds(landing, "ground_roll", truth)
    assert moment(landing, "full stop") == pytest.approx(flight.events["full stop"][0], abs=3.0)


def test_a_field_that_nobody_knew() -> None:
    """Off a strip, down on water twelve kilometres on and sixty metres lower, adrift there, and off again."""
    flight = standing()
    flight.take_off()
    flight.fly(30.0, climb=4.0)
    flight.to_speed(38.0)
    flight.fly(320.0)
    flight.fly((flight.height - 140.0) / 3.0, climb=-3.0)
    flight.to_speed(29.0)
    flight.land(40.0, braking=1.2)
    flight.course += np.radians(70.0)
    flight.taxi(40.0, 0.6)
    flight.course -= np.radians(20.0)
    flight.take_off(push=1.8)
    flight.fly(60.0, climb=3.0)
    manoeuvres = searched(flight.recorded(np.random.default_rng(9), height_wander=0.0))
    assert counted(manoeuvres) == (2, 1)
    off, (landing,) = of_kind(manoeuvres, "take-off"), of_kind(manoeuvres, "landing")
    assert holds(landing, "strip_height", 40.0)
    assert holds(landing, "ground_roll", flight.distances["landing roll"][0])
    assert holds(off[1], "strip_height", 40.0)
    assert holds(off[1], "ground_roll", flight.distances["ground roll"][1])
    assert np.degrees(off[1].measures["roll_track"].value) == pytest.approx(50.0, abs=2.0)


@pytest.mark.parametrize("rolling", [3.0, 14.0])
def test_touches_that_never_slow_to_a_taxi(rolling: float) -> None:
    """Three in a row, wheels down for a moment or for long: each a landing and a take-off without a roll."""
    flight = standing()
    flight.take_off()
    for _ in range(3):
        circuit(flight)
        flight.touch_and_go(100.0, rolling=rolling)
    circuit(flight)
    flight.land(100.0)
    flight.stand(20.0)
    manoeuvres = searched(flight.recorded(np.random.default_rng(10)))
    assert counted(manoeuvres) == (4, 4)
    landings, takeoffs = of_kind(manoeuvres, "landing"), of_kind(manoeuvres, "take-off")
    assert ["ground_roll" in each.measures for each in landings] == [False, False, False, True]
    assert ["ground_roll" in each.measures for each in takeoffs] == [True, False, False, False]
    for each, truth in zip(landings, flight.events["touchdown"], strict=True):
        assert moment(each, "touchdown") == pytest.approx(truth, abs=3.0)


def test_the_strips_slope_and_heading_come_from_the_rolls() -> None:
    """Five in a hundred up towards 205°: the run up it and the landing up it both say so."""
    flight = Flight(slope=0.05, course=np.radians(205.0))
    flight.stand(40.0)
    start = flight.height
    flight.take_off(push=3.2)
    strip = start + 0.05 * flight.distances["ground roll"][0]
    circuit(flight, strip)
    flight.land(strip)
    flight.stand(20.0)
    # a strip's height is the receiver's there, and how far that had wandered nobody can tell: it does not
    manoeuvres = searched(flight.recorded(np.random.default_rng(11), height_wander=0.0))
    assert counted(manoeuvres) == (1, 1)
    for each in (of_kind(manoeuvres, "take-off")[0], of_kind(manoeuvres, "landing")[0]):
        assert holds(each, "strip_slope", 0.05)
        assert each.measures["strip_slope"].sd < 0.03  # type: ignore[operator]  # `holds` saw that it has one
        assert np.degrees(each.measures["roll_track"].value) == pytest.approx(205.0, abs=1.5)
    assert holds(of_kind(manoeuvres, "landing")[0], "strip_height", strip)


# ── In the air ─────────────────────────────────────────────────────────────────────────────────────────


def soaring(wind: float) -> Flight:
    """A glider in its thermals: circles at 43 kt, some rising and some not, straight glides between."""
    flight = Flight(wind_east=wind, speed=22.0, height=900.0, flying=True)
    for climb in (2.5, 0.0, 1.5, 3.0, -0.3):
        flight.fly(4 * 24.0, climb=climb, turn=2 * np.pi / 24.0)
        flight.to_speed(30.0)
        flight.fly(45.0, climb=-1.3)
        flight.to_speed(22.0)
    return flight


@pytest.mark.parametrize("wind", [0.0, 7.0])
def test_circling_slowly_is_no_landing_and_a_thermal_no_climb(wind: float) -> None:
    """Over the ground it slows to 29 kt against the wind, level or rising: circles, and nothing else."""
    manoeuvres = searched(soaring(wind).recorded(np.random.default_rng(12)), stall_speed=18.0)
    assert counted(manoeuvres) == (0, 0)
    assert of_kind(manoeuvres, "climb") == []
    assert of_kind(manoeuvres, "stall") == []
    assert len(of_kind(manoeuvres, "turn")) == 5


@pytest.mark.parametrize("scale", [0.5, 1.0, 2.0])
def test_thresholds_go_with_the_airplanes_own_stall_speed(scale: float) -> None:
    """The same flight at half and at double the speed and stall speed: the same manoeuvres, each true."""
    flight = standing()
    flight.take_off(
        push=2.6 * scale,
        lift_off=26.0 * scale,
        climb=4.0 * scale,
        until=60.0 * scale,
        fade=55.0 * scale,
    )
    flight.fly(60.0, climb=4.0 * scale)
    flight.to_speed(38.0 * scale, 0.6 * scale)
    for leg in (60.0, 60.0, 60.0, 5.0):
        flight.fly(12.0, turn=np.radians(7.5))
        flight.fly(leg)
    flight.to_speed(30.0 * scale, 0.6 * scale)
    flight.fly((flight.height - 100.0 - 60.0 * scale) / (3.0 * scale), climb=-3.0 * scale)
    flight.land(100.0, sink=2.0 * scale, slow_in_flare=0.8 * scale, braking=2.0 * scale)
    flight.stand(20.0)
    manoeuvres = searched(flight.recorded(np.random.default_rng(13)), STALL_SPEED * scale)
    kinds = Counter(each.kind for each in manoeuvres)
    assert kinds == {"take-off": 1, "climb": 1, "level leg": 3, "glide": 1, "landing": 1}
    (takeoff,), (landing,) = of_kind(manoeuvres, "take-off"), of_kind(manoeuvres, "landing")
    assert holds(takeoff, "ground_roll", flight.distances["ground roll"][0])
    assert holds(landing, "ground_roll", flight.distances["landing roll"][0])


# ── Thresholds and reasons ─────────────────────────────────────────────────────────────────────────────


def test_a_speed_that_flickers_about_a_threshold_is_one_time_on_the_ground() -> None:
    """Taxiing at a third to more than half of the stall speed, up and down: one run follows, not ten."""
    flight = standing()
    for _ in range(12):
        flight.taxi(5.0, 8.5)
        flight.taxi(5.0, 11.5)
    flight.stand(10.0)
    flight.take_off()
    circuit(flight)
    flight.land(100.0, until=8.5)
    for _ in range(12):
        flight.taxi(5.0, 8.5)
        flight.taxi(5.0, 11.5)
    flight.stand(20.0)
    manoeuvres = searched(flight.recorded(np.random.default_rng(14)))
    assert counted(manoeuvres) == (1, 1)
    assert holds(of_kind(manoeuvres, "take-off")[0], "ground_roll", flight.distances["ground roll"][0])


def quiet(flight: Flight) -> Recording:
    """Recorded so well that only the flight itself comes near a threshold."""
    return flight.recorded(np.random.default_rng(15), jitter=0.05, height_jitter=0.05, height_wander=0.0)


def test_a_leg_bends_a_little_without_breaking_and_does_not_begin_bent() -> None:
    """What begins steady may come near its limits and stays one leg; what is only near them begins none."""
    limit = 0.025 * STALL_SPEED  # of climb, as the method page has it
    bent = Flight(speed=36.0, height=500.0, flying=True)
    bent.fly(10.0, climb=3.0)
    bent.fly(30.0)
    for _ in range(2):
        bent.fly(12.0, climb=0.85 * limit)
        bent.fly(12.0, climb=-0.85 * limit)
    bent.fly(30.0)
    bent.fly(10.0, climb=3.0)
    (leg,) = of_kind(searched(quiet(bent)), "level leg")
    assert leg.end - leg.start > 100.0
    never = Flight(speed=36.0, height=500.0, flying=True)
    never.fly(10.0, climb=3.0)
    never.fly(30.0, climb=0.85 * limit)
    never.fly(10.0, climb=3.0)
    assert of_kind(searched(quiet(never)), "level leg") == []


def test_every_boundary_of_every_kind_keeps_its_reason() -> None:
    """Seven kinds: at each boundary a moment, its uncertainty and why it was put there."""
    flight = standing()
    flight.take_off()
    flight.fly(60.0, climb=4.0)
    flight.to_speed(38.0)
    flight.fly(60.0)
    flight.fly(70.0, turn=np.radians(7.5))
    flight.to_speed(32.0)
    flight.stall(21.0)
    flight.to_speed(38.0)
    flight.fly(60.0, climb=-2.0)
    flight.fly(3 * 12.0, turn=np.radians(7.5))
    flight.to_speed(30.0)
    flight.fly(max(flight.height - 220.0, 0.0) / 4.0, climb=-4.0)
    flight.land(100.0)
    flight.stand(20.0)
    manoeuvres = searched(flight.recorded(np.random.default_rng(16)))
    kinds = {each.kind for each in manoeuvres}
    assert kinds == {"take-off", "climb", "level leg", "turn", "stall", "glide", "landing"}
    for each in manoeuvres:
        assert each.events, each.kind
        for event in each.events:
            assert len(event.reason.split()) > 2, (each.kind, event)
            assert event.time_sd > 0
