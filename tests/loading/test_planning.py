"""What to load for a wanted CG and mass: printed examples, hand computation, and a blind search."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.loading.airplanes import hauler, loading
from tests.loading.published import INCH, POUND, printed
from wringout.airplane.airplane import Airplane, EmptyRecord, Envelope, Station, Tank
from wringout.dossier.card import CardLoading
from wringout.loading import loading_report, planned_loading
from wringout.problems import InputError
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate

NOTHING = CardLoading({}, {}, {}, mass_sd=0.0, fuel_sd=0.0)


def bare(mass: float, arm: float, stations: tuple[Station, ...]) -> Airplane:
    """An airplane of known empty mass and arm without uncertainty, one tank at 1.10 m, a wide envelope."""
    wide = ((0.0, 0.3 * mass), (0.0, 3.0 * mass), (3.0 * arm, 3.0 * mass), (3.0 * arm, 0.3 * mass))
    return replace(
        hauler(),
        stations=stations,
        combined_limits=(),
        tanks=(Tank("wing", 0.2, 0.0, ((0.0, 1.10),)),),
        envelopes=(Envelope("normal", wide, 3.0 * mass),),
        empty=EmptyRecord(
            "tail wheel",
            Estimate(mass, None, Dimension.MASS, "made up"),
            Estimate(arm, None, Dimension.LENGTH, "made up"),
            "made up",
        ),
    )


HAND = bare(
    600.0,
    0.90,
    (
        Station("seats", 1.00, 1.00, None, "people", seats=2),
        Station("bay", 2.00, 2.00, 100.0, "things"),
        Station("floor", 1.60, 2.60, 200.0, "things"),
    ),
)
# 600 kg at 0.90 m, 160 kg at 1.00 m, 100 L of 0.72 kg/L at 1.10 m: 832 kg, 779.2 kg·m.
CREWED = CardLoading({"seats": 160.0}, {}, {"wing": 0.100}, mass_sd=0.0, fuel_sd=0.0)


@pytest.mark.parametrize("case", ["WB-41", "WB-42"])
def test_printed_ballast(case: str) -> None:
    """The printed ballast brings the printed airplane to the printed limit."""
    example = printed(case)
    mass, cg, limit, arm = (example.number(name) for name in ("mass", "cg", "limit", "arm"))
    airplane = bare(
        mass * POUND, cg * INCH, (Station("ballast place", arm * INCH, arm * INCH, None, "things"),)
    )
    plan = planned_loading(airplane, "tail wheel", NOTHING, wanted_cg=limit * INCH, station="ballast place")
    wanted, unit = example.answers["ballast"]
    assert plan.ballast is not None
    assert plan.ballast / POUND == pytest.approx(wanted, abs=unit)
    assert plan.report.state("take-off").cg.value / INCH == pytest.approx(limit, abs=1e-6)


def test_wanted_cg_by_hand() -> None:
    """(832 × 0.96 − 779.2)/(2.00 − 0.96) = 18.769 kg, and 850.769 kg with it."""
    plan = planned_loading(HAND, "tail wheel", CREWED, wanted_cg=0.96, station="bay")
    assert plan.ballast == pytest.approx(18.769, abs=5e-4)
    state = plan.report.state("take-off")
    assert state.mass.value == pytest.approx(850.769, abs=5e-4)
    assert state.cg.value == pytest.approx(0.96, abs=1e-9)
    assert plan.loading.stations["bay"] == plan.ballast
    assert (
        plan.reason
        == "18.8 kg of ballast at bay, 2 000 mm: 851 kg with the CG at 960 mm at take-off.".replace(
            "2 000", "2\u202f000"
        )
    )


def test_wanted_cg_is_that_after_the_taxi() -> None:
    """With 10 L (7.2 kg at 1.10 m) burnt before take-off: (824.8 × 0.96 − 771.28)/1.04 = 19.738 kg."""
    plan = planned_loading(HAND, "tail wheel", CREWED, wanted_cg=0.96, station="bay", taxi_fuel=0.010)
    assert plan.ballast == pytest.approx(19.738, abs=5e-4)


def test_wanted_mass_by_hand() -> None:
    """900 kg at take-off of 832 kg is 68 kg, at (779.2 + 136)/900 = 1.01689 m."""
    plan = planned_loading(HAND, "tail wheel", CREWED, wanted_mass=900.0, station="bay")
    assert plan.ballast == pytest.approx(68.0, abs=1e-9)
    assert plan.report.state("take-off").cg.value == pytest.approx(1.01689, abs=5e-6)


def test_both_wishes_where_the_ballast_may_lie_anywhere() -> None:
    """900 kg at 1.04 m: 68 kg at (900 × 1.04 − 779.2)/68 = 2.30588 m of a floor from 1.60 to 2.60 m."""
    plan = planned_loading(HAND, "tail wheel", CREWED, wanted_mass=900.0, wanted_cg=1.04, station="floor")
    assert plan.ballast == pytest.approx(68.0, abs=1e-9)
    assert plan.arm == pytest.approx(2.30588, abs=5e-6)
    assert plan.loading.station_arms["floor"] == plan.arm
    beyond = planned_loading(HAND, "tail wheel", CREWED, wanted_mass=900.0, wanted_cg=1.20, station="floor")
    assert beyond.ballast is None
    assert "cannot be reached" in beyond.reason


def test_cg_decides_at_a_fixed_arm_and_the_missing_mass_is_told() -> None:
    """With both wanted at one arm the CG is met, and 49 kg stay to be made up."""
    plan = planned_loading(HAND, "tail wheel", CREWED, wanted_mass=900.0, wanted_cg=0.96, station="bay")
    assert plan.ballast == pytest.approx(18.769, abs=5e-4)
    assert "49 kg below the mass wanted" in plan.reason


def test_reachable_range_by_hand() -> None:
    """The bay's 100 kg give at most (779.2 + 200)/932 = 1.05064 m, and the sentence says so."""
    plan = planned_loading(HAND, "tail wheel", CREWED, wanted_cg=1.10, station="bay")
    assert plan.ballast is None
    assert plan.reach is not None
    assert plan.reach.cg == pytest.approx((0.93654, 1.05064), abs=5e-6)
    assert (plan.reach.least, plan.reach.most) == pytest.approx((0.0, 100.0))
    assert plan.loading == CREWED
    assert "0.0 kg to 100.0 kg there keep every limit and give 937 mm to 1\u202f051 mm" in plan.reason


