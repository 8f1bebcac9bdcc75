"""What cannot be true of options as described: names of nothing, names shared, rules that contradict."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from wringout.airplane.bounds import must
from wringout.airplane.lookups import unknown_name
from wringout.problems import Problem

if TYPE_CHECKING:
    from wringout.airplane.airplane import Airplane, ExchangeKit, Option


def option_problems(airplane: Airplane) -> Iterator[Problem]:
    """Everything wrong with what options and kits say of one another."""
    kits = {part.name for part in airplane.kits}
    configurations = [part.name for part in airplane.configurations]
    taken = kits | set(configurations)
    every = [*(part.name for part in airplane.options), *taken]
    for i, option in enumerate(airplane.options):
        field = f"options[{i}]"
        yield from must(
            option.name not in taken,
            f"{field}.name",
            f"'{option.name}' is a kit or a configuration too",
            "give the option a name of its own: what it needs or excludes goes by name",
        )
        yield from _rules(option, every, field)
        for j, name in enumerate(option.fits):
            if name not in configurations:
                yield unknown_name("configuration", name, configurations).at(field=f"{field}.fits[{j}]")
        if option.envelope is not None and option.envelope not in {part.name for part in airplane.envelopes}:
            known = [part.name for part in airplane.envelopes]
            yield unknown_name("envelope", option.envelope, known).at(field=f"{field}.envelope")
        never = _never(airplane, option)
        if never:
            yield Problem(
                f"no build can have '{option.name}': {never}",
                "correct what the options say of one another",
                field=f"{field}.needs",
            )
    names = [part.name for part in airplane.options]
    for i, kit in enumerate(airplane.kits):
        yield from _rules(kit, names, f"kits[{i}]")


def _rules(part: Option | ExchangeKit, known: Sequence[str], field: str) -> Iterator[Problem]:
    for key in ("needs", "excludes"):
        for j, name in enumerate(getattr(part, key)):
            place = f"{field}.{key}[{j}]"
            if name == part.name:
                yield Problem(f"'{name}' {key} itself", "take its own name out", field=place)
            elif name not in known:
                yield unknown_name("option", name, known).at(field=place)


def _never(airplane: Airplane, option: Option) -> str:
    """Why no build can have an option: all that it needs, and what that needs, cannot go together."""
    options = {part.name: part for part in airplane.options}
    closed, queue = [option], list(option.needs)
    while queue:
        needed = options.get(queue.pop())
        if needed is not None and needed not in closed:
            closed.append(needed)
            queue.extend(needed.needs)
    for part in closed:
        for other in closed:
            if other.name in part.excludes:
                return f"'{part.name}' excludes '{other.name}', and it needs both"
            if part is not other and part.place is not None and part.place == other.place:
                return f"'{part.name}' and '{other.name}' sit in one place, '{part.place}', and it needs both"
    return ""
