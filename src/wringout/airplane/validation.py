"""What cannot be true of an airplane: each fault as a Problem whose field is the attribute at fault."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from math import isfinite
from typing import TYPE_CHECKING

from wringout.airplane.machine_rules import MACHINE_RULES
from wringout.airplane.mass_rules import MASS_RULES
from wringout.airplane.whole_rules import twice_named, whole
from wringout.problems import Problem

if TYPE_CHECKING:
    from wringout.airplane.airplane import Airplane

_LARGEST = 1e12
_RULES = MASS_RULES | MACHINE_RULES


def part_problems(part: object) -> tuple[Problem, ...]:
    """Everything wrong with one part taken alone, such as a Station or an Envelope."""
    problems = tuple(_number_problems(part, ""))
    rule = _RULES.get(type(part))
    if problems or rule is None:
        return problems
    return tuple(rule(part))


def airplane_problems(airplane: Airplane) -> tuple[Problem, ...]:
    """Everything wrong with an airplane: each part, names that stand twice, names that nothing answers to."""
    return tuple(_each_part(airplane)) + tuple(twice_named(airplane)) + tuple(whole(airplane))


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
        if configuration.undercarriage.trailing_arm is not None:
            yield f"configurations[{i}].undercarriage.trailing_arm", configuration.undercarriage.trailing_arm
    if airplane.electrical is not None:
        yield from ((f"electrical.batteries[{i}]", b) for i, b in enumerate(airplane.electrical.batteries))
        yield from ((f"electrical.loads[{i}]", item) for i, item in enumerate(airplane.electrical.loads))
        yield from ((f"electrical.generators[{i}]", g) for i, g in enumerate(airplane.electrical.generators))


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
