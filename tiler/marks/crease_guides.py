"""Crease guides: a light broken line on the face, and ticks beyond both ends of the crease.

Every kind of line has its own pattern, so that a print in one ink tells them apart:

::

      crease        ---  ---  ---      perforation   . . . . . .
      cut           -------------      partial cut   --- . --- .
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from tiler.geometry import EPSILON, Point, Rect
from tiler.marks.facts import GuideKind, GuideLine, GuideMode
from tiler.marks.shapes import Line, Shape
from tiler.marks.style import CLOSE, FINE, HALO, QUIET
from tiler.plan.tile import Tile

PATTERNS: dict[GuideKind, tuple[float, ...]] = {
    "crease": (3.0, 2.0),
    "perforation": (0.6, 1.2),
    "cut": (),
    "partial cut": (4.0, 1.2, 0.6, 1.2),
}
"""Dashes and gaps, mm (house style; ISO 128-2 knows dashed, dotted and chain lines)."""

WORDS: dict[GuideKind, str] = {
    "crease": "crease: score, then fold",
    "perforation": "perforation",
    "cut": "cut",
    "partial cut": "partial cut: only into the surface",
}
"""What the legend says."""

TICK = 4.0
"""Length of a tick, mm."""


def draw_guides(lines: Sequence[GuideLine], tile: Tile, mode: GuideMode) -> tuple[Shape, ...]:
    """The guide lines that cross a tile's window, in sheet coordinates."""
    if mode == "none":
        return ()
    shapes: list[Shape] = []
    for line in lines:
        part = clip(line.start, line.end, tile.window)
        if mode == "full" and part is not None:
            shapes.append(_dashed(line, part, tile))
    return (*shapes, *_all_ticks(lines, tile))


def guide_rooms(lines: Sequence[GuideLine], tile: Tile, mode: GuideMode) -> tuple[Rect, ...]:
    """The places that the ticks of a tile take, sheet coordinates."""
    return () if mode == "none" else tuple(_around(tick.points) for tick in _all_ticks(lines, tile))


def _dashed(line: GuideLine, part: tuple[Point, Point], tile: Tile) -> Line:
    ends = tuple(point.shifted(*tile.to_sheet) for point in part)
    return Line(ends, FINE, QUIET, PATTERNS[line.kind], halo=HALO / 2)


def _all_ticks(lines: Sequence[GuideLine], tile: Tile) -> tuple[Line, ...]:
    ticks = []
    for line in lines:
        if line.ticks:
            for end, other in ((line.start, line.end), (line.end, line.start)):
                tick = _tick(end, other, tile)
                if tick is not None:
                    ticks.append(tick)
    return tuple(ticks)


def _tick(end: Point, other: Point, tile: Tile) -> Line | None:
    """The tick beyond ``end``, as far as the sheet shows it; None when the end is on another tile."""
    length = math.hypot(end.x - other.x, end.y - other.y)
    if length < EPSILON or not tile.window.contains(end):
        return None
    away = Point((end.x - other.x) / length, (end.y - other.y) / length)
    far = CLOSE + TICK
    start = end.shifted(away.x * CLOSE, away.y * CLOSE)
    paper = tile.printable.shifted(-tile.to_sheet.x, -tile.to_sheet.y)
    part = clip(start, end.shifted(away.x * far, away.y * far), paper.grown(-FINE - HALO))
    if part is None or math.dist(*part) < CLOSE:
        return None
    return Line(tuple(point.shifted(*tile.to_sheet) for point in part), FINE, halo=HALO)


def _around(points: Sequence[Point]) -> Rect:
    xs, ys = [p.x for p in points], [p.y for p in points]
    return Rect.between(min(xs), min(ys), max(xs), max(ys)).grown(FINE + HALO)


def clip(start: Point, end: Point, box: Rect) -> tuple[Point, Point] | None:
    """The part of a line inside a rectangle, None when it misses it (Liang and Barsky, 1984)."""
    dx, dy = end.x - start.x, end.y - start.y
    first, last = 0.0, 1.0
    for step, room in (
        (-dx, start.x - box.x),
        (dx, box.right - start.x),
        (-dy, start.y - box.y),
        (dy, box.bottom - start.y),
    ):
        if abs(step) < EPSILON:
            if room < 0:
                return None
            continue
        share = room / step
        if step < 0:
            first = max(first, share)
        else:
            last = min(last, share)
    if first >= last:
        return None
    return start.shifted(first * dx, first * dy), start.shifted(last * dx, last * dy)
