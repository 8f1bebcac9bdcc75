"""The kinds of field that a dossier's files have: text with a unit → SI, and the names, days and moments."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime
from typing import Annotated, Any, ClassVar, Literal

from pydantic import BaseModel, ConfigDict, PlainValidator, model_validator
from pydantic_core import PydanticCustomError

from wringout.dossier.lines import Path
from wringout.problems import InputError, Problem
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.quantity.text import parse, parse_estimate, stated_dimension
from wringout.quantity.units import WORDS, find_unit, unit_symbols

AskedKind = Literal["quantity", "estimate", "text", "flag", "count", "money", "day", "moment"]
Fault = tuple[Path, Problem]  # where, from the table, and what
_LONGEST_NAME = 200


def refusal(*problems: Problem) -> PydanticCustomError:
    """Problems in the form that pydantic carries; `wringout.dossier.problems` takes them out again."""
    return PydanticCustomError(
        "problems", "{text}", {"text": str(InputError(*problems)), "problems": problems}
    )


@dataclass(frozen=True, slots=True)
class Asked:
    """What a field asks for, so that a form can be drawn from its table: a kind, and of what dimension."""

    kind: AskedKind
    dimension: Dimension | None = None


@dataclass(frozen=True, slots=True)
class FieldReader:
    """What reads a field, with what it asks for."""

    read: Callable[[Any], Any]
    asked: Asked

    def __call__(self, value: Any) -> Any:
        """The value read; pydantic's own error from an InputError."""
        try:
            return self.read(value)
        except InputError as error:
            raise refusal(*error.problems) from None


def reader(
    read: Callable[[Any], Any], kind: AskedKind = "text", dimension: Dimension | None = None
) -> PlainValidator:
    """A validator from a function that raises InputError."""
    return PlainValidator(FieldReader(read, Asked(kind, dimension)))


def shown(value: object) -> str:
    """A value of a TOML file as an error shows it: short, on one line."""
    text = repr(value) if isinstance(value, str) else str(value)
    text = " ".join(text.split())
    return text if len(text) <= 60 else text[:60] + "…"


def _quantity(dimension: Dimension, *, sign: str = "any") -> PlainValidator:
    def read(value: Any) -> float:
        _refuse_bare(value, dimension)
        si = _plain_ratio(value) if _is_number(value) else parse(value, dimension)
        _check_sign(si, sign, value)
        return si

    return reader(read, "quantity", dimension)


def _estimate(dimension: Dimension, *, sign: str = "any") -> PlainValidator:
    def read(value: Any) -> Estimate:
        _refuse_bare(value, dimension)
        text = repr(value) if _is_number(value) else value
        estimate = parse_estimate(text, dimension, "dossier")
        _check_sign(estimate.value, sign, value)
        return estimate

    return reader(read, "estimate", dimension)


def _is_number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _refuse_bare(value: Any, dimension: Dimension) -> None:
    words = WORDS[dimension]
    if _is_number(value) and dimension is Dimension.RATIO:
        return
    if _is_number(value):
        raise InputError(
            Problem(
                f"{words.name} needs a unit, found the number {shown(value)}",
                f'write it in quotes with its unit, like "{words.example}"',
            )
        )
    if not isinstance(value, str):
        raise InputError(
            Problem(
                f"{words.name} is expected, found {_kind(value)}",
                f'write it in quotes with its unit, like "{words.example}"',
            )
        )


def _plain_ratio(value: float) -> float:
    try:
        return float(value)
    except OverflowError:
        raise InputError(Problem("the number is too large", "check the number")) from None


def _check_sign(si: float, sign: str, value: Any) -> None:
    if not abs(si) < 1e12:
        raise InputError(Problem(f"{shown(value)} is not possible", "check the number"))
    if sign == "positive" and not si > 0:
        raise InputError(Problem(f"must be above zero, found {shown(value)}", "check the number"))
    if sign == "not negative" and not si >= 0:
        raise InputError(Problem(f"must not be negative, found {shown(value)}", "check its sign"))


