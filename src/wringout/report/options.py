"""The report on options and exchange kits: what each build weighs and carries, and what an exchange takes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import fsum
from typing import TYPE_CHECKING

from wringout.airplane.airplane import Airplane, ExchangeKit, Option
from wringout.airplane.lookups import kit as kit_named
from wringout.evaluation.consequences import Consequences, Exchanged
from wringout.outfitting import CAUTION, Build, Change, Refused, Step, change, configuration_builds
from wringout.quantity.showing import arm_digits, show, show_estimate
from wringout.report.blocks import Block, Cell, Column, caution, fail, lead, number, numbered, table, text
from wringout.report.words import capital, listed

if TYPE_CHECKING:
    from wringout.dossier.dossier import Units
    from wringout.evaluation.evaluation import Evaluation

_HELD = "\u00a0"
NO_OPTIONS = "No option is described; the exchange kits alone tell its builds apart."


def described_exchanges(evaluation: Evaluation) -> tuple[Change, ...]:
    """The exchanges that the evaluation went through, with what each takes."""
    builds = {
        item.configuration: item
        for item in configuration_builds(evaluation.dossier.airplane)
        if isinstance(item, Build)
    }
    return tuple(
        change(evaluation.dossier.airplane, builds[item.before], builds[item.after])
        for item in evaluation.exchanges
        if item.before in builds and item.after in builds
    )


def options_blocks(evaluation: Evaluation, figures: Mapping[str, Block]) -> list[Block]:
    """Every configuration as a build, what every kit takes, every option by itself; the caution."""
    airplane, units = evaluation.dossier.airplane, evaluation.dossier.units
    rows = configuration_builds(airplane)
    built = [item for item in rows if isinstance(item, Build)]
    if not built:
        return [lead("No build of it can be weighed.")]
    blocks: list[Block] = [lead(builds_sentence(built, units)), builds_table(airplane, rows, units)]
    blocks += [text(change_sentence(change(airplane, built[0], item), units)) for item in built[1:]]
    for exchanged in evaluation.exchanges:
        blocks += numbered(figures, f"exchange for {exchanged.after}")
        blocks.append(text(exchanged_words(exchanged)))
        blocks += consequences_tables(exchanged.found)
    if airplane.options:
        blocks.append(options_table(airplane, built[0], units))
    return [*blocks, caution(CAUTION)]


def exchanged_words(exchanged: Exchanged) -> str:
    """What becomes of the missions and claims, in words."""
    said = exchanged.found.sentence()
    words = f"{capital(exchanged.after)} instead of {exchanged.before}: {said[:1].lower()}{said[1:]}"
    return " ".join((words, *exchanged.found.notes))


def builds_sentence(builds: Sequence[Build], units: Units) -> str:
    """What each build carries, in a sentence."""
    said = [
        f"{item.configuration} {show(item.useful_load.value, units.mass, digits=0)}, "
        f"{show(item.full_fuel, units.mass, digits=0)} of it beside full tanks"
        for item in builds
    ]
    return f"Useful load: {listed(said)}."


def build_sentence(item: Build, units: Units) -> str:
    """One build's empty mass, CG, useful load and what full tanks leave."""
    return (
        f"{capital(item.name)}: empty {show_estimate(item.empty.mass, units.mass)} at "
        f"{show(item.empty.arm.value, units.arm, digits=arm_digits(units.arm))}; it carries "
        f"{show(item.useful_load.value, units.mass, digits=0)}, "
        f"{show(item.full_fuel, units.mass, digits=0)} of it beside full tanks."
    )


def change_sentence(found: Change, units: Units, subject: str = "") -> str:
    """What an exchange does to mass, CG and load, and what it takes, of the build after or of a `subject`."""
    after = found.after
    heavier = "heavier" if found.mass >= 0.0 else "lighter"
    moved = "further aft" if found.arm >= 0.0 else "further forward"
    more = "more" if found.useful_load >= 0.0 else "less"
    words = (
        f"{subject or capital(after.name)}: empty {show(abs(found.mass), units.mass, digits=1)} {heavier}, "
        f"its CG {show(abs(found.arm), units.arm, digits=arm_digits(units.arm))} {moved}; "
        f"{show(abs(found.useful_load), units.mass, digits=1)} {more} useful load"
    )
    if not found.steps:
        return f"{capital(after.name)} is the airplane as it is: nothing is exchanged."
    return f"{words}; {work_words(found)}."


def work_words(found: Change) -> str:
    """Hours of all people together and the price, with what nobody says."""
    unknown = found.labour_unknown
    hours = f"{found.labour / 3600.0:g} person-hours" if found.labour else "work"
    if unknown == len(found.steps):
        work = "the work is not stated"
    else:
        work = hours + (f", {unknown} of {len(found.steps)} steps not stated" if unknown else "")
    if found.prices:
        price = " and ".join(item.words() for item in found.prices)
        if found.prices_unknown:
            price += f" and {found.prices_unknown} not priced"
    else:
        price = "no price stated" if found.prices_unknown else "nothing to buy"
    return f"{work}, {price}"


