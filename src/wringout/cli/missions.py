"""`missions`: what the readers' missions come to, as written or with something else in them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

from cyclopts import Parameter

from wringout.cli.options import quantity_option
from wringout.problems import InputError, Problem
from wringout.quantity import Dimension

if TYPE_CHECKING:
    from wringout.dossier.dossier import Mission
    from wringout.missions import MissionAnswer


@dataclass(frozen=True, slots=True)
class _Changed:
    """What is asked otherwise than it is written, SI."""

    fuel: float | None
    power: float | None
    wind_from: float | None
    wind_speed: float | None
    fuel_at: tuple[str, ...]
    leave: tuple[str, ...]

    def of(self, mission: Mission) -> Mission:
        """The mission so changed."""
        changed = replace(
            mission,
            fuel=mission.fuel if self.fuel is None else self.fuel,
            cruise_power=mission.cruise_power if self.power is None else self.power,
            wind_speed=mission.wind_speed if self.wind_speed is None else self.wind_speed,
        )
        if self.wind_from is not None:
            changed = replace(changed, wind_from=self.wind_from, head_wind=0.0)
        here = tuple(name for name in self.fuel_at if name in mission.route)
        loads = tuple(load for load in mission.loads if load.name not in self.leave)
        return replace(changed, fuel_at=(*mission.fuel_at, *here), loads=loads)

    def refuse(self, missions: Sequence[Mission]) -> None:
        """InputError where a strip or a load is named that none of the missions knows."""
        strips = {name for mission in missions for name in mission.route}
        loads = {load.name for mission in missions for load in mission.loads}
        problems = [
            Problem(f"no mission's route has the strip '{name}'", "use one of the route's", field="--fuel-at")
            for name in self.fuel_at
            if name not in strips
        ]
        problems += [
            Problem(f"no mission has the load '{name}'", "write it as missions.toml does", field="--leave")
            for name in self.leave
            if name not in loads
        ]
        if problems:
            raise InputError(*problems)


def _chosen(missions: Sequence[Mission], name: str | None) -> Sequence[Mission]:
    if name is None:
        return missions
    chosen = [mission for mission in missions if mission.name == name]
    if not chosen:
        known = ", ".join(f"'{mission.name}'" for mission in missions) or "none"
        raise InputError(Problem(f"there is no mission '{name}'", f"use one of: {known}", field="name"))
    return chosen


def missions(
    folder: Path,
    name: Annotated[str | None, Parameter(help="Only this mission.")] = None,
    /,
    *,
    fuel: Annotated[
        str | None, Parameter(help="Filled at the start, e.g. '120 L'; else what it takes.")
    ] = None,
    power: Annotated[str | None, Parameter(help="Cruise, of rated power, e.g. '65 %'.")] = None,
    wind_from: Annotated[str | None, Parameter(help="Wind aloft on a route, e.g. '240 °'.")] = None,
    wind_speed: Annotated[str | None, Parameter(help="With it, e.g. '20 kt'.")] = None,
    fuel_at: Annotated[
        tuple[str, ...], Parameter(help="A strip on the way that has fuel; again for more.")
    ] = (),
    leave: Annotated[tuple[str, ...], Parameter(help="A load to leave behind; again for more.")] = (),
    json: bool = False,
) -> int:
    """What goes and what stays, the fuel it takes leg by leg, every strip, and what would let the rest go."""
    from wringout.cli.output import caution, print_json, progress, say, table
    from wringout.cli.points import plain
    from wringout.evaluation import fit_model
    from wringout.evaluation.mission_changes import mission_changes
    from wringout.evaluation.mission_words import field_rows, leg_rows, load_rows
    from wringout.evaluation.trips import answer_mission, burns_fuel
    from wringout.quantity import show

    with progress(quiet=json) as tell:
        dossier, _, fit = fit_model(folder, tell)
    if not burns_fuel(dossier.airplane):
        raise InputError(
            Problem(
                "missions are reckoned with fuel that is burnt, and this airplane has a battery",
                "ask them of an airplane with tanks",
            )
        )
    strips, units = {strip.name: strip for strip in dossier.strips}, dossier.units
    change = _Changed(
        quantity_option("fuel", fuel, Dimension.VOLUME),
        quantity_option("power", power, Dimension.RATIO),
        quantity_option("wind-from", wind_from, Dimension.ANGLE),
        quantity_option("wind-speed", wind_speed, Dimension.SPEED),
        fuel_at,
        leave,
    )
    chosen = _chosen(dossier.missions, name)
    change.refuse(chosen)
    answers: list[dict[str, Any]] = []
    found: MissionAnswer | None = None
    for mission in chosen:
        asked = change.of(mission)
        found, _ = answer_mission(dossier.airplane, fit, asked, strips, units)
        helps = mission_changes(dossier.airplane, fit, asked, strips, found, units=units)
        if json:
            answers.append({**plain(found), "changes": [item.words for item in helps]})
            continue
        say(f"{mission.name}: {found.outcome}. {found.sentence}")
        for item in helps:
            say(f"  {item.words}")
        for title, (headings, rows), words in (
            ("Loads", load_rows(found, units), 4),
            ("Legs", leg_rows(found, units), 1),
            ("Strips", field_rows(found, units), 2),
        ):
            if rows:
                table(title, [heading.replace(", ", "\n") for heading in headings], rows, words=words)
        if found.furthest is not None:
            say(f"  With what goes it reaches {show(found.furthest.value, units.range, digits=0)} at most.")
        for note in found.notes:
            say(f"  {note}")
    if json:
        print_json({"missions": answers})
    elif found is None:
        say("No mission is described: say in missions.toml what your readers want to carry, and how far.")
    else:
        caution(found.caution)
    return 0