def test_ballast_ahead_is_needed_for_a_cg_ahead() -> None:
    """A bay behind the CG brings no CG forward."""
    plan = planned_loading(HAND, "tail wheel", CREWED, wanted_cg=0.90, station="bay")
    assert plan.ballast is None
    assert plan.reach is not None
    assert plan.reach.cg[0] > 0.90


def test_reach_begins_where_the_envelope_does() -> None:
    """Where the loading is ahead of the envelope, the least ballast of the reach brings it to the edge."""
    narrow = Envelope("normal", ((0.95, 300.0), (0.95, 1200.0), (1.20, 1200.0), (1.20, 300.0)), 1200.0)
    plan = planned_loading(
        replace(HAND, envelopes=(narrow,)), "tail wheel", CREWED, wanted_cg=1.19, station="bay"
    )
    assert plan.reach is not None
    # Worst with no fuel: (760 × 0.95 − 700)/(2.00 − 0.95) = 20.952 kg.
    assert plan.reach.least == pytest.approx(20.952, abs=2e-3)


def test_a_wish_within_the_cg_s_own_uncertainty_needs_no_ballast() -> None:
    """Nobody moves lead for less than the scales can tell."""
    airplane, crew = hauler(), loading()
    cg = loading_report(airplane, "tail wheel", crew).state("take-off").cg
    assert cg.sd is not None
    plan = planned_loading(
        airplane, "tail wheel", crew, wanted_cg=cg.value - 0.5 * cg.sd, station="tail locker"
    )
    assert plan.ballast == 0.0
    assert plan.reason.startswith("No ballast is needed")


def test_nothing_wanted_and_no_station() -> None:
    """Without a wish it is the loading as planned; without a station the CG that it has is told."""
    assert planned_loading(HAND, "tail wheel", CREWED).loading == CREWED
    plan = planned_loading(HAND, "tail wheel", CREWED, wanted_cg=0.96)
    assert plan.ballast is None
    assert "937 mm at take-off; no station for ballast is named" in plan.reason
    with pytest.raises(InputError, match="no station 'bya'"):
        planned_loading(HAND, "tail wheel", CREWED, wanted_cg=0.96, station="bya")


@settings(max_examples=8, deadline=None)
@given(wanted=st.floats(1.80, 2.25), station=st.sampled_from(["bay", "tail locker", "front seats"]))
def test_a_blind_search_finds_no_more(wanted: float, station: str) -> None:
    """Ballast that is given meets the wish within every limit; where none is, none on a fine grid does."""
    airplane = hauler()
    crew = loading(bay=20.0)
    plan = planned_loading(airplane, "tail wheel", crew, wanted_cg=wanted, station=station)
    if plan.ballast is not None:
        assert plan.report.within
        state = plan.report.state("take-off")
        assert abs(state.cg.value - wanted) <= max(1e-9, state.cg.sd or 0.0)
        return
    for mass in range(0, 200, 5):
        stations = {**crew.stations, station: crew.stations.get(station, 0.0) + mass}
        tried = loading_report(airplane, "tail wheel", replace(crew, stations=stations))
        if tried.within:
            assert abs(tried.state("take-off").cg.value - wanted) > 1e-6
