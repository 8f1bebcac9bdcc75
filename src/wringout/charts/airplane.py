"""The airplane from the side and from the front, to scale, drawn from what its description says.

Wing, wheels, propeller, length, height, span and the CG range stand where the description puts them; the body
between them is a sketch.
"""

from __future__ import annotations

from dataclasses import dataclass

from wringout.airplane.airplane import Airplane, Configuration, Geometry
from wringout.charts.ink import Sheet
from wringout.charts.theme import PAGE, Look
from wringout.dossier.dossier import Units
from wringout.quantity.showing import arm_digits, show

_WHEEL_RADIUS, _THIRD_RADIUS = 0.25, 0.14  # where the description gives none [m]
_BODY_WIDTH = 1.15


@dataclass(frozen=True, slots=True)
class Body:
    """Where the parts of the body lie: x aft of datum, z above the ground with the airplane level [m]."""

    nose: float
    tail: float
    wing_front: float
    wing_back: float
    wing: float
    belly: float
    roof: float
    thrust: float
    top: float
    disk: float


def airplane_drawing(
    airplane: Airplane,
    configuration: str,
    units: Units,
    *,
    empty_arm: float | None = None,
    look: Look = PAGE,
) -> str:
    """Side and front view on one ground line as SVG, with dimensions and the CG range as a bar.

    Parameters
    ----------
    airplane : Airplane
        Its description.
    configuration : str
        Which gear it stands on.
    units : Units
        Display units.
    empty_arm : float, optional
        CG of the empty airplane, ticked on the bar [m].
    look : Look
        Medium and palette; the drawing takes its width.

    Raises
    ------
    ValueError
        The description has no length, height or mean chord to draw from.
    """
    geometry = airplane.geometry
    chosen = next(item for item in airplane.configurations if item.name == configuration)
    body = body_of(airplane, chosen)
    gap = 0.9
    metres = (body.tail - body.nose) + gap + geometry.span + 0.5
    metre = (look.width - look.small * 5) / metres
    under, over = look.small * 7.6, look.small * 2.6
    height = body.top * metre + under + over
    side = Sheet(look, look.width, height, metre, (look.small * 3.6 - body.nose * metre, height - under))
    draw_ground(side, body.nose - 0.3, body.tail + gap + geometry.span + 0.45)
    draw_side(side, airplane, chosen, body)
    _side_dimensions(side, airplane, chosen, body, units, empty_arm=empty_arm)
    middle = body.tail + gap + geometry.span / 2
    _front(side, airplane, chosen, body, middle)
    return side.svg(_alt(airplane, chosen, units))


def body_of(airplane: Airplane, chosen: Configuration) -> Body:
    """Where the body lies: as described, else sketched from what is; ValueError as `airplane_drawing`."""
    geometry = airplane.geometry
    gear = chosen.undercarriage
    length, chord, front = _needed(geometry)
    with_tail_wheel = [
        item.undercarriage for item in airplane.configurations if item.undercarriage.kind == "tail wheel"
    ]
    if geometry.nose_arm is not None:
        nose, tail = geometry.nose_arm, geometry.nose_arm + length
    elif with_tail_wheel:
        tail = with_tail_wheel[0].third_arm + 0.04 * length
        nose = tail - length
    else:
        nose = min(gear.third_arm, gear.main_arm) - 0.11 * length
        tail = nose + length
    wing = geometry.wing_height
    high = wing > gear.cg_height
    radius = airplane.propeller.diameter / 2
    return Body(
        nose=nose,
        tail=tail,
        wing_front=front,
        wing_back=front + chord,
        wing=wing,
        belly=gear.cg_height - 0.48 if high else wing - 0.08,
        roof=wing - 0.04 if high else gear.cg_height + 0.75,
        thrust=gear.thrust_line_height or max(gear.cg_height + 0.08, radius + 0.23),
        top=geometry.height or max(wing, 2 * radius + 0.3),
        disk=nose + 0.12 if airplane.propeller.arm is None else airplane.propeller.arm,
    )


def _needed(geometry: Geometry) -> tuple[float, float, float]:
    length, chord, front = geometry.length, geometry.mean_chord, geometry.mean_chord_leading_edge
    if length is None or chord is None or front is None:
        raise ValueError("a drawing needs the airplane's length, mean chord and where the chord begins")
    return length, chord, front