def builds_table(airplane: Airplane, rows: Sequence[Build | Refused], units: Units) -> Block:
    """Each configuration: empty mass and CG, useful load, what full tanks leave, worst margins, kit."""
    cells: list[list[Cell]] = []
    digits = arm_digits(units.arm)
    for item in rows:
        if not isinstance(item, Build):
            cells.append([item.configuration, *("–" for _ in range(6)), fail(item.problems[0].what)])
            continue
        margins: list[Cell] = [
            shown if case.within else fail(shown)
            for case in (item.adverse.forward, item.adverse.aft)
            for shown in (number(case.margin, units.arm, digits),)
        ]
        cells.append(
            [
                item.configuration,
                number(item.empty.mass.value, units.mass, 1),
                number(item.empty.arm.value, units.arm, digits),
                number(item.useful_load.value, units.mass, 0),
                number(item.full_fuel, units.mass, 0),
                *margins,
                _kit_words(airplane, item.configuration),
            ]
        )
    columns = (
        Column("configuration"),
        Column("empty", units.mass, "number"),
        Column("CG", units.arm, "number"),
        Column("useful load", units.mass, "number"),
        Column("beside full tanks", units.mass, "number"),
        Column("to forward limit", units.arm, "number"),
        Column("to aft limit", units.arm, "number"),
        Column("its kit", stretch=1),
    )
    note = "to the limits: from the worst loading that the places allow; below zero, beyond"
    return table(columns, cells, note, title="Builds with what was fitted when it was weighed")


def options_table(airplane: Airplane, base: Build, units: Units) -> Block:
    """Each option: mass and moment, what it takes, and what it goes with."""
    rows: list[list[Cell]] = [
        [
            f"{item.name}, fitted" if item.fitted else item.name,
            number(_mass(item), units.mass, 1),
            number(_moment(item), "kg·m", 2),
            _hours(item),
            _price(item.price),
            compatibility_words(item) or "with everything",
        ]
        for item in airplane.options
    ]
    columns = (
        Column("option", stretch=1),
        Column("mass", units.mass, "number"),
        Column("moment", "kg·m", "number"),
        Column("work"),
        Column("price"),
        Column("goes with", stretch=2),
    )
    empty = show(base.empty.mass.value, units.mass, digits=0)
    return table(columns, rows, title=f"Options, on an airplane of {empty} empty")


def compatibility_words(item: Option | ExchangeKit) -> str:
    """What an option or kit needs, excludes and fits, in words."""
    said = []
    if item.needs:
        said.append(f"needs {listed(item.needs)}")
    if item.excludes:
        said.append(f"not with {listed(item.excludes)}")
    if isinstance(item, Option):
        if item.fits:
            said.append(f"on {listed(item.fits)} only")
        if item.place is not None:
            said.append(f"sits in ‘{item.place}’")
        if item.envelope is not None:
            said.append(f"brings the limits ‘{item.envelope}’")
    words = "; ".join(said)
    return f"{words}: {item.reason.strip().rstrip('.')}" if words and item.reason.strip() else words


def steps_table(found: Change, units: Units) -> Block:
    """Every item off and on with mass, arm and moment, from the empty mass before to that after."""
    digits = arm_digits(units.arm)

    def line(name: str, mass: float, arm: float, work: str = "", price: str = "") -> list[Cell]:
        return [
            name,
            number(mass, units.mass, 1),
            number(arm, units.arm, digits),
            number(mass * arm, "kg·m", 2),
            work,
            price,
        ]

    before, after = found.before.empty, found.after.empty
    rows = [line(f"empty before, {found.before.name}", before.mass.value, before.arm.value)]
    for step in found.steps:
        work, price = _step_work(step), _price(step.price) if step.goes == "on" else ""
        items = [(f"off: {item.name}", -item.mass, item.arm) for item in step.off]
        items += [(f"on: {item.name}", item.mass, item.arm) for item in step.on]
        if not items:
            rows.append([f"{step.name} {step.goes}", "0", "–", "0", work, price])
        for place, (name, mass, arm) in enumerate(items):
            rows.append(line(name, mass, arm, work if place == 0 else "", price if place == 0 else ""))
    rows.append(line(f"empty after, {found.after.name}", after.mass.value, after.arm.value))
    columns = (
        Column("item", stretch=1),
        Column("mass", units.mass, "number"),
        Column("arm", units.arm, "number"),
        Column("moment", "kg·m", "number"),
        Column("work"),
        Column("price"),
    )
    return table(columns, rows, title="Off and on")


