"""The tables of a test card, and the card that they make."""

from __future__ import annotations

import re
from typing import Annotated, Literal

from wringout.dossier.camera_tables import CameraTable, kind_faults
from wringout.dossier.card import (
    Card,
    CardLoading,
    CardPoint,
    FlightTimes,
    PointKind,
    Rating,
    RecordingRef,
    WeatherReading,
)
from wringout.dossier.fields import (
    Angle,
    Count,
    Day,
    Deceleration,
    Fault,
    Flag,
    Length,
    Mass,
    Moment,
    Name,
    PositiveLength,
    PositiveMass,
    PositiveRatio,
    PositiveSpeed,
    Pressure,
    SignedTime,
    Speed,
    Table,
    Temperature,
    Text,
    Volume,
    reader,
    shown,
)
from wringout.dossier.hand_tables import ReadTable, TimesTable
from wringout.dossier.mark_tables import ManoeuvreTable, MarkTable, named_faults
from wringout.dossier.plan import FlightPlan
from wringout.dossier.plan_tables import PlanTable
from wringout.problems import InputError, Problem
from wringout.quantity.dimensions import Dimension
from wringout.quantity.text import parse
from wringout.quantity.units import find_unit
from wringout.recordings.mapping import ChannelColumn, ColumnMapping
from wringout.recordings.recording import CHANNELS


def _one_character(value: object) -> str:
    if not isinstance(value, str) or len(value) != 1 or value.isalnum() or value == '"':
        raise InputError(Problem(f"one mark is expected, found {shown(value)}", 'write it like "," or ";"'))
    return value


def _zone(value: object) -> str:
    if not isinstance(value, str) or not re.fullmatch(r"[+-](?:0[0-9]|1[0-4]):[0-5][0-9]", value):
        raise InputError(Problem(f"a time zone is expected, found {shown(value)}", 'write it like "+01:00"'))
    return value


Character = Annotated[str, reader(_one_character)]


def _offset(value: object) -> str:
    if not isinstance(value, str):
        raise InputError(Problem(f"a quantity is expected, found {shown(value)}", 'write it like "-3.5 °"'))
    return value


class ColumnTable(Table):
    column: Name
    unit: Name
    offset: Annotated[str, reader(_offset)] | None = None
    factor: PositiveRatio = 1.0

    def made(self, channel: str) -> ChannelColumn:
        """The column; InputError where its unit or its offset is not of the channel's kind."""
        dimension = CHANNELS[channel]
        unit = find_unit(self.unit, dimension)
        if self.offset is None:
            return ChannelColumn(self.column, self.unit, factor=self.factor)
        if dimension is Dimension.TEMPERATURE:
            dimension = Dimension.TEMPERATURE_DIFFERENCE
        return ChannelColumn(self.column, self.unit, parse(self.offset, dimension) / unit.factor, self.factor)


def rating_faults(rating: int | None) -> list[Fault]:
    """A rating outside of the ten-point scale."""
    if rating is None or 1 <= rating <= 10:
        return []
    problem = Problem(f"a rating lies between 1 and 10, found {rating}", "1 is best, 10 uncontrollable")
    return [(("rating",), problem)]


