"""A flight with known truth: a point mass that does what the test says, seen by a receiver with faults."""

from dataclasses import dataclass, field
from datetime import UTC, datetime

import numpy as np

from wringout.recordings import Recording
from wringout.recordings.recording import FloatArray

TICK = 0.02  # s of the flight
METRES_A_RADIAN = 6_371_000.0
LATITUDE, LONGITUDE = np.radians(54.0), np.radians(-2.5)
STALL_SPEED = 22.0
GRAVITY = 9.80665


@dataclass
class Flight:
    """What was flown so far; `events` has the true moments [s], `distances` the true lengths [m] in order."""

    wind_east: float = 0.0
    wind_north: float = 0.0
    speed: float = 0.0  # over the ground while rolling, through the air while flying
    course: float = 0.0
    height: float = 100.0
    slope: float = 0.0
    flying: bool = False
    rows: list[tuple[float, float, float, float]] = field(
        default_factory=list
    )  # east, north, height, airspeed
    place: tuple[float, float] = (0.0, 0.0)
    events: dict[str, list[float]] = field(default_factory=dict)
    distances: dict[str, list[float]] = field(default_factory=dict)

    @property
    def time(self) -> float:
        """Seconds flown."""
        return len(self.rows) * TICK

    def note(self, event: str) -> None:
        """The present moment is this event's."""
        self.events.setdefault(event, []).append(self.time)

    def step(self, rate_of_climb: float) -> float:
        """One tick; the distance covered over the ground."""
        east = self.speed * np.sin(self.course)
        north = self.speed * np.cos(self.course)
        airspeed = self.speed
        if self.flying:
            east, north = east + self.wind_east, north + self.wind_north
        else:
            ahead = self.wind_east * np.sin(self.course) + self.wind_north * np.cos(self.course)
            airspeed = max(self.speed - ahead, 0.0)
        self.place = (self.place[0] + east * TICK, self.place[1] + north * TICK)
        self.height += rate_of_climb * TICK
        self.rows.append((*self.place, self.height, airspeed))
        return float(np.hypot(east, north)) * TICK

    def stand(self, seconds: float) -> None:
        """Engine running, wheels still."""
        self.speed = 0.0
        for _ in range(round(seconds / TICK)):
            self.step(0.0)

    def taxi(self, seconds: float, speed: float = 4.0) -> None:
        """Straight on at a taxi speed."""
        self.speed = speed
        for _ in range(round(seconds / TICK)):
            self.step(self.speed * self.slope)

    def take_off(
        self,
        *,
        push: float = 2.6,
        lift_off: float = 26.0,
        bend: float = 2.5,
        climb: float = 4.0,
        until: float = 60.0,
        fade: float = 55.0,
    ) -> None:
        """Roll with an acceleration that fades with V², lift off, bend off the strip into a climb; no wind.

        The obstacle is noted above the strip's plane beneath, which goes on with its slope.
        """
        self.note("start of roll")
        roll = air = 0.0
        while self.speed < lift_off:
            self.speed += push * (1 - (self.speed / fade) ** 2) * TICK
            roll += self.step(self.speed * self.slope)
        self.note("lift-off")
        strip, plane, since, reached = self.height, self.height, 0.0, False
        self.flying = True
        while self.height < strip + until:
            since += TICK
            self.speed += (0.8 if self.speed < 1.35 * lift_off else 0.0) * TICK
            along, bent = self.speed * self.slope, min(since / bend, 1.0)
            covered = self.step(along + (climb - along) * bent)
            plane += covered * self.slope
            if not reached:
                air += covered
            if not reached and self.height > plane + 15.24:
                reached = True
                self.note("take-off obstacle")
        self.distances.setdefault("ground roll", []).append(roll)
        self.distances.setdefault("air distance", []).append(air)

    def fly(self, seconds: float, *, climb: float = 0.0, speed_rate: float = 0.0, turn: float = 0.0) -> None:
        """Steady flight: rates of climb [m/s], of speed [m/s²] and of turn [rad/s]."""
        for _ in range(round(seconds / TICK)):
            self.speed += speed_rate * TICK
            self.course += turn * TICK
            self.step(climb)

    def to_speed(self, speed: float, rate: float = 0.6) -> None:
        """Level, until the speed is reached."""
        self.fly(abs(speed - self.speed) / rate, speed_rate=float(np.sign(speed - self.speed)) * rate)

    def stall(self, least: float, entry: float = 0.5) -> None:
        """Slow at a rate to the least speed, break, sink, recover."""
        self.fly((self.speed - least) / entry, speed_rate=-entry)
        self.note("break")
        self.distances.setdefault("least speed", []).append(self.speed)
        self.fly(3.0, climb=-7.0, speed_rate=2.0)
        self.fly(4.0, climb=-3.0, speed_rate=1.5)
        self.fly(6.0, climb=1.0, speed_rate=0.5)

    def land(
        self,
        strip: float,
        *,
        sink: float = 2.0,
        bend: float = 2.0,
        slow_in_flare: float = 0.8,
        braking: float = 2.0,
        until: float = 0.0,
        coasting: float = 0.0,
    ) -> None:
        """Approach to a strip at a height, flare to a soft touch, coast some seconds, brake to a speed."""
        flare = sink * bend / 2
        air, below = 0.0, False
        while self.height > strip + flare:
            covered = self.step(-sink)
            if not below and self.height < strip + 15.24:
                below = True
                self.note("landing obstacle")
            air += covered if below else 0.0
        since = 0.0
        while since < bend:
            since += TICK
            self.speed -= slow_in_flare * TICK
            air += self.step(-sink * (1 - since / bend))
        self.note("touchdown")
        self.flying = False
        self.height = strip
        self.distances.setdefault("landing air distance", []).append(air)
        self.distances.setdefault("touchdown speed", []).append(self.speed)
        roll, braked = 0.0, self.time + coasting
        while self.speed > max(until, braking * TICK):
            self.speed -= (braking if self.time >= braked else slow_in_flare) * TICK
            roll += self.step(self.speed * self.slope)
        self.note("full stop")
        self.distances.setdefault("landing roll", []).append(roll)

    def touch_and_go(self, strip: float, *, sink: float = 2.0, rolling: float = 6.0) -> None:
        """Approach, touch, roll on slowing a little, and take off again."""
        while self.height > strip + sink:
            self.step(-sink)
        since = 0.0
        while since < 2.0:
            since += TICK
            self.speed -= 0.8 * TICK
            self.step(-sink * (1 - since / 2.0))
        self.note("touchdown")
        self.flying, self.height = False, strip
        for _ in range(round(rolling / TICK)):
            self.speed -= 0.5 * TICK
            self.step(0.0)
        self.take_off(push=3.0, lift_off=25.0)
        self.events["start of roll"].pop()
        self.distances["ground roll"].pop()

    def recorded(
        self,
        generator: np.random.Generator,
        *,
        step: float = 0.2,
        jitter: float = 0.3,
        height_jitter: float = 0.3,
        height_wander: float = 0.15,
        airspeed: bool = True,
        from_time: float = 0.0,
    ) -> Recording:
        """What a receiver and an airspeed indicator make of it."""
        every = round(step / TICK)
        rows = np.array(self.rows)[::every]
        time = np.arange(len(rows)) * step
        keep = time >= from_time
        rows, time = rows[keep], time[keep] - time[keep][0]
        count = len(time)
        east, north = (rows[:, k] + generator.normal(0.0, jitter, count) for k in (0, 1))
        drift: FloatArray = np.cumsum(generator.normal(0.0, height_wander * np.sqrt(step), count))
        channels = {
            "latitude": LATITUDE + north / METRES_A_RADIAN,
            "longitude": LONGITUDE + east / (METRES_A_RADIAN * np.cos(LATITUDE)),
            "height": rows[:, 2] + drift + generator.normal(0.0, height_jitter, count),
        }
        if airspeed:
            channels["indicated_airspeed"] = np.round(rows[:, 3] + generator.normal(0.0, 0.15, count), 1)
        return Recording(
            "flight.gpx", datetime(2026, 5, 2, 8, tzinfo=UTC), time, channels, (), (("flight.gpx", "0"),)
        )


def circuit(flight: Flight, strip: float = 100.0) -> None:
    """From the climb-out round to a final approach on the strip's heading, level at 250 m above it."""
    flight.fly((strip + 250.0 - flight.height) / 4.0, climb=4.0)
    flight.to_speed(38.0)
    for leg in (15.0, 120.0, 15.0, 5.0):
        flight.fly(12.0, turn=np.radians(7.5))
        flight.fly(leg)
    flight.to_speed(30.0)