def draw_ground(sheet: Sheet, start: float, end: float) -> None:
    """The ground line, hatched below as on a drawing."""
    sheet.stroke([(start, 0.0), (end, 0.0)], width=1.6)
    step = sheet.look.small * 0.75 / sheet.metre
    x = start
    while x < end - step:
        sheet.stroke([(x, -step * 0.75), (x + step * 0.75, 0.0)], width=0.7, colour=sheet.look.palette.muted)
        x += step


def draw_side(sheet: Sheet, airplane: Airplane, chosen: Configuration, body: Body) -> None:
    """The airplane from the left, level on its main wheels."""
    gear, paper = chosen.undercarriage, sheet.look.palette.paper
    high = body.wing > gear.cg_height
    screen = body.wing_front - (0.42 if high else -0.25)
    cabin_end = body.wing_back + (0.10 if high else 0.55)
    tail_top, tail_bottom = body.belly + 0.88, body.belly + 0.62
    cowl_top, cowl_bottom = body.thrust + 0.26, body.thrust - 0.36
    fin_foot = body.tail - 1.35
    _legs(sheet, chosen, body, tail_bottom)
    sheet.shape(
        [
            ("M", [(body.nose, body.thrust)]),
            ("Q", [(body.nose + 0.08, cowl_top - 0.12), (body.nose + 0.3, cowl_top - 0.04)]),
            ("L", [(screen, cowl_top + 0.1)]),
            ("L", [(body.wing_front + (0.08 if high else 0.7), body.roof)]),
            ("L", [(cabin_end - 0.1, body.roof)]),
            ("Q", [(cabin_end + 0.25, body.roof - 0.02), (cabin_end + 0.7, body.roof - 0.18)]),
            ("L", [(fin_foot, tail_top + 0.06)]),
            ("Q", [(body.tail - 0.95, tail_top + 0.1), (body.tail - 0.62, body.top)]),
            ("L", [(body.tail - 0.1, body.top)]),
            ("L", [(body.tail, tail_bottom)]),
            ("L", [(body.tail - 0.35, tail_bottom - 0.04)]),
            ("L", [(body.wing_back + 0.4, body.belly)]),
            ("L", [(body.wing_front - 0.5, body.belly)]),
            ("Q", [(body.nose + 0.5, cowl_bottom), (body.nose + 0.2, cowl_bottom + 0.12)]),
            ("Q", [(body.nose + 0.06, body.thrust - 0.1), (body.nose, body.thrust)]),
            ("Z", []),
        ],
        fill=paper,
    )
    sheet.stroke([(body.tail - 0.5, body.top), (body.tail - 0.45, tail_bottom)], width=1.2)
    window = body.roof - 0.14
    sheet.shape(
        [
            ("M", [(screen + 0.2, cowl_top + 0.12)]),
            ("L", [(body.wing_front + (0.2 if high else 0.8), window)]),
            ("L", [(cabin_end - 0.15, window)]),
            ("L", [(cabin_end + 0.1, cowl_top + 0.12)]),
            ("Z", []),
        ],
        width=1.1,
    )
    _section(sheet, body.wing_front, body.wing_back, body.wing)
    _section(sheet, body.tail - 1.05, body.tail - 0.22, tail_top - 0.12)
    radius = airplane.propeller.diameter / 2
    sheet.stroke([(body.disk, body.thrust - radius), (body.disk, body.thrust + radius)], width=2.4)


def _section(sheet: Sheet, front: float, back: float, height: float) -> None:
    """A wing section, filled with ink, as a cut is on a drawing."""
    chord = back - front
    thick = 0.13 * chord
    sheet.shape(
        [
            ("M", [(front, height)]),
            (
                "C",
                [
                    (front + 0.02 * chord, height + 0.75 * thick),
                    (front + 0.4 * chord, height + 0.9 * thick),
                    (back, height - 0.1 * thick),
                ],
            ),
            (
                "C",
                [
                    (front + 0.6 * chord, height - 0.28 * thick),
                    (front + 0.1 * chord, height - 0.42 * thick),
                    (front, height),
                ],
            ),
            ("Z", []),
        ],
        fill=sheet.look.palette.ink,
        width=0.8,
    )


