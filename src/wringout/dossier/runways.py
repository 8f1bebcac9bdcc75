"""Open tables of runways → strips: units by the names of columns, slope by the elevations of both ends."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import degrees, radians, tau
from pathlib import Path

from wringout.dossier.dossier import Strip
from wringout.dossier.files import inside
from wringout.dossier.surface_codes import surface_of
from wringout.dossier.weather_columns import table_of
from wringout.dossier.weather_reading import text_of_packed
from wringout.problems import InputError, Problem
from wringout.quantity.dimensions import Dimension
from wringout.quantity.text import parse
from wringout.quantity.units import find_unit

# Names of columns as open tables write them, without their unit.
_NAMES: Mapping[str, tuple[str, ...]] = {
    "place": ("airport_ident", "ident", "icao", "airport", "name"),
    "near": ("le_ident", "low_ident", "end1"),
    "far": ("he_ident", "high_ident", "end2"),
    "length": ("length",),
    "surface": ("surface",),
    "elevation": ("elevation",),
    "near_elevation": ("le_elevation",),
    "far_elevation": ("he_elevation",),
    "heading": ("le_heading_degt", "le_bearing", "le_heading", "heading", "true_heading"),
    "slope": ("slope",),
    "near_latitude": ("le_latitude",),
    "near_longitude": ("le_longitude",),
    "far_latitude": ("he_latitude",),
    "far_longitude": ("he_longitude",),
    "near_displaced": ("le_displaced_threshold",),
    "far_displaced": ("he_displaced_threshold",),
    "closed": ("closed",),
}
_DIMENSIONS = {
    "length": Dimension.LENGTH,
    "elevation": Dimension.LENGTH,
    "near_elevation": Dimension.LENGTH,
    "far_elevation": Dimension.LENGTH,
    "near_displaced": Dimension.LENGTH,
    "far_displaced": Dimension.LENGTH,
    "heading": Dimension.ANGLE,
    "slope": Dimension.SLOPE,
    "near_latitude": Dimension.ANGLE,
    "near_longitude": Dimension.ANGLE,
    "far_latitude": Dimension.ANGLE,
    "far_longitude": Dimension.ANGLE,
}
_UNIT = re.compile(r"(?:_|\s|\()(ft|m|deg|degt|percent|%)\)?$")
_SUFFIXES = {"ft": "ft", "m": "m", "deg": "°", "degt": "°", "percent": "%", "%": "%"}
RUNWAYS = "runways"
STEEPEST = 0.2  # a greater slope between the ends is a fault of an elevation


@dataclass(frozen=True, slots=True)
class RunwayTable:
    """The usable strips of a table, and each row that was left out with its line and the reason."""

    file: str
    strips: tuple[Strip, ...]
    left_out: tuple[Problem, ...]

    @property
    def reasons(self) -> dict[str, int]:
        """How many rows were left out for what, most first."""
        counts = Counter(problem.field or "" for problem in self.left_out)
        return dict(counts.most_common())


def runways_of(root: Path) -> Path | None:
    """The first table by name in the dossier's runways/, None without; InputError for a link out of it."""
    try:
        names = sorted(
            entry.name
            for entry in (Path(root) / RUNWAYS).iterdir()
            if entry.is_file() and entry.name.removesuffix(".gz").endswith(".csv")
        )
    except OSError:
        return None
    return inside(Path(root), f"{RUNWAYS}/{names[0]}") if names else None


def read_runways(path: Path, *, level: bool = False) -> RunwayTable:
    """The runways of an open CSV that say enough to be judged.

    Parameters
    ----------
    path : Path
        Plain or packed with gzip. Each column's unit stands in its name ('length_ft') or in its cells
        ('430 m').
    level : bool
        Whether a runway whose slope is not told counts as level, by the word of whoever asks.

    Returns
    -------
    RunwayTable
        A row gives a strip where it tells length, heading (or both ends' positions), surface, and slope or
        the elevations of both ends; the slope is their difference over the length, the elevation their mean.

    Raises
    ------
    InputError
        The file cannot be read, or a column that is needed is missing or has no unit.
    """
    path = Path(path)
    table = table_of(path.name, text_of_packed(path))
    header = [cell.strip() for cell in (table[0][1] if table else [])]
    columns = _columns(header, path.name, level=level)
    strips: list[Strip] = []
    left: list[Problem] = []
    for line, row in table[1:]:
        if not any(row):
            continue
        if len(row) != len(header):
            what = f"the row has {len(row)} cells, the first row has {len(header)}"
            left.append(_left("cells", what, path.name, line))
            continue
        try:
            strips.append(_strip(_Row(row, columns), level=level))
        except InputError as error:
            problem = error.problems[0]
            left.append(_left(problem.field or "figure", problem.what, path.name, line))
    return RunwayTable(path.name, tuple(strips), tuple(left))


def _left(field: str, what: str, file: str, line: int) -> Problem:
    return Problem(what, "the runway is left out; fill in what is known of it", file, line, field, "warning")


@dataclass(frozen=True, slots=True)
class _Column:
    index: int
    unit: str | None  # None: in the cells


