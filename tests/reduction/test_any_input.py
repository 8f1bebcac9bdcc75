"""Whatever a finder or a card hands over, reduction gives points or reasons, never a silent NaN."""

import math
from dataclasses import fields

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.reduction.handmade import DIMENSIONS, STRIP, airplane, flight, point, still_track, weather
from wringout.dossier.card import CardPoint
from wringout.manoeuvres.manoeuvre import Event, Manoeuvre, ManoeuvreKind
from wringout.quantity.estimate import Estimate
from wringout.reduction import reduce
from wringout.reduction.by_hand import MANOEUVRE_OF
from wringout.reduction.points import Point

KINDS: dict[ManoeuvreKind, str] = {found: kind for kind, found in MANOEUVRE_OF.items()}
NUMBERS = st.one_of(
    st.floats(-200.0, 200.0), st.sampled_from([0.0, math.nan, 1e-9, 288.15, 70_000.0, 1500.0, -1500.0])
)
SDS = st.one_of(st.floats(0.0, 5.0), st.sampled_from([None, 0.5]))
LEGS = {
    name: st.tuples(st.floats(-60.0, 60.0), st.floats(0.0, 2.0)) for name in ("east_speed", "north_speed")
}


@st.composite
def manoeuvres(draw: st.DrawFn) -> list[Manoeuvre]:
    """A handful of manoeuvres with some measures of any value."""
    found = []
    for index in range(draw(st.integers(1, 6))):
        kind = draw(st.sampled_from(sorted(KINDS)))
        measures = {
            name: Estimate(draw(NUMBERS), draw(SDS), dimension, "drawn")
            for name, dimension in DIMENSIONS.items()
            if draw(st.integers(0, 9))  # most figures are there
        }
        if kind == "level leg":
            # The finder's promise: a level leg has its ground velocity.
            for name, pair in LEGS.items():
                measures[name] = Estimate(*draw(pair), DIMENSIONS[name], "drawn")
        start = 100.0 + 200.0 * index
        events = (Event("break", start + 10.0, 0.3, "drawn"),) if draw(st.booleans()) else ()
        found.append(Manoeuvre(kind, start, start + 60.0, events, measures))
    return found


def card_point(index: int, found: Manoeuvre, power: str) -> CardPoint:
    """The point that this manoeuvre was flown for."""
    kind = KINDS[found.kind]
    return point(f"{index}", kind, found.start - 1.0, found.end + 1.0, power=power, strip=STRIP.name)  # type: ignore[arg-type]


@settings(max_examples=100, deadline=None)
@given(
    manoeuvres(),
    st.sampled_from(["full", "idle", "part"]),
    st.floats(0.0, 15.0),
    st.sampled_from([0.0, 2.0, 10.0]),
    st.booleans(),
)
def test_points_or_reasons(
    found: list[Manoeuvre], power: str, wind: float, mast: float, needle: bool
) -> None:
    """Every manoeuvre ends as a point with finite figures or as a reason."""
    cards = [card_point(index, one, power) for index, one in enumerate(found)]
    track = still_track(1500.0, 900.0, speed=(25.0, 3.0))
    channels = {"indicated_airspeed": np.where(track.time > 500.0, 24.0, 0.0)} if needle else {}
    flown = flight(cards, found, track=track, readings=[weather(wind=wind, mast=mast)], channels=channels)
    result = reduce([flown], airplane(), [STRIP])
    made: list[Point] = [*result.stalls, *result.levels, *result.climbs, *result.takeoffs, *result.landings]
    assert len(made) + len(result.left_out) >= len(found)
    for one in made:
        for field in fields(one):
            name, figure = field.name, getattr(one, field.name)
            if isinstance(figure, Estimate):
                assert math.isfinite(figure.value), (name, figure)
                assert figure.sd is None or math.isfinite(figure.sd), (name, figure)
