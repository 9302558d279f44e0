"""Hatching at 45 degrees inside a convex polygon."""

from __future__ import annotations

import math
from collections.abc import Sequence

from tiler.geometry import EPSILON, Point
from tiler.marks.shapes import Line
from tiler.marks.style import FAINT, HAIR

PITCH = 1.8
"""Distance between two lines of the hatching, mm."""


def hatch(polygon: Sequence[Point], pitch: float = PITCH, grey: float = FAINT) -> tuple[Line, ...]:
    """Lines running up to the right, so spaced that neighbouring polygons of one sheet match.

    Args:
        polygon: Corners of a convex polygon, in order.
        pitch: Distance between lines, mm.
        grey: Of the lines.
    """
    step = pitch * math.sqrt(2)
    back = HAIR / 2 / math.sqrt(2)
    lines = []
    for met in _crossings(polygon, step).values():
        if len(met) != 2:
            continue
        (left, low), (right, high) = sorted(met)
        if right - left > max(2 * back, EPSILON):
            # Drawn back by half their width, so that not even the corners of the strokes leave the polygon.
            lines.append(Line((Point(left + back, low - back), Point(right - back, high + back)), HAIR, grey))
    return tuple(lines)


def _crossings(polygon: Sequence[Point], step: float) -> dict[int, list[tuple[float, float]]]:
    """Where each line x + y = number × ``step`` meets the outline, edge by edge."""
    sums = [corner.x + corner.y for corner in polygon]
    met: dict[int, list[tuple[float, float]]] = {
        number: [] for number in range(math.ceil(min(sums) / step), math.floor(max(sums) / step) + 1)
    }
    for index, (x, y) in enumerate(polygon):
        following = (index + 1) % len(sums)
        start, end = sums[index], sums[following]
        if start == end:
            continue
        across, down = (polygon[following].x - x) / (end - start), (polygon[following].y - y) / (end - start)
        low, high = min(start, end), max(start, end)
        # An edge owns its upper end and not its lower one, so that a line through a corner is met once.
        for number in range(math.floor(low / step) + 1, math.floor(high / step) + 1):
            beyond = number * step - start
            met[number].append((x + beyond * across, y + beyond * down))
    return met
