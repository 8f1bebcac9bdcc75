"""Strips through a year: the model's own distances, hours judged one by one, what binds, what load stays."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from tests.missions.weathers import STRIP, weather
from wringout.dossier.weather import Weather
from wringout.evaluation import Evaluation
from wringout.evaluation.strips import dossier_weather
from wringout.missions.hour_judging import REASONS, USABLE, along, judge_hours, month_by_hour
from wringout.missions.practice import Practice, Run, runs_of
from wringout.missions.runs import Asking, FieldRuns, distances, field_runs
from wringout.missions.strip_hours import daylight, hours_at
from wringout.missions.suitability import StripAnswer, strip_answer
from wringout.missions.survey import SurveyPlan, surveyed
from wringout.model import predict
from wringout.model.question import PredictedQuantity, Question
from wringout.physics.field_arrays import Conditions
from wringout.physics.vehicle import Air
from wringout.problems import InputError

WING = 2.1
SURFACES = ("dry grass", "dry concrete", "gravel", "wet grass", "mud", "sand", "snow", "salt pan")
CALM = Practice(head_wind_share=1.0, tail_wind_share=1.0)


@pytest.fixture(scope="module")
def runs(demo: Evaluation) -> FieldRuns:
    """Twenty-five of the demo's airplanes at two masses."""
    few = replace(demo.fit, draws=demo.fit.draws[::40])
    asking = Asking(demo.dossier.airplane, few, "tail wheel", ("short field", "short field"))
    return field_runs(asking, (1000.0, 900.0), SURFACES)


@pytest.fixture(scope="module")
def year(demo: Evaluation) -> Weather:
    """Every seventh hour of daylight of the demo's year."""
    hours = dossier_weather(demo.dossier)
    hours = hours.only(daylight(hours))
    return hours.only(np.arange(len(hours.month)) % 7 == 0)


def answered(strip: object, hours: Weather, runs: FieldRuns, practice: Practice | None = None) -> StripAnswer:
    """The answer in the usual practice or another."""
    return strip_answer(strip, hours, runs, practice or Practice(), WING)  # type: ignore[arg-type]


@pytest.mark.parametrize("quantity", ["take-off distance", "landing distance"])
def test_rows_are_the_airplanes_of_predict(
    demo: Evaluation, runs: FieldRuns, quantity: PredictedQuantity
) -> None:
    """Every draw's distance at one condition is that of `predict`, whose air phase is good to 1e-3."""
    question = Question(
        quantity, "tail wheel", 900.0, pressure_altitude=590.0, head_wind=2.0, slope=0.02, surface="gravel",
        technique="short field",
    )  # fmt: skip
    expected = predict(demo.dossier.airplane, runs.asking.fit, question).samples
    way = Run("take-off" if quantity.startswith("take") else "landing", 1.0, 0.02, 600.0, 15.24)
    found = distances(runs, way, Conditions(Air.standard(np.array([590.0])), 2.0, 0.02, np.array([2])), 590.0)
    assert found[runs.draws :, 0] == pytest.approx(expected, rel=1e-3)


def test_nodes_give_what_every_hour_reckoned_for_itself_gives(runs: FieldRuns, year: Weather) -> None:
    """Where length decides, shares differ by less than one in a hundred hours, distances by 0.5 %."""
    plan = SurveyPlan(year, (runs,), Practice(), WING)
    strips = []
    for slope, share in ((0.0, 1.02), (0.02, 1.0), (-0.035, 1.04)):
        long = replace(STRIP, length=3000.0, slope=slope, elevation=600.0)
        needed = answered(long, year, runs).landing[0]
        strips.append(replace(long, length=share * needed))
    rows = surveyed(plan, strips)
    for number, strip in enumerate(strips):
        found = answered(strip, year, runs)
        at = np.nonzero((rows.strip == number) & (rows.loading == 0))[0][0]
        assert 0.0 < found.share < 1.0
        assert found.share == pytest.approx(rows.share[at], abs=0.01)
        assert found.low == pytest.approx(rows.low[at], abs=0.01)
        assert found.high == pytest.approx(rows.high[at], abs=0.01)
        assert found.landing[0] == pytest.approx(rows.landing[at], rel=0.005)
        assert found.take_off[0] == pytest.approx(rows.take_off[at], rel=0.005)
        hours = np.nansum(rows.usable[at]) / len(year.month)
        assert hours == pytest.approx(rows.share[at], abs=1e-12)


