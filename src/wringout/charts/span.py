"""A few seconds of a recording, small: two traces about the span from which a figure was read."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from typing import Protocol

import numpy as np

from wringout.charts.flight import thinned
from wringout.charts.scales import FloatArray
from wringout.charts.theme import IN_PAGE, Look
from wringout.charts.typefaces import SANS

MOST_SAMPLES = 240  # of one trace: finer than its paper
AROUND = 0.5  # of the span's own length is shown before and after it
LEAST_AROUND = 8.0  # s


class Trace(Protocol):
    """One channel in `unit` against `time` [s from the recording's start]; NaN where the line is broken."""

    @property
    def name(self) -> str:
        """What it is."""

    @property
    def unit(self) -> str:
        """What its values are in."""

    @property
    def time(self) -> FloatArray:
        """[s]"""

    @property
    def values(self) -> FloatArray:
        """In its unit."""


def shown_about(start: float, end: float) -> tuple[float, float]:
    """From when to when [s] a span is shown."""
    around = max(AROUND * (end - start), LEAST_AROUND)
    return start - around, end + around


def span_drawing(
    traces: Sequence[Trace], start: float, end: float, clocks: tuple[str, str], *, look: Look = IN_PAGE
) -> str:
    """Traces one under the other, the span shaded, its ends by the clock, as SVG.

    Parameters
    ----------
    traces : sequence of Trace
        Whole or in part; one without a sample there is left out.
    start, end : float
        The span. [s]
    clocks : tuple of str
        Its ends as the reader reads them.
    look : Look
        Medium and palette.
    """
    first, last = shown_about(start, end)
    small, ink, muted = look.small, look.palette.ink, look.palette.muted
    panel, gap, left, wide = small * 3.6, small * 1.5, small * 3.6, look.width * 0.55
    parts: list[str] = []
    foot, said = 0.0, []
    for number, trace in enumerate(traces):
        inside = (trace.time >= first) & (trace.time <= last)
        time, values = thinned(trace.time[inside], trace.values[inside], MOST_SAMPLES)
        known = values[np.isfinite(values)]
        if known.size < 2:
            continue
        head = foot + (gap if foot else small * 1.4)
        foot = head + panel
        low, high = float(known.min()), float(known.max())
        room = max(0.06 * (high - low), 0.5)
        x = left + (time - first) / (last - first) * wide
        y = foot - (values - low + room) / (high - low + 2.0 * room) * panel
        colour = look.palette.series[number % 4]
        parts.append(_line(x, y, colour.mark, look.line * 0.8))
        parts.append(_words(left, head - small * 0.35, f"{trace.name}, {trace.unit}", "start", colour.text))
        for value in (low, high):
            at = foot - (value - low + room) / (high - low + 2.0 * room) * panel + small * 0.34
            parts.append(_words(left - small * 0.4, at, f"{value:.0f}".replace("-", "−"), "end", muted))
        said.append(f"{trace.name} {low:.0f} to {high:.0f} {trace.unit}")
    if not said:
        return ""
    ends = [left + (at - first) / (last - first) * wide for at in (start, end)]
    shade = (
        f'<rect x="{ends[0]:.1f}" y="{small * 1.4:.1f}" width="{ends[1] - ends[0]:.1f}" '
        f'height="{foot - small * 1.4:.1f}" fill="{ink}" fill-opacity="0.07"/>'
    )
    base = f'<path d="M{left:g},{foot:.1f}h{wide:g}" stroke="{ink}" stroke-width="{look.hairline:g}"/>'
    close = ends[1] - ends[0] < small * 9
    clocks_at = zip(ends, clocks, ("end", "start") if close else ("middle", "middle"), strict=True)
    below = "".join(_words(x, foot + small * 1.3, text, anchor, ink) for x, text, anchor in clocks_at)
    alt = f"{'; '.join(said)}; the span from {clocks[0]} to {clocks[1]} is shaded"
    box = f"0 0 {left + wide + small * 2:g} {foot + small * 1.8:.1f}"
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{box}" role="img" '
        f'aria-label="{escape(alt, quote=True)}" font-family="\'{SANS}\'" font-size="{small:g}">'
        f"{shade}{base}{''.join(parts)}{below}</svg>"
    )


def _line(x: FloatArray, y: FloatArray, colour: str, width: float) -> str:
    """A path that is broken where the trace is."""
    path, broken = [], True
    for at, height in zip(x.tolist(), y.tolist(), strict=True):
        if not np.isfinite(height):
            broken = True
            continue
        path.append(f"{'M' if broken else 'L'}{at:.1f},{height:.1f}")
        broken = False
    return (
        f'<path d="{"".join(path)}" fill="none" stroke="{colour}" stroke-width="{width:g}" '
        'stroke-linejoin="round"/>'
    )


def _words(x: float, y: float, text: str, anchor: str, colour: str) -> str:
    return f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}" fill="{colour}">{escape(text)}</text>'
