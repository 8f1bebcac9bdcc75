"""A small pen for line drawings: strokes, shapes and words as SVG, in metres on a ground line."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from html import escape

from wringout.charts.theme import Look
from wringout.charts.typefaces import SANS

Point = tuple[float, float]


@dataclass(slots=True)
class Sheet:
    """A sheet under construction: `metre` is a metre's length on it, `origin` where metres start."""

    look: Look
    width: float
    height: float
    metre: float
    origin: Point
    parts: list[str] = field(default_factory=list)

    def at(self, point: Point) -> Point:
        """A point in metres (x right, z up) → on paper (y down)."""
        return round(self.origin[0] + point[0] * self.metre, 2), round(
            self.origin[1] - point[1] * self.metre, 2
        )

    def stroke(
        self, points: Sequence[Point], *, width: float = 1.0, colour: str | None = None, dash: str = ""
    ) -> None:
        """Straight strokes through points in metres; `width` in hairlines."""
        path = " ".join(f"{x:g},{y:g}" for x, y in (self.at(point) for point in points))
        self.parts.append(f'<polyline points="{path}" fill="none" {self._pen(width, colour, dash)}/>')

    def shape(
        self, commands: Sequence[tuple[str, Sequence[Point]]], *, fill: str = "none", width: float = 2.2
    ) -> None:
        """A path of SVG commands (M, L, Q, C, Z) whose points are in metres."""
        words = []
        for command, points in commands:
            words.append(command + " ".join(f"{x:g},{y:g}" for x, y in (self.at(point) for point in points)))
        self.parts.append(f'<path d="{" ".join(words)}" fill="{fill}" {self._pen(width, None, "")}/>')

    def circle(
        self, centre: Point, radius: float, *, fill: str = "none", width: float = 1.6, dash: str = ""
    ) -> None:
        """A circle in metres."""
        x, y = self.at(centre)
        pen = self._pen(width, None, dash)
        self.parts.append(
            f'<circle cx="{x:g}" cy="{y:g}" r="{radius * self.metre:.2f}" fill="{fill}" {pen}/>'
        )

    def words(
        self,
        point: Point,
        text: str,
        *,
        shift: Point = (0.0, 0.0),
        anchor: str = "middle",
        colour: str | None = None,
    ) -> None:
        """Text at a point in metres, shifted on paper (right, up)."""
        x, y = self.at(point)
        size = self.look.small
        self.parts.append(
            f'<text x="{x + shift[0]:g}" y="{y - shift[1] + size * 0.34:.2f}" text-anchor="{anchor}" '
            f'fill="{colour or self.look.palette.ink}">{escape(text)}</text>'
        )

    def dimension(
        self,
        start: Point,
        end: Point,
        text: str,
        *,
        from_start: Point | None = None,
        from_end: Point | None = None,
    ) -> None:
        """A dimension line in metres, level or upright, with its extension lines and the number on it."""
        muted = self.look.palette.muted
        for near, far in ((start, from_start), (end, from_end)):
            if far is not None:
                self.stroke([far, near], width=0.8, colour=self.look.palette.rule)
        self.stroke([start, end], width=1.0, colour=muted)
        head = self.look.small * 0.55 / self.metre
        level = abs(end[1] - start[1]) < 1e-9
        for tip, way in ((start, 1.0), (end, -1.0)):
            for turn in (0.35, -0.35):
                back = (
                    (way * head, turn * head)
                    if level
                    else (turn * head, way * head * (1 if end[1] > start[1] else -1))
                )
                self.stroke([tip, (tip[0] + back[0], tip[1] + back[1])], width=1.0, colour=muted)
        middle = (start[0] + end[0]) / 2, (start[1] + end[1]) / 2
        x, y = self.at(middle)
        size = self.look.small
        wide = len(text) * size * 0.5 + 4
        self.parts.append(
            f'<rect x="{x - wide / 2:.2f}" y="{y - size * 0.6:.2f}" width="{wide:.2f}" '
            f'height="{size * 1.2:.2f}" fill="{self.look.palette.paper}" stroke="none"/>'
        )
        self.words(middle, text)

    def svg(self, alt: str) -> str:
        """The finished drawing, with words for those who cannot see it."""
        body = "\n".join(self.parts)
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{self.width:g}" height="{self.height:g}" '
            f'viewBox="0 0 {self.width:g} {self.height:g}" role="img" aria-label="{escape(alt, quote=True)}" '
            f'font-family="\'{SANS}\'" font-size="{self.look.small:g}">\n'
            f'<rect width="100%" height="100%" fill="{self.look.palette.paper}"/>\n{body}\n</svg>\n'
        )

    def _pen(self, width: float, colour: str | None, dash: str) -> str:
        dashed = f' stroke-dasharray="{dash}"' if dash else ""
        return (
            f'stroke="{colour or self.look.palette.ink}" stroke-width="{width * self.look.hairline:g}" '
            f'stroke-linecap="round" stroke-linejoin="round"{dashed}'
        )
