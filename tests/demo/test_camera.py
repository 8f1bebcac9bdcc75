"""The camera on the fence post: what its films measure is what truly happened, in whole frames."""

from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest

from wringout.demo.flights import Flown
from wringout.demo.sensors import column
from wringout.demo.setup import setup
from wringout.demo.truth import stored
from wringout.dossier import load
from wringout.quantity import Dimension, parse
from wringout.reduction.camera_strip import CameraStrip, Filmed, measure_strip

KINDS: dict[str, Filmed] = {"T": "take-off", "L": "landing"}


@pytest.fixture(scope="module")
def films(demo: Path) -> dict[tuple[str, str], CameraStrip]:
    """Every film of the demo's cards, measured."""
    return {
        (card.name, camera.point): measure_strip(camera, KINDS[camera.point[3]])
        for card in load(demo).cards
        for camera in card.cameras
    }


def test_two_runs_of_each_gear_are_filmed(films: dict[tuple[str, str], CameraStrip]) -> None:
    """One landing and one take-off of each flight over the strip, and the films say all of the run."""
    assert list(films) == [
        ("flight-3a", "3a.L2"),
        ("flight-3a", "3a.T2"),
        ("flight-3b", "3b.L2"),
        ("flight-3b", "3b.T2"),
    ]
    for (_, point), film in films.items():
        assert film.refused == ()
        assert set(film.measures) == {
            "ground_roll",
            "lift_off_ground_speed" if "T" in point else "touchdown_ground_speed",
        }


def test_filmed_rolls_are_the_true_ones(films: dict[tuple[str, str], CameraStrip]) -> None:
    """Ground rolls lie within what the films state, which is less than a metre."""
    true = {(row["card"], row["point"]): row for kind in ("take_off", "landing") for row in stored()[kind]}
    for name, film in films.items():
        roll = film.measures["ground_roll"]
        assert roll.sd is not None
        assert roll.sd < 1.0
        assert roll.value == pytest.approx(
            parse(true[name]["ground_roll"], Dimension.LENGTH), abs=3.0 * roll.sd
        )


def test_filmed_speeds_are_the_true_ones(
    films: dict[tuple[str, str], CameraStrip], flights: tuple[Flown, ...]
) -> None:
    """Ground speeds at lift-off and touchdown are those of the simulator's own samples."""
    true = dict(_true_speeds(flights))
    for (_, point), film in films.items():
        speed = next(one for name, one in film.measures.items() if name.endswith("speed"))
        assert speed.sd is not None
        assert speed.sd < 0.4
        assert speed.value == pytest.approx(true[point], abs=3.5 * speed.sd)


def _true_speeds(flights: tuple[Flown, ...]) -> Iterator[tuple[str, float]]:
    x, y = setup().strip.direction
    for flown in flights:
        time = column(flown.samples, "time")
        along = column(flown.samples, "east_speed") * x + column(flown.samples, "north_speed") * y
        for point, off in flown.outing.take_offs:
            yield point, float(np.interp(off.lift_off, time, along))
        for point, down in flown.outing.landings:
            yield point, float(np.interp(down.touchdown, time, along))
