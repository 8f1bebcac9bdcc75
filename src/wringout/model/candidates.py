"""The points that could be flown next: every kind at usual speeds and heights, within the limits."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from string import ascii_lowercase
from typing import Literal

import numpy as np

from wringout.airplane.airplane import Airplane, FlapSetting
from wringout.airplane.lookups import configuration_envelope
from wringout.dossier.dossier import Strip
from wringout.dossier.plan import MINIMUM_STALL_HEIGHT
from wringout.model.expected_uncertainty import absolute_sd, logged, relative_sd
from wringout.model.fit import Fit
from wringout.model.prediction import predict
from wringout.model.question import Question
from wringout.model.surfaces import table_name
from wringout.physics.airspeed import calibrated_from_true, true_from_calibrated
from wringout.physics.atmosphere import air_density, standard_pressure, standard_temperature
from wringout.problems import InputError, Problem
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.quantity.showing import show
from wringout.reduction.points import (
    ClimbPoint,
    Conditions,
    LandingPoint,
    LevelPoint,
    Origin,
    Points,
    StallPoint,
    TakeoffPoint,
)

CARD = "next flight"
# How often one point is offered: a circuit is soon flown again, and landings scatter most.
REPEATS = {"stall": 4, "level": 4, "climb": 3, "glide": 3, "take-off": 8, "landing": 8}
# Flight time of one point with its set-up, and standard uncertainties that logs as a rule give, until the
# flights so far say how well theirs were known; common practice, no source.
MINUTES = {"stall": 2.0, "level": 5.0, "climb": 4.0, "glide": 4.0, "take-off": 4.0, "landing": 4.0}
SPEED_SD, TRUE_SPEED_SD, RATE_SD, POWER_SD, FLOW_SD = 0.4, 0.3, 0.1, 0.03, 0.02
ROLL_SD, WIND_SD, SLOPE_SD, MASS_SD = 0.03, 0.7, 0.003, 0.005
POWER, FLOW = "power for level flight", "fuel flow"
RATES = {"climb": "rate of climb", "glide": "rate of climb, idle"}
LEVEL_FIGURES = (POWER, FLOW, "true airspeed at full throttle")
HEIGHTS = (600.0, 1500.0, 2500.0)  # m
LEAST_HEIGHT = 300.0  # m above the ground for what is flown level; common practice, no source
STALL_LOSS = 150.0  # m that a stall may lose above the least height of recovery, likewise
RATIOS = (1.3, 1.5, 1.75, 2.05)  # of the stall speed with flaps up, for climbs and glides
OF_NEVER_EXCEED = 0.9
STALL_MARGIN = 1.2
CLIMBS: tuple[tuple[Literal["climb", "glide"], Literal["full", "idle"]], ...] = (
    ("climb", "full"),
    ("glide", "idle"),
)


Kind = Literal["stall", "level", "climb", "glide", "take-off", "landing"]
KINDS: tuple[Kind, ...] = ("level", "climb", "glide", "stall", "take-off", "landing")
Point = StallPoint | LevelPoint | ClimbPoint | TakeoffPoint | LandingPoint
Offered = Iterator[tuple["Candidate", Point]]


@dataclass(frozen=True, slots=True)
class Candidate:
    """One point that could be flown: what to do, its flight time [s], and its origin in `Points`.

    `speed` is calibrated [m/s], `height` a pressure altitude [m]; None where the kind leaves them open.
    """

    origin: Origin
    kind: Kind
    flap: str
    time: float
    power: Literal["full", "part", "idle"] | None = None
    speed: float | None = None
    height: float | None = None
    technique: str | None = None
    strip: str | None = None


@dataclass(frozen=True, slots=True)
class Limits:
    """What the next flight keeps to: take-off mass [kg], highest pressure altitude [m], kinds of point.

    `mass` None is the heaviest that was flown so, or the maximum take-off mass; `highest` None leaves the
    height open.
    """

    mass: float | None = None
    highest: float | None = None
    kinds: tuple[Kind, ...] = KINDS


@dataclass(frozen=True, slots=True)
class Menu:
    """All candidates: as points with the figures and uncertainties to be expected of them, and what to do."""

    points: Points
    candidates: tuple[Candidate, ...]


def candidates(
    airplane: Airplane, fit: Fit, strips: Sequence[Strip], configuration: str, limits: Limits | None = None
) -> Menu:
    """Points of every kind that a configuration could fly, each a few times.

    Parameters
    ----------
    airplane : Airplane
    fit : Fit
        Techniques and surfaces that have parameters, and what is known of the speeds.
    strips : sequence of Strip
        Where take-offs and landings could be made; where there is none, at sea level on the surfaces known.
    configuration : str
    limits : Limits, optional

    Returns
    -------
    Menu
        Stalls in every flap setting, level legs at part and full power, climbs and glides at four speeds and
        three heights above the lowest strip, take-offs and landings with every technique. Speeds keep above
        1.2 times the stall and below nine tenths of the never-exceed speed and the flap's limit; stalls are
        offered where they can be recovered high enough above ground.

    Raises
    ------
    InputError
        As `predict`; the limits leave no height to fly at.
    """
    limits = limits or Limits()
    flown = [row.mass[1] for row in fit.flown if row.configuration == configuration]
    heaviest = max(flown, default=configuration_envelope(airplane, configuration).maximum_takeoff_mass)
    heavy = limits.mass or heaviest
    ground = min((strip.elevation for strip in strips), default=0.0)
    top = np.inf if limits.highest is None else limits.highest
    if top < ground + LEAST_HEIGHT:
        raise InputError(
            Problem(
                "the highest pressure altitude leaves no room above the strip",
                f"give at least {show(ground + LEAST_HEIGHT, fit.height_unit, digits=0)}",
                field="highest",
            )
        )
    heights = tuple(ground + height for height in HEIGHTS if ground + height <= top) or (top,)
    made = _Maker(airplane, fit, configuration, heavy, heights, ground)
    every_kind = [*made.stalls(), *made.levels(), *made.climbs(), *made.field(strips)]
    offered = [item for item in every_kind if item[0].kind in limits.kinds]
    every: list[Point] = []
    listed: list[Candidate] = []
    for number, (candidate, point) in enumerate(offered):
        for repeat in range(REPEATS[candidate.kind]):
            origin = Origin(CARD, f"{number + 1}{ascii_lowercase[repeat]}", "", 0.0, 0.0)
            every.append(replace(point, origin=origin))
            listed.append(replace(candidate, origin=origin))
    points = Points(
        stalls=tuple(point for point in every if isinstance(point, StallPoint)),
        levels=tuple(point for point in every if isinstance(point, LevelPoint)),
        climbs=tuple(point for point in every if isinstance(point, ClimbPoint)),
        takeoffs=tuple(point for point in every if isinstance(point, TakeoffPoint)),
        landings=tuple(point for point in every if isinstance(point, LandingPoint)),
        position_error=(),
        winds=(),
        left_out=(),
    )
    return Menu(points, tuple(listed))


NOWHERE = Origin(CARD, "", "", 0.0, 0.0)


@dataclass(frozen=True, slots=True)
class _Maker:
    airplane: Airplane
    fit: Fit
    configuration: str
    mass: float
    heights: tuple[float, ...]
    ground: float

    @property
    def middle(self) -> float:
        """Where what is flown at one height alone is flown [m]."""
        return self.heights[len(self.heights) // 2]

    def ask(self, question: Question) -> float:
        return predict(self.airplane, self.fit, question).estimate.value

    def stall_speed(self, flap: FlapSetting) -> float:
        return self.ask(Question("stall speed", self.configuration, self.mass, flap=flap.name))

    def conditions(self, flap: FlapSetting, height: float) -> Conditions:
        pressure, temperature = float(standard_pressure(height)), float(standard_temperature(height))
        density = float(air_density(pressure, temperature))
        return Conditions(
            self.configuration,
            flap.name,
            _about(self.mass, MASS_SD * self.mass, Dimension.MASS),
            self._centre(),
            _about(pressure, 60.0, Dimension.PRESSURE),
            _about(temperature, 1.0, Dimension.TEMPERATURE),
            _about(density, 0.004 * density, Dimension.DENSITY),
        )

    def _centre(self) -> float:
        """Where the CG lay in what was flown so; the middle of the envelope where nothing was."""
        rows = [row for row in self.fit.flown if row.configuration == self.configuration]
        if rows:
            return float(np.average([row.cg for row in rows], weights=[row.count for row in rows]))
        arms = [arm for arm, _ in configuration_envelope(self.airplane, self.configuration).vertices]
        return 0.5 * (min(arms) + max(arms))

    def expected(self, what: str, value: float, share: float, dimension: Dimension) -> Estimate:
        """A figure as well known as such figures were in the flights so far, or to a share of it."""
        return _about(value, value * relative_sd(self.fit, what, share), dimension)

    def stalls(self) -> Offered:
        if self.middle < self.ground + MINIMUM_STALL_HEIGHT + STALL_LOSS:
            return
        for flap in self.airplane.flaps:
            slow = self.stall_speed(flap)
            yield (
                _offer("stall", flap, power="idle", height=self.middle),
                StallPoint(
                    NOWHERE,
                    self.conditions(flap, self.middle),
                    self.expected("stall speed", slow, SPEED_SD / slow, Dimension.SPEED),
                    _about(0.5, 0.1, Dimension.ACCELERATION),
                    None,
                ),
            )

    def levels(self) -> Offered:
        up = self.airplane.flaps[0]
        slow = self.stall_speed(up)
        for height in self.heights:
            question = Question(
                "full-throttle speed", self.configuration, self.mass, pressure_altitude=height
            )
            fast = self.ask(question)
            if np.isfinite(fast) and self._calibrated(fast, height) <= self._fastest(up):
                yield (
                    _offer("level", up, power="full", height=height),
                    self._level(up, height, fast, True),
                )
        fast = self.ask(
            Question("full-throttle speed", self.configuration, self.mass, pressure_altitude=self.middle)
        )
        top = min(self._calibrated(fast, self.middle), self._fastest(up)) if np.isfinite(fast) else 2 * slow
        for share in (0.0, 0.33, 0.67, 0.92):
            calibrated = STALL_MARGIN * slow + share * (top - STALL_MARGIN * slow)
            true = self._true(calibrated, self.middle)
            yield (
                _offer("level", up, power="part", speed=calibrated, height=self.middle),
                self._level(up, self.middle, true, False),
            )

    def _level(self, flap: FlapSetting, height: float, true: float, full: bool) -> LevelPoint:
        power, flow = 0.6 * self.airplane.engine.rated_power, 8e-6
        burns = self.airplane.engine.kind != "electric"
        return LevelPoint(
            NOWHERE,
            self.conditions(flap, height),
            self.expected("true airspeed at full throttle", true, TRUE_SPEED_SD / true, Dimension.SPEED),
            _about(self._calibrated(true, height), TRUE_SPEED_SD, Dimension.SPEED),
            None,
            None
            if full or not logged(self.fit, POWER, LEVEL_FIGURES)
            else self.expected(POWER, power, POWER_SD, Dimension.POWER),
            _about(flow, FLOW_SD * flow, Dimension.VOLUME_FLOW)
            if burns and logged(self.fit, FLOW, LEVEL_FIGURES)
            else None,
            full,
        )

    def climbs(self) -> Offered:
        up = self.airplane.flaps[0]
        slow = self.stall_speed(up)
        for height in self.heights:
            for ratio in RATIOS:
                calibrated = ratio * slow
                if calibrated > self._fastest(up):
                    continue
                true = self._true(calibrated, height)
                for kind, power in CLIMBS:
                    yield (
                        _offer(kind, up, power=power, speed=calibrated, height=height),
                        ClimbPoint(
                            NOWHERE,
                            self.conditions(up, height),
                            power,
                            _about(true, TRUE_SPEED_SD, Dimension.SPEED),
                            _about(3.0, absolute_sd(self.fit, RATES[kind], RATE_SD), Dimension.SPEED),
                        ),
                    )

    def field(self, strips: Sequence[Strip]) -> Offered:
        known = {result.parameter.name.partition(": ")[::2] for result in self.fit.parameters}
        surfaces = {table_name(rest): rest for stem, rest in known if stem == "rolling friction"}
        # Where nobody rolled yet the surface goes by the strip's own word for it.
        grounds: Sequence[tuple[str | None, float, float, str]] = [
            (strip.name, strip.elevation, strip.slope, surfaces.get(table_name(strip.surface), strip.surface))
            for strip in strips
        ]
        if not strips:
            grounds = [(None, 0.0, 0.0, surface) for surface in surfaces.values()]
        flaps = self.airplane.flaps
        runs: tuple[tuple[str, Kind, Sequence[FlapSetting]], ...] = (
            ("lift-off speed ratio", "take-off", flaps[1:2] or flaps),
            ("touchdown speed ratio", "landing", flaps[-1:]),
        )
        for stem, kind, settings in runs:
            for technique in sorted(rest for found, rest in known if found == stem):
                flown = [
                    row.flap for row in self.fit.flown if row.kind == kind and row.technique == technique
                ]
                flap = next((item for item in flaps if item.name in flown), settings[0])
                for where, elevation, slope, surface in grounds:
                    yield (
                        _offer(kind, flap, technique=technique, strip=where),
                        self._run(kind, technique, self.conditions(flap, elevation), slope, surface),
                    )

    def _run(
        self, kind: str, technique: str, state: Conditions, slope: float, surface: str
    ) -> TakeoffPoint | LandingPoint:
        length, speed, ratio = Dimension.LENGTH, Dimension.SPEED, Dimension.SLOPE
        steep, wind = _about(slope, SLOPE_SD, ratio), _about(0.0, WIND_SD, speed)
        slow_word, fast_word = (
            ("lift-off speed", "speed at the obstacle")
            if kind == "take-off"
            else ("touchdown speed", "approach speed")
        )
        roll = self.expected(f"{kind} ground roll", 100.0, ROLL_SD, length)
        flown = self.expected(f"{kind} air distance", 200.0, ROLL_SD, length)
        slow = self.expected(slow_word, 25.0, SPEED_SD / 25.0, speed)
        fast = self.expected(fast_word, 28.0, SPEED_SD / 28.0, speed)
        pilots = self.fit.pilots.get(kind, ())
        pilot = pilots[0] if pilots else ""
        if kind == "take-off":
            return TakeoffPoint(
                NOWHERE, state, technique, pilot, surface, steep, wind, roll, flown, slow, fast, None
            )
        return LandingPoint(
            NOWHERE,
            state,
            technique,
            pilot,
            surface,
            steep,
            wind,
            fast,
            slow,
            flown,
            roll,
            _about(0.25, 0.02, Dimension.RATIO),
            None,
        )

    def _fastest(self, flap: FlapSetting) -> float:
        never = self.airplane.never_exceed_speed
        limits = [speed for speed in (never and OF_NEVER_EXCEED * never, flap.limit_speed) if speed]
        return min(limits, default=np.inf)

    def _calibrated(self, true: float, height: float) -> float:
        return float(calibrated_from_true(true, standard_pressure(height), standard_temperature(height)))

    def _true(self, calibrated: float, height: float) -> float:
        return float(
            true_from_calibrated(calibrated, standard_pressure(height), standard_temperature(height))
        )


def _offer(
    kind: Kind,
    flap: FlapSetting,
    *,
    power: Literal["full", "part", "idle"] | None = None,
    speed: float | None = None,
    height: float | None = None,
    technique: str | None = None,
    strip: str | None = None,
) -> Candidate:
    time = 60.0 * MINUTES[kind]
    return Candidate(NOWHERE, kind, flap.name, time, power, speed, height, technique, strip)


def _about(value: float, sd: float, dimension: Dimension) -> Estimate:
    return Estimate(value, sd, dimension, "to be expected")