def comparison_table(found: Change, units: Units) -> Block:
    """Before, after and the difference: mass, CG, limits, loads and the worst margins."""
    digits = arm_digits(units.arm)
    first, last = found.before, found.after
    mass, arm = (units.mass, 1), (units.arm, digits)
    rows: list[list[Cell]] = []

    def add(name: str, before: float | None, after: float | None, kind: tuple[str, int]) -> None:
        known = before is not None and after is not None
        difference = _signed(after - before, *kind) if known else ""  # type: ignore[operator]
        rows.append([f"{name}, {kind[0]}", number(before, *kind), number(after, *kind), difference])

    add("empty mass", first.empty.mass.value, last.empty.mass.value, mass)
    add("empty CG aft of datum", first.empty.arm.value, last.empty.arm.value, arm)
    add("empty moment", first.empty.moment, last.empty.moment, ("kg·m", 2))
    for name, key in (
        ("highest take-off mass", "maximum_takeoff_mass"),
        ("highest landing mass", "maximum_landing_mass"),
        ("highest zero-fuel mass", "maximum_zero_fuel_mass"),
    ):
        before, after = getattr(first.envelope, key), getattr(last.envelope, key)
        if before is not None or after is not None:
            add(name, before, after, mass)
    ahead, behind = (
        [furthest(x for x, _ in item.envelope.vertices) for item in (first, last)] for furthest in (min, max)
    )
    add("forward CG limit, at its furthest", ahead[0], ahead[1], arm)
    add("aft CG limit, at its furthest", behind[0], behind[1], arm)
    add("useful load", first.useful_load.value, last.useful_load.value, mass)
    add("beside full tanks", first.full_fuel, last.full_fuel, mass)
    for side in ("forward", "aft"):
        cases = [getattr(item.adverse, side) for item in (first, last)]
        add(f"worst loading to the {side} limit", cases[0].margin, cases[1].margin, arm)
        for column, case in enumerate(cases, start=1):
            if not case.within:
                rows[-1][column] = fail(str(rows[-1][column]))
    columns = (
        Column("", stretch=1),
        Column("before", kind="number"),
        Column("after", kind="number"),
        Column("change", kind="number"),
    )
    note = "the worst loadings are those that the places' limits allow; below zero, beyond the limit"
    return table(columns, rows, note, title="Before and after")


def limits_words(found: Change) -> str:
    """Which limits hold after, and what else the options change."""
    said = []
    first, last = found.before, found.after
    if first.envelope != last.envelope:
        said.append(f"the limits ‘{last.envelope.name}’ hold instead of ‘{first.envelope.name}’")
    drag = found.drag_area_change
    if drag is not None:
        said.append(f"drag area {show_estimate(drag, 'm²')} by the dossier's belief")
    places = [part.name for part in last.airplane.stations if part not in first.airplane.stations]
    places += [part.name for part in last.airplane.tanks if part not in first.airplane.tanks]
    if places:
        said.append(f"new or other places: {listed(places)}")
    if found.negligible and found.steps:
        said.append("so small a change need not be recorded [AC43.13-1B, par. 10-2 c]")
    return f"{capital('; '.join(said))}." if said else "No limit changes."


def consequences_tables(found: Consequences) -> list[Block]:
    """Missions and claims before and after; what changed is marked."""
    blocks: list[Block] = []
    missions: list[list[Cell]] = [
        [
            f"{item.name} ({item.configuration})",
            item.before.outcome,
            fail(item.after.outcome) if item.changed else item.after.outcome,
            item.after.reasons[0] if item.changed else "as before",
        ]
        for item in found.missions
    ]
    if missions:
        columns = (
            Column("mission", stretch=1),
            Column("before"),
            Column("after"),
            Column("what binds after", stretch=2),
        )
        blocks.append(table(columns, missions, title="Missions, each asked of both builds"))
    claims: list[list[Cell]] = [
        [
            item.before.claim.statement,
            item.before.finding,
            fail(item.after.finding) if item.changed else item.after.finding,
            item.before.probability,
            item.after.probability,
        ]
        for item in found.claims
        if item.changed
    ]
    if claims:
        judged = (
            Column("claim", stretch=1),
            Column("before"),
            Column("after"),
            Column("held before", "0 to 1", "rule"),
            Column("holds after", "0 to 1", "rule"),
        )
        note = "each judged as though it were made of that build"
        blocks.append(table(judged, claims, note, title="Claims whose verdict is another"))
    return blocks


def _kit_words(airplane: Airplane, configuration: str) -> str:
    name = next(item.kit for item in airplane.configurations if item.name == configuration)
    if name is None:
        return "as weighed, or without a kit"
    kit = kit_named(airplane, name)
    parts = [name, _hours(kit) if kit.hours is not None else "", kit.price or ""]
    return ", ".join(part for part in parts if part)


def _step_work(step: Step) -> str:
    if step.hours is None:
        return "–"
    people = f" × {step.people}" if step.people else ""
    return f"{step.hours / 3600.0:g} h{people}".replace(" ", _HELD)


def _hours(part: Option | ExchangeKit) -> str:
    if part.hours is None:
        return "–"
    people = f" × {part.people}" if part.people else ""
    return f"{part.hours / 3600.0:g} h{people}".replace(" ", _HELD)


def _price(published: str | None) -> str:
    return "–" if published is None else published.replace(" ", _HELD)


def _mass(item: Option) -> float:
    return fsum(part.mass for part in item.on) - fsum(part.mass for part in item.off)


def _moment(item: Option) -> float:
    on = fsum(part.mass * part.arm for part in item.on)
    return on - fsum(part.mass * part.arm for part in item.off)


def _signed(value: float, unit: str, digits: int) -> str:
    shown = number(value, unit, digits)
    return f"+{shown}" if value > 0.0 and shown.strip("0.") else shown
