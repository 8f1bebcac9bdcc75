"""What cannot be true of an airplane: each fault as a Problem whose field is the attribute at fault."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import fields, is_dataclass
from itertools import pairwise
from math import isfinite
from typing import TYPE_CHECKING, Any

from wringout.airplane import airplane as parts
from wringout.airplane.lookups import unknown_name
from wringout.airplane.polygon import crossing, signed_area
from wringout.problems import Problem

if TYPE_CHECKING:
    from wringout.airplane.airplane import Airplane

_ALTERNATOR = "alternator"
_LARGEST = 1e12


def part_problems(part: object) -> tuple[Problem, ...]:
    """Everything wrong with one part taken alone, such as a Station or an Envelope."""
    problems = tuple(_number_problems(part, ""))
    rule = _RULES.get(type(part))
    if problems or rule is None:
        return problems
    return tuple(rule(part))


def airplane_problems(airplane: Airplane) -> tuple[Problem, ...]:
    """Everything wrong with an airplane: each part, names that stand twice, names that nothing answers to."""
    return tuple(_each_part(airplane)) + tuple(_names(airplane)) + tuple(_whole(airplane))


def _each_part(airplane: Airplane) -> Iterator[Problem]:
    for place, part in _walk(airplane):
        for problem in part_problems(part):
            yield problem.at(field=place) if problem.field is None else _inside(place, problem)


def _walk(airplane: Airplane) -> Iterator[tuple[str, object]]:
    for field in fields(airplane):
        value = getattr(airplane, field.name)
        if isinstance(value, tuple):
            yield from ((f"{field.name}[{i}]", item) for i, item in enumerate(value))
        elif is_dataclass(value):
            yield field.name, value
    for i, configuration in enumerate(airplane.configurations):
        yield f"configurations[{i}].undercarriage", configuration.undercarriage
    if airplane.electrical is not None:
        yield from ((f"electrical.batteries[{i}]", b) for i, b in enumerate(airplane.electrical.batteries))
        yield from ((f"electrical.loads[{i}]", item) for i, item in enumerate(airplane.electrical.loads))


def _inside(place: str, problem: Problem) -> Problem:
    return Problem(
        problem.what, problem.mend, problem.file, problem.line, f"{place}.{problem.field}", problem.severity
    )


def _number_problems(value: object, place: str) -> Iterator[Problem]:
    """Numbers that are none, anywhere inside a part."""
    if isinstance(value, float):
        if not (isfinite(value) and abs(value) < _LARGEST):
            yield Problem(f"a number is expected, found {value}", "give its value", field=place or None)
    elif isinstance(value, tuple):
        for i, item in enumerate(value):
            yield from _number_problems(item, f"{place}[{i}]")
    elif is_dataclass(value) and not isinstance(value, type):
        for field in fields(value):
            inner = f"{place}.{field.name}" if place else field.name
            yield from _number_problems(getattr(value, field.name), inner)


def _must(holds: bool, field: str, what: str, mend: str) -> Iterator[Problem]:
    if not holds:
        yield Problem(what, mend, field=field)


def _positive(part: object, *names: str) -> Iterator[Problem]:
    for name in names:
        value = getattr(part, name)
        if value is not None:
            yield from _must(value > 0, name, f"must be above zero, found {value:g}", "check the number")


def _not_negative(part: object, *names: str) -> Iterator[Problem]:
    for name in names:
        value = getattr(part, name)
        if value is not None:
            yield from _must(value >= 0, name, f"must not be negative, found {value:g}", "check its sign")


def _geometry(part: parts.Geometry) -> Iterator[Problem]:
    yield from _positive(part, "span", "wing_area", "wing_height", "mean_chord", "length", "height")


def _station(part: parts.Station) -> Iterator[Problem]:
    yield from _positive(part, "mass_limit", "floor_area", "floor_load_limit")
    yield from _not_negative(part, "seats")
    yield from _must(
        part.arm_aft >= part.arm,
        "arm_aft",
        f"the aft end of the range, {part.arm_aft:g} m, lies ahead of its forward end, {part.arm:g} m",
        "exchange the two",
    )
    yield from _must(
        part.floor_load_limit is None or part.floor_area is not None,
        "floor_load_limit",
        "a limit of floor load says nothing without the floor's area",
        "add floor_area",
    )


def _combined_limit(part: parts.CombinedLimit) -> Iterator[Problem]:
    yield from _positive(part, "mass_limit")
    yield from _must(
        len(part.stations) >= 2,
        "stations",
        "a combined limit needs two stations or more",
        "name them, or give the station its own mass_limit",
    )


def _fuel(part: parts.Fuel) -> Iterator[Problem]:
    yield from _must(
        500 <= part.density <= 1100,
        "density",
        f"no fuel has a density of {part.density:g} kg/m³",
        "aviation gasoline has about 720, kerosene about 800 kg/m³",
    )


def _tank(part: parts.Tank) -> Iterator[Problem]:
    yield from _positive(part, "usable")
    yield from _not_negative(part, "unusable")
    if not part.arms:
        yield Problem("a tank needs its arm", "give one arm, or arms against contents", field="arms")
        return
    contents = [volume for volume, _ in part.arms]
    if not all(low < high for low, high in pairwise(contents)):
        yield Problem(
            "the contents do not rise from row to row", "list the rows from empty to full", field="arms"
        )
        return
    yield from _must(
        len(contents) == 1 or (contents[0] >= 0 and contents[-1] >= part.usable * (1 - 1e-6)),
        "arms",
        f"the rows end at {contents[-1] * 1000:.1f} L, the tank holds {part.usable * 1000:.1f} L",
        "add the row of the full tank",
    )


def _envelope(part: parts.Envelope) -> Iterator[Problem]:
    yield from _positive(
        part,
        "maximum_takeoff_mass",
        "maximum_ramp_mass",
        "maximum_landing_mass",
        "maximum_zero_fuel_mass",
    )
    yield from _envelope_masses(part)
    if len(part.vertices) < 3:
        yield Problem("an envelope needs three corners or more", "list them in order", field="vertices")
        return
    low, high = min(m for _, m in part.vertices), max(m for _, m in part.vertices)
    yield from _must(
        low >= 0, "vertices", f"a corner has the mass {low:g} kg", "corners are (CG, mass), in that order"
    )
    met = crossing(part.vertices)
    if met is not None:
        first, second = (f"from corner {i + 1} to {(i + 1) % len(part.vertices) + 1}" for i in met)
        yield Problem(
            f"the outline crosses itself: the edge {first} meets the edge {second}",
            "list the corners in order around the envelope, each once",
            field="vertices",
        )
    elif signed_area(part.vertices) == 0:
        yield Problem("the envelope has no area", "check its corners", field="vertices")
    yield from _must(
        low < part.maximum_takeoff_mass <= high * (1 + 1e-9),
        "maximum_takeoff_mass",
        f"{part.maximum_takeoff_mass:g} kg lies outside the envelope's masses, {low:g} to {high:g} kg",
        "extend the corners, or correct the mass",
    )


def _envelope_masses(part: parts.Envelope) -> Iterator[Problem]:
    takeoff = part.maximum_takeoff_mass
    yield from _must(
        part.maximum_ramp_mass is None or part.maximum_ramp_mass >= takeoff,
        "maximum_ramp_mass",
        f"is below the maximum take-off mass of {takeoff:g} kg",
        "a ramp mass includes the fuel for taxi",
    )
    for name in ("maximum_landing_mass", "maximum_zero_fuel_mass"):
        value = getattr(part, name)
        yield from _must(
            value is None or value <= takeoff,
            name,
            f"is above the maximum take-off mass of {takeoff:g} kg",
            "check both",
        )


def _weighing(part: parts.Weighing) -> Iterator[Problem]:
    yield from _positive(part, "reading_sd")
    yield from _must(
        len({reading.arm for reading in part.readings}) >= 2,
        "readings",
        "the scales stood at fewer than two arms, which leaves the CG unknown",
        "give the reading under every wheel",
    )
    for i, reading in enumerate(part.readings):
        yield from _must(
            reading.reading > reading.tare >= 0,
            f"readings[{i}].reading",
            f"a reading of {reading.reading:g} kg with a tare of {reading.tare:g} kg leaves no load",
            "the tare is part of the reading and not negative",
        )
    for name in ("aboard_not_empty", "missing_from_empty"):
        yield from _items(getattr(part, name), name)


def _empty_record(part: parts.EmptyRecord) -> Iterator[Problem]:
    yield from _must(
        part.mass.value > 0, "mass", f"must be above zero, found {part.mass.value:g} kg", "check the number"
    )


def _items(items: Sequence[parts.Item], name: str) -> Iterator[Problem]:
    for i, item in enumerate(items):
        yield from _must(
            item.mass > 0,
            f"{name}[{i}].mass",
            f"'{item.name}' has the mass {item.mass:g} kg",
            "masses are positive; which list it stands in says whether it is added or taken off",
        )


def _undercarriage(part: parts.Undercarriage) -> Iterator[Problem]:
    yield from _positive(
        part, "track", "cg_height", "main_wheel_radius", "third_wheel_radius", "castor_travel"
    )
    nose = part.third_arm < part.main_arm
    yield from _must(
        part.third_arm != part.main_arm
        and (part.kind == "skis" or nose == (part.kind == "nose wheel")),
        "third_arm",
        f"a {part.kind} at {part.third_arm:g} m with the main wheels at {part.main_arm:g} m cannot stand",
        "arms grow aft: a nose wheel's is smaller than the main wheels', a tail wheel's is larger",
    )  # fmt: skip


def _kit(part: parts.ExchangeKit) -> Iterator[Problem]:
    yield from _items(part.off, "off")
    yield from _items(part.on, "on")
    yield from _not_negative(part, "hours", "people")


def _flap(part: parts.FlapSetting) -> Iterator[Problem]:
    yield from _positive(part, "limit_speed")
    yield from _must(
        -0.5 <= part.deflection <= 1.6,
        "deflection",
        f"no flap goes to {part.deflection:g} rad",
        "write it in degrees, like '15 °'",
    )


def _engine(part: parts.Engine) -> Iterator[Problem]:
    yield from _positive(
        part,
        "rated_power",
        "rated_speed",
        "specific_consumption",
        "specific_consumption_full",
        "battery_energy",
    )
    yield from _not_negative(part, "critical_altitude")
    yield from _must(
        part.kind != "turbocharged" or part.critical_altitude > 0,
        "critical_altitude",
        "a turbocharged engine has a critical altitude",
        "give it, like '4000 m'",
    )
    yield from _must(
        part.kind != "electric" or part.battery_energy is not None,
        "battery_energy",
        "an electric airplane flies on a battery",
        "give its energy, like '24 kWh'",
    )
    for i, row in enumerate(part.chart):
        yield from (
            Problem(problem.what, problem.mend, field=f"chart[{i}].{problem.field}")
            for problem in _positive(row, "engine_speed", "manifold_pressure", "power", "fuel_flow")
        )


def _propeller(part: parts.Propeller) -> Iterator[Problem]:
    yield from _positive(part, "diameter", "gear_ratio")


def _battery(part: parts.Battery) -> Iterator[Problem]:
    yield from _positive(part, "charge", "rated_time", "voltage", "aged_fraction")
    yield from _not_negative(part, "charge_lost_per_kelvin")
    yield from _must(
        1 <= part.peukert_exponent <= 2,
        "peukert_exponent",
        f"must lie between 1 and 2, found {part.peukert_exponent:g}",
        "lead has about 1.2, lithium about 1.05",
    )
    yield from _must(
        part.aged_fraction <= 1,
        "aged_fraction",
        f"an aged battery holds less than a new one, found {part.aged_fraction:g}",
        "write the part of the rated charge that is left",
    )


def _electrical(part: parts.Electrical) -> Iterator[Problem]:
    yield from _not_negative(part, "alternator_current")


def _load(part: parts.ElectricalLoad) -> Iterator[Problem]:
    yield from _not_negative(part, "current")
    yield from _must(
        0 < part.duty <= 1,
        "duty",
        f"must lie between 0 and 1, found {part.duty:g}",
        "write the part of the time that it draws its current",
    )


def _costs(part: parts.OwnershipCosts) -> Iterator[Problem]:
    yield from _not_negative(part, "price", "fixed_per_year", "reserve_per_hour", "fuel_price")


def _prior(part: parts.PriorOverride) -> Iterator[Problem]:
    yield from _positive(part, "sd")


def _configuration(part: parts.Configuration) -> Iterator[Problem]:
    change = part.drag_area_change
    yield from _must(
        change is None or change.sd is not None,
        "drag_area_change",
        "is a prior and needs its uncertainty",
        "write it like '0.05 m² ± 0.02 m²'",
    )


_RULES: dict[type, Callable[[Any], Iterable[Problem]]] = {
    parts.Geometry: _geometry,
    parts.Station: _station,
    parts.CombinedLimit: _combined_limit,
    parts.Fuel: _fuel,
    parts.Tank: _tank,
    parts.Envelope: _envelope,
    parts.Weighing: _weighing,
    parts.EmptyRecord: _empty_record,
    parts.Undercarriage: _undercarriage,
    parts.ExchangeKit: _kit,
    parts.Configuration: _configuration,
    parts.FlapSetting: _flap,
    parts.Engine: _engine,
    parts.Propeller: _propeller,
    parts.Battery: _battery,
    parts.Electrical: _electrical,
    parts.ElectricalLoad: _load,
    parts.OwnershipCosts: _costs,
    parts.PriorOverride: _prior,
}


def _names(airplane: Airplane) -> Iterator[Problem]:
    for kind, attribute in _NAMED:
        seen: set[str] = set()
        for i, part in enumerate(getattr(airplane, attribute)):
            if part.name in seen:
                what = f"there are two {kind}s '{part.name}'"
                yield Problem(what, "give each its own name", field=f"{attribute}[{i}].name")
            seen.add(part.name)


_NAMED = (
    ("station", "stations"),
    ("combined limit", "combined_limits"),
    ("tank", "tanks"),
    ("envelope", "envelopes"),
    ("kit", "kits"),
    ("configuration", "configurations"),
    ("flap setting", "flaps"),
)


def _whole(airplane: Airplane) -> Iterator[Problem]:
    for attribute, kind in (
        ("stations", "station"),
        ("envelopes", "envelope"),
        ("configurations", "configuration"),
        ("flaps", "flap setting"),
    ):
        yield from _must(
            bool(getattr(airplane, attribute)),
            attribute,
            f"an airplane needs a {kind}",
            f"describe at least one {kind}",
        )
    yield from _must(
        bool(airplane.tanks) or airplane.engine.kind == "electric",
        "tanks",
        "an airplane with this engine needs a tank",
        "describe at least one tank",
    )
    if airplane.flaps:
        up = airplane.flaps[0]
        yield from _must(
            all(flap.deflection >= up.deflection for flap in airplane.flaps),
            "flaps[0].deflection",
            f"the first flap setting, '{up.name}', is not the one that is up",
            "list the settings from up to fully down",
        )
    yield from _positive(airplane, "seats_weight", "never_exceed_speed")
    yield from _references(airplane)


def _references(airplane: Airplane) -> Iterator[Problem]:
    stations = [part.name for part in airplane.stations]
    envelopes = [part.name for part in airplane.envelopes]
    kits = [part.name for part in airplane.kits]
    configurations = [part.name for part in airplane.configurations]
    for i, limit in enumerate(airplane.combined_limits):
        for j, name in enumerate(limit.stations):
            yield from _known("station", name, stations, f"combined_limits[{i}].stations[{j}]")
    for i, configuration in enumerate(airplane.configurations):
        yield from _known("envelope", configuration.envelope, envelopes, f"configurations[{i}].envelope")
        if configuration.kit is not None:
            yield from _known("kit", configuration.kit, kits, f"configurations[{i}].kit")
    yield from _known("configuration", airplane.empty.configuration, configurations, "empty.configuration")
    if airplane.electrical is not None:
        sources = [_ALTERNATOR, *(battery.name for battery in airplane.electrical.batteries)]
        for i, battery in enumerate(airplane.electrical.batteries):
            if battery.charges_from is not None:
                field = f"electrical.batteries[{i}].charges_from"
                yield from _known("electrical source", battery.charges_from, sources, field)
        for i, load in enumerate(airplane.electrical.loads):
            for j, name in enumerate(load.fed_by):
                yield from _known("electrical source", name, sources, f"electrical.loads[{i}].fed_by[{j}]")


def _known(kind: str, name: str, known: Sequence[str], field: str) -> Iterator[Problem]:
    if name not in known:
        yield unknown_name(kind, name, known).at(field=field)
