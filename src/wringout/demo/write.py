"""The demo: an invented dossier, written as a folder of plain files with recordings from the simulator."""

from dataclasses import dataclass
from pathlib import Path

import numpy as np

from wringout.demo.cards import card_text
from wringout.demo.flights import Flown, fly
from wringout.demo.sensors import engine_csv, engine_log, gps, gpx, instruments
from wringout.demo.setup import AIRPLANES, Setup, setup, text
from wringout.demo.weather_year import DESCRIBED, DESCRIPTION, TABLE, weather_table
from wringout.dossier.files import inside, write_file
from wringout.problems import InputError, Problem

SEED = 20250617
STATIC_FILES = ("dossier.toml", "airplane.toml", "claims.toml", "missions.toml", "strips.csv", "costs.toml")


@dataclass(frozen=True, slots=True)
class DemoFlight:
    """One simulated flight and the texts that the dossier holds of it."""

    flown: Flown
    card: str
    gpx: str
    engine_csv: str


def demo_flight(made: Setup, number: int, seed: int = SEED) -> DemoFlight:
    """Fly one of the plans and write its card and logs; every flight has its own stream of chance."""
    plan = made.plans[number]
    sensor_chance, card_chance = (np.random.default_rng([seed, number, stream]) for stream in (1, 2))
    flown = fly(made, plan, seed)
    reference = plan.weather.reference
    fixes = gps(flown.samples, sensor_chance)
    monitor = engine_log(made.machine, flown.samples, sensor_chance, instruments(seed))
    return DemoFlight(
        flown,
        card_text(flown, text(made.name, f"{plan.name}.toml"), card_chance),
        gpx(fixes, reference, f"{plan.name}: {plan.title}"),
        engine_csv(monitor, reference, plan.clock_error),
    )


def write_demo(root: Path, seed: int = SEED, airplane: str = AIRPLANES[0]) -> None:
    """Write the demo dossier into a new or empty folder; of a demo that is there already, what is missing.

    Parameters
    ----------
    root : Path
        The folder; made where it does not exist.
    seed : int
        Of everything that is left to chance in the flights and logs.
    airplane : str
        One of `AIRPLANES`.

    Raises
    ------
    InputError
        There is no such airplane, or the folder holds something else, or cannot be written.
    """
    root = Path(root)
    made = setup(airplane)
    _refuse_other_folder(root, airplane)
    root.mkdir(parents=True, exist_ok=True)
    for name in STATIC_FILES:
        if not (root / name).exists():
            write_file(root, name, text(airplane, name).encode())
    write_weather(root, seed)
    write_flights(root, made, seed)


def write_weather(root: Path, seed: int) -> None:
    """The invented year of hours, where it is not there yet; the table before its description."""
    if not (root / TABLE).exists():
        write_file(root, TABLE, weather_table(seed))
    if not (root / DESCRIPTION).exists():
        write_file(root, DESCRIPTION, DESCRIBED.encode())


def write_flights(root: Path, made: Setup, seed: int) -> None:
    """Cards and recordings of every plan that are not there yet."""
    for number, plan in enumerate(made.plans):
        card, log, monitor = (
            f"cards/{plan.name}.toml",
            f"recordings/{plan.name}.gpx",
            f"recordings/{plan.name}-engine.csv",
        )
        if all((root / path).exists() for path in (card, log, monitor)):
            continue
        flight = demo_flight(made, number, seed)
        _write_recording(root, log, flight.gpx)
        _write_recording(root, monitor, flight.engine_csv)
        # The card names its recordings, so it comes last: a demo cut short has no card without them.
        write_file(root, card, flight.card.encode())


def _refuse_other_folder(root: Path, airplane: str) -> None:
    """A folder of a person's own work is left alone; the demo is known by its title."""
    if not root.exists():
        return
    if not root.is_dir():
        raise InputError(Problem(f"'{root}' is a file", "name a new folder for the demo"))
    if not any(root.iterdir()):
        return
    head = root / "dossier.toml"
    title = next(line for line in text(airplane, "dossier.toml").splitlines() if line.startswith("title"))
    if not (head.is_file() and title in head.read_text(encoding="utf-8", errors="replace")):
        raise InputError(
            Problem(
                f"'{root}' holds something other than the demo",
                "name a new folder, so that nothing of yours is overwritten",
            )
        )


def _write_recording(root: Path, path: str, text: str) -> None:
    """A raw log is written once, whole, when it is recorded; the dossier never writes there again."""
    place = inside(root, path)
    place.parent.mkdir(exist_ok=True)
    part = place.with_name(f".{place.name}.part")
    part.write_text(text, encoding="utf-8", newline="")
    part.replace(place)
