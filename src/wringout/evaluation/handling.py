"""How the airplane handled, gathered from the cards: ratings as given, forces as read, and what was said.

No number is made here that nobody gave: a rating is a name, so that only its median and its range are told.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from wringout.dossier.card import Card
from wringout.dossier.handling import Impression, StallNote, StickForce, TrimChange
from wringout.dossier.rating_scale import Description, described
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate

CAUTION = (
    "A rating is one pilot's, for one task on one day, and a name for a description: ratings are not "
    "averaged, and 6 is not twice 3. The uncertainty of a force is that of reading the scale; friction in "
    "the controls, gusts and the hand are not in it."
)


@dataclass(frozen=True, slots=True)
class Given:
    """One rating or note as a pilot gave it; `point` is empty for a task of the card's own list."""

    rating: int | None
    note: str
    pilot: str
    card: str
    point: str = ""


@dataclass(frozen=True, slots=True)
class RatedTask:
    """All that was said of one task in one configuration.

    `median` holds one rating, or the two in the middle where their number is even: between them there is
    none. `low` and `high` are the range; all empty or None where nobody gave a number.
    """

    task: str
    configuration: str
    given: tuple[Given, ...]
    median: tuple[int, ...]
    low: int | None
    high: int | None

    @property
    def worst(self) -> Description | None:
        """The description of its worst rating."""
        return None if self.high is None else described(self.high)


@dataclass(frozen=True, slots=True)
class ReadForce:
    """A force as read, with its direction; `signed` [N] is positive for pull and right."""

    reading: StickForce
    signed: Estimate
    configuration: str
    card: str


@dataclass(frozen=True, slots=True)
class ForceSeries:
    """Forces of one control, flap, power and trim at several speeds.

    `slope` [N·s/m] is how the signed force goes with indicated airspeed, None where all were read at one.
    """

    control: str
    configuration: str
    flap: str
    power: str
    trimmed_at: float | None
    readings: tuple[ReadForce, ...]
    slope: float | None
    slope_sd: float | None


@dataclass(frozen=True, slots=True)
class ReadTrim:
    """A change of trim as noted; `signed` [N] is the force that holds the speed, positive for pull."""

    change: TrimChange
    signed: Estimate | None
    configuration: str
    card: str


@dataclass(frozen=True, slots=True)
class Told:
    """A stall or an impression with whose card it stands on."""

    said: StallNote | Impression
    configuration: str
    pilot: str
    card: str


@dataclass(frozen=True, slots=True)
class HandlingRecord:
    """All that the cards say of the handling."""

    tasks: tuple[RatedTask, ...]
    forces: tuple[ForceSeries, ...]
    trims: tuple[ReadTrim, ...]
    stalls: tuple[Told, ...]
    impressions: tuple[Told, ...]

    @property
    def empty(self) -> bool:
        """Whether nobody noted anything."""
        return not (self.tasks or self.forces or self.trims or self.stalls or self.impressions)


def handling_record(cards: Iterable[Card]) -> HandlingRecord:
    """What the cards say of the handling, the worst-rated task first, forces by series.

    Parameters
    ----------
    cards : iterable of Card

    Returns
    -------
    HandlingRecord
        A force's standard uncertainty is that of its reading: the scale's step over √12 [GUM, F.2.2.1].
    """
    every = tuple(cards)
    trims = tuple(
        ReadTrim(item, _signed(item.force, item.direction, card), card.configuration, card.name)
        for card in every
        for item in card.handling.trim_changes
    )
    stalls, impressions = (
        tuple(
            Told(item, card.configuration, card.pilot, card.name)
            for card in every
            for item in getattr(card.handling, kind)
        )
        for kind in ("stalls", "impressions")
    )
    return HandlingRecord(_tasks(every), _series(every), trims, stalls, impressions)


