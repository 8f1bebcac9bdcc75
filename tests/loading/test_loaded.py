"""Mass and CG through the burn: conservation, order of the tanks, and honest uncertainty."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.loading.airplanes import hauler, loading
from wringout.airplane.airplane import Weighing
from wringout.dossier.card import CardLoading
from wringout.loading import empty_mass, fuel_in_tanks, mass_and_cg, mass_and_cg_sd
from wringout.loading.fuel import burn_breaks, contents_during_burn, fuel_arm
from wringout.problems import InputError

AIRPLANE = hauler()
CONTENTS = st.fixed_dictionaries(
    {"left": st.floats(0.0, 0.09), "right": st.floats(0.0, 0.09), "auxiliary": st.floats(0.0, 0.04)}
)


def full() -> CardLoading:
    """Every tank full."""
    return replace(loading(bay=60.0), fuel={"left": 0.09, "right": 0.09, "auxiliary": 0.04})


@given(CONTENTS, st.lists(st.floats(0.0, 1.0), min_size=1, max_size=8))
def test_mass_falls_by_the_fuel_burnt(fuel: dict[str, float], shares: list[float]) -> None:
    """Whatever the tanks and their order, mass is ramp mass less the mass of the fuel burnt."""
    burnt = np.array(shares) * sum(fuel.values())
    card = replace(loading(), fuel=fuel)
    mass, _ = mass_and_cg(AIRPLANE, "tail wheel", card, burnt)
    ramp, _ = mass_and_cg(AIRPLANE, "tail wheel", card, 0.0)
    np.testing.assert_allclose(mass, ramp - 720.0 * burnt, atol=1e-9)


@given(CONTENTS, st.floats(0.0, 1.0))
def test_moment_is_the_sum_of_its_parts(fuel: dict[str, float], share: float) -> None:
    """The moment at any time of the burn is that of airplane, people, things and each tank's contents."""
    burnt = share * sum(fuel.values())
    card = replace(loading(bay=40.0), fuel=fuel)
    mass, cg = mass_and_cg(AIRPLANE, "nose wheel", card, burnt)
    contents = contents_during_burn(AIRPLANE.tanks, fuel, np.array([burnt]))
    parts = empty_mass(AIRPLANE, "nose wheel").moment + 172.0 * 1.95 + 40.0 * 2.8
    for tank in AIRPLANE.tanks:
        parts += 720.0 * float(contents[tank.name][0] * fuel_arm(tank, contents[tank.name])[0])
    assert float(mass * cg) == pytest.approx(parts, rel=1e-12)


@given(CONTENTS, st.floats(0.0, 1.0))
def test_tanks_are_drawn_in_order_and_evenly(fuel: dict[str, float], share: float) -> None:
    """What left the tanks is what was burnt; the auxiliary gives nothing before both wing tanks are dry; wing
    tanks have given alike unless one is dry."""
    burnt = share * sum(fuel.values())
    found = contents_during_burn(AIRPLANE.tanks, fuel, np.array([burnt]))
    left = {name: float(volume[0]) for name, volume in found.items()}
    assert sum(fuel.values()) - sum(left.values()) == pytest.approx(burnt, abs=1e-12)
    if left["auxiliary"] < fuel["auxiliary"] - 1e-12:
        assert left["left"] + left["right"] == pytest.approx(0.0, abs=1e-12)
    given_left, given_right = fuel["left"] - left["left"], fuel["right"] - left["right"]
    if min(left["left"], left["right"]) > 1e-12:
        assert given_left == pytest.approx(given_right, abs=1e-12)


def test_corners_of_the_burn() -> None:
    """The path bends where a tank runs dry and at the knots of a tank's arms."""
    breaks = burn_breaks(AIRPLANE.tanks, {"left": 0.09, "right": 0.05, "auxiliary": 0.04})
    np.testing.assert_allclose(breaks, [0.0, 0.01, 0.09, 0.10, 0.14, 0.18], atol=1e-12)


