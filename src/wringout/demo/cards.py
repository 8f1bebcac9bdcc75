"""Flown outing → test card in the dossier's format, with the small errors of those who fill in cards."""

from collections.abc import Iterable
from datetime import timedelta
from math import atan2, degrees, hypot

import numpy as np

from wringout.demo.air import KNOT
from wringout.demo.camera import camera_tables
from wringout.demo.flights import Flown
from wringout.demo.procedures import Noted
from wringout.demo.sensors import CHANNELS, geographic, iso

MAST_HEIGHT = 6.0
MASS_SD = 1.2  # kg, bathroom scale
FUEL_SD = 2.0  # L, dip stick
AIM = 60.0  # m from the threshold
WIND_SD = 0.5  # m/s of each component, mean over two minutes


def card_text(flown: Flown, words: str, generator: np.random.Generator) -> str:
    """The card of one flight.

    Parameters
    ----------
    flown : Flown
        The flight as it truly was.
    words : str
        TOML that the pilot added: top-level keys, then tables such as ratings and points not flown.
    generator : numpy.random.Generator
        Errors of scales, dip stick, wind mast and of whoever reads the film.

    Returns
    -------
    str
        TOML.
    """
    plan = flown.plan
    day = plan.weather.reference.date()
    notes, _, tables = words.partition("\n[[")
    head = (
        "# Test card, as flown. Invented, like all of this dossier.\n\n"
        f'title = "{plan.title}"\nday = {day}\npilot = "I. Maddock"\nconfiguration = "{plan.configuration}"\n'
        f'height_reference = "mean sea level"\n{notes.rstrip()}\n'
    )
    parts = [
        head,
        *_aim(flown),
        _recordings(flown),
        _loading(flown, generator),
        *_weather(flown, generator),
        *(_point(point, flown) for point in sorted(flown.outing.noted, key=lambda point: point.start)),
        *_marks(flown),
        *camera_tables(
            flown.outing.filmed,
            flown.setup.strip,
            flown.samples,
            plan.weather.reference,
            generator,
            ends=(flown.setup.machine.nose, flown.setup.machine.tail),
        ),
    ]
    if tables:
        parts.append("[[" + tables.rstrip() + "\n")
    return "\n".join(parts)


def _aim(flown: Flown) -> Iterable[str]:
    """The line of boards that the landings aimed at, walked to with a good receiver."""
    if not any(point.kind == "landing" for point in flown.outing.noted):
        return
    strip = flown.setup.strip
    x, y = strip.direction
    places = geographic(np.array([strip.east + AIM * x]), np.array([strip.north + AIM * y]))
    latitude, longitude = (float(place[0]) for place in places)
    yield (
        f"# White boards across the strip, {AIM:g} m from its threshold.\n"
        f'[aim]\nlatitude = "{latitude:.6f} °"\nlongitude = "{longitude:.6f} °"\n'
    )


def _recordings(flown: Flown) -> str:
    name, clock_error = flown.plan.name, flown.plan.clock_error
    gauge = flown.setup.machine.propeller.governed
    columns = [
        f'{channel.name} = {{ column = "{channel.column}", unit = "{channel.unit}" }}\n'
        for key, channel in CHANNELS.items()
        if gauge or key != "manifold"
    ]
    offset = f"# The monitor's clock was {clock_error:g} s fast against the GPS.\n" if clock_error else ""
    shift = f'clock_offset = "{-clock_error:g} s"\n' if clock_error else ""
    return (
        f'[[recording]]\npath = "recordings/{name}.gpx"\n\n'
        f'[[recording]]\npath = "recordings/{name}-engine.csv"\n{offset}{shift}'
        'time_column = "time_utc"\ntime_format = "iso"\n\n[recording.columns]\n' + "".join(columns)
    )


