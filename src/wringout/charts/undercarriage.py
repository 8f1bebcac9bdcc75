"""The undercarriage from the side and from above, to scale: wheels, CG range, angles, propeller, the turn."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from wringout.airplane.airplane import Airplane, Configuration, Undercarriage
from wringout.charts.airplane import Body, body_of, draw_ground, draw_side
from wringout.charts.ink import Point, Sheet
from wringout.charts.theme import PAGE, Look
from wringout.dossier.dossier import Units
from wringout.quantity.showing import arm_digits, show
from wringout.undercarriage import (
    SweptCircle,
    overturn_angle,
    swept_circle,
    tail_down_to_touch,
    third_wheel_ahead,
    tip_angle,
)


@dataclass(frozen=True, slots=True)
class Marked:
    """What is marked: CG range and the asked CG [m]; which of the angles fail what is asked of them."""

    cg_low: float
    cg_high: float
    cg: float
    tip_fails: bool = False
    overturn_fails: bool = False
    propeller_fails: bool = False


def gear_side_view(
    airplane: Airplane, configuration: str, marked: Marked, units: Units, *, look: Look = PAGE
) -> str:
    """Side view, level on the main wheels, with the CG's angle over them, tail's and propeller's room.

    Parameters
    ----------
    airplane : Airplane
    configuration : str
    marked : Marked
        CG range and the asked CG.
    units : Units
        Display units.
    look : Look
        Medium and palette; the drawing takes its width.

    Returns
    -------
    str
        SVG.

    Raises
    ------
    ValueError
        The description has no length, height or mean chord to draw from.
    """
    chosen = _chosen(airplane, configuration)
    gear, body = chosen.undercarriage, body_of(airplane, chosen)
    left, right = min(body.nose, body.disk) - 0.9, body.tail + 0.35
    metre = look.width / (right - left)
    under, over = look.small * 5.2, look.small * 1.6
    height = body.top * metre + under + over
    sheet = Sheet(look, look.width, height, metre, (-left * metre, height - under))
    draw_ground(sheet, left + 0.05, right - 0.05)
    draw_side(sheet, airplane, chosen, body)
    _propeller(sheet, airplane, gear, body, fails=marked.propeller_fails)
    _tail_line(sheet, gear)
    _cg(sheet, gear, marked, units)
    row = look.small * 1.55 / metre
    first, last = sorted((gear.main_arm, gear.third_arm))
    base = -1.7 * row
    sheet.dimension(
        (first, base),
        (last, base),
        show(last - first, "m", digits=2),
        from_start=(first, 0.0),
        from_end=(last, 0.0),
    )
    base = -2.8 * row
    near, far = sorted((gear.main_arm, marked.cg))
    for x in (near, far):
        sheet.stroke([(x, 0.0), (x, base)], width=0.8, colour=look.palette.rule)
    sheet.stroke([(near, base), (far, base)], colour=look.palette.muted)
    sheet.words((far, base), show(far - near, "mm", digits=0), shift=(look.small * 0.5, 0.0), anchor="start")
    _scale(sheet, left + 0.15, -2.8 * row)
    angle = math.degrees(float(tip_angle(gear, marked.cg)))
    return sheet.svg(
        f"{airplane.name} from the side on its {gear.kind} gear, to scale: wheelbase "
        f"{show(last - first, 'm', digits=2)}, the asked CG {show(gear.cg_height, 'm', digits=2)} up and "
        f"{angle:.1f}° from the vertical over the main wheels."
    )


def gear_plan_view(airplane: Airplane, configuration: str, marked: Marked, *, look: Look = PAGE) -> str:
    """Plan view with the wheels' triangle, the overturn angle, the castor and the tightest turn's circle.

    Parameters
    ----------
    airplane : Airplane
    configuration : str
    marked : Marked
        CG range and the asked CG.
    look : Look
        Medium and palette; the drawing takes its width.

    Returns
    -------
    str
        SVG.

    Raises
    ------
    ValueError
        As `gear_side_view`.
    """
    chosen = _chosen(airplane, configuration)
    gear, body = chosen.undercarriage, body_of(airplane, chosen)
    circle = swept_circle(gear, airplane.geometry)
    side = 2.0 * circle.reach + 0.8
    left = min(gear.main_arm - 0.5 * side, body.nose - 0.4)
    right = max(gear.main_arm + 0.5 * side, body.tail + 0.4)
    metre = look.width / (right - left)
    # The turn's centre lies on the axle, to the airplane's left, which is up on the sheet.
    low = circle.radius - 0.5 * side
    height = side * metre + look.small * 2.0
    sheet = Sheet(look, look.width, height, metre, (-left * metre, height - look.small * 2.0 + low * metre))
    _circle(sheet, gear, circle)
    _from_above(sheet, airplane, body)
    _triangle(sheet, gear, body, marked)
    _castor(sheet, gear, circle, _tail_half(airplane))
    _wheels_above(sheet, gear)
    row = look.small * 1.3 / metre
    _scale(sheet, left + 0.15, low + 0.6 * row)
    over = math.degrees(float(overturn_angle(gear, marked.cg)))
    return sheet.svg(
        f"{airplane.name} from above on its {gear.kind} gear, to scale: track "
        f"{show(gear.track, 'm', digits=2)}, overturn angle {over:.0f}° at the asked CG; its tightest turn "
        f"sweeps a circle of {show(circle.diameter, 'm', digits=1)}, the {circle.farthest} farthest out."
    )


def _chosen(airplane: Airplane, configuration: str) -> Configuration:
    return next(item for item in airplane.configurations if item.name == configuration)


def _propeller(sheet: Sheet, airplane: Airplane, gear: Undercarriage, body: Body, *, fails: bool) -> None:
    """How far the propeller's tip stands from the ground, beside it."""
    if gear.thrust_line_height is None:
        return
    clear = body.thrust - 0.5 * airplane.propeller.diameter
    colour = sheet.look.palette.rust if fails else None
    x = body.disk - 0.22
    ink = colour or sheet.look.palette.muted
    head = sheet.look.small * 0.45 / sheet.metre
    sheet.stroke([(body.disk, clear), (x - 0.06, clear)], width=0.8, colour=sheet.look.palette.rule)
    sheet.stroke([(x, 0.0), (x, clear)], colour=ink)
    for end, way in ((0.0, 1.0), (clear, -1.0)):
        for turn in (0.4, -0.4):
            sheet.stroke([(x, end), (x + turn * head, end + way * head)], colour=ink)
    sheet.words(
        (x, 0.5 * clear),
        show(clear, "mm", digits=0),
        shift=(-sheet.look.small * 0.5, 0.0),
        anchor="end",
        colour=colour,
    )


