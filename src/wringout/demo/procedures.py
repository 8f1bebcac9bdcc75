"""What the pilot does in the air: legs, climbs, glides, stalls and circuits, noted as on the card."""

from dataclasses import dataclass, field
from math import radians

from wringout.demo.air import KNOT
from wringout.demo.camera import Film, FilmedEvent
from wringout.demo.craft import FINE_STEP, Craft, Noise, Runway
from wringout.demo.engine import IDLE_MANIFOLD, INCH_OF_MERCURY
from wringout.demo.ground import LandingFlown, TakeOffFlown, approach_and_land, stand, take_off, taxi
from wringout.demo.pilot import (
    Habits,
    LandingTechnique,
    TakeOffTechnique,
    ask_path,
    follow_line,
    head_for,
    hold_heading,
    hold_height,
    hold_speed,
    hold_speed_with_power,
    scattered_landing,
    scattered_take_off,
)

CRUISE = 10  # ticks of FINE_STEP where nothing is measured by the tenth of a second
COARSE = 5
CIRCUIT_HEIGHT = 150.0
CIRCUIT_WIDTH = 850.0
REACTION = (0.25, 0.15)  # s, mean and sd of the observer's hand at what comes unannounced, …
CALL = (0.10, 0.28)  # … and at wheels that he sees coming: he is early as well as late
REACTION_STATED_SD, CALL_STATED_SD = 0.4, 0.3  # s
OPEN = 300.0e3  # manifold pressure that no throttle reaches: fully open


@dataclass(frozen=True, slots=True)
class Noted:
    """A point as the card has it; times in seconds, target speed [m/s] calibrated."""

    id: str
    kind: str
    flap: float
    power: str
    start: float
    end: float
    target_speed: float | None = None
    technique: str | None = None
    on_strip: bool = False
    note: str = ""
    entry_rate: float | None = None  # asked for [kt/s]


@dataclass(frozen=True, slots=True)
class Marked:
    """A moment the observer marked; time in seconds."""

    time: float
    kind: str
    point: str
    time_sd: float
    note: str = ""


@dataclass(frozen=True, slots=True)
class StallFlown:
    """The true stall: time [s], equivalent airspeeds [m/s], entry rate [kt/s], flap [degrees], mass [kg]."""

    time: float
    break_speed: float
    least_speed: float
    entry_rate: float
    flap: float
    mass: float


@dataclass(slots=True)
class Outing:
    """One flight while it is flown: the airplane, the strip, and everything noted."""

    craft: Craft
    runway: Runway
    noise: Noise  # of people: technique and reactions
    habits: Habits
    noted: list[Noted] = field(default_factory=list)
    marked: list[Marked] = field(default_factory=list)
    take_offs: list[tuple[str, TakeOffFlown]] = field(default_factory=list)
    landings: list[tuple[str, LandingFlown]] = field(default_factory=list)
    stalls: list[tuple[str, StallFlown]] = field(default_factory=list)
    filmed: list[Film] = field(default_factory=list)

    def mark(self, time: float, kind: str, point: str, note: str = "") -> None:
        """Mark a moment as an observer with a button does."""
        foreseen = kind in ("lift-off", "touchdown")
        mean, sd = CALL if foreseen else REACTION
        stated = CALL_STATED_SD if foreseen else REACTION_STATED_SD
        self.marked.append(Marked(time + mean + sd * self.noise(), kind, point, stated, note))

    def film(self, point: str, *events: tuple[str, float]) -> None:
        """What the camera on the fence post sees: kinds and times, later judged frame by frame."""
        seen = tuple(FilmedEvent(kind, time, self.noise()) for kind, time in events)
        self.filmed.append(Film(point, seen))

    def fly_for(self, seconds: float, heading: float, height: float) -> None:
        """Fly level on a heading."""
        for _ in range(round(seconds / (CRUISE * FINE_STEP))):
            hold_heading(self.craft, heading)
            hold_height(self.craft, height)
            self.craft.fly(CRUISE)


def set_power(craft: Craft, manifold: float, engine_speed: float, leaned: bool) -> None:
    """Set manifold pressure [Pa], propeller speed [1/s] where there is a governor, and mixture."""
    craft.manifold_command = manifold
    craft.engine_speed_command = engine_speed
    craft.mixture = 1.0 if leaned else craft.machine.engine.rich


