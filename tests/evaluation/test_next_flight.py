"""What to fly next for the demo: on one strip, within limits, for each claim that is open, in the report."""

import pytest

from wringout.evaluation import Evaluation, next_flight
from wringout.evaluation.next_flight import ENDED, usual_strip
from wringout.evaluation.next_words import lasting_sentence, next_sentence
from wringout.model.candidates import Limits
from wringout.model.question import Question
from wringout.problems import InputError
from wringout.report.verdicts import claim_blocks

LANDING = Question("landing ground roll", "tail wheel", 1050.0, technique="short field")


def test_take_offs_and_landings_are_on_one_strip(demo: Evaluation) -> None:
    """The way to another strip is no part of a point's minutes: the one flown from, or the one asked for."""
    home = usual_strip(demo.dossier)
    assert home == "Corran Mill"
    for asked, expected in ((None, home), ("Low Sannet", "Low Sannet")):
        flight = next_flight(demo.dossier, demo.fit, LANDING, strip=asked)
        assert {offer.candidate.strip for offer in flight.offers} == {None, expected}
    with pytest.raises(InputError, match="there is no strip"):
        next_flight(demo.dossier, demo.fit, LANDING, strip="Low Sanet")


def test_the_spread_told_is_that_of_the_answer(demo: Evaluation) -> None:
    """The standard deviation as it stands is the prediction's own, to what a linear view of it misses; points
    take it down, and never below what the model itself may miss."""
    for question in (
        LANDING,
        Question("cruise speed", "tail wheel", 1050.0, pressure_altitude=1500.0, power_fraction=0.75),
        Question("stall speed", "tail wheel", 1050.0, flap="45"),
    ):
        flight = next_flight(demo.dossier, demo.fit, question)
        assert flight.sd == pytest.approx(flight.answer.estimate.sd, rel=0.1)
        assert flight.lasting < flight.sd_after < flight.sd


def test_a_sortie_keeps_its_time_and_kinds(demo: Evaluation) -> None:
    """Ten minutes are ten minutes; where nothing helpful is allowed, the sentence says so."""
    flight = next_flight(demo.dossier, demo.fit, LANDING, 600.0)
    assert 0.0 < flight.time <= 600.0
    units = demo.dossier.units
    assert next_sentence(flight, units, "the roll").startswith("Fly two landings ‘short field’")
    assert lasting_sentence(flight, units)
    none = next_flight(demo.dossier, demo.fit, LANDING, limits=Limits(kinds=("stall",)))
    assert none.steps == ()
    assert next_sentence(none, units, "the roll").startswith("No point that fits into 60 min")


def test_each_open_claim_has_its_flight_in_the_report(demo: Evaluation) -> None:
    """Those that lean, are open or were not tested and that points tell of; none that is settled."""
    by_arithmetic = ("useful load", "payload", "range", "stopping distance", "battery endurance")
    told = [item.number for item in demo.to_settle]
    assert told == [
        number
        for number, verdict in enumerate(demo.verdicts)
        if verdict.finding not in ENDED and verdict.claim.quantity not in by_arithmetic
    ]
    assert told
    block = claim_blocks(demo)[-1]
    table = block["blocks"][-1]
    assert [row[0] for row in table["rows"]] == [demo.verdicts[number].claim.statement for number in told]
