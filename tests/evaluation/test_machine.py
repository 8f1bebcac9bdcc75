"""The machine asked of the demo: undercarriage and electrics, their sentences, tables and refusals."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from tests.model.invented import airplane as invented
from wringout.claims import Verdict
from wringout.dossier.dossier import Dossier
from wringout.electrical import reach_on_battery, worst_leg
from wringout.evaluation import Evaluation, ask
from wringout.evaluation.electrics import (
    AGES,
    TEMPERATURES,
    ElectricsAsked,
    answer_electrics,
    typed_electrics,
)
from wringout.evaluation.electrics_words import (
    electrics_sentence,
    electrics_tables,
    minutes,
    thirty_minutes_sentence,
    trip_sentence,
)
from wringout.evaluation.gear import answer_gear, first_asked, typed_gear
from wringout.evaluation.gear_words import gear_sentence, gear_sentences, gear_tables, marked_on, rule_table
from wringout.evaluation.inquiry import InquiryError
from wringout.evaluation.word_table import fails, plain_cell
from wringout.model.question import Question
from wringout.physics.constants import GRAVITY
from wringout.problems import InputError
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.undercarriage import (
    SOILS,
    braking_limit,
    castor_to_pivot,
    climbed_steps,
    propeller_clearances,
    rolling_in,
)


def test_every_configuration_answers_with_its_rules(demo: Evaluation) -> None:
    """Tail wheel, nose wheel and skis each tell their rules; what fails is told and marked."""
    dossier = demo.dossier
    kinds = {}
    for item in dossier.airplane.configurations:
        answer = answer_gear(dossier, first_asked(dossier.airplane, item.name), demo.fit)
        kinds[item.undercarriage.kind] = answer
        assert gear_sentence(answer).startswith(f"As {item.name}, ")
        marked = {row[0] for row in rule_table(answer).rows if fails(row[-1])}
        broken = {
            rule.name for rule in (*answer.failed, *(it.rule for it in answer.floats if not it.rule.holds))
        }
        assert marked == broken
        for table in gear_tables(answer, dossier.units):
            assert all(len(row) == len(table.headings) for row in table.rows)
            assert "nan" not in " ".join(cell for row in table.plain_rows for cell in row)
    assert kinds["nose wheel"].swing_growth is not None
    assert kinds["nose wheel"].swing_growth < 0.0 < (kinds["tail wheel"].swing_growth or 0.0)
    assert kinds["skis"].skis is not None
    assert kinds["skis"].wheels == ()
    assert kinds["nose wheel"].leg is not None
    assert marked_on(dossier.airplane, kinds["nose wheel"]).tip_fails
    middle = typed_gear({"configuration": "nose wheel", "cg": "1000 mm"}, dossier)
    assert not marked_on(dossier.airplane, answer_gear(dossier, middle, demo.fit)).tip_fails  # 20.6°


def test_loads_and_uncertainty_by_hand(demo: Evaluation) -> None:
    """Nose wheel, CG 1.06 m: a fifth; its spread by hand from two arms measured to 5 mm."""
    dossier = demo.dossier
    asked = typed_gear({"configuration": "nose wheel", "cg": "1060 mm", "mass": "1000 kg"}, dossier)
    share = answer_gear(dossier, asked, demo.fit).standing.third_share
    assert share.value == pytest.approx(0.2)
    # Braked at the grip's limit b the nose carries (1 − x)W + b h/L W: b = μ a/(L + μ h), a = 1.44 m.
    limit = 0.4 * 1.44 / (1.8 + 0.4 * 1.12)
    nose = answer_gear(dossier, asked, demo.fit).nose_load
    assert nose == pytest.approx(1000.0 * (0.2 + limit * 1.12 / 1.8))
    # s = (m − x)/(m − n): ds/dm = (1 − s)/L, ds/dn = s/L.
    assert share.sd == pytest.approx(0.005 / 1.8 * math.hypot(0.8, 0.2), rel=1e-3)


def test_stated_uncertainties_of_the_geometry_are_those_of_draws(demo: Evaluation) -> None:
    """Drawing every length as measured, and the thrust, figures scatter as they state."""
    dossier = demo.dossier
    answer = answer_gear(dossier, first_asked(dossier.airplane, "nose wheel"), demo.fit)
    gear, asked, rng = answer.gear, answer.asked, np.random.default_rng(7)
    propeller = dossier.airplane.propeller
    flat = next(n for n, item in enumerate(answer.clearances) if item.attitude.startswith("nose tyre"))
    drawn: dict[str, list[float]] = {"braking": [], "castor": [], "flat": [], "step": []}
    names = ("main_arm", "third_arm", "track", "thrust_line_height")
    for _ in range(1500):
        moved = {name: getattr(gear, name) + 0.005 * rng.standard_normal() for name in names}
        one = replace(gear, **moved, cg_height=gear.cg_height + 0.030 * rng.standard_normal())
        pull = answer.thrust.value + (answer.thrust.sd or 0.0) * rng.standard_normal()
        drawn["braking"].append(float(braking_limit(one, asked.cg, asked.friction)))
        drawn["castor"].append(castor_to_pivot(one))
        drawn["flat"].append(propeller_clearances(one, propeller.diameter, propeller.arm)[flat].found)
        drawn["step"].append(climbed_steps(one, asked.mass, asked.cg, pull)[0][1])
    stated = answer.spreads
    for name, key in (
        ("braking", "braking"),
        ("castor", "castor"),
        ("flat", "clearance, nose tyre flat, strut bottomed"),
        ("step", "step, nose wheel"),
    ):
        assert 0.93 < float(np.std(drawn[name])) / stated[key] < 1.07, name
    bare = replace(dossier, airplane=invented())
    assert answer_gear(bare, fit=demo.fit).spreads == {}


def test_soft_ground_is_the_sum_over_the_wheels(demo: Evaluation) -> None:
    """Two main wheels and the tail wheel in dry sand, each by the package's own wheel."""
    dossier = demo.dossier
    answer = answer_gear(dossier, first_asked(dossier.airplane, "tail wheel"), demo.fit)
    main, third = answer.wheels
    alone = rolling_in(SOILS["dry sand"], main.load * GRAVITY, 0.28, 2 * 0.368, 0.9e5)
    assert main.rolling == alone
    drag = 2.0 * main.load * main.rolling.resistance + third.load * third.rolling.resistance
    assert answer.drag_share == pytest.approx(drag / answer.asked.mass)
    assert main.area == pytest.approx(main.load * GRAVITY / 0.9e5)


