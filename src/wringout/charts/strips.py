"""A year of hours at a strip: months down, hours across, one tint for the share that is usable."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

import numpy as np

from wringout.charts.theme import PAGE, Look
from wringout.charts.typefaces import SANS
from wringout.missions.suitability import StripAnswer

MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
_FULL = 0.9  # opacity of an hour that is always usable
_SMALLEST = 0.04  # below it an hour counts as never usable


def heat_drawing(answer: StripAnswer, *, look: Look = PAGE) -> str:
    """One strip's year as SVG, each month's share at its end.

    Parameters
    ----------
    answer : StripAnswer
    look : Look
        Medium and palette.

    Notes
    -----
    An outlined empty cell is an hour of daylight that is never usable; where nothing is drawn no hour
    counts. The hours are of the site's standard clock.
    """
    small, palette = look.small, look.palette
    left, right, top, foot = small * 2.6, small * 3.4, small * 1.8, small * 3.4
    wide = (look.width - left - right) / 24.0
    tall = min(wide, small * 1.9)
    height = top + 12 * tall + foot
    parts = [
        _words(left + hour * wide, top - small * 0.6, f"{hour}", "middle", palette.muted, small)
        for hour in range(0, 25, 3)
    ]
    parts.append(_words(0.0, top - small * 0.6, "hour", "start", palette.muted, small))
    for month in range(12):
        y = top + month * tall
        parts.append(_words(0.0, y + tall / 2 + small * 0.34, MONTHS[month], "start", palette.ink, small))
        parts.append(_row(answer.heat[month], (left, y), (wide, tall), look))
        share = _month_share(answer, month)
        if share is not None:
            colour = palette.rust if share < 0.5 else palette.ink
            text = f"{round(100 * share)} %"
            parts.append(_words(look.width, y + tall / 2 + small * 0.34, text, "end", colour, small))
    parts.append(_key(left, height - small * 1.7, (wide, tall), look))
    return _svg(look.width, height, "".join(parts), _alt(answer), small)


def heats_drawing(answers: Sequence[StripAnswer], *, look: Look = PAGE) -> str:
    """All strips' years side by side, each under its name and the share of its hours.

    Parameters
    ----------
    answers : sequence of StripAnswer
    look : Look
        Medium and palette.

    Raises
    ------
    ValueError
        There is no strip.
    """
    if not answers:
        raise ValueError("no strip could be judged")
    small, palette = look.small, look.palette
    across = min(len(answers), 4 if look.width > small * 45 else 3)
    gap = small * 1.6
    each = (look.width - gap * (across - 1)) / across
    wide = each / 24.0
    tall = wide * 0.8
    head, rest = small * 2.6, small * 1.6
    high = head + 12 * tall + rest
    rows = -(-len(answers) // across)
    parts = []
    for number, answer in enumerate(answers):
        x, y = (number % across) * (each + gap), (number // across) * high
        name = answer.strip.name
        room = int(each / (small * 0.5)) - 6
        parts.append(
            _words(x, y + small * 1.6, name if len(name) <= room else name[: room - 1] + "…", "start",
                   palette.ink, small)
        )  # fmt: skip
        colour = palette.rust if answer.share < 0.5 else palette.ink
        parts.append(
            _words(x + each, y + small * 1.6, f"{round(100 * answer.share)} %", "end", colour, small, 500)
        )
        parts += [
            _row(answer.heat[month], (x, y + head + month * tall), (wide, tall), look) for month in range(12)
        ]
    height = rows * high + small * 3.0
    parts.append(_key(0.0, height - small * 1.7, (small * 1.2, small * 1.0), look))
    alt = "Share of usable hours by month and hour of the day. " + " ".join(
        f"{answer.strip.name} {round(100 * answer.share)} %." for answer in answers
    )
    return _svg(look.width, height, "".join(parts), alt, small)


def _month_share(answer: StripAnswer, month: int) -> float | None:
    """Usable share of a month's hours, None where it has none."""
    row = answer.heat[month]
    return float(np.nanmean(row)) if np.isfinite(row).any() else None


def _row(shares: np.ndarray, at: tuple[float, float], size: tuple[float, float], look: Look) -> str:
    lake, rule = look.palette.series[0].mark, look.palette.rule
    x, y = at
    wide, tall = size
    inset = look.hairline * 0.5
    box = f'width="{wide - 2 * inset:.2f}" height="{tall - 2 * inset:.2f}"'
    cells = []
    for hour, share in enumerate(shares):
        if not np.isfinite(share):
            continue
        place = f'x="{x + hour * wide + inset:.2f}" y="{y + inset:.2f}"'
        if share < _SMALLEST:
            cells.append(
                f'<rect {place} {box} fill="none" stroke="{rule}" stroke-width="{look.hairline:g}"/>'
            )
        else:
            cells.append(f'<rect {place} {box} fill="{lake}" fill-opacity="{_FULL * share:.2f}"/>')
    return "".join(cells)


def _key(x: float, y: float, size: tuple[float, float], look: Look) -> str:
    """What the tint means, in words."""
    parts = []
    at = x
    for share, words in ((1.0, "every hour usable"), (0.5, "half of them"), (0.0, "none")):
        shares = np.full(1, share)
        parts.append(_row(shares, (at, y - size[1] * 0.5), size, look))
        parts.append(
            _words(
                at + size[0] + look.small * 0.4, y + look.small * 0.34, words, "start", look.palette.muted,
                look.small,
            )
        )  # fmt: skip
        at += size[0] + look.small * (len(words) * 0.52 + 1.6)
    return "".join(parts)


def _words(  # noqa: PLR0917 - where, what, how: they read best in this order
    x: float, y: float, text: str, anchor: str, colour: str, size: float, weight: int = 400
) -> str:
    heavy = "" if weight == 400 else f' font-weight="{weight}"'
    return (
        f'<text x="{x:.2f}" y="{y:.2f}" text-anchor="{anchor}" fill="{colour}" font-size="{size:g}"{heavy}>'
        f"{escape(text)}</text>"
    )


def _alt(answer: StripAnswer) -> str:
    months = ", ".join(
        f"{name} {round(100 * share)} %"
        for month, name in enumerate(MONTHS)
        if (share := _month_share(answer, month)) is not None
    )
    return f"{answer.strip.name}: share of usable hours by month and hour of the day. {months}."


def _svg(width: float, height: float, body: str, alt: str, size: float) -> str:
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width:g}" height="{height:.1f}" '
        f'viewBox="0 0 {width:g} {height:.1f}" role="img" aria-label="{escape(alt, quote=True)}" '
        f'font-family="\'{SANS}\'" font-size="{size:g}">{body}</svg>\n'
    )