def _columns(header: Sequence[str], file: str, *, level: bool) -> dict[str, _Column]:
    bare: dict[str, _Column] = {}
    for index, cell in enumerate(header):
        name = cell.strip().lower().replace(" ", "_")
        unit = None
        if name not in {known for names in _NAMES.values() for known in names}:
            found = _UNIT.search(name)
            if found:
                name, unit = name[: found.start()].rstrip("_("), _SUFFIXES[found[1]]
        elif name.endswith("_degt"):
            unit = "°"
        bare.setdefault(name, _Column(index, unit))
    columns = {role: bare[name] for role, names in _NAMES.items() for name in reversed(names) if name in bare}
    absent = [role for role in ("place", "length", "surface") if role not in columns]
    ends = {"near_elevation", "far_elevation"} <= set(columns)
    if not ends and not ({"elevation"} if level else {"slope", "elevation"}) <= set(columns):
        absent.append("elevations of both ends, or elevation and slope")
    if "heading" not in columns and "near_latitude" not in columns:
        absent.append("heading")
    if absent:
        raise InputError(
            *(
                Problem(
                    f"no column tells the {role}",
                    "name it as in airport_ident, length_ft, surface, le_elevation_ft, he_elevation_ft, "
                    "le_heading_degT",
                    file,
                    1,
                )
                for role in absent
            )
        )
    return columns


class _Row:
    """Cells by role."""

    def __init__(self, cells: list[str], columns: Mapping[str, _Column]) -> None:
        self.cells = cells
        self.columns = columns

    def text(self, role: str) -> str:
        column = self.columns.get(role)
        return "" if column is None else self.cells[column.index].strip()

    def number(self, role: str) -> float | None:
        """A figure in SI, None where the cell is empty; InputError where it is none or has no unit."""
        text = self.text(role)
        if not text:
            return None
        unit = self.columns[role].unit
        if unit is None:
            return parse(text, _DIMENSIONS[role])
        try:
            value = float(text)
        except ValueError:
            raise InputError(Problem(f"'{text[:40]}' is no number", "correct it", field=role)) from None
        return value * _factor(unit)


def _factor(unit: str) -> float:
    known = _FACTORS.get(unit)
    if known is None:
        known = _FACTORS[unit] = find_unit(unit).factor
    return known


_FACTORS: dict[str, float] = {}


def _strip(row: _Row, *, level: bool) -> Strip:
    """The strip of a row; InputError says in which field what is wrong."""
    if row.text("closed").lower() in {"1", "true", "yes"}:
        raise _refused("closed", "the runway is closed")
    surface = surface_of(row.text("surface"))
    if surface is None:
        written = row.text("surface")
        what = f"the surface '{written[:60]}' is not known" if written else "no surface is given"
        raise _refused("surface", what)
    figures = {role: row.number(role) for role in _DIMENSIONS}
    length = figures["length"]
    if length is None or not 20.0 <= length <= 10_000.0:
        what = "no length is given" if length is None else f"{length:.0f} m is no length of a strip"
        raise _refused("length", what)
    elevation, slope = _rise(figures, length, level=level)
    displaced = [min(max(figures[role] or 0.0, 0.0), length) for role in ("near_displaced", "far_displaced")]
    ends = "/".join(text for text in (row.text("near"), row.text("far")) if text)
    return Strip(
        f"{row.text('place')} {ends}".strip(),
        elevation,
        length,
        _heading(figures),
        slope,
        surface,
        displaced_near=displaced[0],
        displaced_far=displaced[1],
    )


def _refused(field: str, what: str) -> InputError:
    return InputError(Problem(what, "fill in what is known", field=field))


def _rise(figures: Mapping[str, float | None], length: float, *, level: bool) -> tuple[float, float]:
    """Elevation of the middle [m] and slope."""
    near, far = figures["near_elevation"], figures["far_elevation"]
    slope, elevation = figures["slope"], figures["elevation"]
    if near is not None and far is not None:
        slope, elevation = (far - near) / length, 0.5 * (near + far)
    if slope is None and level:
        slope = 0.0
        elevation = next((value for value in (elevation, near, far) if value is not None), None)
    if slope is None or elevation is None:
        raise _refused("slope", "the elevations of both ends are not given, hence no slope")
    if abs(slope) > STEEPEST or not -500.0 <= elevation <= 6000.0:
        raise _refused(
            "slope", f"a slope of {100.0 * slope:.0f} % at {elevation:.0f} m is not that of a runway"
        )
    return elevation, slope


def _heading(figures: Mapping[str, float | None]) -> float:
    """As given, or along the geodesic between the ends."""
    given = figures["heading"]
    if given is not None and -tau <= given <= tau:
        return given % tau
    near = figures["near_latitude"], figures["near_longitude"]
    far = figures["far_latitude"], figures["far_longitude"]
    if None in (*near, *far) or near == far:
        raise _refused("heading", "neither a true heading nor the positions of both ends are given")
    from geographiclib.geodesic import Geodesic

    between = Geodesic.WGS84.Inverse(*(degrees(part or 0.0) for part in (*near, *far)))
    return float(radians(between["azi1"]) % tau)
