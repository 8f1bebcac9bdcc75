"""A verdict's probability as a short rule with a tick: in words beside it, never in colours alone."""

from __future__ import annotations

from html import escape

from wringout.charts.theme import PAGE, Look

EDGES = (0.1, 0.9)  # below the first: not borne out; from the second on: borne out


def probability_rule(probability: float | None, *, look: Look = PAGE, width: float = 96.0) -> str:
    """A scale from 0 to 1, ticked at 0.1, 0.5 and 0.9, and a heavy tick where the probability stands, as SVG.

    Parameters
    ----------
    probability : float or None
        That the claim holds; None draws the scale alone.
    look : Look
        Medium and palette.
    width : float
        Length of the scale on paper.

    Raises
    ------
    ValueError
        A probability outside 0…1.
    """
    if probability is not None and not 0.0 <= probability <= 1.0:
        raise ValueError(f"a probability lies between 0 and 1, found {probability}")
    muted, ink, rust = look.palette.muted, look.palette.ink, look.palette.rust
    height, base, pad = look.small, look.small * 0.8, look.hairline * 3
    strokes = [f'<line x1="{pad:g}" y1="{base:g}" x2="{pad + width:g}" y2="{base:g}" stroke="{muted}"/>']
    for at in (0.0, EDGES[0], 0.5, EDGES[1], 1.0):
        top = base * (0.45 if at in {0.0, 1.0} else 0.7)
        x = pad + at * width
        strokes.append(f'<line x1="{x:g}" y1="{base:g}" x2="{x:g}" y2="{top:g}" stroke="{muted}"/>')
    words = "not tested"
    if probability is not None:
        words = f"probability that the claim holds: {probability:.2f}"
        x = pad + probability * width
        colour = rust if probability <= EDGES[0] else ink
        strokes.append(
            f'<line x1="{x:g}" y1="0" x2="{x:g}" y2="{height:g}" stroke="{colour}" '
            f'stroke-width="{look.hairline * 3.2:g}"/>'
        )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width + 2 * pad:g}" height="{height:g}" '
        f'viewBox="0 0 {width + 2 * pad:g} {height:g}" role="img" aria-label="{escape(words, quote=True)}" '
        f'stroke-width="{look.hairline:g}">{"".join(strokes)}</svg>'
    )
