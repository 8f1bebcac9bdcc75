"""The undercarriage's answer as a sentence, its tables and its caution."""

from __future__ import annotations

import math

import numpy as np

from wringout.airplane.airplane import Airplane
from wringout.airplane.lookups import configuration_envelope
from wringout.charts.undercarriage import Marked
from wringout.dossier.dossier import Units
from wringout.evaluation.gear import SWING_SPEED, GearAnswer, Wheel
from wringout.evaluation.on_water import OnWater
from wringout.evaluation.word_table import WordTable, failing
from wringout.physics.constants import GRAVITY
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.quantity.showing import arm_digits, show
from wringout.undercarriage import BEARABLE, SOILS, Rule, bearing_ratio, undercarriage_rules

CAUTION = (
    "Static, rigid and level, without lift: it says what the geometry allows, not what to do. An "
    "exchange of gear is made and recorded by a licensed mechanic."
)
_WHEELS = 3
_NO_SD = "described without an uncertainty"


def gear_sentence(answer: GearAnswer) -> str:
    """'On its nose wheel gear 9 to 17 % stand on the nose wheel; of 10 rules one is broken: …'"""
    report = answer.report
    low, high = 100.0 * float(report.third_share.min()), 100.0 * float(report.third_share.max())
    wheel = "nose wheel" if answer.gear.third_arm < answer.gear.main_arm else "tail wheel"
    wheel = "tail ski" if answer.gear.kind == "skis" and wheel == "tail wheel" else wheel
    share = f"{low:.0f} to {high:.0f} % of the weight stands on the {wheel}"
    failed, count = answer.failed, len(report.rules)
    name = f"As {answer.asked.configuration}"
    if not failed:
        return f"{name}, {share}, and all {count} rules of the trade hold over the whole envelope."
    told = "; ".join(_broken(rule) for rule in failed[:2])
    more = f", and {len(failed) - 2} more" if len(failed) > 2 else ""
    counted = (
        f"one of {count} rules of the trade does"
        if len(failed) == 1
        else f"{len(failed)} of {count} rules of the trade do"
    )
    return f"{name}, {share}; {counted} not hold: {told}{more}."


def marked_on(airplane: Airplane, answer: GearAnswer) -> Marked:
    """What the drawings mark: the CG range, the asked CG, and in rust what fails at the asked CG itself."""
    arms = [cg for cg, _ in configuration_envelope(airplane, answer.asked.configuration).vertices]
    here = undercarriage_rules(airplane, answer.gear, np.array([answer.asked.cg]))
    failed = {rule.name for rule in here if not rule.holds}
    return Marked(
        min(arms),
        max(arms),
        answer.asked.cg,
        tip_fails=any("tip-back" in name or "behind the main" in name for name in failed),
        overturn_fails="greatest overturn angle" in failed,
        propeller_fails="propeller clear of the ground, level, standing" in failed,
    )


def direction_sentence(answer: GearAnswer) -> str:
    """Which way a swing on the wheels goes by itself."""
    if answer.swing_growth is None:
        return ""
    speed = f"{SWING_SPEED:.0f} m/s"
    if answer.swing_growth <= 0.0:
        return (
            "With the CG ahead of the main wheels it runs straight by itself: a swing dies away at any speed."
        )
    twice = math.log(2.0) / answer.swing_growth
    return (
        "With the CG behind the main wheels it does not run straight by itself: left alone at "
        f"{speed} a swing doubles in some {twice:.1f} s."
    )


