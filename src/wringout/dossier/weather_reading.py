"""An hourly weather file of any open form → Weather."""

from __future__ import annotations

import gzip
import zlib
from pathlib import Path

from wringout.dossier.files import inside
from wringout.dossier.toml import LARGEST_TEXT, read_toml
from wringout.dossier.weather import Weather
from wringout.dossier.weather_columns import is_epw, is_tmy3, read_epw, read_tmy3
from wringout.problems import InputError, Problem

LARGEST = 200_000_000  # bytes of text: decades of hours
WEATHER = "weather"
_HEAD = 4096


def read_weather(path: Path) -> Weather:
    """The hours of a weather file.

    Parameters
    ----------
    path : Path
        An EPW or a TMY3-type CSV, which say themselves where and when; or a description (.toml) of any other
        CSV or of airport reports that lie beside it. Each may be packed with gzip.

    Returns
    -------
    Weather
        Rows that cannot be used are among its problems, with their lines.

    Raises
    ------
    InputError
        The file cannot be read, is of no known form, does not say something that is needed, or holds no
        usable hour.
    """
    path = Path(path)
    weather = _described(path) if path.suffix.lower() == ".toml" else _undescribed(path)
    if not len(weather.month):
        what = "no hour of the file can be used"
        raise InputError(Problem(what, "see the lines below", path.name), *weather.problems[:3])
    return weather


def weather_of(root: Path) -> Path | None:
    """The weather file of the dossier at `root`: the first description or EPW by name in weather/.

    None where there is none. Raises InputError where it is a link out of the dossier.
    """
    folder = Path(root) / WEATHER
    try:
        names = sorted(entry.name for entry in folder.iterdir() if entry.is_file())
    except OSError:
        return None
    described = [name for name in names if name.endswith(".toml")]
    plain = [name for name in names if name.removesuffix(".gz").endswith((".epw", ".csv"))]
    chosen = [*described, *plain]
    return inside(Path(root), f"{WEATHER}/{chosen[0]}") if chosen else None


def text_of_packed(path: Path, largest: int = LARGEST) -> str:
    """The text of a file, unpacked where it is gzip.

    Raises InputError where it is missing, too large or no text.
    """
    try:
        with path.open("rb") as stream:
            packed = stream.read(2) == b"\x1f\x8b"
            stream.seek(0)
            if packed:
                with gzip.open(stream) as unpacked:
                    data = unpacked.read(largest + 1)
            else:
                data = stream.read(largest + 1)
    except (OSError, EOFError, zlib.error) as error:
        reason = getattr(error, "strerror", None) or error
        raise InputError(
            Problem(f"the file cannot be read ({reason})", "check its name and that it was copied", path.name)
        ) from None
    if len(data) > largest:
        raise InputError(
            Problem(f"the file has more than {largest / 1e6:.0f} MB", "is this the right one?", path.name)
        )
    if b"\x00" in data[:_HEAD]:
        raise InputError(Problem("the file is no text", "export it as text", path.name))
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("latin-1")


def _undescribed(path: Path) -> Weather:
    text = text_of_packed(path)
    head = text[:_HEAD]
    if is_epw(head):
        return read_epw(path.name, text)
    if is_tmy3(head):
        return read_tmy3(path.name, text)
    raise InputError(
        Problem(
            "the file says neither where nor in what units it was measured",
            "write a description of it, which 'wringout columns --weather' proposes, and name that instead",
            path.name,
        )
    )


def _described(path: Path) -> Weather:
    from wringout.dossier.faults import read_tables
    from wringout.dossier.weather_mapped import read_mapped
    from wringout.dossier.weather_reports import is_report, read_reports
    from wringout.dossier.weather_tables import WeatherFile

    document = read_toml(path.name, text_of_packed(path, LARGEST_TEXT).encode())
    described, problems = read_tables(document, WeatherFile)
    if described is None:
        raise InputError(*problems)
    beside = inside(path.parent, Path(described.file).name)
    text = text_of_packed(beside)
    if described.columns is not None:
        return read_mapped(beside.name, text, described)
    if is_report(text[:_HEAD]):
        return read_reports(beside.name, text, described)
    raise InputError(
        Problem(
            f"'{beside.name}' is no list of airport reports, and no column of it is named",
            "add [columns] to the description",
            path.name,
        )
    )