class RecordingTable(Table):
    path: Name
    clock_offset: SignedTime | None = None
    time_column: Name | None = None
    time_format: Literal["iso", "iso utc", "unix", "elapsed"] | None = None
    elapsed_start: Moment | None = None
    delimiter: Character = ","
    decimal: Character = "."
    header_row: Count = 1
    units_rows: Count = 0
    comment: Name | None = None
    zone: Annotated[str, reader(_zone)] | None = None
    missing: tuple[Name, ...] = ()
    track: Literal["true", "magnetic"] = "true"
    columns: dict[str, ColumnTable] | None = None

    def faults(self) -> tuple[Fault, ...]:
        if self.columns is None:
            return tuple(
                (
                    (key,),
                    Problem("says nothing without [recording.columns]", "add the columns, or remove this"),
                )
                for key in ("time_column", "time_format", "elapsed_start", "zone")
                if getattr(self, key) is not None
            )
        return tuple(self._column_faults(self.columns)) + tuple(self._time_faults())

    def _time_faults(self) -> list[Fault]:
        found: list[Fault] = []
        for key, example in (("time_column", "Time"), ("time_format", "iso utc")):
            if getattr(self, key) is None:
                found.append(
                    (("columns",), Problem(f"'{key}' is missing", f'add it, like {key} = "{example}"'))
                )
        if (self.time_format == "elapsed") != (self.elapsed_start is not None) and self.time_format:
            what = (
                "an elapsed time needs the moment from which it counts"
                if self.elapsed_start is None
                else f"a time that is '{self.time_format}' does not count from a start"
            )
            mend = 'elapsed_start = 2026-05-12T09:30:00+01:00 goes with time_format = "elapsed" and no other'
            found.append((("time_format",), Problem(what, mend)))
        if self.delimiter == self.decimal:
            found.append(
                (
                    ("decimal",),
                    Problem("the decimal mark separates the columns too", "write both as in the file"),
                )
            )
        if self.header_row == 0:
            found.append(
                (("header_row",), Problem("rows count from 1", "write the row with the column names"))
            )
        return found

    def _column_faults(self, columns: dict[str, ColumnTable]) -> list[Fault]:
        from wringout.airplane.lookups import unknown_name

        found: list[Fault] = []
        if not columns:
            found.append((("columns",), Problem("no column is named", "name at least one channel")))
        for channel, column in columns.items():
            if channel not in CHANNELS:
                found.append((("columns", channel), unknown_name("channel", channel, list(CHANNELS))))
                continue
            try:
                find_unit(column.unit, CHANNELS[channel])
            except InputError as error:
                found += [(("columns", channel, "unit"), problem) for problem in error.problems]
                continue
            try:
                column.made(channel)
            except InputError as error:
                found += [(("columns", channel, "offset"), problem) for problem in error.problems]
        return found

    def made(self) -> RecordingRef:
        return RecordingRef(self.path, self._mapping(), self.clock_offset)

    def _mapping(self) -> ColumnMapping | None:
        if self.columns is None or self.time_column is None or self.time_format is None:
            return None
        return ColumnMapping(
            time_column=self.time_column,
            time_format=self.time_format,
            channels={channel: column.made(channel) for channel, column in self.columns.items()},
            elapsed_start=None if self.elapsed_start is None else self.elapsed_start.isoformat(),
            delimiter=self.delimiter,
            decimal=self.decimal,
            header_row=self.header_row,
            units_rows=self.units_rows,
            comment=self.comment,
            zone=self.zone,
            missing=self.missing,
            track=self.track,
        )


class LoadingTable(Table):
    stations: dict[str, Mass]
    station_arms: dict[str, Length] | None = None
    fuel: dict[str, Volume]
    mass_sd: PositiveMass
    fuel_sd: Volume
    fuel_at_shutdown: dict[str, Volume] | None = None

    def made(self) -> CardLoading:
        return CardLoading(
            self.stations,
            self.station_arms or {},
            self.fuel,
            self.mass_sd,
            self.fuel_sd,
            self.fuel_at_shutdown,
        )


class WeatherTable(Table):
    time: Moment
    elevation: Length
    qnh: Pressure
    temperature: Temperature
    dew_point: Temperature | None = None
    wind_direction: Angle
    wind_speed: Speed
    wind_speed_sd: Speed
    wind_height: PositiveLength

    def faults(self) -> tuple[Fault, ...]:
        found: list[Fault] = []
        if not 850e2 <= self.qnh <= 1100e2:
            what = f"an altimeter setting of {self.qnh / 100:.0f} hPa does not occur"
            found.append((("qnh",), Problem(what, "write the QNH, not the pressure at the field")))
        if self.dew_point is not None and self.dew_point > self.temperature + 1e-9:
            found.append(
                (("dew_point",), Problem("is above the temperature", "exchange the two, or check them"))
            )
        if not -60 <= self.temperature - 273.15 <= 60:
            what = f"an air temperature of {self.temperature - 273.15:.0f} °C does not occur"
            found.append((("temperature",), Problem(what, "check the number and its unit")))
        return tuple(found)

    def made(self) -> WeatherReading:
        return WeatherReading(
            self.time,
            self.elevation,
            self.qnh,
            self.temperature,
            self.dew_point,
            self.wind_direction,
            self.wind_speed,
            self.wind_speed_sd,
            self.wind_height,
        )