def test_floats_are_answered_with_the_fit_and_wait_without_it(demo: Evaluation) -> None:
    """The kit's own masses, the regulation's buoyancy, a run between take-off run and a few of them."""
    dossier = demo.dossier
    asked = first_asked(dossier.airplane)
    (water,) = answer_gear(dossier, asked, demo.fit).floats
    assert water.mass_change == pytest.approx(171.0 - 58.0 - 6.2)
    assert water.buoyancy == pytest.approx(2100.0 / asked.mass - 1.0)
    assert water.run is not None
    roll = ask(
        dossier, demo.fit, Question("take-off ground roll", "tail wheel", asked.mass, technique="normal")
    )
    assert roll.estimate.value < water.run[1] < 5.0 * roll.estimate.value
    assert water.run[0] < water.run[1] < water.run[2]
    (waits,) = answer_gear(dossier, asked).floats
    assert waits.run is None
    assert "waits for a fitted airplane" in gear_sentences(answer_gear(dossier, asked), dossier.units)[-1]


def test_without_a_fit_the_thrust_is_that_of_usual_blades(demo: Evaluation) -> None:
    """Disk theory by hand: (2 ρ A (0.75 P)²)^⅓ for 149 kW; the fitted one lies within its spread."""
    dossier = demo.dossier
    assumed = answer_gear(dossier).thrust
    area = math.pi / 4.0 * dossier.airplane.propeller.diameter**2
    assert assumed.value == pytest.approx((2.0 * 1.225 * area * (0.75 * 149e3) ** 2) ** (1 / 3), rel=1e-4)
    fitted = answer_gear(dossier, fit=demo.fit).thrust
    assert assumed.sd is not None
    assert abs(fitted.value - assumed.value) < 3.0 * assumed.sd


def test_the_battery_claim_and_the_timeline_agree(demo: Evaluation) -> None:
    """The claim's minutes are those of the back-up alone, played through at its temperature."""
    dossier = demo.dossier
    asked = ElectricsAsked("the alternator stops and the main battery fails", 263.15)
    engine = answer_electrics(dossier, asked, demo.fit).found.engine
    judged: Verdict = next(item for item in demo.verdicts if item.claim.id == "ignition battery")
    figure = judged.evidence[0].figure
    assert engine is not None
    assert figure is not None
    assert engine.value == pytest.approx(figure.value)
    assert engine.sd == pytest.approx(figure.sd, rel=1e-3)


def test_the_trip_is_the_worst_half(demo: Evaluation) -> None:
    """By hand from the model's own cruise speed and glide: half the trip, and what is left plus the glide."""
    dossier = demo.dossier
    answer = answer_electrics(dossier, None, demo.fit)
    trip, engine = answer.trip, answer.found.engine
    assert trip is not None
    assert trip.reach is not None
    assert engine is not None
    mission = next(item for item in dossier.missions if item.name == trip.mission)
    _, needed = worst_leg(mission.distance, trip.true_airspeed.value, mission.head_wind)
    assert trip.needed == pytest.approx(needed)
    assert trip.distance == pytest.approx(mission.distance / 2.0)
    alone = reach_on_battery(engine, trip.true_airspeed)
    assert trip.reach.value > alone.value
    assert trip.probability > 0.9
    assert f"The trip '{mission.name}' leads" in trip_sentence(answer, dossier.units)
    old = answer_electrics(dossier, ElectricsAsked("the alternator stops", 253.15, 0.5), demo.fit)
    assert old.trip is not None
    assert old.trip.probability < trip.probability
    assert answer_electrics(dossier).trip is None