def _legs(sheet: Sheet, chosen: Configuration, body: Body, tail_bottom: float) -> None:
    gear, paper = chosen.undercarriage, sheet.look.palette.paper
    radius, third = gear.main_wheel_radius or _WHEEL_RADIUS, gear.third_wheel_radius or _THIRD_RADIUS
    if gear.kind == "skis":
        sheet.stroke(
            [(gear.main_arm - 1.0, 0.12), (gear.main_arm - 0.8, 0.0), (gear.main_arm + 0.8, 0.0)], width=3
        )
        sheet.stroke([(gear.main_arm, 0.0), (gear.main_arm, body.belly + 0.1)], width=2.6)
        return
    sheet.stroke([(gear.main_arm, radius), (gear.main_arm + 0.08, body.belly + 0.1)], width=2.6)
    centre = (gear.third_arm, third)
    if gear.kind == "tail wheel":  # drawn level, as it is weighed: the tail wheel hangs clear of the ground
        centre = (gear.third_arm, tail_bottom - 0.1 - third)
        sheet.stroke([centre, (gear.third_arm - 0.3, tail_bottom)], width=2.0)
    else:
        sheet.stroke([centre, (gear.third_arm + 0.05, body.thrust - 0.3)], width=2.6)
    for place, size in (((gear.main_arm, radius), radius), (centre, third)):
        sheet.circle(place, size, fill=paper, width=2.2)
        sheet.circle(place, size * 0.38, fill=paper, width=1.0)


def _side_dimensions(
    sheet: Sheet,
    airplane: Airplane,
    chosen: Configuration,
    body: Body,
    units: Units,
    *,
    empty_arm: float | None,
) -> None:
    row = sheet.look.small * 1.55 / sheet.metre
    gear, envelope = (
        chosen.undercarriage,
        next(item for item in airplane.envelopes if item.name == chosen.envelope),
    )
    arms = [cg for cg, _ in envelope.vertices]
    ink, muted = sheet.look.palette.ink, sheet.look.palette.muted
    # CG range as a bar under the ground, the datum as a chain line through it.
    level = -1.5 * row
    sheet.stroke([(0.0, body.top * 0.98), (0.0, level - 0.3 * row)], width=0.8, colour=muted, dash="6 2 1 2")
    sheet.words((0.0, body.top * 0.98), "datum", shift=(0.0, sheet.look.small * 0.8), colour=muted)
    sheet.stroke([(min(arms), level), (max(arms), level)], width=6, colour=ink)
    forward = show(min(arms), units.arm, digits=arm_digits(units.arm)).removesuffix(units.arm).rstrip()
    words = f"CG {forward} to {show(max(arms), units.arm, digits=arm_digits(units.arm))}"
    sheet.words((max(arms), level), words, shift=(sheet.look.small * 0.8, 0.0), anchor="start")
    if empty_arm is not None:
        sheet.stroke(
            [(empty_arm, level - 0.35 * row), (empty_arm, level + 0.35 * row)], width=2.4, colour=ink
        )
        # The word is some three letters' heights wide; it gives way to the datum's line.
        across = 0.0 < empty_arm * sheet.metre < 3.4 * sheet.look.small
        sheet.words(
            (0.0 if across else empty_arm, level),
            "empty",
            shift=(-sheet.look.small * 0.5, 0.0),
            anchor="end",
            colour=muted,
        )
    first, last = sorted((gear.main_arm, gear.third_arm))
    base = -2.9 * row
    sheet.dimension(
        (first, base),
        (last, base),
        show(last - first, "m", digits=2),
        from_start=(first, 0.0),
        from_end=(last, 0.0),
    )
    base = -4.1 * row
    sheet.dimension(
        (body.nose, base),
        (body.tail, base),
        show(body.tail - body.nose, "m", digits=2),
        from_start=(body.nose, body.thrust),
        from_end=(body.tail, 0.0),
    )