def measured_take_off(
    outing: Outing, point: str | None, technique: TakeOffTechnique, camera: bool = False
) -> None:
    """Take off; with a point it is noted and partly marked."""
    craft = outing.craft
    begin = craft.time
    flown = take_off(craft, outing.runway, scattered_take_off(technique, outing.noise))
    outing.take_offs.append((point or "", flown))
    if point is None:
        return
    if camera:
        outing.film(point, ("start of roll", flown.start), ("lift-off", flown.lift_off))
    elif outing.noise() > 0.0:
        outing.mark(flown.lift_off, "lift-off", point, note="called from the right seat")
    note = "camera on the fence post" if camera else ""
    outing.noted.append(
        Noted(
            point,
            "take-off",
            technique.flap,
            "full",
            begin - 3.0,
            flown.obstacle + 12.0,
            None,
            technique.name,
            True,
            note,
        )
    )


def measured_landing(
    outing: Outing, point: str | None, technique: LandingTechnique, camera: bool = False
) -> None:
    """Fly the final and land; with a point it is noted and partly marked."""
    craft = outing.craft
    drawn = scattered_landing(technique, outing.noise)
    aim = 45.0 + 12.0 * outing.noise()
    flown = approach_and_land(craft, outing.runway, drawn, aim)
    outing.landings.append((point or "", flown))
    if point is None:
        return
    if camera:
        outing.film(point, ("touchdown", flown.touchdown), ("full stop", flown.stop))
    elif outing.noise() > 0.0:
        outing.mark(flown.touchdown, "touchdown", point, note="called from the right seat")
    note = "camera on the fence post" if camera else ""
    outing.noted.append(
        Noted(
            point, "landing", technique.flap, "idle", flown.obstacle - 25.0, flown.stop + 5.0,
            technique=technique.name, on_strip=True, note=note,
        )
    )  # fmt: skip


def climb_to(outing: Outing, height: float, shown: float, heading: float) -> None:
    """Climb at full power and an indicated airspeed [m/s] to a height, then level off."""
    craft = outing.craft
    set_power(craft, OPEN, craft.machine.engine.rated_speed, False)
    craft.flap_command = 0.0
    while craft.height < height - 2.0:
        hold_heading(craft, heading)
        hold_speed(craft, shown)
        craft.fly(CRUISE)


def descend_to(outing: Outing, height: float, shown: float, heading: float | None, sink: float = 4.0) -> None:
    """Descend at a rate [m/s], airspeed held with power."""
    craft = outing.craft
    craft.engine_speed_command = outing.habits.descent_rpm / 60.0
    while craft.height > height + 4.0:
        if heading is None:
            head_for(craft, *_join(outing.runway))
        else:
            hold_heading(craft, heading)
        ask_path(craft, -min(sink, 0.25 * (craft.height - height) + 0.5) / craft.airspeed, 1.5)
        hold_speed_with_power(craft, shown, CRUISE)
        craft.fly(CRUISE)


def level_legs(
    outing: Outing, point: str, setting: tuple[float, float], headings: tuple[float, ...], height: float
) -> None:
    """Legs at one power setting (inches of mercury, rev/min) on several headings [degrees]."""
    craft = outing.craft
    inches, rpm = setting
    # Leaned to best power below three quarters; with the throttle open the mixture stays rich.
    set_power(craft, inches * INCH_OF_MERCURY if inches else OPEN, rpm / 60.0, bool(inches))
    outing.fly_for(70.0, radians(headings[0]), height)
    begin = craft.time
    for number, heading in enumerate(headings):
        # A compass is held to a degree or two.
        held = radians(heading + 1.5 * outing.noise())
        if number > 0:
            outing.fly_for(45.0, held, height)
        outing.fly_for(78.0, held, height)
    turns = f"{rpm if craft.machine.propeller.governed else round(6.0 * craft.engine_speed) * 10:.0f} rev/min"
    gauge = f"{inches:g} inHg, " if craft.machine.propeller.governed else ""
    shown = f"{gauge}{turns}, best power" if inches else f"throttle open, {turns}, rich"
    power = "part" if inches else "full"
    outing.noted.append(Noted(point, "level", 0.0, power, begin, craft.time, note=shown))


def sawtooth(
    outing: Outing,
    point: str,
    shown_kt: float,
    *,
    bottom: float,
    top: float,
    heading: float,
    idle: bool = False,
) -> None:
    """A climb at full power, or a glide at idle, through a band at one indicated airspeed."""
    craft = outing.craft
    shown = shown_kt * KNOT
    course = radians(heading)
    if idle:
        set_power(craft, IDLE_MANIFOLD, craft.machine.engine.rated_speed, True)
    else:
        set_power(craft, OPEN, craft.machine.engine.rated_speed, False)
    begin = None
    settled = 0.0
    while (craft.height < top) if not idle else (craft.height > bottom):
        hold_heading(craft, course)
        hold_speed(craft, shown)
        craft.fly(COARSE)
        settled = settled + 0.1 if abs(craft.indicated - shown) < 1.2 and abs(craft.bank) < 0.1 else settled
        if begin is None and settled > 12.0:
            begin = craft.time
    kind, power = ("glide", "idle") if idle else ("climb", "full")
    begin = craft.time - 40.0 if begin is None else begin
    note = f"{shown_kt:.0f} kt on the indicator"
    outing.noted.append(Noted(point, kind, 0.0, power, begin, craft.time, shown, note=note))