def standing_table(answer: GearAnswer, units: Units) -> WordTable:
    """Loads and angles at the corners of the envelope and at the asked CG."""
    report, standing, asked = answer.report, answer.standing, answer.asked
    digits = arm_digits(units.arm)
    rows = [
        (
            _bare(float(report.cg[n]), units.arm, digits),
            _bare(float(report.mass[n]), units.mass, 0),
            _bare(float(report.main[n]), units.mass, 0),
            _bare(float(report.third[n]), units.mass, 0),
            f"{100.0 * float(report.third_share[n]):.1f}",
            f"{math.degrees(float(report.tip_angle[n])):.1f}",
            f"{math.degrees(float(report.overturn_angle[n])):.1f}",
            _figure(float(report.braking[n])),
        )
        for n in range(report.cg.size)
    ]
    rows.append(
        (
            f"{_bare(asked.cg, units.arm, digits)} asked",
            _bare(asked.mass, units.mass, 0),
            _bare(standing.main, units.mass, 0),
            _bare(standing.third, units.mass, 0),
            _with_sd(standing.third_share, 100.0),
            _with_sd(standing.tip_angle, 180.0 / math.pi),
            _with_sd(standing.overturn_angle, 180.0 / math.pi),
            f"{answer.braking:.2f}",
        )
    )
    third = "nose" if answer.gear.third_arm < answer.gear.main_arm else "tail"
    return WordTable(
        "What stands on which wheel",
        (
            ("CG", units.arm),
            ("mass", units.mass),
            ("main wheels", units.mass),
            (f"{third} wheel", units.mass),
            (third, "%"),
            ("tip-back" if third == "nose" else "CG behind", "°"),
            ("overturn", "°"),
            (f"braking, grip {asked.friction:g}", "g"),
        ),
        tuple(rows),
        note=f"Corners of the envelope, then as asked; {_told_sd(answer)}.",
    )


def rule_table(answer: GearAnswer) -> WordTable:
    """Every rule with what is found, what is asked, what is to spare, and its source."""
    rows = []
    for rule in (*answer.report.rules, *(item.rule for item in answer.floats)):
        digits = 0 if rule.unit == "mm" else 1
        found = f"{rule.found:.{digits}f}" + (f" ± {rule.sd:.{digits}f}" if rule.sd else "")
        found = (f"{found} {rule.unit}" if rule.unit != "°" else f"{found}°").replace("-", "−")
        rows.append(
            (
                rule.name,
                rule.source,
                rule.asked,
                found if rule.holds else failing(found),
                "holds" if rule.holds else failing("does not hold"),
            )
        )
    return WordTable(
        "Rules of the trade and of the regulations, at the worst CG",
        (("rule", ""), ("source", ""), ("asked", ""), ("found", ""), ("verdict", "")),
        tuple(rows),
        words=3,
        note=f"One standard uncertainty; {_told_sd(answer)}.",
    )


def ground_table(answer: GearAnswer, units: Units) -> WordTable:
    """What the wheels let the pilot do at the asked CG, mass and grip."""
    sd, circle, travel = answer.spreads, answer.circle, answer.gear.castor_travel
    rows = [
        ("braking", answer.braking_binds, f"{_plain(answer.braking, sd.get('braking'), 2)} g"),
        *_braked(answer, units),
        *_clear(answer),
        (
            "castor to pivot on one wheel",
            "swivels all round" if travel is None else f"travel {_degrees(travel)}",
            _degrees(answer.castor_needed, sd.get("castor")),
        ),
        ("tightest turn, middle of the axle", "", _metres(circle.radius, units, sd.get("turn"))),
        (
            "circle to be free",
            f"farthest: {circle.farthest}",
            _metres(circle.diameter, units, sd.get("circle")),
        ),
        ("hangar door", "half a metre at each tip", _metres(answer.door, units)),
    ]
    rows += [
        (f"step from rest, {wheel}", "at full power", show(step, "mm", sd.get(f"step, {wheel}"), digits=0))
        for wheel, step in answer.steps
    ]
    if answer.steps:
        rows.append(("thrust at rest", answer.thrust.source, _force(answer.thrust)))
    if answer.nose_over_thrust is not None:
        lifts = show(answer.nose_over_thrust, "N", sd.get("nose over"), digits=0)
        rows.append(("thrust that lifts the tail, wheels held", "", lifts))
    return WordTable(
        "What the wheels allow",
        (("what", ""), ("condition", ""), ("found", "")),
        (*rows, *_straight(answer, units), *_sprung(answer)),
        words=2,
        note=f"One standard uncertainty, where it reaches the last digit; {_told_sd(answer)}. Grip, side "
        "force and described deflections carry none: none is published or described.",
    )


Row = tuple[str, str, str]


def _braked(answer: GearAnswer, units: Units) -> tuple[Row, ...]:
    if answer.nose_load is None:
        return ()
    share = f"{100.0 * answer.nose_load / answer.asked.mass:.0f} % of all"
    return (("nose wheel while braking so", share, show(answer.nose_load, units.mass, digits=0)),)


