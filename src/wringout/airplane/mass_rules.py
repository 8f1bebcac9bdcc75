"""What cannot be true of stations, tanks, envelopes, weighings and kits, each taken alone."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import pairwise
from typing import Any

from wringout.airplane import airplane as parts
from wringout.airplane.bounds import must, not_negative, positive
from wringout.airplane.polygon import crossing, signed_area
from wringout.problems import Problem


def _station(part: parts.Station) -> Iterator[Problem]:
    yield from positive(part, "mass_limit", "floor_area", "floor_load_limit")
    yield from not_negative(part, "seats")
    yield from must(
        part.arm_aft >= part.arm,
        "arm_aft",
        f"the aft end of the range, {part.arm_aft:g} m, lies ahead of its forward end, {part.arm:g} m",
        "exchange the two",
    )
    yield from must(
        part.floor_load_limit is None or part.floor_area is not None,
        "floor_load_limit",
        "a limit of floor load says nothing without the floor's area",
        "add floor_area",
    )


def _combined_limit(part: parts.CombinedLimit) -> Iterator[Problem]:
    yield from positive(part, "mass_limit")
    yield from must(
        len(part.stations) >= 2,
        "stations",
        "a combined limit needs two stations or more",
        "name them, or give the station its own mass_limit",
    )


def _fuel(part: parts.Fuel) -> Iterator[Problem]:
    yield from must(
        500 <= part.density <= 1100,
        "density",
        f"no fuel has a density of {part.density:g} kg/m³",
        "aviation gasoline has about 720, kerosene about 800 kg/m³",
    )


def _tank(part: parts.Tank) -> Iterator[Problem]:
    yield from positive(part, "usable")
    yield from not_negative(part, "unusable")
    if not part.arms:
        yield Problem("a tank needs its arm", "give one arm, or arms against contents", field="arms")
        return
    contents = [volume for volume, _ in part.arms]
    if not all(low < high for low, high in pairwise(contents)):
        yield Problem(
            "the contents do not rise from row to row", "list the rows from empty to full", field="arms"
        )
        return
    yield from must(
        len(contents) == 1 or (contents[0] >= 0 and contents[-1] >= part.usable * (1 - 1e-6)),
        "arms",
        f"the rows end at {contents[-1] * 1000:.1f} L, the tank holds {part.usable * 1000:.1f} L",
        "add the row of the full tank",
    )


def _envelope(part: parts.Envelope) -> Iterator[Problem]:
    yield from positive(
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
    yield from must(
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
    yield from must(
        low < part.maximum_takeoff_mass <= high * (1 + 1e-9),
        "maximum_takeoff_mass",
        f"{part.maximum_takeoff_mass:g} kg lies outside the envelope's masses, {low:g} to {high:g} kg",
        "extend the corners, or correct the mass",
    )


def _envelope_masses(part: parts.Envelope) -> Iterator[Problem]:
    takeoff = part.maximum_takeoff_mass
    yield from must(
        part.maximum_ramp_mass is None or part.maximum_ramp_mass >= takeoff,
        "maximum_ramp_mass",
        f"is below the maximum take-off mass of {takeoff:g} kg",
        "a ramp mass includes the fuel for taxi",
    )
    for name in ("maximum_landing_mass", "maximum_zero_fuel_mass"):
        value = getattr(part, name)
        yield from must(
            value is None or value <= takeoff,
            name,
            f"is above the maximum take-off mass of {takeoff:g} kg",
            "check both",
        )


def _weighing(part: parts.Weighing) -> Iterator[Problem]:
    yield from positive(part, "reading_sd")
    yield from must(
        len({reading.arm for reading in part.readings}) >= 2,
        "readings",
        "the scales stood at fewer than two arms, which leaves the CG unknown",
        "give the reading under every wheel",
    )
    for i, reading in enumerate(part.readings):
        yield from must(
            reading.reading > reading.tare >= 0,
            f"readings[{i}].reading",
            f"a reading of {reading.reading:g} kg with a tare of {reading.tare:g} kg leaves no load",
            "the tare is part of the reading and not negative",
        )
    for name in ("aboard_not_empty", "missing_from_empty"):
        yield from _items(getattr(part, name), name)


def _empty_record(part: parts.EmptyRecord) -> Iterator[Problem]:
    yield from must(
        part.mass.value > 0, "mass", f"must be above zero, found {part.mass.value:g} kg", "check the number"
    )


def _items(items: Sequence[parts.Item], name: str) -> Iterator[Problem]:
    for i, item in enumerate(items):
        yield from must(
            item.mass > 0,
            f"{name}[{i}].mass",
            f"'{item.name}' has the mass {item.mass:g} kg",
            "masses are positive; which list it stands in says whether it is added or taken off",
        )


def _kit(part: parts.ExchangeKit) -> Iterator[Problem]:
    yield from _items(part.off, "off")
    yield from _items(part.on, "on")
    yield from not_negative(part, "hours", "people")


def _option(part: parts.Option) -> Iterator[Problem]:
    yield from _items(part.off, "off")
    yield from _items(part.on, "on")
    yield from not_negative(part, "hours", "people")
    change = part.drag_area_change
    yield from must(
        change is None or change.sd is not None,
        "drag_area_change",
        "is a belief and needs its uncertainty",
        "write it like '0.02 m² ± 0.02 m²'",
    )
    for name in ("stations", "tanks"):
        for i, inner in enumerate(getattr(part, name)):
            for problem in MASS_RULES[type(inner)](inner):
                yield Problem(problem.what, problem.mend, field=f"{name}[{i}].{problem.field}")


MASS_RULES: dict[type, Callable[[Any], Iterable[Problem]]] = {
    parts.Station: _station,
    parts.CombinedLimit: _combined_limit,
    parts.Fuel: _fuel,
    parts.Tank: _tank,
    parts.Envelope: _envelope,
    parts.Weighing: _weighing,
    parts.EmptyRecord: _empty_record,
    parts.ExchangeKit: _kit,
    parts.Option: _option,
}
