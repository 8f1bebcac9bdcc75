"""The demo: an invented dossier, written as a folder of plain files with recordings from the simulator."""

from dataclasses import dataclass
from importlib import resources
from pathlib import Path

import numpy as np

from wringout.demo.cards import card_text
from wringout.demo.flights import PLANS, Flown, fly
from wringout.demo.sensors import engine_csv, engine_log, gps, gpx, instruments
from wringout.dossier.files import inside, write_file
from wringout.problems import InputError, Problem

SEED = 20250617
CLOCK_ERRORS = {"flight-2a": 3.0, "flight-2b": 3.0}  # s by which the engine monitor's clock was fast
STATIC_FILES = ("dossier.toml", "airplane.toml", "claims.toml", "missions.toml", "strips.csv")


@dataclass(frozen=True, slots=True)
class DemoFlight:
    """One simulated flight and the texts that the dossier holds of it."""

    flown: Flown
    card: str
    gpx: str
    engine_csv: str


def demo_flight(number: int, seed: int = SEED) -> DemoFlight:
    """Fly one of the plans and write its card and logs; every flight has its own stream of chance."""
    plan = PLANS[number]
    sensor_chance, card_chance = (np.random.default_rng([seed, number, stream]) for stream in (1, 2))
    flown = fly(plan, seed)
    clock_error = CLOCK_ERRORS.get(plan.name, 0.0)
    reference = plan.weather.reference
    return DemoFlight(
        flown,
        card_text(flown, clock_error, static_text(f"{plan.name}.toml"), card_chance),
        gpx(gps(flown.samples, sensor_chance), reference, f"{plan.name}: {plan.title}"),
        engine_csv(engine_log(flown.samples, sensor_chance, instruments(seed)), reference, clock_error),
    )


def write_demo(root: Path, seed: int = SEED) -> None:
    """Write the demo dossier into a new or empty folder; of a demo that is there already, what is missing.

    Parameters
    ----------
    root : Path
        The folder; made where it does not exist.
    seed : int
        Of everything that is left to chance in the flights and logs.

    Raises
    ------
    InputError
        The folder holds something else, or cannot be written.
    """
    root = Path(root)
    _refuse_other_folder(root)
    root.mkdir(parents=True, exist_ok=True)
    for name in STATIC_FILES:
        if not (root / name).exists():
            write_file(root, name, static_text(name).encode())
    for number, plan in enumerate(PLANS):
        card, log, monitor = (
            f"cards/{plan.name}.toml",
            f"recordings/{plan.name}.gpx",
            f"recordings/{plan.name}-engine.csv",
        )
        if all((root / path).exists() for path in (card, log, monitor)):
            continue
        flight = demo_flight(number, seed)
        _write_recording(root, log, flight.gpx)
        _write_recording(root, monitor, flight.engine_csv)
        # The card names its recordings, so it comes last: a demo cut short has no card without them.
        write_file(root, card, flight.card.encode())


def _refuse_other_folder(root: Path) -> None:
    """A folder of a person's own work is left alone; the demo is known by its title."""
    if not root.exists():
        return
    if not root.is_dir():
        raise InputError(Problem(f"'{root}' is a file", "name a new folder for the demo"))
    if not any(root.iterdir()):
        return
    head = root / "dossier.toml"
    title = next(line for line in static_text("dossier.toml").splitlines() if line.startswith("title"))
    if not (head.is_file() and title in head.read_text(encoding="utf-8", errors="replace")):
        raise InputError(
            Problem(
                f"'{root}' holds something other than the demo",
                "name a new folder, so that nothing of yours is overwritten",
            )
        )


def static_text(name: str) -> str:
    """One of the demo's own text files; empty where a flight's card needs no words of its own."""
    place = resources.files("wringout.demo") / "dossier" / name
    return place.read_text(encoding="utf-8") if place.is_file() else ""


def _write_recording(root: Path, path: str, text: str) -> None:
    """A raw log is written once, whole, when it is recorded; the dossier never writes there again."""
    place = inside(root, path)
    place.parent.mkdir(exist_ok=True)
    part = place.with_name(f".{place.name}.part")
    part.write_text(text, encoding="utf-8", newline="")
    part.replace(place)