def reposition(outing: Outing, height: float, shown_kt: float, heading: float) -> None:
    """Back to the height at which the next run starts, and its speed."""
    craft = outing.craft
    course = radians(heading)
    if craft.height > height + 6.0:
        descend_to(outing, height, shown_kt * KNOT, course)
    else:
        climb_to(outing, height, outing.habits.between * KNOT, course)
    craft.mixture = 1.0
    for _ in range(100):
        hold_heading(craft, course)
        hold_height(craft, height)
        hold_speed_with_power(craft, shown_kt * KNOT, CRUISE)
        craft.fly(CRUISE)


def go_home(outing: Outing) -> None:
    """Back to the circuit from wherever the work ended, to the start of the downwind leg."""
    craft, habits = outing.craft, outing.habits
    height = outing.runway.elevation + CIRCUIT_HEIGHT
    craft.mixture = craft.machine.engine.rich
    descend_to(outing, height, habits.arrival * KNOT, None, 4.5)
    craft.engine_speed_command = habits.join_rpm / 60.0
    while head_for(craft, *_join(outing.runway)) > 300.0:
        hold_height(craft, height)
        hold_speed_with_power(craft, habits.join * KNOT, CRUISE)
        craft.fly(CRUISE)


def climb_away(outing: Outing) -> None:
    """From 50 ft after take-off round to the start of the downwind leg."""
    craft, runway = outing.craft, outing.runway
    height = runway.elevation + CIRCUIT_HEIGHT
    course = radians(runway.heading)
    while craft.height < runway.elevation + 90.0 or runway.along(craft.east, craft.north)[0] < 1100.0:
        if craft.height > runway.elevation + 60.0:
            craft.flap_command = 0.0
        craft.ground_height = runway.elevation
        follow_line(craft, runway.east, runway.north, course)
        hold_speed(craft, outing.habits.climb_out * KNOT)
        craft.fly(CRUISE)
    craft.flap_command = 0.0
    craft.manifold_command = outing.habits.crosswind_manifold * INCH_OF_MERCURY
    while runway.along(craft.east, craft.north)[1] < CIRCUIT_WIDTH - 260.0:
        hold_heading(craft, course + radians(90.0))
        hold_height(craft, height)
        hold_speed_with_power(craft, outing.habits.crosswind * KNOT, CRUISE)
        craft.fly(CRUISE)


def circuit_to_final(outing: Outing) -> None:
    """Downwind and base; ends turning on to the final."""
    craft, runway = outing.craft, outing.runway
    height = runway.elevation + CIRCUIT_HEIGHT
    course = radians(runway.heading)
    x, y = runway.direction
    east, north = runway.east + CIRCUIT_WIDTH * y, runway.north - CIRCUIT_WIDTH * x
    while runway.along(craft.east, craft.north)[0] > -1500.0:
        follow_line(craft, east, north, course + radians(180.0))
        hold_height(craft, height)
        hold_speed_with_power(craft, outing.habits.downwind * KNOT, CRUISE)
        craft.fly(CRUISE)
    craft.flap_command = outing.habits.base_flap
    while runway.along(craft.east, craft.north)[1] > 240.0:
        hold_heading(craft, course - radians(90.0))
        hold_height(craft, height - 15.0)
        hold_speed_with_power(craft, outing.habits.base * KNOT, CRUISE)
        craft.fly(CRUISE)


def backtrack(outing: Outing, wait: float) -> None:
    """Taxi back to the threshold, line up, wait."""
    craft, runway = outing.craft, outing.runway
    stand(craft, runway, 12.0)
    taxi(craft, runway, 12.0, radians(runway.heading))
    stand(craft, runway, wait)


def shut_down(outing: Outing) -> None:
    """Taxi to the near end and stop."""
    stand(outing.craft, outing.runway, 10.0)
    taxi(outing.craft, outing.runway, 30.0, radians(outing.runway.heading))
    stand(outing.craft, outing.runway, 30.0)


def _join(runway: Runway) -> tuple[float, float]:
    """The start of the downwind leg."""
    x, y = runway.direction
    along, right = 900.0, CIRCUIT_WIDTH
    return runway.east + along * x + right * y, runway.north + along * y - right * x
