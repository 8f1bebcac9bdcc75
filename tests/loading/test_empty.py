"""Weighing and exchange: honest uncertainty, and an exchange undone is no exchange."""

from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.loading.airplanes import BIG_WHEELS, hauler
from wringout.airplane.airplane import ExchangeKit, Item, Weighing, WheelReading
from wringout.loading import EmptyMass, empty_mass, exchange, reverse, weigh
from wringout.problems import InputError


def weighing(**changes: object) -> Weighing:
    """The invented airplane's weighing, with changes."""
    found = hauler().empty
    assert isinstance(found, Weighing)
    return replace(found, **changes)  # type: ignore[arg-type]


ITEMS = st.builds(Item, st.just("thing"), st.floats(0.0, 60.0), st.floats(-2.0, 8.0))
KITS = st.builds(
    ExchangeKit,
    st.just("kit"),
    st.lists(ITEMS, max_size=4).map(tuple),
    st.lists(ITEMS, max_size=4).map(tuple),
)


def test_rows_add_up() -> None:
    """The rows of a weighing, items off and on included, are its mass and moment."""
    empty = weigh(weighing())
    assert sum(row.mass for row in empty.rows) == pytest.approx(empty.mass.value)
    assert sum(row.moment for row in empty.rows) == pytest.approx(empty.moment)
    assert empty.mass.value == pytest.approx(310 + 309 + 48 - 4 + 7)
    assert [row.reading for row in empty.rows] == [312.0, 311.0, 49.0, None, None]


def test_stated_uncertainty_is_that_of_scattered_scales() -> None:
    """Over 2 000 scattered weighings, mass and arm scatter and correlate as one weighing states."""
    rng = np.random.default_rng(11)
    base = weighing(reading_sd=2.0)
    empty = weigh(base)

    def scattered() -> tuple[float, float]:
        readings = tuple(replace(r, reading=r.reading + rng.normal(0.0, 2.0)) for r in base.readings)
        again = weigh(replace(base, readings=readings))
        return again.mass.value, again.arm.value

    masses, arms = np.array([scattered() for _ in range(2000)]).T
    assert empty.mass.sd is not None
    assert empty.arm.sd is not None
    assert 0.93 < masses.std() / empty.mass.sd < 1.07
    assert 0.93 < arms.std() / empty.arm.sd < 1.07
    assert np.corrcoef(masses, arms)[0, 1] == pytest.approx(empty.correlation, abs=0.05)


@given(KITS)
def test_exchange_conserves_mass_and_moment(kit: ExchangeKit) -> None:
    """Mass and moment after an exchange are those before, less what came off, plus what went on."""
    before = weigh(weighing())
    after = exchange(before, kit)
    on = sum(item.mass for item in kit.on) - sum(item.mass for item in kit.off)
    moment = sum(i.mass * i.arm for i in kit.on) - sum(i.mass * i.arm for i in kit.off)
    assert after.mass.value == pytest.approx(before.mass.value + on, rel=1e-12)
    assert after.moment == pytest.approx(before.moment + moment, rel=1e-9)


@given(KITS)
def test_exchange_undone_is_no_exchange(kit: ExchangeKit) -> None:
    """A kit and its reverse give back mass, arm, their uncertainties and their correlation."""
    before = weigh(weighing())
    back = exchange(exchange(before, kit), reverse(kit))
    for name in ("mass", "arm"):
        was, now = getattr(before, name), getattr(back, name)
        assert now.value == pytest.approx(was.value, rel=1e-9)
        assert now.sd == pytest.approx(was.sd, rel=1e-6)
    assert back.correlation == pytest.approx(before.correlation, abs=1e-6)


def test_exchange_carries_the_scatter() -> None:
    """The arm after an exchange scatters as stated: errors of mass and arm go through together."""
    rng = np.random.default_rng(12)
    base = weighing(reading_sd=2.0)
    stated = exchange(weigh(base), BIG_WHEELS)

    def scattered() -> float:
        readings = tuple(replace(r, reading=r.reading + rng.normal(0.0, 2.0)) for r in base.readings)
        return exchange(weigh(replace(base, readings=readings)), BIG_WHEELS).arm.value

    assert stated.arm.sd is not None
    assert 0.93 < np.std([scattered() for _ in range(2000)]) / stated.arm.sd < 1.07


def test_configuration_through_its_kit() -> None:
    """The nose-wheel build is the weighed tail-wheel build with its kit exchanged, and the lines say so."""
    airplane = hauler()
    tail, nose = empty_mass(airplane, "tail wheel"), empty_mass(airplane, "nose wheel")
    assert nose.mass.value == pytest.approx(tail.mass.value - 30.0 + 41.0)
    assert nose.arm.value < tail.arm.value
    assert [row.name for row in nose.rows[-2:]] == ["main legs, on", "nose leg, on"]
    assert nose.configuration == "nose wheel"


def test_weighed_with_a_kit() -> None:
    """Where the weighed build has a kit, the build without any comes by undoing it."""
    airplane = hauler()
    nose = empty_mass(airplane, "nose wheel")
    as_nose = replace(weighing(), configuration="nose wheel")
    turned = replace(airplane, empty=as_nose)
    assert empty_mass(turned, "nose wheel").mass.value == pytest.approx(670.0)
    assert empty_mass(turned, "tail wheel").mass.value == pytest.approx(670.0 - 41.0 + 30.0)
    back = exchange(empty_mass(turned, "tail wheel"), BIG_WHEELS)
    assert isinstance(nose, EmptyMass)
    assert back.arm.value == pytest.approx(weigh(as_nose).arm.value)


def test_what_cannot_be_weighed() -> None:
    """Every fault of a weighing is told at once, with its place and its mend."""
    bad = Weighing(
        date(2024, 5, 4),
        "tail wheel",
        (WheelReading("left", 1.0, 2.0, 1.6), WheelReading("right", 311.0, 2.0, 1.6)),
        reading_sd=-1.0,
        aboard_not_empty=(Item("tools", -4.0, 3.0),),
    )
    with pytest.raises(InputError) as caught:
        weigh(bad)
    told = str(caught.value)
    assert len(caught.value.problems) == 4
    assert "the tare of 2 kg is more than the reading of 1 kg" in told
    assert "fewer than two arms" in told
    assert "'tools' has a mass of -4 kg" in told


def test_nothing_left() -> None:
    """Taking off more than there is is refused."""
    kit = ExchangeKit("all", off=(Item("airplane", 700.0, 2.0),), on=())
    with pytest.raises(InputError, match="leaves a mass of"):
        exchange(weigh(weighing()), kit)


def test_unknown_configuration_is_named() -> None:
    """An unknown configuration is refused in words that offer one."""
    with pytest.raises(InputError, match="no configuration 'tail wheels'"):
        empty_mass(hauler(), "tail wheels")
