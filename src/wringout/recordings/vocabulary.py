"""What recorders call the channels, and the units that they write after the name."""

import re

from wringout.problems import InputError
from wringout.quantity import Dimension, find_unit
from wringout.recordings.recording import CHANNELS

# Words of the trade by channel, likeliest first: lower case, one space between the words, units cut off.
# A name that may mean two things ('altitude', 'speed', 'temperature') is in no list.
NAMES: dict[str, tuple[str, ...]] = {
    "latitude": ("latitude", "lat", "gps latitude", "gps lat", "location latitude", "gnss latitude"),
    "longitude": (
        "longitude", "lon", "long", "lng", "gps longitude", "gps lon", "location longitude", "gnss longitude",
    ),
    "height": (
        "gps altitude", "gps alt", "altitude gps", "alt msl", "altitude msl", "location altitude",
        "gnss altitude", "geo altitude", "gps height", "height", "geometric altitude", "height msl",
        "alt gps", "elevation",
    ),
    "pressure_altitude": (
        "pressure altitude", "press alt", "palt", "pressure alt", "baro altitude", "p alt", "alt p",
    ),
    "ground_speed": (
        "ground speed", "groundspeed", "gs", "gnd spd", "gps speed", "gps ground speed", "gps gs",
        "location speed", "velocity", "speed over ground", "sog", "gnss speed",
    ),
    "track": (
        "track true", "true track", "track", "ground track", "trk", "gps track", "course over ground", "cog",
        "location course", "gps course", "direction",
    ),
    "vertical_speed": (
        "vertical speed", "vspd", "v spd", "vsi", "vs", "vertical rate", "climb rate", "rate of climb", "roc",
    ),
    "indicated_airspeed": ("indicated airspeed", "ias", "kias", "indicated air speed", "airspeed indicated"),
    "true_airspeed": ("true airspeed", "tas", "ktas", "true air speed", "airspeed true"),
    "outside_air_temperature": (
        "outside air temperature", "oat", "outside air temp", "sat", "static air temperature",
        "ambient temperature",
    ),
    "engine_speed": (
        "engine speed", "rpm", "e1 rpm", "engine rpm", "eng rpm", "rpm 1", "rpm l", "rpm r", "eng 1 rpm",
        "propeller speed", "prop rpm",
    ),
    "manifold_pressure": (
        "manifold pressure", "map", "e1 map", "manifold", "manifold press", "man press", "eng 1 map", "mp",
    ),
    "fuel_flow": (
        "fuel flow", "ff", "e1 fflow", "e1 f flow", "fuel flow 1", "fflow", "fuelflow", "eng 1 fuel flow",
        "fuel flow total",
    ),
    "pitch": ("pitch", "pitch angle", "pitch attitude"),
    "roll": ("roll", "bank", "roll angle", "bank angle", "roll attitude"),
    "heading": ("heading", "hdg", "magnetic heading", "heading mag", "heading magnetic", "true heading"),
    "longitudinal_acceleration": (
        "longitudinal acceleration", "long accel", "long ac", "longitudinal accel", "lon accel",
    ),
    "normal_acceleration": (
        "normal acceleration", "normal accel", "vertical accel", "vertical acceleration", "load factor",
        "g load",
    ),
}  # fmt: skip
# Names that are taken with a word of warning.
WARNINGS = {
    "baro altitude": "take it only if it counts from 1013.25 hPa and not from the altimeter's setting",
    "height": "what it counts from is not said",
    "vertical accel": "take it only if it reads 1 g at rest",
    "vertical acceleration": "take it only if it reads 1 g at rest",
    "rpm l": "of two, the left one",
    "fuel flow 1": "of two, the first",
}
# A name that is its own unit, and the coordinates, which tables write in decimal degrees.
OWN_UNIT = {"kias": "kt", "ktas": "kt", "rpm": "rpm"}
COORDINATES = {"latitude": "°", "longitude": "°"}

_BRACKETS = re.compile(r"\s*[(\[{]([^)\]}]*)[)\]}]\s*$")
_CAMEL = re.compile(r"(?<=[a-z])(?=[A-Z])|(?<=[A-Z])(?=[A-Z][a-z])")
_LOOKUP = {
    phrase: (rank, channel) for channel, phrases in NAMES.items() for rank, phrase in enumerate(phrases)
}
# Spellings of logs that nobody should write in a dossier.
_SPELLINGS = {
    "lph": "L/h",
    "c": "°C",
    "degc": "°C",
    "f": "°F",
    "degf": "°F",
    "inhg": "inHg",
    "inch hg": "inHg",
    "hpa": "hPa",
    "wgs84": "°",
}


def split_name(heading: str) -> tuple[str, str]:
    """A heading's words in lower case, and the unit that it carries: in brackets, or as its last word.

    Examples
    --------
    >>> split_name("GPS Altitude (feet)")
    ('gps altitude', 'feet')
    >>> split_name("fuel_flow_lph")
    ('fuel flow', 'lph')
    >>> split_name("locationSpeed(m/s)")
    ('location speed', 'm/s')
    >>> split_name("E1 RPM")
    ('e1 rpm', '')
    """
    brackets = _BRACKETS.search(heading)
    unit = brackets[1].strip() if brackets else ""
    bare = heading[: brackets.start()] if brackets else heading
    parts = re.sub(r"[^\w%°]+|_", " ", bare).split()
    if not unit and len(parts) > 1 and _words(parts) not in _LOOKUP and _is_unit(parts[-1]):
        unit = parts.pop()
    return _words(parts), unit


def _words(parts: list[str]) -> str:
    return _CAMEL.sub(" ", " ".join(parts)).lower()


def channel_of(words: str) -> tuple[int, str] | None:
    """The channel that a heading's words name, and how far down its list they stand; None where none does."""
    return _LOOKUP.get(words)


def _is_unit(text: str) -> bool:
    return any(unit_of(text, dimension) is not None for dimension in set(CHANNELS.values()))


def unit_of(text: str, dimension: Dimension) -> str | None:
    """The unit of this dimension that a log's text spells, None where it is none or may be two.

    Of several words ('ft msl') the first is the unit.

    Examples
    --------
    >>> unit_of("ft wgs", Dimension.LENGTH), unit_of("deg C", Dimension.TEMPERATURE)
    ('ft', '°C')
    >>> unit_of("gph", Dimension.VOLUME_FLOW) is None
    True
    """
    tidy = text.strip()
    tries = [
        tidy,
        tidy.lower(),
        _SPELLINGS.get(tidy.lower(), ""),
        *tidy.split()[:1],
        *tidy.lower().split()[:1],
    ]
    for spelling in tries:
        try:
            return find_unit(spelling, dimension).symbol
        except InputError:
            continue
    return None


def unit_trouble(text: str, dimension: Dimension) -> str:
    """Why a unit cannot be taken, and what to write: the words of the unit table."""
    try:
        find_unit(text, dimension)
    except InputError as error:
        problem = error.problems[0]
        return f"{problem.what}: {problem.mend}"
    return ""