def _tail_line(sheet: Sheet, gear: Undercarriage) -> None:
    """From the main wheels' contact to what touches first when the tail goes down."""
    angle = tail_down_to_touch(gear)
    if angle is None or gear.tail_low_arm is None or gear.tail_low_height is None:
        return
    foot, muted = (gear.main_arm, 0.0), sheet.look.palette.muted
    sheet.stroke([foot, (gear.tail_low_arm, gear.tail_low_height)], width=0.9, colour=muted, dash="5 3")
    radius = 0.62 * (gear.tail_low_arm - gear.main_arm)
    sheet.stroke(_arc(foot, radius, 0.0, angle), width=0.9, colour=muted)
    middle = (foot[0] + radius * math.cos(0.5 * angle), foot[1] + radius * math.sin(0.5 * angle))
    sheet.words(
        middle,
        f"tail touches at {math.degrees(angle):.0f}°",
        shift=(sheet.look.small * 0.5, 0.0),
        anchor="start",
        colour=muted,
    )


def _cg(sheet: Sheet, gear: Undercarriage, marked: Marked, units: Units) -> None:
    """The CG range as a bar at its height, the asked CG, and its angle over the main wheels' contact."""
    palette, up = sheet.look.palette, gear.cg_height
    colour = palette.rust if marked.tip_fails else palette.ink
    foot, place = (gear.main_arm, 0.0), (marked.cg, up)
    sheet.stroke([(marked.cg_low, up), (marked.cg_high, up)], width=5.0, colour=palette.ink)
    sheet.stroke([foot, (gear.main_arm, up + 0.35)], width=0.9, colour=palette.muted, dash="6 2 1 2")
    sheet.stroke([foot, place], width=1.4, colour=colour)
    sheet.circle(place, 0.055, fill=palette.paper, width=1.8)
    angle = math.atan2(marked.cg - gear.main_arm, up)
    radius = 0.62 * up
    sheet.stroke(_arc(foot, radius, 0.5 * math.pi - angle, 0.5 * math.pi), width=1.2, colour=colour)
    side = 1.0 if third_wheel_ahead(gear) else -1.0
    text = f"{math.degrees(float(tip_angle(gear, marked.cg))):.1f}°"
    sheet.words(
        (gear.main_arm, radius),
        text,
        shift=(side * sheet.look.small * 0.5, sheet.look.small * 0.2),
        anchor="start" if side > 0 else "end",
        colour=colour,
    )
    low, high = (
        show(arm, units.arm, digits=arm_digits(units.arm)) for arm in (marked.cg_low, marked.cg_high)
    )
    sheet.words(
        (0.5 * (marked.cg_low + marked.cg_high), up),
        f"CG {low.removesuffix(units.arm).rstrip()} to {high}",
        shift=(0.0, sheet.look.small * 0.95),
    )


