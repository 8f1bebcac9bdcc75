"""Whether a configuration and some options can be one airplane, and every reason why they cannot."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from wringout.airplane import lookups
from wringout.airplane.airplane import Airplane, Configuration, ExchangeKit, Option
from wringout.problems import Problem


def refusals(airplane: Airplane, configuration: str, options: Sequence[str]) -> tuple[Problem, ...]:
    """Every reason why a build cannot be, each with what would mend it; empty where it can.

    Parameters
    ----------
    airplane : Airplane
        With its options and kits.
    configuration : str
        Name of the configuration that is built on.
    options : sequence of str
        Names of the options aboard.

    Returns
    -------
    tuple of Problem
        The field of each is the option or kit that it is about.

    Raises
    ------
    InputError
        There is no such configuration or option.
    """
    build = _Wanted(
        lookups.configuration(airplane, configuration),
        tuple(lookups.option(airplane, name) for name in dict.fromkeys(options)),
        airplane,
    )
    found = [*_needs(build), *_exclusions(build), *_places(build), *_fits(build), *_envelopes(build)]
    return tuple(dict.fromkeys((*found, *_taken_twice(build))))


class _Wanted:
    """A build as asked for: its parts by name."""

    def __init__(self, configuration: Configuration, options: tuple[Option, ...], airplane: Airplane) -> None:
        self.configuration = configuration
        self.options = options
        self.airplane = airplane
        kit = None if configuration.kit is None else lookups.kit(airplane, configuration.kit)
        self.kit: ExchangeKit | None = kit
        self.parts: tuple[Option | ExchangeKit, ...] = options if kit is None else (*options, kit)
        self.names = {configuration.name, *(part.name for part in self.parts)}


def _needs(build: _Wanted) -> Iterator[Problem]:
    known = {option.name for option in build.airplane.options}
    for part in build.parts:
        for name in part.needs:
            if name not in build.names:
                mend = f"add '{name}'" if name in known else f"choose a configuration with '{name}'"
                yield Problem(
                    f"'{part.name}' needs '{name}', which is not in this build{_because(part)}",
                    f"{mend}, or leave out '{part.name}'",
                    field=part.name,
                )


def _exclusions(build: _Wanted) -> Iterator[Problem]:
    told: set[frozenset[str]] = set()
    for part in build.parts:
        for name in part.excludes:
            pair = frozenset((part.name, name))
            if name in build.names and pair not in told:
                told.add(pair)
                yield Problem(
                    f"'{part.name}' and '{name}' exclude each other{_because(part)}",
                    f"leave out one of the two{_instead(build, part, name)}",
                    field=part.name,
                )


def _instead(build: _Wanted, part: Option | ExchangeKit, name: str) -> str:
    """Which configurations can have an option that the one at hand excludes, in words."""
    if name not in (build.configuration.name, build.configuration.kit) or not isinstance(part, Option):
        return ""
    others = [
        item.name
        for item in build.airplane.configurations
        if item.name not in part.excludes
        and item.kit not in part.excludes
        and (not part.fits or item.name in part.fits)
    ]
    return f"; {joined(others, 'or')} can have it" if others else ""


def _places(build: _Wanted) -> Iterator[Problem]:
    by_place: dict[str, list[str]] = {}
    for option in build.options:
        if option.place is not None:
            by_place.setdefault(option.place, []).append(option.name)
    for place, names in by_place.items():
        if len(names) > 1:
            both = joined([f"'{name}'" for name in names], "and")
            yield Problem(
                f"{both} sit in one place, '{place}'",
                "keep one of them and leave out the rest",
                field=names[1],
            )


def _fits(build: _Wanted) -> Iterator[Problem]:
    for option in build.options:
        if option.fits and build.configuration.name not in option.fits:
            fits = joined([f"'{name}'" for name in option.fits], "or")
            yield Problem(
                f"'{option.name}' fits {fits}, not '{build.configuration.name}'{_because(option)}",
                f"build on {fits}, or leave out '{option.name}'",
                field=option.name,
            )


def _envelopes(build: _Wanted) -> Iterator[Problem]:
    changing = [option for option in build.options if option.envelope is not None]
    if len({option.envelope for option in changing}) > 1:
        both = joined([f"'{option.name}'" for option in changing], "and")
        yield Problem(
            f"{both} each bring an envelope of their own, and one airplane has one",
            "keep one of them, or describe the envelope that holds with all of them",
            field=changing[1].name,
        )


def _taken_twice(build: _Wanted) -> Iterator[Problem]:
    """The same item taken off by two of the parts: it is there once."""
    first: dict[str, str] = {}
    for part in build.parts:
        if isinstance(part, Option) and part.fitted:
            continue  # what it took off was gone before the weighing
        for item in part.off:
            name = item.name.casefold()
            if name in first and first[name] != part.name:
                yield Problem(
                    f"'{item.name}' comes off for '{first[name]}' and again for '{part.name}'",
                    "leave out one of the two, or describe what each takes off of what is left",
                    field=part.name,
                )
            first.setdefault(name, part.name)


def joined(names: Sequence[str], word: str) -> str:
    """'a, b or c' with the last `word`.

    Examples
    --------
    >>> joined(["a", "b", "c"], "or")
    'a, b or c'
    """
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} {word} {names[-1]}"


def _because(part: Option | ExchangeKit) -> str:
    reason = part.reason.strip().rstrip(".")
    return f": {reason}" if reason else ""
