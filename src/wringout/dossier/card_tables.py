"""The tables of a test card, and the card that they make."""

from __future__ import annotations

import math
from typing import Literal

from wringout.dossier.camera_tables import CameraTable, kind_faults
from wringout.dossier.card import (
    AimLine,
    Card,
    CardLoading,
    CardPoint,
    FlightTimes,
    PointKind,
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
    PositiveSpeed,
    Pressure,
    Speed,
    Table,
    Temperature,
    Text,
    Volume,
)
from wringout.dossier.hand_tables import ReadTable, TimesTable
from wringout.dossier.handling import HandlingNotes
from wringout.dossier.handling_tables import (
    ImpressionTable,
    RatingTable,
    SpringScaleTable,
    StallNoteTable,
    StickForceTable,
    TrimChangeTable,
    rating_faults,
)
from wringout.dossier.mark_tables import ManoeuvreTable, MarkTable, mark_faults, named_faults
from wringout.dossier.plan import FlightPlan
from wringout.dossier.plan_tables import PlanTable
from wringout.dossier.recording_tables import RecordingTable
from wringout.problems import Problem


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


class AimTable(Table):
    latitude: Angle
    longitude: Angle

    def faults(self) -> tuple[Fault, ...]:
        found: list[Fault] = []
        for key, most in (("latitude", 90.0), ("longitude", 180.0)):
            if abs(getattr(self, key)) > math.radians(most) + 1e-9:
                problem = Problem(f"there is no {key} beyond {most:.0f}°", "check the number and its unit")
                found.append(((key,), problem))
        return tuple(found)

    def made(self) -> AimLine:
        return AimLine(self.latitude, self.longitude)


class CardFile(Table):
    title: Name
    day: Day
    pilot: Name
    configuration: Name
    height_reference: Literal["mean sea level", "ellipsoid", "unknown"] = "unknown"
    notes: Text = ""
    plan: PlanTable | None = None
    times: TimesTable | None = None
    aim: AimTable | None = None
    recording: tuple[RecordingTable, ...] = ()
    loading: LoadingTable
    weather: tuple[WeatherTable, ...] = ()
    point: tuple[PointTable, ...] = ()
    mark: tuple[MarkTable, ...] = ()
    manoeuvre: tuple[ManoeuvreTable, ...] = ()
    camera: tuple[CameraTable, ...] = ()
    rating: tuple[RatingTable, ...] = ()
    spring_scale: SpringScaleTable | None = None
    stick_force: tuple[StickForceTable, ...] = ()
    trim_change: tuple[TrimChangeTable, ...] = ()
    stall_note: tuple[StallNoteTable, ...] = ()
    impression: tuple[ImpressionTable, ...] = ()

    def faults(self) -> tuple[Fault, ...]:
        kinds = {point.id: point.kind for point in self.point}
        found = kind_faults(self.camera, dict(kinds)) + named_faults(self.manoeuvre, kinds)
        found += mark_faults(self.mark, kinds) + self._unflown()
        if self.spring_scale is None:
            found += self._unscaled()
        flown = self.recording or self.camera or any(point.start for point in self.point)
        if flown and not self.weather:
            mend = "add [[weather]] with QNH, temperature and wind: densities follow from it"
            found.append(((), Problem("a flown card has no weather reading", mend)))
        return tuple(found)

    def _unscaled(self) -> list[Fault]:
        """The first force, where no scale says what a reading leaves open."""
        forces = [("stick_force", i) for i, _ in enumerate(self.stick_force)]
        forces += [("trim_change", i) for i, item in enumerate(self.trim_change) if item.force is not None]
        mend = 'add [spring_scale] with its smallest step, like resolution = "1 N"'
        problem = Problem("a force stands here and the card has no spring scale", mend)
        return [((*place, "force"), problem) for place in forces[:1]]

    def _unflown(self) -> list[Fault]:
        """What speaks of a point that was not flown."""
        unflown = {point.id for point in self.point if not point.flown}
        spoken: tuple[tuple[str, int, str | None], ...] = (
            *(("mark", i, item.point) for i, item in enumerate(self.mark)),
            *(("manoeuvre", i, item.point) for i, item in enumerate(self.manoeuvre)),
            *(("camera", i, item.point) for i, item in enumerate(self.camera)),
            *(("stall_note", i, item.point) for i, item in enumerate(self.stall_note)),
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
            aim=None if self.aim is None else self.aim.made(),
            handling=HandlingNotes(
                None if self.spring_scale is None else self.spring_scale.resolution,
                tuple(item.made() for item in self.stick_force),
                tuple(item.made() for item in self.trim_change),
                tuple(item.made() for item in self.stall_note),
                tuple(item.made() for item in self.impression),
            ),
        )
