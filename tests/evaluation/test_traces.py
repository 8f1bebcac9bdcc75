"""Traces at the detail of a page: no peak is lost, no gap is bridged, and units are the reader's."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from wringout.dossier.dossier import Units
from wringout.evaluation import Evaluation
from wringout.evaluation.traces import (
    Trace,
    path,
    range_of,
    trace,
    trace_names,
    unit_of_channel,
    usual_traces,
    window,
)
from wringout.recordings.recording import CHANNELS, FloatArray
from wringout.reduction import Flight


@pytest.fixture(scope="module")
def flight(demo: Evaluation) -> Flight:
    """The longest flight of the demo."""
    return demo.flights[0]


def noisy(samples: int = 100_000) -> Trace:
    """A long trace with spikes of one sample and a silence of 200 s."""
    rng = np.random.default_rng(7)
    values = np.cumsum(rng.normal(size=samples))
    values[rng.integers(0, samples, 40)] += 500.0
    time: FloatArray = 0.2 * np.arange(samples, dtype=np.float64)
    values[20_000] = np.nan
    gone = slice(20_001, 21_000)
    return Trace("noise", "kt", np.delete(time, gone), np.delete(values, gone).astype(np.float64))


@pytest.mark.parametrize("most", [100, 1000, 3000])
@pytest.mark.parametrize(("start", "end"), [(-np.inf, np.inf), (3000.0, 9000.0), (9_990.0, 10_010.0)])
def test_every_stretch_keeps_its_highest_and_lowest_sample(most: int, start: float, end: float) -> None:
    """Looked at in any window, the extremes of the window are those of all its samples."""
    whole = noisy()
    shown = window(whole, start, end, most)
    assert len(shown.time) <= 1.6 * most
    assert np.all(np.diff(shown.time) > 0)
    inside = (whole.time >= start) & (whole.time <= end)
    assert np.nanmax(shown.values) >= np.nanmax(whole.values[inside])
    assert np.nanmin(shown.values) <= np.nanmin(whole.values[inside])
    # Brute force: of each of fifty stretches the peak is there to within a stretch's width.
    edges = np.linspace(shown.time[0], shown.time[-1], 51)
    for low, high in pairwise(edges):
        of_all = whole.values[(whole.time >= low) & (whole.time <= high)]
        near = (shown.time >= low - (high - low)) & (shown.time <= high + (high - low))
        if np.isfinite(of_all).any():
            assert np.nanmax(shown.values[near]) >= np.nanmax(of_all)


def test_a_long_hole_stays_a_hole_at_every_scale() -> None:
    """The line is broken where nothing was measured for longer than a sample is wide."""
    for most in (200, 2000, 200_000):
        shown = window(noisy(), -np.inf, np.inf, most)
        before, after = np.searchsorted(shown.time, [3999.9, 4199.9])
        assert np.isnan(shown.values[before:after]).any()
        assert np.count_nonzero(np.isnan(shown.values)) == 1


def test_a_slow_channel_in_a_fast_table_is_one_line(demo: Evaluation, flight: Flight) -> None:
    """Empty cells between its samples are no gaps; a silence is, and is drawn as one."""
    speed = trace(flight, "indicated airspeed", demo.dossier.units)
    recorded = flight.recording.channels["indicated_airspeed"]
    assert np.count_nonzero(np.isfinite(speed.values)) == np.count_nonzero(np.isfinite(recorded))
    silences = np.diff(flight.recording.time[np.isfinite(recorded)]) > 2.0
    assert np.count_nonzero(np.isnan(speed.values)) == np.count_nonzero(silences)


def test_traces_are_in_the_units_of_the_dossier(flight: Flight) -> None:
    """Height in metres where the reader wants metres; the knot has 1852 metres in an hour."""
    feet, metres = trace(flight, "height", Units()), trace(flight, "height", Units(height="m"))
    assert np.nanmax(metres.values) == pytest.approx(np.nanmax(flight.track.up))
    assert np.nanmax(feet.values) == pytest.approx(np.nanmax(metres.values) / 0.3048)
    knots = trace(flight, "ground speed", Units())
    fastest = np.hypot(flight.track.east_speed, flight.track.north_speed).max()
    assert range_of(knots)[1] == pytest.approx(fastest * 3600 / 1852)
    assert all(unit_of_channel(channel, Units()) for channel in CHANNELS)


def test_what_can_be_drawn_is_what_there_is(flight: Flight) -> None:
    """Each name once, the usual three among them; another is refused."""
    names = trace_names(flight.recording)
    assert len(set(names)) == len(names)
    assert usual_traces(flight.recording) == ("height", "indicated airspeed", "manifold pressure")
    assert set(usual_traces(flight.recording)) <= set(names)
    assert all(len(trace(flight, name, Units()).time) > 1 for name in names)
    with pytest.raises(KeyError):
        trace(flight, "cabin pressure", Units())


def test_the_track_begins_and_ends_where_the_flight_does(flight: Flight) -> None:
    """Thinned, its ends are the flight's own, and no two samples bridge a silence."""
    way = path(flight, -np.inf, np.inf, 500)
    assert len(way.time) < 700
    assert (way.time[0], way.time[-1]) == (flight.track.time[0], flight.track.time[-1])
    assert way.east[-1] == flight.track.east[-1]
    silent = flight.track.time[np.flatnonzero(np.diff(flight.track.time) > 2.0)]
    for moment in silent:
        after = int(np.searchsorted(way.time, moment, side="right"))
        assert np.isnan(way.east[after - 1])