def _clear(answer: GearAnswer) -> tuple[Row, ...]:
    """Propeller and tail against the ground."""
    rows: list[Row] = []
    for item in answer.clearances:
        asked = "" if item.asked is None else "must clear"
        if item.asked:
            asked = f"asked {show(item.asked, 'mm', digits=0)}"
        value = show(item.found, "mm", answer.spreads.get(f"clearance, {item.attitude}"), digits=0)
        bad = item.asked is not None and (item.found < item.asked or item.found <= 0.0)
        rows.append((f"propeller to ground, {item.attitude}", asked, failing(value) if bad else value))
    if answer.nose_down is not None and answer.gear.third_arm > answer.gear.main_arm:
        down = _degrees(answer.nose_down, answer.spreads.get("nose down"))
        rows.append(("nose down to touch", "propeller, from level", down))
    if answer.tail_down is not None:
        down = _degrees(answer.tail_down, answer.spreads.get("tail down"))
        rows.append(("tail down to touch", "nose up, from level", down))
    return tuple(rows)


def _straight(answer: GearAnswer, units: Units) -> tuple[Row, ...]:
    """What keeps it straight, and what does not."""
    sd, behind = answer.spreads, answer.wheel_margin > 0.0
    margin = _plain(
        100.0 * abs(answer.wheel_margin), None if "wheel margin" not in sd else 100.0 * sd["wheel margin"], 0
    )
    rows: list[Row] = [
        (
            "sideways before it lets go",
            "skids first" if answer.skids_first else "tips first",
            f"{_plain(answer.sideways, sd.get('sideways'), 2)} g",
        ),
        (
            f"main wheels {'behind' if behind else 'ahead of'} the CG",
            "restores a swing" if behind else "swings further",
            f"{margin} % of the wheelbase",
        ),
    ]
    for wind, how in ((answer.side_wind, "one brake helping"), (answer.side_wind_unbraked, "no brake")):
        if wind is not None and 0.0 < wind < math.inf:
            rows.append(("side wind held at a walk", how, show(wind, units.speed, digits=0)))
    return tuple(rows)


def _sprung(answer: GearAnswer) -> tuple[Row, ...]:
    if answer.leg is None:
        return ()
    path = answer.leg.path
    return (
        ("trailing arm: wheel up", f"aft {show(path.aft, 'mm', digits=0)}", show(path.up, "mm", digits=0)),
        ("spring over wheel load", "straight up", f"{answer.leg.ratio:.2f}"),
        ("the same, struck from ahead", "with half the load rearward", f"{answer.leg.with_blow:.2f}"),
    )


def soil_table(answer: GearAnswer, units: Units) -> WordTable | None:
    """Each wheel on soft ground; None where no tyre is described."""
    if not answer.wheels:
        return None
    rows = []
    for wheel in answer.wheels:
        rolling = wheel.rolling
        rows.append(
            (
                wheel.name if wheel.count == 1 else f"each {wheel.name}",
                _bears(wheel),
                _bare(wheel.load, units.mass, 0),
                show(wheel.pressure, "bar", digits=1).removesuffix("bar").strip(),
                f"{1e4 * wheel.area:.0f}",
                f"{bearing_ratio(wheel.pressure):.0f}",
                f"{1000.0 * rolling.sinkage:.0f}",
                f"{rolling.resistance:.2f}",
            )
        )
    assert answer.drag_share is not None
    pull = answer.thrust.value / (answer.asked.mass * GRAVITY)
    left = "rolls from rest" if pull > answer.drag_share else "does not roll from rest"
    whole = sum(wheel.count for wheel in answer.wheels) == _WHEELS
    told = "Together" if whole else "The wheels whose tyres are described drag"
    return WordTable(
        f"On soft ground: {answer.asked.soil}",
        (
            ("wheel", ""),
            ("its pressure suits", ""),
            ("load", units.mass),
            ("tyre", "bar"),
            ("contact", "cm²"),
            ("CBR", "%"),
            ("sinks", "mm"),
            ("drag of its load", ""),
        ),
        tuple(rows),
        words=2,
        note=f"{told} {answer.drag_share:.2f} of the weight against a thrust of {pull:.2f} at rest: "
        f"it {left}. {SOILS[answer.asked.soil].source}. No standard uncertainty: soils of one name differ "
        "twofold.",
    )


def ski_sentence(answer: GearAnswer) -> str:
    """Skis on snow; empty on wheels."""
    skis = answer.skis
    if skis is None:
        return ""
    low, high = skis.bounds
    return (
        f"On snow the skis press {skis.pressure / 1000.0:.1f} kPa, sink some "
        f"{100.0 * skis.sinkage:.0f} cm where it is soft, and drag {skis.friction:g} of the weight "
        f"({low:g} to {high:g}, common practice, no source)."
    )


