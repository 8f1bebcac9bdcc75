"""Clock offsets: known ones are found, and the stated uncertainty is honest."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from scipy.signal import lfilter

from wringout.quantity.dimensions import Dimension
from wringout.recordings import Recording
from wringout.recordings.alignment import LAG_SD, clock_offset
from wringout.recordings.recording import FloatArray

START = datetime(2026, 5, 2, 8, tzinfo=UTC)
DURATION = 2400.0
FINE = np.arange(-30.0, DURATION + 30.0, 0.1)


def lagged(signal: FloatArray, seconds: float) -> FloatArray:
    """The signal through a first-order lag, from rest."""
    keep = 0.1 / (seconds + 0.1)
    begun, _ = lfilter([keep], [1, keep - 1], signal, zi=[signal[0] * (1 - keep)])
    return np.asarray(begun)


def flown(generator: np.random.Generator) -> tuple[FloatArray, FloatArray]:
    """Height and airspeed of climbs, levels and descents, with gusts in the height."""
    climb, speed = np.zeros(len(FINE)), np.zeros(len(FINE))
    at = 0
    while at < len(FINE):
        count = int(generator.uniform(300, 1500))
        climb[at : at + count] = generator.choice([0.0, 0.0, 4.0, -3.0, 2.0])
        speed[at : at + count] = generator.uniform(30.0, 50.0)
        at += count
    gusts = lfilter([0.06], [1, -0.98], generator.standard_normal(len(FINE)))
    return 300.0 + 0.1 * np.cumsum(lagged(climb, 5.0) + gusts), lagged(speed, 8.0)


def logged(generator: np.random.Generator, fast: float, lag: float = 0.0) -> tuple[Recording, Recording]:
    """A receiver at 5 Hz, and a monitor at 1 Hz whose clock is fast and whose instruments lag, both noisy.

    Heights of the receiver drift, the monitor's altitudes come in steps of ten feet, the air has its own
    speed.
    """
    height, speed = flown(generator)
    often = np.arange(0.0, DURATION, 0.2)
    seldom = np.arange(0.0, DURATION, 1.0) + generator.uniform(0.0, 1.0)
    drift = lfilter([0.05], [1, -0.998], generator.standard_normal(len(often)))
    air = lfilter([0.05], [1, -0.995], generator.standard_normal(len(FINE)))
    receiver = Recording(
        "receiver",
        START,
        often,
        {
            "height": np.interp(often, FINE, height) + drift + 0.3 * generator.standard_normal(len(often)),
            "ground_speed": np.interp(often, FINE, speed) - 5 + 0.1 * generator.standard_normal(len(often)),
        },
        (),
        (),
    )
    altitude = np.interp(seldom - lag, FINE, height) + 0.6 * generator.standard_normal(len(seldom))
    airspeed = np.interp(seldom - lag, FINE, speed + air) + 0.3 * generator.standard_normal(len(seldom))
    monitor = Recording(
        "monitor",
        START + timedelta(seconds=fast),
        seldom,
        {"pressure_altitude": 3.048 * np.round(altitude / 3.048), "indicated_airspeed": airspeed},
        (),
        (),
    )
    return receiver, monitor


def only(recording: Recording, *names: str) -> Recording:
    """The recording with some of its channels."""
    return replace(recording, channels={name: recording.channels[name] for name in names})


@pytest.mark.parametrize("channels", [("pressure_altitude",), ("pressure_altitude", "indicated_airspeed")])
def test_the_uncertainty_is_honest(channels: tuple[str, ...]) -> None:
    """Over many flights the errors are as large as stated: of heights alone, and with speeds."""
    ratios = []
    for seed in range(120):
        generator = np.random.default_rng(seed)
        fast = generator.uniform(-12.0, 12.0)
        receiver, monitor = logged(generator, fast)
        found = clock_offset(receiver, only(monitor, *channels), lag_sd=0.0)
        assert found is not None
        assert found.sd is not None
        ratios.append((found.value + fast) / found.sd)
    assert 0.85 < np.std(ratios) < 1.15
    assert abs(np.mean(ratios)) < 0.3


def test_lags_of_the_instruments_are_in_the_uncertainty() -> None:
    """Instruments that lag one another by as much as is common: still honest."""
    ratios = []
    for seed in range(120):
        generator = np.random.default_rng(1000 + seed)
        receiver, monitor = logged(generator, 3.0, lag=LAG_SD * generator.standard_normal())
        found = clock_offset(receiver, monitor)
        assert found is not None
        assert found.sd is not None
        ratios.append((found.value + 3.0) / found.sd)
    assert 0.85 < np.std(ratios) < 1.15


@pytest.mark.parametrize("fast", [-300.0, -40.25, 0.0, 7.5, 599.0 - 60])
def test_large_offsets_are_found(fast: float) -> None:
    """Anything within ten minutes."""
    receiver, monitor = logged(np.random.default_rng(5), fast)
    found = clock_offset(receiver, monitor)
    assert found is not None
    assert found.dimension is Dimension.TIME
    assert found.value == pytest.approx(-fast, abs=0.3)


def test_which_is_the_reference_only_turns_the_sign() -> None:
    """The other way around the offset is the opposite."""
    receiver, monitor = logged(np.random.default_rng(6), 4.0)
    there, back = clock_offset(receiver, monitor), clock_offset(monitor, receiver)
    assert there is not None
    assert back is not None
    assert there.value == pytest.approx(-back.value, abs=0.15)


def test_a_hole_in_a_log_does_no_harm() -> None:
    """Five minutes without an altitude."""
    receiver, monitor = logged(np.random.default_rng(7), 2.0)
    altitude = monitor.channels["pressure_altitude"].copy()
    altitude[600:900] = np.nan
    found = clock_offset(receiver, replace(monitor, channels={"pressure_altitude": altitude}))
    assert found is not None
    assert found.value == pytest.approx(-2.0, abs=0.3)


def test_signals_that_tell_nothing_give_nothing() -> None:
    """Another flight, a level one, one that repeats itself, no shared channel, a minute of record."""
    receiver, monitor = logged(np.random.default_rng(8), 0.0)
    _, stranger = logged(np.random.default_rng(9), 0.0)
    assert clock_offset(receiver, stranger) is None
    level = replace(monitor, channels={"pressure_altitude": np.full(len(monitor.time), 300.0)})
    assert clock_offset(receiver, level) is None
    wave = {
        "one": replace(receiver, channels={"height": 100 * np.sin(2 * np.pi * receiver.time / 60)}),
        "two": replace(monitor, channels={"pressure_altitude": 100 * np.sin(2 * np.pi * monitor.time / 60)}),
    }
    assert clock_offset(wave["one"], wave["two"]) is None
    assert clock_offset(only(receiver, "height"), only(monitor, "indicated_airspeed")) is None
    short = replace(
        monitor,
        time=monitor.time[:60],
        channels={name: values[:60] for name, values in monitor.channels.items()},
    )
    assert clock_offset(receiver, short) is None