def test_an_hour_is_judged_as_one_would_by_hand(runs: FieldRuns) -> None:
    """Against plain loops over hours, draws and directions."""
    rng = np.random.default_rng(11)
    hours = hours_at(STRIP, weather(hours=60), WING)
    hours = replace(hours, along=rng.normal(0.0, 5.0, 60), across=rng.uniform(0.0, 8.0, 60))
    ways = runs_of(STRIP)
    enough = [rng.random((10, 60)) < rng.uniform(0.7, 1.0, 60) for _ in ways]
    practice = Practice()
    found = judge_hours(ways, enough, hours, practice, 6.0)
    for hour in range(60):
        picked: list[int] = []
        for movement in ("landing", "take-off"):
            options = []
            for number, way in enumerate(ways):
                head = float(along(way, hours)[hour])
                if way.movement == movement and head >= -practice.tail_wind:
                    options.append((enough[number][:, hour].mean(), head, number))
            picked += [max(options)[2]] if options else []
        usable = bool(hours.across[hour] <= 6.0 and len(picked) == 2)
        if usable:
            both = enough[picked[0]][:, hour] & enough[picked[1]][:, hour]
            assert found.probability[hour] == pytest.approx(both.mean())
            usable = bool(both.mean() >= 0.9)
        assert (found.code[hour] == USABLE) == usable
    assert runs.draws == 25


def test_every_lost_hour_has_its_reason_and_the_reasons_add_up(runs: FieldRuns, year: Weather) -> None:
    """Shares of usable and lost hours make one; a gale across is told as wind, a short strip as short."""
    found = answered(replace(STRIP, length=380.0), year, runs)
    assert found.share + sum(found.reasons.values()) == pytest.approx(1.0)
    assert set(found.reasons) == set(REASONS)
    gale = weather(hours=48, wind_speed=12.0, wind_from=STRIP.heading + np.pi / 2)
    assert answered(replace(STRIP, length=3000.0), gale, runs).binding == "wind across"
    astern = weather(hours=48, wind_speed=14.0, wind_from=STRIP.heading)
    one_way = replace(STRIP, length=3000.0, slope=0.03, one_way=True)
    assert answered(one_way, astern, runs).binding == "wind on the tail"
    assert answered(replace(STRIP, length=350.0), weather(hours=48), runs).binding == "the landing"
    assert answered(replace(STRIP, length=3000.0), weather(hours=48), runs).binding is None


def test_more_length_less_margin_and_less_mass_never_lose_an_hour(runs: FieldRuns, year: Weather) -> None:
    """Shares grow with length and fall with margin; the lighter airplane is not worse."""
    shares = [answered(replace(STRIP, length=length), year, runs).share for length in (300.0, 380.0, 460.0)]
    assert shares == sorted(shares)
    strict = answered(replace(STRIP, length=380.0), year, runs, Practice(landing_factor=2.0)).share
    plain = answered(
        replace(STRIP, length=380.0), year, runs, Practice(take_off_factor=1.0, landing_factor=1.0)
    ).share
    assert strict <= shares[1] <= plain
    found = answered(replace(STRIP, length=380.0), year, runs)
    assert found.masses.tolist() == [900.0, 1000.0]
    assert found.shares[0] >= found.shares[1]


def test_the_kept_mass_keeps_nine_hours_in_ten(runs: FieldRuns) -> None:
    """Between the mass whose share is above and that whose share is below, or none."""
    calm = weather(hours=240)
    assert answered(replace(STRIP, length=2000.0), calm, runs).kept_mass == 1000.0
    assert answered(replace(STRIP, length=100.0), calm, runs).kept_mass is None


