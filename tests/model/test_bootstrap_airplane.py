"""Answers for a fixed-pitch textbook airplane whose parameters are known exactly (plate from memory)."""

from dataclasses import replace

import numpy as np
import pytest

from tests.model.invented import airplane
from tests.model.published import printed
from wringout.airplane.airplane import Airplane, Engine, FlapSetting, Geometry, Propeller
from wringout.model import fit, predict
from wringout.model.fit import Fit
from wringout.model.question import PredictedQuantity, Question
from wringout.physics.airspeed import true_from_calibrated
from wringout.physics.climb import acceleration_factor
from wringout.physics.vehicle import Air
from wringout.reduction.points import Points

FOOT, POUND, KNOT = 0.3048, 0.45359237, 1852.0 / 3600.0
AREA, ASPECT_RATIO = 174.0 * FOOT**2, 7.38
FOOT_POUND = FOOT * POUND * 9.80665
TORQUE = 311.2 * FOOT_POUND  # at rated power
RATED_SPEED = 2700.0 / 60.0
NONE = Points((), (), (), (), (), (), (), ())
KNOWN = {
    "zero-lift drag area": 0.037 * AREA,
    "span efficiency": 0.72,
    "propeller polar slope": 1.70,
    "propeller polar intercept": 0.0564,
    "engine power factor": 1.0,
    "engine altitude drop": 0.12,
    "full-rich power": 1.0,
    "full-throttle engine speed": RATED_SPEED,
    "idle propeller drag area": 1e-12,  # his best glide leaves the propeller out
}


def four_seat_trainer() -> Airplane:
    """174 ft², aspect ratio 7.38, 311.2 ft lbf at 2700 rpm, propeller of 6.25 ft, m 1.70, b −0.0564."""
    return replace(
        airplane(),
        geometry=Geometry(span=float(np.sqrt(ASPECT_RATIO * AREA)), wing_area=AREA, wing_height=2.2),
        engine=Engine("naturally aspirated", 2.0 * np.pi * RATED_SPEED * TORQUE, RATED_SPEED),
        propeller=Propeller("fixed pitch", 6.25 * FOOT, polar_slope=1.70, polar_intercept=-0.0564),
        flaps=(FlapSetting("0", 0.0),),
    )


def certain(made: Airplane) -> Fit:
    """A fit with one draw: the airplane whose parameters are known, and no discrepancy."""
    believed = fit(made, NONE, seed=1, draws=2)
    names = [result.parameter.name for result in believed.parameters]
    draw = [
        KNOWN.get(name, result.parameter.mean)
        for name, result in zip(names, believed.parameters, strict=True)
    ]
    return replace(
        believed,
        draws=np.array([draw]),
        scatter_scales={"performance": 0.0, "take-off": 0.0, "landing": 0.0},
    )


@pytest.mark.parametrize(("case", "altitude", "pounds"), [("TX-20", 0.0, 2400.0), ("TX-21", 5000.0, 2200.0)])
def test_speeds_and_climb_of_the_bootstrap_airplane(case: str, altitude: float, pounds: float) -> None:
    """Best-climb, full-throttle and best-glide speeds and the rate of climb, against his closed forms.

    The closed forms take lift equal to weight in the climb and no compressibility: half a per cent at most
    here. His rate of climb is that at constant true airspeed, ours at a constant reading.
    """
    made = four_seat_trainer()
    known = certain(made)

    def ask(quantity: PredictedQuantity) -> float:
        question = Question(quantity, "tail wheel", pounds * POUND, pressure_altitude=altitude * FOOT)
        return predict(made, known, question).estimate.value

    air = Air.standard(altitude * FOOT)
    climbing = float(true_from_calibrated(ask("best climb speed"), air.pressure, air.temperature))
    density_ratio = {0.0: 1.0, 5000.0: 0.86167}[altitude]
    got = {
        "best climb speed": ask("best climb speed") / KNOT,
        "rate of climb": ask("rate of climb") / FOOT * 60.0 * acceleration_factor(air, climbing),
        "full-throttle speed": ask("full-throttle speed") * density_ratio**0.5 / KNOT,
        "best glide speed": ask("best glide speed") / KNOT,
    }
    for quantity, (value, _) in printed("bootstrap_airplane.csv", case).items():
        assert got[quantity] == pytest.approx(value, rel=0.005), quantity