def _front(sheet: Sheet, airplane: Airplane, chosen: Configuration, body: Body, middle: float) -> None:
    geometry, gear, paper = airplane.geometry, chosen.undercarriage, sheet.look.palette.paper
    row = sheet.look.small * 1.55 / sheet.metre
    half, thick = geometry.span / 2, 0.12 * (geometry.mean_chord or 1.4)
    radius = gear.main_wheel_radius or _WHEEL_RADIUS
    for side in (-1.0, 1.0):
        foot = middle + side * gear.track / 2
        sheet.stroke([(foot, radius), (middle + side * 0.35, body.belly + 0.12)], width=2.6)
        _tyre(sheet, foot, 0.11, radius)
    if gear.kind == "nose wheel":
        _tyre(sheet, middle, 0.08, gear.third_wheel_radius or _THIRD_RADIUS)
    sheet.stroke([(middle, body.roof), (middle, body.top)], width=2.0)
    width = _BODY_WIDTH / 2
    sheet.shape(
        [
            ("M", [(middle - width, body.roof)]),
            ("L", [(middle + width, body.roof)]),
            ("Q", [(middle + width + 0.03, body.belly), (middle + 0.3, body.belly)]),
            ("L", [(middle - 0.3, body.belly)]),
            ("Q", [(middle - width - 0.03, body.belly), (middle - width, body.roof)]),
            ("Z", []),
        ],
        fill=paper,
    )
    sheet.shape(
        [
            ("M", [(middle - half, body.wing)]),
            ("L", [(middle - half, body.wing + thick * 0.5)]),
            ("L", [(middle + half, body.wing + thick * 0.5)]),
            ("L", [(middle + half, body.wing)]),
            ("L", [(middle + width, body.wing - thick * 0.5)]),
            ("L", [(middle - width, body.wing - thick * 0.5)]),
            ("Z", []),
        ],
        fill=paper,
    )
    sheet.circle((middle, body.thrust), airplane.propeller.diameter / 2, width=0.9, dash="3 2")
    sheet.circle((middle, body.thrust), 0.12, fill=paper, width=1.4)
    base = -1.5 * row
    feet = middle - gear.track / 2, middle + gear.track / 2
    sheet.dimension(
        (feet[0], base),
        (feet[1], base),
        show(gear.track, "m", digits=2),
        from_start=(feet[0], 0.0),
        from_end=(feet[1], 0.0),
    )
    base = -2.9 * row
    tips = middle - half, middle + half
    sheet.dimension(
        (tips[0], base),
        (tips[1], base),
        show(geometry.span, "m", digits=2),
        from_start=(tips[0], body.wing),
        from_end=(tips[1], body.wing),
    )
    if geometry.height is not None:
        right = middle + half + 0.12
        sheet.dimension(
            (right, 0.0),
            (right, geometry.height),
            show(geometry.height, "m", digits=2),
            from_end=(middle, geometry.height),
        )


def _tyre(sheet: Sheet, middle: float, half: float, radius: float) -> None:
    """A tyre seen from the front."""
    round_off = 0.03
    outline = [
        (middle - half, round_off),
        (middle - half, 2 * radius - round_off),
        (middle - half + round_off, 2 * radius),
        (middle + half - round_off, 2 * radius),
        (middle + half, 2 * radius - round_off),
        (middle + half, round_off),
        (middle + half - round_off, 0.0),
        (middle - half + round_off, 0.0),
    ]
    sheet.shape([("M", outline[:1]), ("L", outline[1:]), ("Z", [])], fill=sheet.look.palette.paper)


def _alt(airplane: Airplane, chosen: Configuration, units: Units) -> str:
    geometry, gear = airplane.geometry, chosen.undercarriage
    envelope = next(item for item in airplane.envelopes if item.name == chosen.envelope)
    arms = [cg for cg, _ in envelope.vertices]
    digits = arm_digits(units.arm)
    wheels = show(abs(gear.third_arm - gear.main_arm), "m", digits=2)
    length = show(geometry.length or float("nan"), "m", digits=2)
    return (
        f"{airplane.name} from the side and the front, to scale, on its {gear.kind} gear: "
        f"span {show(geometry.span, 'm', digits=2)}, length {length}, main to third wheel {wheels}, "
        f"track {show(gear.track, 'm', digits=2)}, CG range "
        f"{show(min(arms), units.arm, digits=digits)} to {show(max(arms), units.arm, digits=digits)} "
        "aft of datum."
    )
