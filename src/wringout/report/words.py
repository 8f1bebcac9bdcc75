"""Small turns of phrase that several parts of the report share."""

from __future__ import annotations

from collections.abc import Sequence

from wringout.airplane.airplane import Airplane
from wringout.manoeuvres.manoeuvre import Manoeuvre

_NUMBERS = (
    "no",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
)


def counted(count: int, singular: str, plural: str | None = None) -> str:
    """'three landings'."""
    number = _NUMBERS[count] if count < len(_NUMBERS) else str(count)
    return f"{number} {singular if count == 1 else plural or singular + 's'}"


def listed(parts: Sequence[str]) -> str:
    """'a, b and c'."""
    return parts[0] if len(parts) == 1 else f"{', '.join(parts[:-1])} and {parts[-1]}" if parts else "nothing"


def counted_kinds(manoeuvres: Sequence[Manoeuvre]) -> str:
    """'one take-off, four climbs and one landing', in the order in which each kind first came."""
    kinds = [item.kind for item in sorted(manoeuvres, key=lambda item: item.start)]
    return (
        listed([counted(kinds.count(kind), kind) for kind in dict.fromkeys(kinds)])
        if kinds
        else "no manoeuvres"
    )


def capital(sentence: str) -> str:
    """The sentence with a capital first letter."""
    return sentence[:1].upper() + sentence[1:]


def airplane_words(airplane: Airplane) -> str:
    """Maker and name, the maker once."""
    first = airplane.name.split()[0]
    return airplane.name if first in airplane.maker.split() else f"{airplane.maker} {airplane.name}"