def test_shape_and_nan() -> None:
    """Any shape of fuel burnt comes back; a scalar is a scalar; NaN stays NaN in its own place."""
    card = full()
    burnt = np.array([[0.0, 0.01, math.nan], [0.05, 0.1, 0.2]])
    mass, cg = mass_and_cg(AIRPLANE, "tail wheel", card, burnt)
    assert mass.shape == cg.shape == (2, 3)
    assert list(np.isnan(mass).ravel()) == [False, False, True, False, False, False]
    one, where = mass_and_cg(AIRPLANE, "tail wheel", card, 0.05)
    assert one.shape == ()
    assert (float(one), float(where)) == (float(mass[1, 0]), float(cg[1, 0]))


def test_stated_uncertainty_is_that_of_scattered_loadings() -> None:
    """Over 1 500 loadings with scattered scales, people and fuel, mass and CG scatter as stated."""
    rng = np.random.default_rng(13)
    card = replace(loading(bay=50.0), mass_sd=2.0, fuel_sd=0.002)
    burnt = 0.03
    mass_sd, cg_sd = mass_and_cg_sd(AIRPLANE, "nose wheel", card, burnt)

    def scattered() -> tuple[float, float]:
        weighing = AIRPLANE.empty
        assert isinstance(weighing, Weighing)
        readings = tuple(replace(r, reading=r.reading + rng.normal(0.0, 0.5)) for r in weighing.readings)
        airplane = replace(AIRPLANE, empty=replace(weighing, readings=readings))
        other = replace(
            card,
            stations={name: mass + rng.normal(0.0, 2.0) for name, mass in card.stations.items()},
            fuel={name: v + rng.normal(0.0, 0.002) if v else v for name, v in card.fuel.items()},
        )
        mass, cg = mass_and_cg(airplane, "nose wheel", other, burnt)
        return float(mass), float(cg)

    masses, cgs = np.array([scattered() for _ in range(1500)]).T
    assert 0.92 < masses.std() / float(mass_sd) < 1.08
    assert 0.92 < cgs.std() / float(cg_sd) < 1.08


def test_part_fuel_lies_as_a_burn_leaves_it() -> None:
    """Part fuel is what a burn from full tanks leaves: wing tanks go down before the auxiliary."""
    lying = fuel_in_tanks(AIRPLANE.tanks, 0.10)
    assert lying == pytest.approx({"left": 0.03, "right": 0.03, "auxiliary": 0.04})
    with pytest.raises(ValueError, match="fuel burnt must lie"):
        fuel_in_tanks(AIRPLANE.tanks, 0.30)


def test_more_burnt_than_aboard_is_refused() -> None:
    """More fuel burnt than was aboard, or less than none, is refused with both figures."""
    with pytest.raises(ValueError, match=r"120\.0 L aboard, found 121\.0 to 121\.0 L"):
        mass_and_cg(AIRPLANE, "tail wheel", loading(), 0.121)
    with pytest.raises(ValueError, match="between nothing and"):
        mass_and_cg(AIRPLANE, "tail wheel", loading(), [-0.01, 0.0])


def test_every_fault_of_a_loading_is_told() -> None:
    """Unknown station and tank, a negative mass, an overfilled tank, an arm out of range: all at once."""
    bad = CardLoading(
        {"front seats": -1.0, "boot": 10.0, "bay": 20.0},
        {"bay": 9.0},
        {"left": 0.2, "belly": 0.01},
        mass_sd=0.5,
        fuel_sd=0.001,
    )
    with pytest.raises(InputError) as caught:
        mass_and_cg(AIRPLANE, "tail wheel", bad, 0.0)
    told = str(caught.value)
    for words in (
        "no station 'boot'",
        "the mass is -1 kg",
        "the load's arm is 9.000 m and the station reaches from 2.550 m to 3.350 m",
        "tank 'left' holds 90.0 L usable, found 200.0 L",
        "no tank 'belly'",
    ):
        assert words in told
    assert len(caught.value.problems) == 5


def test_a_range_of_arms_needs_the_arm() -> None:
    """A load that may lie anywhere in the bay is refused until its arm is given, never put at a guess."""
    card = replace(loading(bay=30.0), station_arms={})
    with pytest.raises(InputError, match=r"anywhere from 2\.550 m to 3\.350 m and its arm is not given"):
        mass_and_cg(AIRPLANE, "tail wheel", card, 0.0)
    empty_bay = replace(loading(bay=0.0), station_arms={})
    mass_and_cg(AIRPLANE, "tail wheel", empty_bay, 0.0)