def _kind(value: Any) -> str:
    kinds = (
        (bool, "true or false"),
        (dict, "a table"),
        (list, "a list"),
        (datetime, "a time"),
        (date, "a day"),
    )
    return next((f"{word} ({shown(value)})" for kind, word in kinds if isinstance(value, kind)), shown(value))


def _text(value: Any) -> str:
    if not isinstance(value, str):
        raise InputError(Problem(f"text in quotes is expected, found {_kind(value)}", "put it into quotes"))
    return value.strip()


def _name(value: Any) -> str:
    text = _text(value)
    if not text:
        raise InputError(Problem("a text is expected, found nothing between the quotes", "fill it in"))
    if len(text) > _LONGEST_NAME or any(ord(character) < 32 for character in text):
        raise InputError(
            Problem(
                f"a text of one line is expected, found {shown(text)}", "shorten it; notes take longer texts"
            )
        )
    return text


def _flag(value: Any) -> bool:
    if not isinstance(value, bool):
        raise InputError(
            Problem(f"true or false is expected, found {_kind(value)}", "write true or false, no quotes")
        )
    return value


def _count(value: Any) -> int:
    if not isinstance(value, int) or isinstance(value, bool) or not 0 <= value <= 1_000_000:
        raise InputError(
            Problem(f"a whole number is expected, found {_kind(value)}", "write it without quotes, like 2")
        )
    return value


def _day(value: Any) -> date:
    if isinstance(value, datetime) or not isinstance(value, date):
        raise InputError(
            Problem(f"a day is expected, found {_kind(value)}", "write it without quotes, like 2026-05-12")
        )
    return value


def _moment(value: Any) -> datetime:
    mend = "write it without quotes and with its zone, like 2026-05-12T09:30:00+01:00 or 2026-05-12T08:30:00Z"
    if not isinstance(value, datetime):
        raise InputError(Problem(f"a day with a time is expected, found {_kind(value)}", mend))
    if value.tzinfo is None:
        raise InputError(Problem(f"the time {shown(value)} has no zone", mend))
    return value


def _any_estimate(value: Any) -> Estimate:
    """An estimate of whatever dimension its unit has; a ratio where there is none."""
    if not isinstance(value, str):
        raise InputError(
            Problem(
                f"a value with its uncertainty is expected, found {_kind(value)}",
                'write it like "0.034 ± 0.004"',
            )
        )
    return parse_estimate(value, stated_dimension(value), "dossier")


def _unit_of(dimension: Dimension) -> PlainValidator:
    def read(value: Any) -> str:
        text = _name(value)
        try:
            return find_unit(text, dimension).symbol
        except InputError:
            symbols = ", ".join(unit_symbols(dimension))
            raise InputError(
                Problem(f"'{text}' is no unit of {WORDS[dimension].name}", f"use one of {symbols}")
            ) from None

    return reader(read)


Text = Annotated[str, reader(_text)]
Name = Annotated[str, reader(_name)]
Flag = Annotated[bool, reader(_flag, "flag")]
Count = Annotated[int, reader(_count, "count")]
Day = Annotated[date, reader(_day, "day")]
Moment = Annotated[datetime, reader(_moment, "moment")]

