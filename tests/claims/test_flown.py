"""Claims that flights decide: the fitted model, the points brought over, and when nothing was tested."""

from dataclasses import replace

import numpy as np
import pytest

from tests.claims.hand_built import claim, dossier
from tests.model.invented import airplane, flown_by, planned, true_vector
from wringout.airplane.airplane import Airplane, Configuration, Undercarriage
from wringout.claims import Verdict, judge
from wringout.claims.relation import finding
from wringout.dossier.claim import Claim
from wringout.model import fit, predict
from wringout.model.fit import Fit
from wringout.model.question import Question
from wringout.quantity import show
from wringout.reduction.points import Points

KNOT = 1852.0 / 3600.0


def with_skis() -> Airplane:
    """The tests' airplane with a third configuration that nobody flew."""
    skis = Configuration("skis", Undercarriage("skis", 0.4, 5.6, 2.1, 1.1, braking=False), "normal")
    return airplane(configurations=(*airplane().configurations, skis))


@pytest.fixture(scope="module")
def flown() -> tuple[Points, Fit]:
    """Points of the priors' own airplane, and their fit."""
    rng = np.random.default_rng(21)
    vector = true_vector(with_skis(), planned(), rng, spread=0.0)
    points = flown_by(with_skis(), planned(), vector, rng)
    return points, fit(with_skis(), points, seed=2, draws=600)


def verdict(flown: tuple[Points, Fit], *claims: Claim) -> Verdict:
    """The verdict on the first of some claims."""
    points, fitted = flown
    return judge(dossier(*claims, made=with_skis()), points, fitted)[0]


def test_a_stall_speed_well_above_and_well_below(flown: tuple[Points, Fit]) -> None:
    """The truth at 1090 kg is 20.33 m/s, 39.5 kt: at most 43 kt holds, at most 36 kt does not."""
    high = verdict(flown, claim("stall speed", "at most", "43 kt", configuration="tail wheel", flap="45"))
    low = verdict(flown, claim("stall speed", "at most", "36 kt", configuration="tail wheel", flap="45"))
    assert high.finding == "borne out"
    assert low.finding == "not borne out"
    assert high.evidence[-1].kind == "model"
    assert high.evidence[-1].figure is not None
    assert high.evidence[-1].figure.value / KNOT == pytest.approx(39.5, abs=1.5)


def test_the_verdict_is_the_models_probability(flown: tuple[Points, Fit]) -> None:
    """At the median itself about half of the draws hold: 40 to 60 %, open."""
    asked = Question("rate of climb", "tail wheel", 1090.0)
    median = predict(with_skis(), flown[1], asked).estimate.value
    text = show(median, "ft/min", digits=0)
    found = verdict(flown, claim("rate of climb", "at least", text, configuration="tail wheel"))
    assert found.probability == pytest.approx(0.5, abs=0.06)
    assert found.finding == finding(0.5) == "open"


def test_measured_points_lead_down_to_the_recording(flown: tuple[Points, Fit]) -> None:
    """Three climbs at most, each with its span, its figure brought over and its own probability."""
    found = verdict(flown, claim("rate of climb", "at least", "500 ft/min", configuration="tail wheel"))
    measured = [item for item in found.evidence if item.kind == "measured"]
    assert len(measured) == 3
    for item in measured:
        assert len(item.origins) == 1
        assert item.origins[0].card == "day 1"
        assert item.origins[0].end > item.origins[0].start
        assert item.figure is not None
        assert item.probability is not None
        assert item.figure.sd is not None
        assert item.figure.sd > 0.0
        assert "the model climbs" in item.arithmetic


def test_a_stall_brought_to_another_mass_by_hand(flown: tuple[Points, Fit]) -> None:
    """From 1020 kg to 1090 kg the model's ratio is √(1090/1020) = 1.034, whatever C_Lmax."""
    found = verdict(flown, claim("stall speed", "at most", "43 kt", configuration="tail wheel", flap="45"))
    measured = [item for item in found.evidence if item.kind == "measured"]
    assert measured
    assert all("times 1.034, the model's ratio" in item.arithmetic for item in measured)


def test_a_take_off_carries_the_scatter_of_a_single_run(flown: tuple[Points, Fit]) -> None:
    """Points of the same technique only, with the scatter of one run, beside the physics' bound."""
    found = verdict(
        flown,
        claim(
            "take-off ground roll",
            "at most",
            "20 m",
            configuration="tail wheel",
            technique="short",
            surface="dry grass",
        ),
    )
    assert found.finding == "not borne out"
    measured = [item for item in found.evidence if item.kind == "measured"]
    assert len(measured) == 2
    assert all("a single run scattering by" in item.arithmetic for item in measured)
    (bound,) = [item for item in found.evidence if item.kind == "physics"]
    assert "the ideal propeller disk pulls" in bound.arithmetic
    assert bound.probability == 0.0


