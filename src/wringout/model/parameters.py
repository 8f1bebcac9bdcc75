"""The few physical parameters of an airplane, each with what is believed of it before it is flown."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from math import exp, log, pi, sin

import numpy as np
from numpy.typing import NDArray

from wringout.airplane.airplane import Airplane, FlapSetting
from wringout.airplane.prior_names import (
    LANDING_HABITS,
    LANDING_STEMS,
    ROLLING,
    TAKE_OFF_HABITS,
    TAKE_OFF_STEMS,
)
from wringout.model.fit import Parameter
from wringout.model.scatter import BETWEEN_PILOTS
from wringout.model.surfaces import surface_prior
from wringout.quantity.dimensions import Dimension
from wringout.reduction.points import Points

FloatArray = NDArray[np.float64]

PRACTICE = "common practice, no source"
READ_OFF = "as the legs show it"  # the source of a prior that the flights themselves gave
FLAP_DRAG = "split and slotted flaps, 0.07 S sin² of the deflection (McCormick, from memory)"
# Shares of belief, common practice, no source.
LIFT_ENDS_CORRELATION = 0.3  # of C_Lmax flaps up and right down: a good wing is good with both
LIFT_OFF_LINE = 0.25  # how far a setting lies off the line between them, of the spread of the ends
FLAP_DRAG_SHARED = 0.95  # correlation with what all settings of one flap have in common
TYPICAL_CONSUMPTION = 7.6e-8  # 0.45 lb/(hp h) in kg/J [Anderson, CP-1]


def parameters(airplane: Airplane, points: Points) -> tuple[Parameter, ...]:
    """The parameters that the points of this airplane can speak about, and their priors.

    Parameters
    ----------
    airplane : Airplane
        Its description; `airplane.priors` replace priors of the tables here, with their reasons.
    points : Points
        Reduced points: they say which surfaces and techniques there are.

    Returns
    -------
    tuple of Parameter
        Airplane first, then one group for each surface, take-off technique and landing technique flown, or
        named by an override. A technique called 'normal' stands in where none was flown. Where more than one
        pilot took off, or landed, each has habits that multiply the techniques' medians; of one pilot alone
        the techniques are his.

    Notes
    -----
    Settings of one flap share what is believed of the wing: see `_lift_belief`. An override stands alone.
    """
    flown = techniques_flown(points)
    surfaces = _with_named(surfaces_flown(points), airplane, (ROLLING,))
    take_offs = _with_named(flown["take-off"], airplane, TAKE_OFF_STEMS)
    landings = _with_named(flown["landing"], airplane, LANDING_STEMS)
    pilots = pilots_flown(points)
    starters = _with_named(_several(pilots["take-off"]), airplane, TAKE_OFF_HABITS)
    landers = _with_named(_several(pilots["landing"]), airplane, LANDING_HABITS)
    found = (
        *_aerodynamic(airplane),
        *_propulsive(airplane, points),
        *(_rolling(surface) for surface in surfaces),
        *(parameter for technique in take_offs for parameter in _take_off(technique)),
        *(parameter for technique in landings for parameter in _landing(technique)),
        *(parameter for pilot in starters for parameter in _habits(pilot, TAKE_OFF_HABITS)),
        *(parameter for pilot in landers for parameter in _habits(pilot, LANDING_HABITS)),
    )
    return _overridden(found, airplane)


def _with_named(flown: tuple[str, ...], airplane: Airplane, stems: tuple[str, ...]) -> tuple[str, ...]:
    """What was flown, then what only an override names."""
    named = (override.parameter.partition(": ") for override in airplane.priors)
    return tuple(dict.fromkeys((*flown, *(name for stem, _, name in named if stem in stems and name))))


def techniques_flown(points: Points) -> dict[str, tuple[str, ...]]:
    """Techniques of 'take-off' and 'landing', the most flown first; 'normal' where there is none."""
    return {
        "take-off": _by_count(point.technique for point in points.takeoffs) or ("normal",),
        "landing": _by_count(point.technique for point in points.landings) or ("normal",),
    }


def pilots_flown(points: Points) -> dict[str, tuple[str, ...]]:
    """Pilots of 'take-off' and 'landing', the most flown first."""
    return {
        "take-off": _by_count(point.pilot for point in points.takeoffs),
        "landing": _by_count(point.pilot for point in points.landings),
    }


def _several(pilots: tuple[str, ...]) -> tuple[str, ...]:
    """The pilots where there are several: of one alone no habit can be told from his techniques."""
    return pilots if len(pilots) > 1 else ()


def surfaces_flown(points: Points) -> tuple[str, ...]:
    """Surfaces on which there was a take-off or a landing, the most used first."""
    return _by_count(
        [point.surface for point in points.takeoffs] + [point.surface for point in points.landings]
    )


def _by_count(names: Iterable[str]) -> tuple[str, ...]:
    every = list(names)
    return tuple(sorted(dict.fromkeys(every), key=lambda name: -every.count(name)))


def _aerodynamic(airplane: Airplane) -> tuple[Parameter, ...]:
    area = airplane.geometry.wing_area
    reference, *others = airplane.configurations
    found = [
        Parameter(
            "zero-lift drag area",
            f"C_D0·S of the airplane {reference.name}, flaps up",
            0.042 * area,
            0.012 * area,
            Dimension.AREA,
            True,
            f"C_D0 of braced light airplanes 0.03 to 0.06, {PRACTICE}",
        ),
        Parameter(
            "span efficiency",
            "Oswald factor e of the induced drag out of ground effect",
            0.75,
            0.08,
            Dimension.RATIO,
            True,
            "straight wings 0.7 to 0.85 (Raymer, from memory)",
        ),
        Parameter(
            "idle propeller drag area",
            "drag area of the propeller turning over at idle, in a glide",
            0.05 * pi / 4.0 * airplane.propeller.diameter**2,
            0.04 * pi / 4.0 * airplane.propeller.diameter**2,
            Dimension.AREA,
            True,
            f"a windmilling propeller drags like 2 to 10 % of its disk, {PRACTICE}",
        ),
    ]
    for configuration in others:
        change = configuration.drag_area_change
        described = change is not None and change.sd is not None
        found.append(
            Parameter(
                f"drag-area change: {configuration.name}",
                f"C_D·S of {configuration.name} less that of {reference.name}",
                change.value if change is not None else 0.0,
                change.sd if change is not None and change.sd is not None else 0.006 * area,
                Dimension.AREA,
                False,
                change.source
                if change is not None and described
                else f"gear kits differ by up to 0.01 of C_D0, {PRACTICE}",
            )
        )
        if configuration.undercarriage.braking:
            found.append(
                Parameter(
                    f"braking change: {configuration.name}",
                    f"braking friction as {configuration.name} over that as {reference.name}, one technique",
                    1.0,
                    0.15,
                    Dimension.RATIO,
                    True,
                    f"other brakes and tyres, {PRACTICE}",
                )
            )
    for flap in airplane.flaps:
        found.extend(_flap(flap, area, up=flap == airplane.flaps[0]))
    return tuple(found)


def _flap(flap: FlapSetting, area: float, *, up: bool) -> tuple[Parameter, ...]:
    lift = Parameter(
        f"maximum lift coefficient: flap {flap.name}",
        f"C_Lmax at idle, 1 kt/s entry, flaps {flap.name}",
        1.5 + 0.9 * _extension(flap),
        0.25,
        Dimension.RATIO,
        True,
        f"1.5 up, 2.4 with flaps right down, {PRACTICE}",
        _lift_belief(_extension(flap)),
    )
    if up:
        return (lift,)
    drag = Parameter(
        f"drag-area change: flap {flap.name}",
        f"C_D·S that flaps {flap.name} add",
        area * max(0.07 * sin(flap.deflection) ** 2, 0.002),
        0.6 * area * max(0.07 * sin(flap.deflection) ** 2, 0.002),
        Dimension.AREA,
        True,
        FLAP_DRAG,
        (("flap drag", FLAP_DRAG_SHARED),),
    )
    return lift, drag


def _extension(flap: FlapSetting) -> float:
    """How much of the lift of flaps right down a setting gives: 0 up, 1 at 45° and beyond.

    Each degree gives less than the one before: the sine of twice the deflection, within 0.04 of the factor k2
    for slotted flaps, 0.38, 0.66, 0.86 and 0.97 at 10, 20, 30 and 40° [DATCOM, 6.1.4.3, from memory].
    """
    return sin(2.0 * min(pi / 4.0, max(0.0, flap.deflection)))


def _lift_belief(extension: float) -> tuple[tuple[str, float], ...]:
    """What a setting's C_Lmax shares with those of the others, and how much of it.

    Notes
    -----
    Between the wing with flaps up (U) and right down (F) the belief is a straight line in the extension e,
    and each setting lies off the line by its own: C = (1 − e) U + e F + ε, U and F correlated by
    LIFT_ENDS_CORRELATION [derived: a Gaussian process with one linear and one white part]. So an unflown
    setting between two flown ones is known to about LIFT_OFF_LINE of the prior's spread.
    """
    together = LIFT_ENDS_CORRELATION**0.5
    apart = (1.0 - LIFT_ENDS_CORRELATION) ** 0.5
    parts = (together, apart * (1.0 - extension), apart * extension)
    total = (sum(part * part for part in parts) + LIFT_OFF_LINE**2) ** 0.5
    names = ("wing lift", "wing lift, flaps up", "wing lift, flaps down")
    return tuple((name, part / total) for name, part in zip(names, parts, strict=True))


def _propulsive(airplane: Airplane, points: Points) -> tuple[Parameter, ...]:
    engine = Parameter(
        "engine power factor",
        "shaft power over what the maker states for the same setting and air",
        0.97,
        0.03,
        Dimension.RATIO,
        True,
        f"installed engines give a few per cent less than rated, {PRACTICE}",
    )
    breathing = Parameter(
        "engine altitude drop",
        "density ratio at which friction would take all of the full-throttle power",
        0.12,
        0.02,
        Dimension.RATIO,
        True,
        "0.117 to 0.132 in print (GaggFerrar1934, second-hand; Lowry1999, from memory), widened",
    )
    heat = Parameter(
        "engine heat exponent",
        "exponent of T_std/T in full power where the air is not as warm as standard at its pressure",
        0.75,
        0.2,
        Dimension.RATIO,
        True,
        f"between the root of charts at one manifold pressure and the density of power lines, {PRACTICE}",
    )
    rich = Parameter(
        "full-rich power",
        "full-throttle power with the mixture full rich over that leaned to best power",
        0.985,
        0.010,
        Dimension.RATIO,
        True,
        "power against mixture of aircraft engines falls by 1 to 3 % (Taylor, from memory)",
    )
    consumption = Parameter(
        "specific consumption factor",
        "fuel for a unit of shaft energy over what the maker states",
        1.0,
        0.08,
        Dimension.RATIO,
        True,
        f"mixture handling and fuel-flow meters, {PRACTICE}",
    )
    rich_consumption = Parameter(
        "full-rich consumption factor",
        "the same with the mixture full rich, over the factor when leaned",
        1.0,
        0.08,
        Dimension.RATIO,
        True,
        f"carburettors and injectors are set richer or leaner, {PRACTICE}",
    )
    electric = airplane.engine.kind == "electric"
    shaft = (engine,) if electric else (engine, breathing, heat, rich)
    burning = (consumption,) if electric else (consumption, rich_consumption)
    if airplane.propeller.kind == "constant speed":
        return (
            *shaft,
            _engine_speed(airplane, points),
            Parameter(
                "propeller static efficiency",
                "blade efficiency η_b of the actuator disk, standing",
                0.72,
                0.08,
                Dimension.RATIO,
                True,
                f"static thrust 0.75 to 0.85 of the ideal disk's, {PRACTICE}",
            ),
            Parameter(
                "propeller cruise efficiency",
                "blade efficiency η_b of the actuator disk, at cruise",
                0.87,
                0.04,
                Dimension.RATIO,
                True,
                "over-all 0.80 to 0.87 at cruise (NACA propeller tests, from memory)",
            ),
            *burning,
        )
    slope, intercept = airplane.propeller.polar_slope, airplane.propeller.polar_intercept
    stated = slope is not None and intercept is not None
    source = "the airplane's description" if stated else "four-seat trainers (Lowry1999, from memory)"
    slope, intercept = (slope, intercept) if slope is not None and intercept is not None else (1.70, -0.0564)
    relative = 0.04 if stated else 0.15
    return (
        *shaft,
        _engine_speed(airplane, points),
        Parameter(
            "propeller polar slope",
            "m of the linear propeller polar",
            slope,
            relative * slope,
            Dimension.RATIO,
            True,
            source,
        ),
        Parameter(
            "propeller polar intercept",
            "−b of the linear propeller polar",
            -intercept,
            -2.0 * relative * intercept,
            Dimension.RATIO,
            True,
            source,
        ),
        *burning,
    )


def _engine_speed(airplane: Airplane, points: Points) -> Parameter:
    """What the propeller turns in level flight: governed at part power, or with fixed blades wide open."""
    governed = airplane.propeller.kind == "constant speed"
    flown = [
        point.engine_speed.value
        for point in points.levels
        if point.engine_speed is not None and point.full_throttle is not governed
    ]
    usual = (0.87 if governed else 1.0) * airplane.engine.rated_speed
    mean = float(np.median(flown)) if flown else usual
    return Parameter(
        "cruise engine speed" if governed else "full-throttle engine speed",
        "engine speed that the governor holds at part power"
        if governed
        else "engine speed in level flight at full throttle",
        mean,
        (0.01 if flown else 0.04) * mean,
        Dimension.ROTATION,
        True,
        READ_OFF if flown else f"of rated speed, {PRACTICE}",
    )


def _rolling(surface: str) -> Parameter:
    prior = surface_prior(surface)
    return Parameter(
        f"rolling friction: {surface}",
        f"rolling resistance over wheel load, brakes off, on {surface}",
        prior.rolling,
        prior.rolling * prior.rolling_relative_sd,
        Dimension.RATIO,
        True,
        prior.source,
    )


def _ratio(name: str, meaning: str, mean: float, sd: float) -> Parameter:
    return Parameter(name, meaning, mean, sd, Dimension.RATIO, True, PRACTICE)


def _take_off(technique: str) -> tuple[Parameter, ...]:
    return (
        _ratio(f"lift-off speed ratio: {technique}", "lift-off over stall speed", 1.10, 0.12),
        _ratio(
            f"rotation load increment: {technique}", "load factor pulled into the climb, less one", 0.15, 0.07
        ),
        _ratio(f"obstacle speed ratio: {technique}", "speed at 15.2 m over stall speed", 1.25, 0.12),
    )


def _landing(technique: str) -> tuple[Parameter, ...]:
    return (
        _ratio(f"approach speed ratio: {technique}", "approach over stall speed", 1.30, 0.12),
        Parameter(
            f"approach angle: {technique}",
            "descent angle of the approach from 15.2 m",
            0.07,
            0.025,
            Dimension.ANGLE,
            True,
            f"3° to 6°, {PRACTICE}",
        ),
        _ratio(f"flare load increment: {technique}", "load factor pulled in the flare, less one", 0.10, 0.05),
        _ratio(f"touchdown speed ratio: {technique}", "touchdown over stall speed", 1.12, 0.12),
        _ratio(
            f"braking effort: {technique}",
            "share used of the braking that surface and undercarriage allow",
            0.7,
            0.25,
        ),
    )


def _habits(pilot: str, stems: tuple[str, ...]) -> tuple[Parameter, ...]:
    found = []
    for stem in stems:
        kind = stem.removesuffix(" habit")
        meaning = f"{kind} of this pilot over that of an average one"
        found.append(_ratio(f"{stem}: {pilot}", meaning, 1.0, BETWEEN_PILOTS[kind]))
    return tuple(found)


def _overridden(found: tuple[Parameter, ...], airplane: Airplane) -> tuple[Parameter, ...]:
    overrides = {override.parameter: override for override in airplane.priors}
    return tuple(
        replace(
            parameter,
            mean=overrides[parameter.name].mean,
            sd=overrides[parameter.name].sd,
            source=f"dossier: {overrides[parameter.name].reason}",
            shared=(),
        )
        if parameter.name in overrides
        else parameter
        for parameter in found
    )


def prior_moments(parameters: Sequence[Parameter]) -> tuple[FloatArray, FloatArray]:
    """Mean (P,) and covariance (P, P) of the priors in fit space, with what parameters share.

    Each prior's standardised deviation is Σ loading · shared + √(1 − Σ loading²) · its own.
    """
    moments = np.array([in_fit_space(parameter) for parameter in parameters])
    names = list(dict.fromkeys(name for parameter in parameters for name, _ in parameter.shared))
    loadings = np.zeros((len(parameters), len(names)))
    for row, parameter in enumerate(parameters):
        for name, loading in parameter.shared:
            loadings[row, names.index(name)] = loading
    correlation = loadings @ loadings.T
    np.fill_diagonal(correlation, 1.0)
    return moments[:, 0], correlation * np.outer(moments[:, 1], moments[:, 1])


def in_fit_space(parameter: Parameter) -> tuple[float, float]:
    """Mean and sd of the normal prior in which the fit works.

    A positive parameter is held as its logarithm: a log-normal whose median is the stated mean and whose
    spread is ln(1 + sd/mean).

    Examples
    --------
    >>> from wringout.model.fit import Parameter
    >>> from wringout.quantity.dimensions import Dimension
    >>> friction = Parameter("rolling friction: dry grass", "", 0.05, 0.015, Dimension.RATIO, True, "")
    >>> print("{:.3f} {:.3f}".format(*in_fit_space(friction)))
    -2.996 0.262
    """
    if not parameter.log:
        return parameter.mean, parameter.sd
    return log(parameter.mean), log(1.0 + parameter.sd / parameter.mean)


def natural(parameter: Parameter, value: float) -> float:
    """A fit-space value in the parameter's own unit."""
    return exp(value) if parameter.log else value
