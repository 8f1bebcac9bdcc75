"""What a number of an airplane must be, and the Problem where it is not."""

from __future__ import annotations

from collections.abc import Iterator

from wringout.problems import Problem


def must(holds: bool, field: str, what: str, mend: str) -> Iterator[Problem]:
    """A Problem at the attribute `field` where something does not hold."""
    if not holds:
        yield Problem(what, mend, field=field)


def positive(part: object, *names: str) -> Iterator[Problem]:
    """Attributes that are given and not above zero."""
    for name in names:
        value = getattr(part, name)
        if value is not None:
            yield from must(value > 0, name, f"must be above zero, found {value:g}", "check the number")


def not_negative(part: object, *names: str) -> Iterator[Problem]:
    """Attributes that are given and below zero."""
    for name in names:
        value = getattr(part, name)
        if value is not None:
            yield from must(value >= 0, name, f"must not be negative, found {value:g}", "check its sign")