def _tail_half(airplane: Airplane) -> float:
    """Half the tailplane's span, a share of the wing's where none is described [m]."""
    return 0.5 * (airplane.geometry.tail_span or 0.29 * airplane.geometry.span)


def _from_above(sheet: Sheet, airplane: Airplane, body: Body) -> None:
    """Wing, body and tailplane in outline: the wing's span and chord as described, the rest a sketch."""
    geometry, paper = airplane.geometry, sheet.look.palette.paper
    half, wide = 0.5 * geometry.span, 0.56
    tail = _tail_half(airplane)
    muted = sheet.look.palette.muted
    for outline in (
        [
            (body.wing_front, -half),
            (body.wing_front, half),
            (body.wing_back, half),
            (body.wing_back, -half),
        ],
        [
            (body.tail - 1.05, -tail),
            (body.tail - 1.05, tail),
            (body.tail - 0.15, tail),
            (body.tail - 0.15, -tail),
        ],
    ):
        sheet.shape([("M", outline[:1]), ("L", outline[1:]), ("Z", [])], fill=paper, width=1.1)
    sheet.shape(
        [
            ("M", [(body.nose, 0.0)]),
            ("Q", [(body.nose + 0.05, 0.42), (body.nose + 0.5, 0.46)]),
            ("L", [(body.wing_front, wide)]),
            ("L", [(body.wing_back + 0.3, wide)]),
            ("L", [(body.tail, 0.06)]),
            ("L", [(body.tail, -0.06)]),
            ("L", [(body.wing_back + 0.3, -wide)]),
            ("L", [(body.wing_front, -wide)]),
            ("L", [(body.nose + 0.5, -0.46)]),
            ("Q", [(body.nose + 0.05, -0.42), (body.nose, 0.0)]),
            ("Z", []),
        ],
        fill=paper,
        width=1.4,
    )
    radius = 0.5 * airplane.propeller.diameter
    sheet.stroke([(body.disk, -radius), (body.disk, radius)], width=2.0)
    sheet.stroke([(body.nose - 0.25, 0.0), (body.tail + 0.25, 0.0)], width=0.7, colour=muted, dash="6 2 1 2")


def _triangle(sheet: Sheet, gear: Undercarriage, body: Body, marked: Marked) -> None:
    """The line over which it overturns, the asked CG's distance from it, and the angle in words."""
    palette, half = sheet.look.palette, 0.5 * gear.track
    third: Point = (gear.third_arm, 0.0)
    for side in (-half, half):
        sheet.stroke([third, (gear.main_arm, side)], width=1.0, colour=palette.ink, dash="5 3")
    sheet.stroke([(gear.main_arm, -half), (gear.main_arm, half)], width=1.0, colour=palette.ink, dash="5 3")
    sheet.stroke([(marked.cg_low, 0.0), (marked.cg_high, 0.0)], width=5.0, colour=palette.ink)
    colour = palette.rust if marked.overturn_fails else palette.ink
    # The foot of the square from the CG on the line from the third wheel to the lower main wheel.
    run, rise = gear.main_arm - gear.third_arm, -half
    length = math.hypot(run, rise)
    along = (marked.cg - gear.third_arm) * run / length
    foot = (gear.third_arm + along * run / length, along * rise / length)
    sheet.stroke([(marked.cg, 0.0), foot], width=1.4, colour=colour)
    sheet.circle((marked.cg, 0.0), 0.07, fill=palette.paper, width=1.8)
    over = math.degrees(float(overturn_angle(gear, marked.cg)))
    away = math.hypot(marked.cg - foot[0], foot[1])
    # The words stand free of wing and propeller, on a thin leader.
    free = (body.wing_front - 0.15, -1.62)
    sheet.stroke([foot, free], width=0.8, colour=palette.muted)
    sheet.words(
        free,
        f"{show(away, 'm', digits=2)} off, overturn angle {over:.0f}°",
        shift=(-sheet.look.small * 0.4, 0.0),
        anchor="end",
        colour=colour,
    )


