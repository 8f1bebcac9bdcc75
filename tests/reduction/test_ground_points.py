"""Take-off and landing points: speeds through the air, slope, and when none can be made."""

import math
from dataclasses import replace

import pytest

from tests.reduction.handmade import (
    FIELD_ELEVATION,
    STRIP,
    airplane,
    flight,
    manoeuvre,
    point,
    still_track,
    weather,
)
from wringout.dossier.dossier import Strip
from wringout.manoeuvres.manoeuvre import Event, Manoeuvre
from wringout.recordings.recording import Track
from wringout.reduction import reduce
from wringout.reduction.points import LeftOut, TakeoffPoint

MEASURES = {
    "ground_roll": (120.0, 3.0),
    "air_distance": (90.0, 5.0),
    "lift_off_ground_speed": (22.0, 0.2),
    "obstacle_ground_speed": (24.0, 0.2),
    "roll_track": (math.radians(90.0), 0.01),
    "strip_height": (FIELD_ELEVATION, 3.0),
}


def take_off(**more: tuple[float, float]) -> Manoeuvre:
    """A take-off to the east with some measures replaced."""
    return manoeuvre(
        "take-off", 100.0, 130.0, {**MEASURES, **more}, Event("obstacle", 122.0, 0.3, "hand-made")
    )


def reduced(
    found: Manoeuvre,
    strips: tuple[Strip, ...] = (STRIP,),
    *,
    strip: str | None = "Tarn Meadow",
    **more: object,
) -> TakeoffPoint | LeftOut:
    """The one point or reason that a take-off gives."""
    points = [point("T1", "take-off", 90.0, 140.0, strip=strip)]
    result = reduce([flight(points, [found], **more)], airplane(), strips)  # type: ignore[arg-type]
    return result.takeoffs[0] if result.takeoffs else result.left_out[0]


def made(found: TakeoffPoint | LeftOut) -> TakeoffPoint:
    """The point, which must have been made."""
    assert isinstance(found, TakeoffPoint)
    return found


def reason(found: TakeoffPoint | LeftOut) -> str:
    """The reason, as no point may have been made."""
    assert isinstance(found, LeftOut)
    return found.reason


def test_wind_from_a_mast_is_brought_down_to_the_wing() -> None:
    """8 m/s at 10 m over short grass are 5.8 m/s at the wing 2 m up, and more over the obstacle."""
    found = made(reduced(take_off(), readings=[weather(wind=8.0, mast=10.0)]))
    assert found.head_wind.value == pytest.approx(5.8, abs=0.05)
    assert found.lift_off_speed.value == pytest.approx(27.8, abs=0.05)
    assert found.obstacle_speed.value > 24.0 + 8.0
    assert "by the logarithmic law" in found.head_wind.source


def test_climbing_adds_to_the_speed_over_the_obstacle() -> None:
    """Airspeed is along the path: 5 m/s of climb on 28 m/s forward are 28.4."""
    track = still_track(200.0, FIELD_ELEVATION, up_speed=0.0)
    rising = replace(track, up_speed=track.up_speed + 5.0)
    level, steep = (made(reduced(take_off(), track=one)).obstacle_speed.value for one in (track, rising))
    assert steep == pytest.approx(math.hypot(level, 5.0))


def test_indicator_is_weighted_in_where_it_agrees() -> None:
    """An indicated airspeed that agrees sharpens the lift-off speed; one far off is named and left."""
    without = made(reduced(take_off()))
    agreeing = made(reduced(take_off(indicated_airspeed=(25.0, 0.2))))
    disagreeing = made(reduced(take_off(indicated_airspeed=(45.0, 0.2))))
    assert agreeing.lift_off_speed.sd is not None
    assert without.lift_off_speed.sd is not None
    assert agreeing.lift_off_speed.sd < without.lift_off_speed.sd
    assert "weighted with" in agreeing.lift_off_speed.source
    assert disagreeing.lift_off_speed.value == pytest.approx(without.lift_off_speed.value)
    assert "disagrees and is not used" in disagreeing.lift_off_speed.source


def test_measured_slope_weighs_by_its_roll() -> None:
    """Satellite heights drift by a metre or two, 1.2 % of 120 m: they hardly move the stated slope."""
    found = made(reduced(take_off(strip_slope=(0.01, 1.5 / 120.0))))
    assert 0.0185 < found.slope.value < 0.02
    assert "2.0 % as stated" in found.slope.source


def test_the_strip_moves_the_obstacle_with_it() -> None:
    """90 m found on a slope of 1 ± 1 %, 800 m longer for a slope of one; the dossier says 2 ± 0.4 %.

    By hand: weights 1/0.01² and 1/0.004² give 1.862 ± 0.371 %, so 6.9 m more; of 10 m the slope made 8, now
    it makes 2.97: √(100 − 64 + 8.83) = 6.70 m.
    """
    measures = {"air_distance": (90.0, 10.0), "strip_slope": (0.01, 0.01)}
    found = made(reduced(take_off(**measures, air_distance_per_slope=(800.0, 0.0))))
    assert found.air_distance.value == pytest.approx(90.0 + 6.897, abs=0.01)
    assert found.air_distance.sd == pytest.approx(6.70, abs=0.01)
    assert "+1.9 %" in found.air_distance.source
    alone = made(reduced(take_off(**measures, air_distance_per_slope=(800.0, 0.0)), strip=None))
    assert (alone.air_distance.value, alone.air_distance.sd) == pytest.approx((90.0, 10.0))
    marked = made(reduced(take_off(**measures)))
    assert (marked.air_distance.value, marked.air_distance.sd) == (90.0, 10.0)