def water_sentences(answer: GearAnswer, units: Units) -> tuple[str, ...]:
    """Each pair of floats: mass, drag, buoyancy and the run on water."""
    return tuple(_water(item, units) for item in answer.floats)


def gear_tables(answer: GearAnswer, units: Units) -> tuple[WordTable, ...]:
    """Every table of the answer, in the order in which the faces show them."""
    soil = soil_table(answer, units)
    found = (rule_table(answer), standing_table(answer, units), ground_table(answer, units))
    return found if soil is None else (*found, soil)


def gear_sentences(answer: GearAnswer, units: Units) -> tuple[str, ...]:
    """Every sentence after the first."""
    told = (direction_sentence(answer), ski_sentence(answer), *water_sentences(answer, units))
    return tuple(sentence for sentence in told if sentence)


def _water(item: OnWater, units: Units) -> str:
    heavier, drag = show(item.mass_change, units.mass, digits=0), ""
    if item.drag_share is not None:
        spread = 100.0 * (item.drag_share.sd or 0.0)
        drag = f", adds {100.0 * item.drag_share.value:.0f} ± {spread:.0f} % to the drag at speed"
    head = (
        f"On {item.name} (described, not flown) it weighs {heavier} more{drag}, and floats with "
        f"{100.0 * item.buoyancy:.0f} % of its buoyancy to spare at {show(item.mass, units.mass, digits=0)}"
    )
    if item.run is None or item.time is None or item.getaway_speed is None or item.overcome is None:
        return f"{head}; the run on water waits for a fitted airplane."
    if math.isinf(item.run[1]):
        return f"{head}; it does not overcome the hump in still air on calm water."
    low, middle, high = item.run
    top = "without end" if math.isinf(high) else show(high, units.distance, digits=0)
    return (
        f"{head}; it leaves calm water after {show(middle, units.distance, digits=0)} and "
        f"{item.time[1]:.0f} s (nine in ten: {_bare(low, units.distance, 0)} to {top}) at "
        f"{show(item.getaway_speed, units.speed, digits=0)}, the hump overcome in "
        f"{100.0 * item.overcome:.0f} % of the draws."
    )


def _broken(rule: Rule) -> str:
    digits = 0 if rule.unit == "mm" else 1
    unit = "°" if rule.unit == "°" else f" {rule.unit}"
    return f"{rule.name} {rule.found:.{digits}f}{unit}, asked {rule.asked}".replace(" -", " −")


def _bears(wheel: Wheel) -> str:
    suits = [name for name, (_, high) in BEARABLE.items() if wheel.pressure <= high]
    return suits[-1] + " and harder" if suits else "tarmac alone"


def _told_sd(answer: GearAnswer) -> str:
    gear = answer.gear
    if gear.measured_sd is None:
        return f"the lengths are {_NO_SD}, and so are the figures"
    height = gear.cg_height_sd or gear.measured_sd
    lengths = f"lengths as measured, ± {1000.0 * gear.measured_sd:.0f} mm"
    return f"{lengths}, the CG's height ± {1000.0 * height:.0f} mm"


def _with_sd(estimate: Estimate, factor: float) -> str:
    value = f"{factor * estimate.value:.1f}"
    return value if estimate.sd is None else f"{value} ± {factor * estimate.sd:.1f}"


def _figure(value: float) -> str:
    return "–" if math.isnan(value) else f"{value:.2f}"


def _plain(value: float, sd: float | None, digits: int) -> str:
    spread = "" if sd is None or round(sd, digits) == 0.0 else f" ± {sd:.{digits}f}"
    return f"{value:.{digits}f}{spread}"


def _degrees(radians: float, sd: float | None = None) -> str:
    return (
        f"{_plain(math.degrees(radians), None if sd is None else math.degrees(sd), 0 if sd is None else 1)}°"
    )


def _metres(value: float, units: Units, sd: float | None = None) -> str:
    return show(value, units.distance, None if sd is None or sd < 0.05 else sd, digits=1)


def _force(estimate: Estimate) -> str:
    return show(estimate.value, "N", estimate.sd, dimension=Dimension.FORCE)


def _bare(value: float, unit: str, digits: int) -> str:
    return show(value, unit, digits=digits).removesuffix(unit).rstrip()