Length = Annotated[float, _quantity(Dimension.LENGTH)]
PositiveLength = Annotated[float, _quantity(Dimension.LENGTH, sign="positive")]
Height = Annotated[float, _quantity(Dimension.LENGTH, sign="not negative")]
Area = Annotated[float, _quantity(Dimension.AREA, sign="positive")]
Volume = Annotated[float, _quantity(Dimension.VOLUME, sign="not negative")]
Mass = Annotated[float, _quantity(Dimension.MASS, sign="not negative")]
PositiveMass = Annotated[float, _quantity(Dimension.MASS, sign="positive")]
FloorLoad = Annotated[float, _quantity(Dimension.MASS_PER_AREA, sign="positive")]
Density = Annotated[float, _quantity(Dimension.DENSITY, sign="positive")]
Speed = Annotated[float, _quantity(Dimension.SPEED, sign="not negative")]
SignedSpeed = Annotated[float, _quantity(Dimension.SPEED)]
PositiveSpeed = Annotated[float, _quantity(Dimension.SPEED, sign="positive")]
Deceleration = Annotated[float, _quantity(Dimension.ACCELERATION, sign="positive")]
Force = Annotated[float, _quantity(Dimension.FORCE, sign="not negative")]
PositiveForce = Annotated[float, _quantity(Dimension.FORCE, sign="positive")]
Pressure = Annotated[float, _quantity(Dimension.PRESSURE, sign="positive")]
Temperature = Annotated[float, _quantity(Dimension.TEMPERATURE)]
Power = Annotated[float, _quantity(Dimension.POWER, sign="positive")]
Energy = Annotated[float, _quantity(Dimension.ENERGY, sign="positive")]
VolumeFlow = Annotated[float, _quantity(Dimension.VOLUME_FLOW, sign="positive")]
Consumption = Annotated[float, _quantity(Dimension.SPECIFIC_CONSUMPTION, sign="positive")]
Rotation = Annotated[float, _quantity(Dimension.ROTATION, sign="positive")]
Angle = Annotated[float, _quantity(Dimension.ANGLE)]
Ratio = Annotated[float, _quantity(Dimension.RATIO)]
PositiveRatio = Annotated[float, _quantity(Dimension.RATIO, sign="positive")]
Slope = Annotated[float, _quantity(Dimension.SLOPE)]
Time = Annotated[float, _quantity(Dimension.TIME, sign="not negative")]
SignedTime = Annotated[float, _quantity(Dimension.TIME)]
PositiveTime = Annotated[float, _quantity(Dimension.TIME, sign="positive")]
Current = Annotated[float, _quantity(Dimension.CURRENT, sign="not negative")]
Charge = Annotated[float, _quantity(Dimension.CHARGE, sign="positive")]
Voltage = Annotated[float, _quantity(Dimension.VOLTAGE, sign="positive")]
MassEstimate = Annotated[Estimate, _estimate(Dimension.MASS, sign="positive")]
LengthEstimate = Annotated[Estimate, _estimate(Dimension.LENGTH)]
PositiveLengthEstimate = Annotated[Estimate, _estimate(Dimension.LENGTH, sign="positive")]
PositiveRatioEstimate = Annotated[Estimate, _estimate(Dimension.RATIO, sign="positive")]
RatioEstimate = Annotated[Estimate, _estimate(Dimension.RATIO)]
PositiveTimeEstimate = Annotated[Estimate, _estimate(Dimension.TIME, sign="positive")]
AreaEstimate = Annotated[Estimate, _estimate(Dimension.AREA)]
AnyEstimate = Annotated[Estimate, reader(_any_estimate, "estimate")]
SpeedUnit = Annotated[str, _unit_of(Dimension.SPEED)]
LengthUnit = Annotated[str, _unit_of(Dimension.LENGTH)]
MassUnit = Annotated[str, _unit_of(Dimension.MASS)]
VolumeUnit = Annotated[str, _unit_of(Dimension.VOLUME)]
VolumeFlowUnit = Annotated[str, _unit_of(Dimension.VOLUME_FLOW)]
TemperatureUnit = Annotated[str, _unit_of(Dimension.TEMPERATURE)]
PressureUnit = Annotated[str, _unit_of(Dimension.PRESSURE)]
PowerUnit = Annotated[str, _unit_of(Dimension.POWER)]


class Table(BaseModel):
    """A table of a TOML file: unknown keys are refused, and so is what its own rules find."""

    model_config: ClassVar[ConfigDict] = ConfigDict(extra="forbid", frozen=True, arbitrary_types_allowed=True)

    def faults(self) -> tuple[Fault, ...]:
        """What is wrong with the table beyond its single fields: the path from here, and the problem."""
        return ()

    @model_validator(mode="after")
    def _no_faults(self) -> Table:
        faults = self.faults()
        if faults:
            problems = tuple(problem for _, problem in faults)
            paths = tuple(path for path, _ in faults)
            raise PydanticCustomError(
                "problems",
                "{text}",
                {"text": str(InputError(*problems)), "problems": problems, "paths": paths},
            )
        return self