class PointTable(Table):
    id: Name
    kind: PointKind
    flap: Name
    power: Literal["full", "idle", "part"]
    target_speed: PositiveSpeed | None = None
    technique: Name | None = None
    strip: Name | None = None
    start: Moment | None = None
    end: Moment | None = None
    note: Text = ""
    order: Count | None = None
    speed_tolerance: PositiveSpeed | None = None
    height_tolerance: PositiveLength | None = None
    height_band: tuple[Length, Length] | None = None
    entry_rate: Deceleration | None = None
    flown: Flag = True
    rating: Count | None = None
    read: ReadTable | None = None

    def faults(self) -> tuple[Fault, ...]:
        found: list[Fault] = []
        if self.height_band is not None and self.height_band[0] >= self.height_band[1]:
            problem = Problem("the upper height is not above the lower", "write the lower first")
            found.append((("height_band",), problem))
        if self.entry_rate is not None and self.kind != "stall":
            problem = Problem(f"a {self.kind} has no entry rate", "remove it, or make the kind a stall")
            found.append((("entry_rate",), problem))
        found += rating_faults(self.rating)
        if not self.flown and (self.rating or self.read):
            problem = Problem("it was not flown, yet was rated or read", "remove that, or flown = false")
            found.append((("flown",), problem))
        if not self.flown and (self.start is not None or self.end is not None):
            problem = Problem(
                "it was not flown, yet has a time", "remove its start and end, or flown = false"
            )
            found.append((("flown",), problem))
        if self.start is not None and self.end is not None and self.end <= self.start:
            found.append((("end",), Problem("is not after its start", "exchange the two, or check them")))
        if self.kind in ("take-off", "landing") and self.technique is None:
            mend = 'name how it was flown, like technique = "short field"'
            found.append((("technique",), Problem(f"a {self.kind} needs its technique", mend)))
        return tuple(found)

    def made(self) -> CardPoint:
        return CardPoint(
            self.id,
            self.kind,
            self.flap,
            self.power,
            self.target_speed,
            self.technique,
            self.strip,
            self.start,
            self.end,
            self.note,
            self.order,
            self.speed_tolerance,
            self.height_tolerance,
            self.height_band,
            self.entry_rate,
            self.flown,
            self.rating,
            None if self.read is None else self.read.made(),
        )


class RatingTable(Table):
    task: Name
    rating: Count | None = None
    note: Text = ""

    def faults(self) -> tuple[Fault, ...]:
        return tuple(rating_faults(self.rating))

    def made(self) -> Rating:
        return Rating(self.task, self.rating, self.note)


class CardFile(Table):
    title: Name
    day: Day
    pilot: Name
    configuration: Name
    height_reference: Literal["mean sea level", "ellipsoid", "unknown"] = "unknown"
    notes: Text = ""
    plan: PlanTable | None = None
    times: TimesTable | None = None
    recording: tuple[RecordingTable, ...] = ()
    loading: LoadingTable
    weather: tuple[WeatherTable, ...] = ()
    point: tuple[PointTable, ...] = ()
    mark: tuple[MarkTable, ...] = ()
    manoeuvre: tuple[ManoeuvreTable, ...] = ()
    camera: tuple[CameraTable, ...] = ()
    rating: tuple[RatingTable, ...] = ()

    def faults(self) -> tuple[Fault, ...]:
        kinds = {point.id: point.kind for point in self.point}
        found = kind_faults(self.camera, dict(kinds)) + named_faults(self.manoeuvre, kinds)
        found += self._unflown()
        flown = self.recording or self.camera or any(point.start for point in self.point)
        if flown and not self.weather:
            mend = "add [[weather]] with QNH, temperature and wind: densities follow from it"
            found.append(((), Problem("a flown card has no weather reading", mend)))
        return tuple(found)

    def _unflown(self) -> list[Fault]:
        """What speaks of a point that was not flown."""
        unflown = {point.id for point in self.point if not point.flown}
        spoken: tuple[tuple[str, int, str | None], ...] = (
            *(("mark", i, item.point) for i, item in enumerate(self.mark)),
            *(("manoeuvre", i, item.point) for i, item in enumerate(self.manoeuvre)),
            *(("camera", i, item.point) for i, item in enumerate(self.camera)),
        )
        return [
            (
                (key, i, "point"),
                Problem(f"'{point}' was not flown", "correct the point, or remove flown = false"),
            )
            for key, i, point in spoken
            if point in unflown
        ]

    def made(self, name: str) -> Card:
        return Card(
            name=name,
            title=self.title,
            day=self.day,
            pilot=self.pilot,
            configuration=self.configuration,
            recordings=tuple(item.made() for item in self.recording),
            loading=self.loading.made(),
            weather=tuple(item.made() for item in self.weather),
            points=tuple(item.made() for item in self.point),
            marks=tuple(item.made() for item in self.mark),
            ratings=tuple(item.made() for item in self.rating),
            notes=self.notes,
            height_reference=self.height_reference,
            cameras=tuple(item.made() for item in self.camera),
            manoeuvres=tuple(item.made() for item in self.manoeuvre),
            times=FlightTimes() if self.times is None else self.times.made(),
            plan=FlightPlan() if self.plan is None else self.plan.made(),
        )
