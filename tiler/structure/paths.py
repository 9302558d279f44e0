"""Path construction: from path operators to chains of points on the flat."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import NamedTuple

from tiler.geometry import Affine, Point

FLATNESS = 0.01
"""Largest distance between a curve and the chain that stands for it, mm.

No print shows it; it is this small so that areas and lengths of small round holes stay true as well.
"""
_MOST_PIECES = 400
"""Pieces of one curve; reached only by curves far larger than any sheet."""
LINE_THICKNESS = 0.5
"""A filled rectangle thinner than this is a line drawn as an area, mm (common practice, no source)."""
_LINE_SLENDERNESS = 4.0
"""... if it is also this many times longer than thick."""


class Subpath(NamedTuple):
    """A chain of points."""

    points: tuple[Point, ...]
    is_closed: bool
    """True when the last point equals the first by ``h`` or ``re``."""


class Path:
    """The current path, its points already on the flat."""

    def __init__(self) -> None:
        self._done: list[Subpath] = []
        self._points: list[Point] = []

    def move(self, place: Point) -> None:
        """Begin a subpath."""
        self._finish(is_closed=False)
        self._points = [place]

    def line(self, place: Point) -> None:
        """A straight piece; without a start it begins one, as viewers do."""
        self._points.append(place)

    def curve(self, first: Point, second: Point, end: Point) -> None:
        """A cubic Bézier piece, flattened.

        The number of pieces is Wang's bound: with n = √(¾·m / flatness), m the largest second difference of
        the control points, no piece is farther from the curve than the flatness.
        """
        start = self._points[-1] if self._points else first
        bend = max(
            math.hypot(start.x - 2 * first.x + second.x, start.y - 2 * first.y + second.y),
            math.hypot(first.x - 2 * second.x + end.x, first.y - 2 * second.y + end.y),
        )
        pieces = math.sqrt(0.75 * bend / FLATNESS) if math.isfinite(bend) else 1.0
        count = max(1, min(_MOST_PIECES, math.ceil(pieces)))
        for step in range(1, count):
            t = step / count
            u = 1 - t
            a, b, c, d = u * u * u, 3 * u * u * t, 3 * u * t * t, t * t * t
            self._points.append(
                Point(
                    a * start.x + b * first.x + c * second.x + d * end.x,
                    a * start.y + b * first.y + c * second.y + d * end.y,
                )
            )
        self._points.append(end)

    def close(self) -> None:
        """A straight piece back to the start of the subpath."""
        if self._points:
            start = self._points[0]
            self._points.append(start)
            self._finish(is_closed=True)
            self._points = [start]

    def rectangle(self, x: float, y: float, width: float, height: float, matrix: Affine) -> None:
        """The operator ``re``."""
        self.move(matrix.apply(x, y))
        self.line(matrix.apply(x + width, y))
        self.line(matrix.apply(x + width, y + height))
        self.line(matrix.apply(x, y + height))
        self.close()

    @property
    def current(self) -> Point | None:
        """Where the next piece begins."""
        return self._points[-1] if self._points else None

    def take(self) -> list[Subpath]:
        """All subpaths, leaving the path empty."""
        self._finish(is_closed=False)
        done, self._done = self._done, []
        return done

    def _finish(self, is_closed: bool) -> None:
        """Put the subpath aside; a lone starting point is none."""
        if len(self._points) > 1:
            self._done.append(Subpath(tuple(self._points), is_closed))
        self._points = []


def centre_line(subpath: Subpath) -> tuple[Point, Point] | None:
    """The middle line of a long thin rectangle, none for any other shape."""
    corners = _without_repeats(subpath.points)
    if len(corners) != 4:
        return None
    a, b, c, d = corners
    first, second = math.dist(a, b), math.dist(b, c)
    if max(abs(first - math.dist(c, d)), abs(second - math.dist(d, a))) > LINE_THICKNESS / 2:
        return None
    if first > second:
        a, b, c, d = b, c, d, a
        first, second = second, first
    if first >= LINE_THICKNESS or second < max(_LINE_SLENDERNESS * first, LINE_THICKNESS):
        return None
    return _middle(a, b), _middle(c, d)


def _without_repeats(points: Iterable[Point]) -> list[Point]:
    """The corners of a closed chain, each once."""
    corners: list[Point] = []
    for point in points:
        if not corners or math.dist(corners[-1], point) > 1e-6:
            corners.append(point)
    if len(corners) > 1 and math.dist(corners[0], corners[-1]) <= 1e-6:
        corners.pop()
    return corners


def _middle(a: Point, b: Point) -> Point:
    return Point((a.x + b.x) / 2, (a.y + b.y) / 2)
