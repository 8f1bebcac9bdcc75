"""What was written on the card by hand in flight: clock times of the flight, readings at each point."""

from __future__ import annotations

from typing import Literal

from wringout.dossier.card import FlightTimes, HandReadings
from wringout.dossier.fields import (
    Angle,
    Fault,
    Height,
    Length,
    Moment,
    PositiveLength,
    PositiveSpeed,
    Power,
    Pressure,
    Ratio,
    Rotation,
    Speed,
    Table,
    Temperature,
    VolumeFlow,
)
from wringout.problems import Problem


class TimesTable(Table):
    start_up: Moment | None = None
    take_off: Moment | None = None
    landing: Moment | None = None
    shut_down: Moment | None = None

    def faults(self) -> tuple[Fault, ...]:
        found: list[Fault] = []
        before = None
        for key in ("start_up", "take_off", "landing", "shut_down"):
            moment = getattr(self, key)
            if moment is not None and before is not None and moment < before:
                found.append(((key,), Problem("is earlier than the time before it", "check both")))
            before = before if moment is None else moment
        return tuple(found)

    def made(self) -> FlightTimes:
        return FlightTimes(self.start_up, self.take_off, self.landing, self.shut_down)


class ReadTable(Table):
    indicated_airspeed: PositiveSpeed | None = None
    engine_speed: Rotation | None = None
    manifold_pressure: Pressure | None = None
    fuel_flow: VolumeFlow | None = None
    power: Power | None = None
    charge: Ratio | None = None
    from_height: Length | None = None
    to_height: Length | None = None
    outside_air_temperature: Temperature | None = None
    warning_speed: PositiveSpeed | None = None
    break_speed: PositiveSpeed | None = None
    height_lost: Height | None = None
    wing: Literal["left", "right", "none"] | None = None
    wind_direction: Angle | None = None
    wind_speed: Speed | None = None
    ground_roll: PositiveLength | None = None
    distance: PositiveLength | None = None

    def faults(self) -> tuple[Fault, ...]:
        found: list[Fault] = []
        if self.charge is not None and not 0 <= self.charge <= 1:
            found.append((("charge",), Problem("lies between 0 % and 100 %", "check the number")))
        for less, more in (("break_speed", "warning_speed"), ("ground_roll", "distance")):
            small, large = getattr(self, less), getattr(self, more)
            if small is not None and large is not None and small > large:
                found.append(((less,), Problem(f"is more than {more}", "exchange the two, or check them")))
        return tuple(found)

    def made(self) -> HandReadings:
        return HandReadings(**{name: getattr(self, name) for name in type(self).model_fields})