def test_a_hot_high_day_needs_more_than_a_cold_one(runs: FieldRuns) -> None:
    """Distances in the middling hour grow with temperature and elevation; density altitude is told."""
    cold = answered(STRIP, weather(hours=24, temperature=273.15), runs)
    hot = answered(STRIP, weather(hours=24, temperature=308.15), runs)
    high = answered(replace(STRIP, elevation=1500.0), weather(hours=24, temperature=308.15), runs)
    assert cold.take_off[0] < hot.take_off[0] < high.take_off[0]
    assert cold.landing[0] < hot.landing[0] < high.landing[0]
    assert cold.density_altitude[0] < 0.0 < hot.density_altitude[0] < high.density_altitude[0]


@pytest.mark.parametrize("surface", ["gravel", "wet grass", "mud", "sand", "snow", "salt pan"])
def test_every_surface_of_the_trade_is_reckoned(runs: FieldRuns, surface: str) -> None:
    """Softer ground takes a longer run to leave than concrete; each is judged."""
    there = answered(replace(STRIP, surface=surface), weather(hours=24), runs)
    hard = answered(replace(STRIP, surface="dry concrete"), weather(hours=24), runs)
    assert np.isfinite(there.landing[0])
    if surface != "salt pan":
        assert there.take_off[0] > hard.take_off[0] * 0.999


def test_a_tall_obstacle_at_the_end_lengthens_the_run_over_it(runs: FieldRuns) -> None:
    """Thirty metres of trees ahead and behind take more than fifteen; nine metres are covered by fifteen."""
    open_end = answered(STRIP, weather(hours=24), runs)
    low = answered(replace(STRIP, obstacle_near=9.0, obstacle_far=9.0), weather(hours=24), runs)
    tall = answered(replace(STRIP, obstacle_near=30.0, obstacle_far=30.0), weather(hours=24), runs)
    assert low.take_off[0] == open_end.take_off[0]
    assert tall.take_off[0] > open_end.take_off[0] + 30.0
    assert tall.landing[0] > open_end.landing[0] + 30.0


def test_published_factors_stand_on_the_hard_level_runway(runs: FieldRuns) -> None:
    """In a calm the distance asked for is that on concrete × surface × slope × margin of the leaflet."""
    calm = weather(hours=24)
    leaflet = Practice("leaflet")
    hard = answered(replace(STRIP, surface="dry concrete"), calm, runs, leaflet)
    wet = answered(replace(STRIP, surface="wet grass"), calm, runs, leaflet)
    assert wet.take_off[0] / hard.take_off[0] == pytest.approx(1.30)  # SSL7, from memory
    assert wet.landing[0] / hard.landing[0] == pytest.approx(1.35)  # SSL7, from memory
    physics = answered(replace(STRIP, surface="dry concrete"), calm, runs, CALM)
    assert hard.take_off[0] == pytest.approx(physics.take_off[0], rel=1e-9)
    with pytest.raises(InputError, match="gravel"):
        answered(replace(STRIP, surface="gravel"), calm, runs, leaflet)


def test_months_and_hours_are_counted_where_they_are() -> None:
    """Cells without an hour are blank, the others hold their share."""
    hours = hours_at(STRIP, weather(hours=48), WING)
    cells = month_by_hour(hours, np.arange(48) % 24 < 12)
    assert cells.shape == (12, 24)
    assert cells[0, :12].tolist() == [1.0] * 12
    assert cells[0, 12:].tolist() == [0.0] * 12
    assert np.isnan(cells[1:]).all()


@pytest.mark.parametrize(
    "wrong",
    [
        {"take_off_factor": 0.9},
        {"landing_factor": float("nan")},
        {"head_wind_share": 1.2},
        {"cross_wind": -1.0},
        {"method": "hope"},
        {"tail_wind_share": 0.5},
    ],
)
def test_a_practice_that_flatters_a_strip_is_refused(wrong: dict[str, object]) -> None:
    """No factor below one, no more wind than blows, no negative limit."""
    with pytest.raises(InputError):
        Practice(**wrong)  # type: ignore[arg-type]
