"""What cannot be true of shape, wheels, flaps, engine, propeller, electrics and costs, each taken alone."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import Any

from wringout.airplane import airplane as parts
from wringout.airplane import machine
from wringout.airplane.bounds import must, not_negative, positive
from wringout.problems import Problem


def _geometry(part: parts.Geometry) -> Iterator[Problem]:
    yield from positive(part, "span", "wing_area", "wing_height", "mean_chord", "length", "height")
    yield from positive(part, "tail_span", "side_area")


def _undercarriage(part: parts.Undercarriage) -> Iterator[Problem]:
    yield from positive(
        part, "track", "cg_height", "main_wheel_radius", "third_wheel_radius", "castor_travel"
    )
    yield from positive(part, "measured_sd", "cg_height_sd", "thrust_line_height", "tail_low_height")
    yield from positive(
        part,
        "main_tyre_width",
        "third_tyre_width",
        "main_tyre_pressure",
        "third_tyre_pressure",
        "main_ski_area",
        "third_ski_area",
    )
    yield from not_negative(
        part, "main_static_deflection", "third_static_deflection", "main_flat_drop", "third_flat_drop"
    )
    yield from must(
        -0.1 <= part.ground_attitude <= 0.5,
        "ground_attitude",
        f"no airplane stands at {part.ground_attitude:g} rad",
        "write the nose-up angle at rest in degrees, like '12 °'",
    )
    nose = part.third_arm < part.main_arm
    yield from must(
        part.third_arm != part.main_arm
        and (part.kind == "skis" or nose == (part.kind == "nose wheel")),
        "third_arm",
        f"a {part.kind} at {part.third_arm:g} m with the main wheels at {part.main_arm:g} m cannot stand",
        "arms grow aft: a nose wheel's is smaller than the main wheels', a tail wheel's is larger",
    )  # fmt: skip


def _trailing_arm(part: machine.TrailingArm) -> Iterator[Problem]:
    yield from positive(part, "length", "spring_arm", "spring_travel")
    yield from must(
        -1.0 <= part.slope <= 1.3,
        "slope",
        f"no arm trails at {part.slope:g} rad",
        "write its angle below level in degrees, like '25 °'",
    )


def _floats(part: machine.FloatSet) -> Iterator[Problem]:
    yield from positive(part, "volume", "beam", "length")


def _generator(part: machine.Generator) -> Iterator[Problem]:
    yield from not_negative(part, "current")


def _flap(part: parts.FlapSetting) -> Iterator[Problem]:
    yield from positive(part, "limit_speed")
    yield from must(
        -0.5 <= part.deflection <= 1.6,
        "deflection",
        f"no flap goes to {part.deflection:g} rad",
        "write it in degrees, like '15 °'",
    )


def _engine(part: parts.Engine) -> Iterator[Problem]:
    yield from positive(
        part,
        "rated_power",
        "rated_speed",
        "specific_consumption",
        "specific_consumption_full",
        "battery_energy",
    )
    yield from not_negative(part, "critical_altitude")
    yield from must(
        part.kind != "turbocharged" or part.critical_altitude > 0,
        "critical_altitude",
        "a turbocharged engine has a critical altitude",
        "give it, like '4000 m'",
    )
    yield from must(
        part.kind != "electric" or part.battery_energy is not None,
        "battery_energy",
        "an electric airplane flies on a battery",
        "give its energy, like '24 kWh'",
    )
    for i, row in enumerate(part.chart):
        yield from (
            Problem(problem.what, problem.mend, field=f"chart[{i}].{problem.field}")
            for problem in positive(row, "engine_speed", "manifold_pressure", "power", "fuel_flow")
        )


def _propeller(part: parts.Propeller) -> Iterator[Problem]:
    yield from positive(part, "diameter", "gear_ratio")


def _battery(part: parts.Battery) -> Iterator[Problem]:
    yield from positive(part, "charge", "rated_time", "voltage", "aged_fraction")
    yield from not_negative(part, "charge_lost_per_kelvin")
    yield from must(
        1 <= part.peukert_exponent <= 2,
        "peukert_exponent",
        f"must lie between 1 and 2, found {part.peukert_exponent:g}",
        "lead has about 1.2, lithium about 1.05",
    )
    yield from must(
        0 < part.usable_fraction <= 1,
        "usable_fraction",
        f"must lie between 0 and 1, found {part.usable_fraction:g}",
        "write the part of the charge that comes out before things quit",
    )
    yield from must(
        part.aged_fraction <= 1,
        "aged_fraction",
        f"an aged battery holds less than a new one, found {part.aged_fraction:g}",
        "write the part of the rated charge that is left",
    )


def _electrical(part: parts.Electrical) -> Iterator[Problem]:
    yield from not_negative(part, "alternator_current")


def _load(part: parts.ElectricalLoad) -> Iterator[Problem]:
    yield from not_negative(part, "current")
    yield from must(
        0 < part.duty <= 1,
        "duty",
        f"must lie between 0 and 1, found {part.duty:g}",
        "write the part of the time that it draws its current",
    )


def _prior(part: parts.PriorOverride) -> Iterator[Problem]:
    yield from positive(part, "sd")


def _configuration(part: parts.Configuration) -> Iterator[Problem]:
    change = part.drag_area_change
    yield from must(
        change is None or change.sd is not None,
        "drag_area_change",
        "is a prior and needs its uncertainty",
        "write it like '0.05 m² ± 0.02 m²'",
    )


MACHINE_RULES: dict[type, Callable[[Any], Iterable[Problem]]] = {
    parts.Geometry: _geometry,
    parts.Undercarriage: _undercarriage,
    machine.TrailingArm: _trailing_arm,
    machine.FloatSet: _floats,
    machine.Generator: _generator,
    parts.Configuration: _configuration,
    parts.FlapSetting: _flap,
    parts.Engine: _engine,
    parts.Propeller: _propeller,
    parts.Battery: _battery,
    parts.Electrical: _electrical,
    parts.ElectricalLoad: _load,
    parts.PriorOverride: _prior,
}