def _loading(flown: Flown, generator: np.random.Generator) -> str:
    loaded = flown.plan.loaded
    lines = ["# Everybody and everything stood on the scale, the tanks were dipped.", "[loading]"]
    lines += [f'mass_sd = "{MASS_SD:g} kg"', f'fuel_sd = "{FUEL_SD:g} L"', "", "[loading.stations]"]
    for station in flown.setup.station_arms:
        load = loaded.stations.get(station, 0.0)
        shown = max(round(load + 0.8 * MASS_SD * generator.standard_normal()), 0) if load else 0
        lines.append(f'"{station}" = "{shown} kg"')
    lines += ["", "[loading.station_arms]"] if loaded.arms else []
    lines += [f'"{station}" = "{arm:.2f} m"' for station, arm in loaded.arms.items()]
    # The dip stick errs alike before and after; nobody writes down that fuel came in on the way.
    total = sum(loaded.fuel.values())
    before = {
        tank: round(litres + 0.6 * FUEL_SD * generator.standard_normal())
        for tank, litres in loaded.fuel.items()
    }
    burnt = {tank: litres * (1.0 - flown.fuel_left / total) for tank, litres in loaded.fuel.items()}
    lines += ["", "[loading.fuel]"]
    lines += [f'{tank} = "{litres} L"' for tank, litres in before.items()]
    lines += ["", "[loading.fuel_at_shutdown]"]
    for tank, litres in before.items():
        gone = max(burnt[tank] + 0.25 * FUEL_SD * generator.standard_normal(), 0.0)
        lines.append(f'{tank} = "{round(litres - gone)} L"')
    return "\n".join(lines) + "\n"


def _weather(flown: Flown, generator: np.random.Generator) -> Iterable[str]:
    """Readings from start to stop at the field's mast, every quarter of an hour where strips are worked."""
    plan, air = flown.plan, flown.outing.craft.air
    weather = plan.weather
    start, end = float(flown.samples[0, 0]), float(flown.samples[-1, 0])
    often = bool(flown.outing.take_offs[1:])
    count = max(2, round((end - start) / 600.0)) if often else 2
    for second in np.linspace(start, end, count):
        east, north = air.mean_wind(air.base_height + MAST_HEIGHT, float(second))
        east += WIND_SD * generator.standard_normal()
        north += WIND_SD * generator.standard_normal()
        direction = round(degrees(atan2(-east, -north)) / 10.0) * 10 % 360
        moment = weather.reference + timedelta(seconds=round(float(second) / 60.0) * 60.0)
        yield (
            f"[[weather]]\ntime = {moment:%Y-%m-%dT%H:%M:%S}Z\n"
            f'elevation = "{weather.elevation:.0f} m"\nqnh = "{weather.qnh / 100.0:.1f} hPa"\n'
            f'temperature = "{weather.temperature - 273.15 + 0.15 * generator.standard_normal():.1f} °C"\n'
            f'dew_point = "{weather.dew_point - 273.15:.0f} °C"\n'
            f'wind_direction = "{direction} °"\nwind_speed = "{hypot(east, north) / KNOT:.1f} kt"\n'
            f'wind_speed_sd = "1 kt"\nwind_height = "{MAST_HEIGHT:.0f} m"\n'
        )


def _point(point: Noted, flown: Flown) -> str:
    reference = flown.plan.weather.reference
    lines = [
        "[[point]]",
        f'id = "{point.id}"',
        f'kind = "{point.kind}"',
        f'flap = "{flown.setup.machine.flap_name(point.flap)}"',
        f'power = "{point.power}"',
    ]
    if point.target_speed is not None:
        lines.append(f'target_speed = "{point.target_speed / KNOT:.0f} kt"')
    if point.technique is not None:
        lines.append(f'technique = "{point.technique}"')
    if point.on_strip:
        lines.append(f'strip = "{flown.setup.strip.name}"')
    if point.entry_rate is not None:
        lines.append(f'entry_rate = "{point.entry_rate:g} kt/s"')
    lines += [f"start = {iso(reference, point.start)}", f"end = {iso(reference, point.end)}"]
    if point.note:
        lines.append(f'note = "{point.note}"')
    return "\n".join(lines) + "\n"


def _marks(flown: Flown) -> Iterable[str]:
    reference = flown.plan.weather.reference
    for mark in sorted(flown.outing.marked, key=lambda mark: mark.time):
        moment = reference + timedelta(seconds=round(mark.time, 2))
        note = f'note = "{mark.note}"\n' if mark.note else ""
        yield (
            f"[[mark]]\ntime = {moment:%Y-%m-%dT%H:%M:%S}.{moment.microsecond // 10000:02d}Z\n"
            f'kind = "{mark.kind}"\npoint = "{mark.point}"\ntime_sd = "{mark.time_sd:g} s"\n{note}'
        )