def slowing(acceleration: float) -> Track:
    """A track to the east at 20 m/s, faster or slower all the while [m/s²]."""
    track = still_track(200.0, FIELD_ELEVATION, (20.0, 0.0))
    return replace(track, east_acceleration=track.east_acceleration + acceleration)


def test_a_late_touch_shortens_the_roll_and_slows_the_touch() -> None:
    """One cause of both errors: from 20 m/s in 100 m, half a second makes 10 m and 1 m/s, and no braking.

    Uniform braking of 2 m/s² is V²/2S at whichever moment the roll is begun: that half second leaves it as it
    is. The rest of 10.2 m and 1.03 m/s is 2.01 m and 0.247 m/s: 0.204 √(0.0201² + 0.0247²) = 0.0065, with
    the slope's 0.4 % 0.0076. Taken for independent it would be 0.204 √(0.102² + 0.103²), with it 0.030.
    """
    landing = manoeuvre(
        "landing",
        100.0,
        130.0,
        {
            "ground_roll": (100.0, 10.2),
            "air_distance": (150.0, 5.0),
            "touchdown_ground_speed": (20.0, 1.03),
            "obstacle_ground_speed": (24.0, 0.2),
            "roll_track": (math.radians(90.0), 0.01),
            "strip_height": (FIELD_ELEVATION, 3.0),
        },
        Event("obstacle", 108.0, 0.3, "hand-made"),
        Event("touchdown", 115.0, 0.5, "hand-made"),
    )
    level = replace(STRIP, slope=0.0)
    points = [point("L1", "landing", 90.0, 140.0, strip=level.name)]
    (uniform,), (coasting,) = (
        reduce([flight(points, [landing], track=slowing(rate))], airplane(), (level,)).landings
        for rate in (-2.0, 0.0)
    )
    assert uniform.mean_braking.value == pytest.approx(400.0 / (2 * 9.80665 * 100.0), abs=1e-6)
    assert uniform.mean_braking.sd == pytest.approx(0.0076, abs=1e-4)
    # unbraked the touch's speed would not hang on its moment
    assert coasting.mean_braking.sd == pytest.approx(0.0298, abs=1e-4)


def test_a_late_lift_off_raises_both_airspeeds() -> None:
    """Ground speed and needle read at one uncertain moment: weighting them does not make it surer.

    2 m/s² and 0.5 s are 1 m/s in either, whatever else they err.
    """
    measures = {"lift_off_ground_speed": (22.0, 1.02), "indicated_airspeed": (25.5, 1.02)}
    lifted = replace(
        take_off(**measures),
        events=(Event("lift-off", 115.0, 0.5, "hand-made"), Event("obstacle", 122.0, 0.3, "hand-made")),
    )
    found = made(reduced(lifted, track=slowing(2.0)))
    assert "weighted with" in found.lift_off_speed.source
    assert found.lift_off_speed.sd is not None
    assert found.lift_off_speed.sd > 1.0


def test_unnamed_strip_leaves_slope_to_the_recording() -> None:
    """Without a strip the recording's slope is taken, and the surface is unknown."""
    found = made(reduced(take_off(strip_slope=(0.013, 0.004)), strip=None))
    assert found.slope.value == 0.013
    assert found.surface == "unknown"


def test_wrong_strip_is_refused() -> None:
    """A roll across the named strip, or a strip nobody described, gives no point but a reason."""
    across = reason(reduced(take_off(roll_track=(math.radians(160.0), 0.01))))
    assert "along 160° true but Tarn Meadow lies along 90°" in across
    assert "'Nowhere' is not among the dossier's strips" in reason(reduced(take_off(), strip="Nowhere"))


def test_missing_measures_and_weather_are_named() -> None:
    """A recording that misses the obstacle, or a card without wind, says so."""
    measures = {name: pair for name, pair in MEASURES.items() if name != "air_distance"}
    found = reason(reduced(manoeuvre("take-off", 100.0, 130.0, measures)))
    assert "has no plausible air distance" in found
    altitude = {"pressure_altitude": still_track(200.0, 400.0).up}
    warm = {"outside_air_temperature": still_track(200.0, 288.0).up}
    calm = reduced(take_off(), track=still_track(200.0, 400.0), readings=[], channels={**altitude, **warm})
    assert "wind along the strip is unknown" in reason(calm)


def test_standard_roll_gathers_every_correction() -> None:
    """Head wind, uphill slope, a light airplane and thin air: each makes the standard roll another length."""
    plain = made(reduced(take_off())).standard_ground_roll
    windless = made(reduced(take_off(), readings=[weather(wind=0.0)])).standard_ground_roll
    level = made(reduced(take_off(), (replace(STRIP, slope=0.0),))).standard_ground_roll
    assert plain is not None
    assert windless is not None
    assert level is not None
    assert plain.value > windless.value
    assert level.value > plain.value
    assert plain.sd is not None
    assert plain.sd > 3.0