def _castor(sheet: Sheet, gear: Undercarriage, circle: SweptCircle, tail: float) -> None:
    """The third wheel's line to the turn's centre, and the castor angle that it takes."""
    muted = sheet.look.palette.muted
    centre, third = (gear.main_arm, circle.radius), (gear.third_arm, 0.0)
    sheet.stroke([(gear.main_arm, 0.0), centre], width=0.9, colour=muted)
    sheet.stroke([third, centre], width=0.9, colour=muted, dash="2 3")
    castor = math.atan2(abs(gear.main_arm - gear.third_arm), circle.radius)
    ahead = third_wheel_ahead(gear)
    # The wheel runs square to its line to the centre; the angle stands between it and the centre line.
    toward = math.pi - castor if ahead else castor
    straight = math.pi if ahead else 0.0
    reach = 0.62
    sheet.stroke(
        [third, (third[0] + reach * math.cos(toward), -reach * math.sin(toward))], width=1.2, colour=muted
    )
    sheet.stroke([(x, -z) for x, z in _arc((third[0], 0.0), 0.45, toward, straight)], width=1.0, colour=muted)
    sheet.words(
        (third[0], 0.85 if ahead else tail + 0.28),
        f"castor {math.degrees(castor):.0f}°",
        colour=muted,
    )


def _circle(sheet: Sheet, gear: Undercarriage, circle: SweptCircle) -> None:
    """The circle that must be free, its radius as a dimension."""
    centre = (gear.main_arm, circle.radius)
    sheet.circle(centre, circle.reach, width=1.0, dash="4 4")
    sheet.circle(centre, 0.06, width=1.2)
    palette = sheet.look.palette
    angle = math.radians(52.0)
    tip = (centre[0] + circle.reach * math.cos(angle), centre[1] + circle.reach * math.sin(angle))
    sheet.stroke([centre, tip], width=0.9, colour=palette.muted)
    middle = (0.5 * (centre[0] + tip[0]), 0.5 * (centre[1] + tip[1]))
    sheet.words(
        middle,
        f"radius {show(circle.reach, 'm', digits=1)}",
        shift=(sheet.look.small * 0.6, -sheet.look.small * 0.3),
        anchor="start",
        colour=palette.muted,
    )


def _wheels_above(sheet: Sheet, gear: Undercarriage) -> None:
    ink = sheet.look.palette.ink
    half = 0.5 * gear.track
    radius = gear.main_wheel_radius or 0.25
    wide = 0.5 * (gear.main_tyre_width or 0.18)
    if gear.kind == "skis":
        radius, wide = 0.9, 0.16
    for y in (-half, half):
        _tyre(sheet, (gear.main_arm, y), radius, wide, ink)
    third = gear.third_wheel_radius or 0.14
    _tyre(sheet, (gear.third_arm, 0.0), third, 0.5 * (gear.third_tyre_width or 0.1), ink)


def _tyre(sheet: Sheet, middle: Point, radius: float, half: float, ink: str) -> None:
    x, y = middle
    outline = [
        (x - radius, y - half),
        (x - radius, y + half),
        (x + radius, y + half),
        (x + radius, y - half),
    ]
    sheet.shape([("M", outline[:1]), ("L", outline[1:]), ("Z", [])], fill=ink, width=0.8)


def _arc(centre: Point, radius: float, start: float, end: float, steps: int = 24) -> Sequence[Point]:
    return [
        (
            centre[0] + radius * math.cos(start + (end - start) * n / steps),
            centre[1] + radius * math.sin(start + (end - start) * n / steps),
        )
        for n in range(steps + 1)
    ]


def _scale(sheet: Sheet, x: float, z: float) -> None:
    """A metre, as a scale bar."""
    tick = sheet.look.small * 0.35 / sheet.metre
    sheet.stroke([(x, z + tick), (x, z), (x + 1.0, z), (x + 1.0, z + tick)], width=1.2)
    sheet.words((x + 0.5, z), "1 m", shift=(0.0, sheet.look.small * 0.75))
