"""Empty mass and its arm from the scales or from a record, with the uncertainty that the scales leave."""

import math
from dataclasses import dataclass

from wringout.airplane.airplane import EmptyRecord, Item, Weighing, WheelReading
from wringout.problems import InputError, Problem
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate


@dataclass(frozen=True, slots=True)
class MassRow:
    """One line of a weighing or equipment list; `mass` is net [kg], negative where something came off.

    `reading` and `tare` [kg] stand only in the lines that a scale gave.
    """

    name: str
    mass: float
    arm: float
    reading: float | None = None
    tare: float | None = None

    @property
    def moment(self) -> float:
        """Mass times arm [kg·m]."""
        return self.mass * self.arm


@dataclass(frozen=True, slots=True)
class EmptyMass:
    """Empty mass [kg] and arm [m] of one configuration; `correlation` is that of the two figures' errors.

    The rows add up to mass and moment.
    """

    configuration: str
    mass: Estimate
    arm: Estimate
    correlation: float
    rows: tuple[MassRow, ...]

    @property
    def moment(self) -> float:
        """Moment about the datum [kg·m]."""
        return self.mass.value * self.arm.value


def weigh(weighing: Weighing) -> EmptyMass:
    """Empty mass and arm from scale readings under the wheels, nose wheel or tail wheel alike.

    Parameters
    ----------
    weighing : Weighing
        Readings and tares [kg] at arms [m] from the datum, airplane level; what was aboard that empty mass
        does not count is taken off, what it counts and was missing is added.

    Returns
    -------
    EmptyMass
        Mass and arm with the standard uncertainty that `reading_sd` of every scale gives, and their
        correlation.

    Raises
    ------
    InputError
        A net reading below zero, fewer than two places weighed, a figure that is not finite, nothing left
        to weigh.

    Notes
    -----
    W = Σ wᵢ and x = Σ wᵢ xᵢ / W [FAA-H-8083-1, ch. 3]. With independent scale errors s: var W = n s²,
    var x = s² Σ (xᵢ − x)²/W², cov(W, x) = s² Σ (xᵢ − x)/W [GUM, 5.2.2].

    Examples
    --------
    >>> from datetime import date
    >>> empty = weigh(Weighing(date(2024, 5, 4), "tail wheel", (
    ...     WheelReading("left main", 300.0, 2.0, 1.00),
    ...     WheelReading("right main", 302.0, 2.0, 1.00),
    ...     WheelReading("tail", 51.0, 1.0, 6.00)), reading_sd=0.5))
    >>> print(f"{empty.mass.value:.1f} kg at {empty.arm.value:.3f} m ± {empty.arm.sd:.3f} m")
    648.0 kg at 1.386 m ± 0.004 m
    """
    problems = _weighing_problems(weighing)
    if problems:
        raise InputError(*problems)
    scales = tuple(
        MassRow(reading.wheel, reading.reading - reading.tare, reading.arm, reading.reading, reading.tare)
        for reading in weighing.readings
    )
    off = tuple(
        MassRow(f"{item.name}, taken off", -item.mass, item.arm) for item in weighing.aboard_not_empty
    )
    on = tuple(MassRow(f"{item.name}, added", item.mass, item.arm) for item in weighing.missing_from_empty)
    rows = scales + off + on
    mass, arm = total(rows, "the weighing")
    sd = weighing.reading_sd
    mass_sd = sd * math.sqrt(len(scales))
    arm_sd = sd * math.sqrt(sum((row.arm - arm) ** 2 for row in scales)) / mass
    covariance = sd**2 * sum(row.arm - arm for row in scales) / mass
    correlation = covariance / (mass_sd * arm_sd) if mass_sd * arm_sd > 0.0 else 0.0
    source = f"weighed {weighing.day.isoformat()}, {weighing.configuration}"
    return EmptyMass(
        weighing.configuration,
        Estimate(mass, mass_sd, Dimension.MASS, source),
        Estimate(arm, arm_sd, Dimension.LENGTH, source),
        correlation,
        rows,
    )


def recorded(record: EmptyRecord) -> EmptyMass:
    """Empty mass and arm as a record states them; the errors of the two are taken as independent.

    Raises InputError where mass is not positive or a figure is not finite.
    """
    if not (math.isfinite(record.arm.value) and math.isfinite(record.mass.value) and record.mass.value > 0.0):
        raise InputError(
            Problem(
                f"the record gives an empty mass of {record.mass.value:g} kg at {record.arm.value:g} m",
                "take both figures from the weight-and-balance record in force",
                field="empty",
            )
        )
    row = MassRow(f"empty, {record.source}", record.mass.value, record.arm.value)
    return EmptyMass(record.configuration, record.mass, record.arm, 0.0, (row,))


def total(rows: tuple[MassRow, ...], what: str) -> tuple[float, float]:
    """Mass [kg] and arm [m] of rows together; InputError where `what` leaves no positive mass."""
    mass = math.fsum(row.mass for row in rows)
    if mass <= 0.0:
        raise InputError(
            Problem(
                f"{what} leaves a mass of {mass:.1f} kg",
                "correct the readings or the items taken off",
                field="empty",
            )
        )
    return mass, math.fsum(row.moment for row in rows) / mass


def _weighing_problems(weighing: Weighing) -> list[Problem]:
    problems = [problem for reading in weighing.readings for problem in _reading_problems(reading)]
    if len({reading.arm for reading in weighing.readings}) < 2:
        problems.append(
            Problem(
                "the scales stood at fewer than two arms, which leaves the arm of the empty mass unknown",
                "give the readings under the main wheels and under the nose or tail wheel, each with its arm",
                field="empty.readings",
            )
        )
    if not weighing.reading_sd >= 0.0:
        problems.append(
            Problem(
                f"the standard uncertainty of a scale reading is {weighing.reading_sd:g} kg",
                "give zero or more, for example half a division of the scale",
                field="empty.reading_sd",
            )
        )
    problems.extend(
        problem
        for item in weighing.aboard_not_empty + weighing.missing_from_empty
        for problem in item_problems(item, "empty")
    )
    return problems


def _reading_problems(reading: WheelReading) -> list[Problem]:
    field = f"empty.readings, {reading.wheel}"
    if not all(math.isfinite(figure) for figure in (reading.reading, reading.tare, reading.arm)):
        return [Problem("reading, tare or arm is not a finite figure", "give all three", field=field)]
    if reading.reading < reading.tare:
        return [
            Problem(
                f"the tare of {reading.tare:g} kg is more than the reading of {reading.reading:g} kg",
                "check the two figures, they may be exchanged",
                field=field,
            )
        ]
    return []


def item_problems(item: Item, field: str) -> list[Problem]:
    """What is wrong with an item to be put on or taken off; empty where nothing is."""
    if math.isfinite(item.mass) and item.mass >= 0.0 and math.isfinite(item.arm):
        return []
    return [
        Problem(
            f"'{item.name}' has a mass of {item.mass:g} kg at {item.arm:g} m",
            "give a mass of zero or more and an arm; what comes off is listed as off, not as negative",
            field=field,
        )
    ]