def test_cold_and_age_stand_in_order(demo: Evaluation) -> None:
    """The table falls with age and rises with warmth; the asked place is its own figure."""
    answer = answer_electrics(demo.dossier, ElectricsAsked("the alternator stops", 273.15, 0.8), demo.fit)
    grid = answer.sensitivity
    assert len(grid) == len(TEMPERATURES)
    assert all(first >= second for row in grid for first, second in pairwise(row))
    assert all(low <= high for lower, upper in pairwise(grid) for low, high in zip(lower, upper, strict=True))
    assert answer.found.played.engine == pytest.approx(grid[TEMPERATURES.index(273.15)][AGES.index(0.8)])


def test_every_table_has_its_cells(demo: Evaluation) -> None:
    """Each failure's answer fills its tables; the half hour's rule is told either way."""
    dossier = demo.dossier
    for failure in answer_electrics(dossier).failures:
        answer = answer_electrics(dossier, ElectricsAsked(failure), demo.fit)
        assert electrics_sentence(answer, dossier.units).startswith(
            f"If {failure}, with the batteries at 10 °C, "
        )
        held = "does not hold" not in thirty_minutes_sentence(answer)
        assert held == answer.found.played.meets_thirty_minutes
        for table in electrics_tables(answer, dossier.units):
            assert all(len(row) == len(table.headings) for row in table.rows)
    assert minutes(Estimate(5400.0, 600.0, Dimension.TIME, "")) == "90\u00a0±\u00a010 min"
    assert plain_cell("!no") == "no"


def test_an_engine_that_needs_no_electricity_is_said_to_run_on(demo: Evaluation) -> None:
    """With magnetos only the loads go dark, and the trip is no matter of the battery."""
    airplane = demo.dossier.airplane
    assert airplane.electrical is not None
    loads = tuple(replace(load, ignition=False) for load in airplane.electrical.loads)
    magnetos = replace(airplane, electrical=replace(airplane.electrical, loads=loads))
    answer = answer_electrics(replace(demo.dossier, airplane=magnetos), None, demo.fit)
    assert "the engine, which needs no electricity, runs on, but" in electrics_sentence(
        answer, demo.dossier.units
    )
    assert answer.trip is not None
    assert answer.trip.reach is None
    assert "the engine runs on and reaches it" in trip_sentence(answer, demo.dossier.units)


def test_what_cannot_be_asked_is_refused_in_words(demo: Evaluation) -> None:
    """Unknown names, a CG beyond the wheels, an airplane without electrics: each by its place."""
    dossier = demo.dossier
    with pytest.raises(InquiryError) as told:
        typed_gear({"cg": "9 m", "mass": "0", "friction": "2", "soil": "porridge"}, dossier)
    assert set(told.value.places) == {"cg", "mass", "friction", "soil"}
    with pytest.raises(InquiryError, match="no configuration 'floats'"):
        typed_gear({"configuration": "floats"}, dossier)
    with pytest.raises(InquiryError) as told:
        typed_electrics(
            {"temperature": "cold", "age": "120 %", "recognition": "2 days", "shedding": "x"}, dossier
        )
    assert set(told.value.places) == {"temperature", "age", "recognition", "shedding"}
    with pytest.raises(InputError, match="no failure 'the wing falls off'"):
        answer_electrics(dossier, ElectricsAsked("the wing falls off"))
    with pytest.raises(InputError, match="between the wheels"):
        answer_gear(dossier, replace(first_asked(dossier.airplane), cg=9.0))
    with pytest.raises(InputError, match="no soft ground 'porridge'"):
        answer_gear(dossier, replace(first_asked(dossier.airplane), soil="porridge"))
    bare: Dossier = replace(dossier, airplane=replace(dossier.airplane, electrical=None))
    with pytest.raises(InputError, match="no electrical system"):
        answer_electrics(bare)


def test_a_bare_description_is_answered_as_far_as_it_goes(demo: Evaluation) -> None:
    """Five lengths and no more: loads, angles, turn; no clearance, tyres, legs or floats, no spread."""
    bare = replace(demo.dossier, airplane=invented())
    answer = answer_gear(bare, fit=demo.fit)
    assert answer.clearances == ()
    assert answer.wheels == ()
    assert answer.floats == ()
    assert answer.standing.tip_angle.sd is None
    tables = gear_tables(answer, bare.units)
    assert len(tables) == 3
    assert "described without an uncertainty" in tables[0].note
