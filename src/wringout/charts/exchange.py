"""The airplane before and after an exchange: where its CG can come to, against the limits of each."""

from __future__ import annotations

import numpy as np

from wringout.charts.figure import Spec, figure, margins_for
from wringout.charts.grammar import Frame, Label, Layers, labels, limit, polyline, rows
from wringout.charts.scales import FloatArray, scale
from wringout.charts.theme import PAGE, Look, Series
from wringout.dossier.dossier import Units
from wringout.outfitting import Build, Change
from wringout.quantity.showing import arm_digits, show


def exchange_figure(change: Change, units: Units, *, title: str, look: Look = PAGE) -> Spec:
    """CG across, mass up: every loading that can be reached, before dashed and quiet, after in colour.

    Parameters
    ----------
    change : Change
        Two builds with their worst loadings.
    units : Units
        Display units.
    title : str
        What the exchange does, as a sentence.
    look : Look
        Medium and palette.
    """
    before, after = change.before, change.after
    corners = [np.array(build.envelope.vertices) for build in (before, after)]
    reached = [_reached(build) for build in (before, after)]
    empty = np.array([[b.empty.arm.value, b.empty.mass.value] for b in (before, after)])
    arms = [*(part[:, 0] for part in corners), *(part[:, 0] for part in reached), empty[:, 0]]
    masses = [*(part[:, 1] for part in corners), *(part[:, 1] for part in reached), empty[:, 1]]
    frame = Frame(
        scale("CG aft of datum", units.arm, arms, look.width - look.small * 8, room=0.06, tight=True),
        scale("mass", units.mass, masses, look.width * 0.4, room=0.06, tight=True),
        look,
    )
    layers: Layers = []
    if before.envelope != after.envelope:
        layers.append(_outline(frame, corners[0]))
    clockwise = _area(corners[1]) < 0.0
    layers += limit(
        frame,
        corners[1][:, 0],
        corners[1][:, 1],
        forbidden="left" if clockwise else "right",
        closed=True,
    )
    words: list[Label] = []
    colours = (look.palette.stone, look.palette.series[0])
    for name, build, outline, colour in zip(
        ("before", "after"), (before, after), reached, colours, strict=True
    ):
        layers += _region(frame, outline, colour, dashed=name == "before")
        layers += _empty_point(frame, build, colour)
        words.append(
            Label(
                build.empty.arm.value,
                build.empty.mass.value,
                f"empty {name}",
                colour.text,
                "right",
            )
        )
    layers += labels(frame, words, size=look.body)
    return figure(frame, layers, title=title, alt=_alt(change, units), margins=margins_for(look, frame))


def _reached(build: Build) -> FloatArray:
    """The outline of the CGs and masses that loadings can reach, forward edge up and aft edge down."""
    adverse = build.adverse
    known = np.isfinite(adverse.most_forward) & np.isfinite(adverse.most_aft)
    mass, forward, aft = (part[known] for part in (adverse.mass, adverse.most_forward, adverse.most_aft))
    return np.concatenate([np.column_stack([forward, mass]), np.column_stack([aft, mass])[::-1]])


def _region(frame: Frame, outline: FloatArray, colour: Series, *, dashed: bool) -> Layers:
    look = frame.look
    x, y = (np.append(part, part[0]) for part in (frame.x.shown(outline[:, 0]), frame.y.shown(outline[:, 1])))
    tint = {"fill": colour.mark, "fillOpacity": 0.14, "stroke": None, "interpolate": "linear-closed"}
    dash = {"strokeDash": [look.line * 2.4, look.line * 2.4]} if dashed else {}
    return [
        polyline(x, y, tint),
        polyline(x, y, {"stroke": colour.mark, "strokeWidth": look.line, **dash}),
    ]


def _empty_point(frame: Frame, build: Build, colour: Series) -> Layers:
    look = frame.look
    data = rows(x=frame.x.shown([build.empty.arm.value]), y=frame.y.shown([build.empty.mass.value]))
    mark = {
        "type": "point",
        "filled": True,
        "fill": colour.mark,
        "stroke": look.palette.paper,
        "size": (look.dot * 1.2) ** 2,
    }
    return [{"data": {"values": data}, "mark": mark}]


def _outline(frame: Frame, corners: FloatArray) -> dict[str, object]:
    """The limits that held before, thin: only those that hold now are hatched."""
    look = frame.look
    x, y = (np.append(part, part[0]) for part in (frame.x.shown(corners[:, 0]), frame.y.shown(corners[:, 1])))
    return polyline(x, y, {"stroke": look.palette.muted, "strokeWidth": look.hairline * 1.5})


def _area(corners: FloatArray) -> float:
    x, y = corners[:, 0], corners[:, 1]
    return float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y))


def _alt(change: Change, units: Units) -> str:
    digits = arm_digits(units.arm)
    said = "; ".join(
        f"{name}, {build.name}: empty {show(build.empty.mass.value, units.mass, digits=1)} at "
        f"{show(build.empty.arm.value, units.arm, digits=digits)}, worst loading "
        f"{show(build.adverse.forward.margin, units.arm, digits=digits)} from the forward limit and "
        f"{show(build.adverse.aft.margin, units.arm, digits=digits)} from the aft one"
        for name, build in (("before", change.before), ("after", change.after))
    )
    return f"Centre of gravity across and mass up: what loadings can reach, in the limits. {said}."