def median(ratings: Sequence[int]) -> tuple[int, ...]:
    """The rating in the middle, or the two where their number is even and they differ.

    Examples
    --------
    >>> median([2, 5, 3]), median([3, 4]), median([3, 3]), median([])
    ((3,), (3, 4), (3,), ())
    """
    if not ratings:
        return ()
    ordered = sorted(ratings)
    low, high = ordered[(len(ordered) - 1) // 2], ordered[len(ordered) // 2]
    return (low,) if low == high else (low, high)


def reading_sd(resolution: float) -> float:
    """Standard uncertainty of a reading in steps of `resolution`: half a step to each side, evenly.

    r/√12 [GUM, F.2.2.1].

    Examples
    --------
    >>> print(f"{reading_sd(1.0):.3f}")
    0.289
    """
    return resolution / math.sqrt(12.0)


def slope_of(speeds: Sequence[float], forces: Sequence[float], sd: float) -> tuple[float, float] | None:
    """Slope of forces over speeds by least squares, and its standard uncertainty; None at one speed only.

    b = Σ(v − v̄)F / Σ(v − v̄)² and u(b) = u(F)/√Σ(v − v̄)² with u(F) that of one reading [GUM, 5.1.2].

    Examples
    --------
    >>> slope_of([10.0, 20.0, 30.0], [3.0, 1.0, -1.0], 0.0)
    (-0.2, 0.0)
    """
    middle = math.fsum(speeds) / len(speeds) if speeds else 0.0
    spread = math.fsum((speed - middle) ** 2 for speed in speeds)
    if spread < 1e-6:
        return None
    product = math.fsum((speed - middle) * force for speed, force in zip(speeds, forces, strict=True))
    return product / spread, sd / math.sqrt(spread)


def _tasks(cards: Sequence[Card]) -> tuple[RatedTask, ...]:
    gathered: dict[tuple[str, str], list[tuple[str, Given]]] = {}
    for card in cards:
        for rating in card.ratings:
            given = Given(rating.rating, rating.note, card.pilot, card.name)
            gathered.setdefault((rating.task.casefold(), card.configuration), []).append((rating.task, given))
        for point in card.points:
            if point.rating is not None:
                task = " ".join(
                    part
                    for part in (point.kind, point.technique, f"flap {point.flap}, {point.power} power")
                    if part
                )
                given = Given(point.rating, point.note, card.pilot, card.name, point.id)
                gathered.setdefault((task.casefold(), card.configuration), []).append((task, given))
    tasks = [_task(said, configuration) for (_, configuration), said in gathered.items()]
    return tuple(sorted(tasks, key=lambda task: -(task.high or 0)))


def _task(said: Sequence[tuple[str, Given]], configuration: str) -> RatedTask:
    given = tuple(item for _, item in said)
    ratings = [item.rating for item in given if item.rating is not None]
    return RatedTask(
        said[0][0],
        configuration,
        given,
        median(ratings),
        min(ratings, default=None),
        max(ratings, default=None),
    )


def _series(cards: Sequence[Card]) -> tuple[ForceSeries, ...]:
    gathered: dict[tuple[str, str, str, str, float | None], list[ReadForce]] = {}
    for card in cards:
        for item in card.handling.stick_forces:
            signed = _signed(item.force, item.direction, card)
            assert signed is not None
            key = (item.control, card.configuration, item.flap, item.power, item.trimmed_at)
            gathered.setdefault(key, []).append(ReadForce(item, signed, card.configuration, card.name))
    made = []
    for (control, configuration, flap, power, trimmed_at), readings in gathered.items():
        ordered = sorted(readings, key=lambda item: item.reading.speed)
        widest = max(item.signed.sd or 0.0 for item in ordered)
        found = slope_of(
            [item.reading.speed for item in ordered], [item.signed.value for item in ordered], widest
        )
        slope, sd = found if found is not None else (None, None)
        made.append(ForceSeries(control, configuration, flap, power, trimmed_at, tuple(ordered), slope, sd))
    return tuple(made)


def _signed(force: float | None, direction: str | None, card: Card) -> Estimate | None:
    if force is None:
        return None
    step = card.handling.resolution
    sign = -1.0 if direction in ("push", "left") else 1.0
    sd = None if step is None else reading_sd(step)
    return Estimate(sign * force, sd, Dimension.FORCE, f"spring scale, {card.name}")