def test_the_ideal_disk_by_hand(flown: tuple[Points, Fit]) -> None:
    """(2 ρ A P²)^⅓ with 149 kW, 2.03 m and sea-level air: (2 · 1.225 · 3.2365 · 149000²)^⅓ = 5605 N."""
    found = verdict(
        flown, claim("take-off distance", "at most", "300 m", configuration="tail wheel", technique="short")
    )
    assert "= 5605 N" in " ".join(item.arithmetic for item in found.evidence)


def test_a_configuration_nobody_flew_is_not_tested(flown: tuple[Points, Fit]) -> None:
    """On skis nothing was flown: not tested, though the model has a figure."""
    found = verdict(flown, claim("rate of climb", "at least", "500 ft/min", configuration="skis"))
    assert found.finding == "not tested"
    assert found.probability is None
    assert "nothing was flown as skis" in found.reason


def test_a_flap_setting_nobody_stalled_is_not_tested() -> None:
    """Stalls with flaps up only: the claim with flaps 45 rests on its prior."""
    rng = np.random.default_rng(5)
    plan = planned(field=False)
    plan = replace(plan, stalls=plan.stalls[:2])
    points = flown_by(airplane(), plan, true_vector(airplane(), plan, rng, spread=0.0), rng)
    fitted = fit(airplane(), points, seed=2, draws=400)
    wanted = claim("stall speed", "at most", "36 kt", configuration="tail wheel", flap="45")
    (found,) = judge(dossier(wanted), points, fitted)
    assert found.finding == "not tested"
    assert "taught next to nothing" in found.reason


def test_what_was_not_stated_is_listed(flown: tuple[Points, Fit]) -> None:
    """Mass, surface, temperature and technique assumed: each has its sentence."""
    found = verdict(flown, claim("landing distance", "at most", "400 m", configuration="tail wheel"))
    words = "; ".join(found.assumptions)
    for gap in ("mass not stated", "surface not stated", "temperature not stated", "technique not stated"):
        assert gap in words
    assert "the shortest of those flown" in words


def test_a_technique_nobody_flew_is_replaced_and_said(flown: tuple[Points, Fit]) -> None:
    """The maker's 'hero' technique was not flown: the shortest flown stands in."""
    found = verdict(
        flown, claim("landing ground roll", "at most", "90 m", configuration="tail wheel", technique="hero")
    )
    assert any("technique 'hero' was not flown" in sentence for sentence in found.assumptions)


def test_range_by_the_flights(flown: tuple[Points, Fit]) -> None:
    """180 L, 65 % power, 2 000 m, 45 min kept: (fuel − taxi − climb)/flow − reserve, times speed."""
    found = verdict(
        flown,
        claim(
            "range",
            "at least",
            "100 nm",
            configuration="tail wheel",
            pressure_altitude=2000.0,
            power_fraction=0.65,
            fuel=0.18,
            reserve=2700.0,
        ),
    )
    assert found.finding == "borne out"
    (model,) = [item for item in found.evidence if item.kind == "model"]
    assert model.figure is not None
    flow = 0.65 * 149e3 * 0.97 * 7.6e-8 / 720.0  # m³/s of the true airplane
    rough = ((0.18 - 0.008) / flow - 2700.0) * 55.0
    assert model.figure.value == pytest.approx(rough, rel=0.1)


def test_a_stop_as_braked_in_the_landings(flown: tuple[Points, Fit]) -> None:
    """From 20 m/s on grass with 0.7 of a friction of 0.4 the wheels give some 0.25 g: about 80 m."""
    found = verdict(
        flown,
        claim(
            "stopping distance", "at most", "200 m", configuration="tail wheel", speed=20.0, surface="grass"
        ),
    )
    assert found.finding == "borne out"
    (model,) = [item for item in found.evidence if item.kind == "model"]
    assert model.figure is not None
    assert 60.0 < model.figure.value < 110.0
    assert any(item.kind == "measured" and item.origins for item in found.evidence)


def test_verdicts_stand_in_the_order_of_the_register(flown: tuple[Points, Fit]) -> None:
    """One verdict a claim, in order, and the finding that its probability says."""
    claims = (
        claim("glide ratio", "at least", "8", configuration="tail wheel"),
        claim("service ceiling", "at least", "10 000 ft", configuration="tail wheel"),
        claim("full-throttle speed", "at least", "110 kt", configuration="tail wheel"),
        claim("fuel flow", "at most", "60 L/h", configuration="tail wheel", power_fraction=0.65),
        claim("cruise speed", "at least", "90 kt", configuration="tail wheel", power_fraction=0.65),
    )
    points, fitted = flown
    found = judge(dossier(*claims, made=with_skis()), points, fitted)
    assert [item.claim.quantity for item in found] == [item.quantity for item in claims]
    for item in found:
        assert item.probability is not None
        assert item.finding == finding(item.probability)
        assert item.evidence
