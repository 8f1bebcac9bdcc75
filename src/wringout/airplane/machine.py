"""Parts of the machine that not every airplane has: swinging legs, floats, buses, further generators."""

from dataclasses import dataclass

from wringout.quantity.estimate import Estimate


@dataclass(frozen=True, slots=True)
class TrailingArm:
    """A leg whose wheel swings behind a pivot.

    `length` from pivot to axle [m]; `slope` of the arm below level, standing [rad]; `spring_arm` from the
    pivot square to the spring's line [m]; `spring_travel` from standing to bottomed [m].
    """

    length: float
    slope: float
    spring_arm: float
    spring_travel: float


@dataclass(frozen=True, slots=True)
class FloatSet:
    """A pair of floats that an exchange kit puts on, for the arithmetic of water.

    `volume` of both [m³], `beam` of one at the step [m], `length` of one [m]; `drag_area_change` against the
    reference configuration, C_D·S [m²].
    """

    name: str
    kit: str
    volume: float
    beam: float
    length: float
    drag_area_change: Estimate | None = None


@dataclass(frozen=True, slots=True)
class Generator:
    """A source beside the alternator: greatest current [A], and what turns it, e.g. 'belt'."""

    name: str
    current: float
    driven_by: str | None = None


@dataclass(frozen=True, slots=True)
class Bus:
    """A bus bar: it takes from the first of its sources, or buses, that still gives."""

    name: str
    fed_by: tuple[str, ...]
