"""A million samples: read, cleaned, smoothed and searched for every manoeuvre.

Run: .venv/bin/python benchmarks/million_rows.py
Goals: 3 s together and 1 GB at most, on two cores. The recording is invented: 333 circuits at five hertz.
The compiler's import and kept code are part of smoothing; the first run of an installation compiles too.
"""

from __future__ import annotations

import resource
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

import numpy as np

from wringout.manoeuvres import find
from wringout.recordings import ChannelColumn, ColumnMapping, read, smooth

ROWS = 1_000_000
PERIOD = 0.2  # s
CIRCUIT = 600.0  # s
GOAL_SECONDS, GOAL_MEGABYTES = 3.0, 1000.0
MAPPING = ColumnMapping(
    "t",
    "elapsed",
    {
        "latitude": ChannelColumn("lat", "°"),
        "longitude": ChannelColumn("lon", "°"),
        "height": ChannelColumn("alt", "m"),
        "ground_speed": ChannelColumn("gs", "m/s"),
        "track": ChannelColumn("trk", "°"),
    },
    elapsed_start="2026-05-12T09:00:00Z",
)
# Share of a circuit → speed [m/s] and height [m]; it turns between the two shares of TURNING
SPEED = ((0.0, 0.05, 0.08, 0.081, 0.85, 0.9, 0.93, 1.0), (0.0, 0.0, 30.0, 50.0, 50.0, 28.0, 0.0, 0.0))
HEIGHT = ((0.0, 0.08, 0.3, 0.7, 0.9, 1.0), (0.0, 0.0, 600.0, 600.0, 0.0, 0.0))
TURNING = (0.2, 0.8)

Result = TypeVar("Result")


def write_circuits(path: Path, rows: int) -> None:
    """A CSV of circuits with the noise of a usual receiver."""
    generator = np.random.default_rng(0)
    seconds = PERIOD * np.arange(rows)
    share = seconds % CIRCUIT / CIRCUIT
    speed, height = np.interp(share, *SPEED), np.interp(share, *HEIGHT)
    turning = (share > TURNING[0]) & (share < TURNING[1])
    track = np.cumsum(np.where(turning, np.radians(1.0), 0.0) * PERIOD)
    north = np.cumsum(speed * np.cos(track)) * PERIOD
    east = np.cumsum(speed * np.sin(track)) * PERIOD
    table = np.column_stack(
        (
            seconds,
            54.0 + north / 111_320 + generator.normal(0.0, 1e-5, rows),
            -2.0 + east / 65_000 + generator.normal(0.0, 1e-5, rows),
            height + generator.normal(0.0, 1.5, rows),
            speed + generator.normal(0.0, 0.1, rows),
            np.degrees(track) % 360,
        )
    )
    header = "t,lat,lon,alt,gs,trk"
    np.savetxt(path, table, fmt="%.1f,%.7f,%.7f,%.1f,%.2f,%.1f", header=header, comments="")


def timed(name: str, rows: list[tuple[str, float, float]], work: Callable[[], Result]) -> Result:
    """The work's result; its wall and processor seconds go into the rows."""
    wall, processor = time.perf_counter(), time.process_time()
    result = work()
    rows.append((name, time.perf_counter() - wall, time.process_time() - processor))
    return result


def peak_megabytes() -> float:
    """Greatest memory of this process so far."""
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return peak / (1024**2 if sys.platform == "darwin" else 1024)


def main() -> None:
    """Print seconds, ratios to the goal, and peak memory."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else ROWS
    rows: list[tuple[str, float, float]] = []
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "circuits.csv"
        write_circuits(path, count)
        recording = timed("read and clean", rows, lambda: read(path, MAPPING))
    track = timed("smooth", rows, lambda: smooth(recording))
    found = timed("find", rows, lambda: find(recording, track, stall_speed=21.0))
    rows.append(("together", sum(wall for _, wall, _ in rows), sum(cpu for *_, cpu in rows)))
    print(f"{'stage':16} {'wall s':>7} {'cpu s':>7} {'ratio to goal':>14}")
    for name, wall, processor in rows:
        print(f"{name:16} {wall:7.2f} {processor:7.2f} {wall / GOAL_SECONDS:14.2f}")
    peak = peak_megabytes()
    share = peak / GOAL_MEGABYTES
    print(f"{len(found)} manoeuvres in {count} rows; {peak:.0f} MB at most, {share:.2f} of the goal")


if __name__ == "__main__":
    main()
