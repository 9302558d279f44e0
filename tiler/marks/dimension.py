"""Dimension lines as a drawing office draws them: extension lines, slim arrows, the figure above the line."""

from __future__ import annotations

from tiler.geometry import Affine, Point
from tiler.marks.arrow import HEAD_LENGTH, head
from tiler.marks.metrics import Measure
from tiler.marks.shapes import Line, Shape, Words
from tiler.marks.style import CLOSE, HAIR, QUIET

OFFSET = 5.0
"""From the measured edge to the dimension line, mm."""
_LIFT = 0.8
"""From the dimension line to the figure's base line, mm."""


def dimension(start: Point, end: Point, text: str, size: float, measure: Measure) -> tuple[Shape, ...]:
    """The distance from ``start`` to ``end``, both on the measured edge.

    The line runs above an edge drawn from left to right, and left of an edge drawn from the bottom up. Short
    distances carry their arrows outside (common drawing practice).
    """
    upright = abs(end.x - start.x) < abs(end.y - start.y)
    length = abs(end.y - start.y) if upright else abs(end.x - start.x)
    frame = Affine.turn(-90 if upright else 0).then(Affine.shift(*start))
    shapes: list[Shape] = [
        Line((frame.apply(x, -CLOSE), frame.apply(x, -OFFSET - CLOSE)), HAIR, QUIET) for x in (0, length)
    ]
    turn = -90.0 if upright else 0.0
    inside = length > 4 * HEAD_LENGTH
    reach = 0.0 if inside else 2 * HEAD_LENGTH
    line = (frame.apply(-reach, -OFFSET), frame.apply(length + reach, -OFFSET))
    tips = (
        head(frame.apply(0, -OFFSET), turn + (180 if inside else 0)),
        head(frame.apply(length, -OFFSET), turn + (0 if inside else 180)),
    )
    figure = Words(frame.apply(length / 2, -OFFSET - _LIFT), text, size, align="middle", turn=turn)
    if measure(text, size, False) > length - 2 * HEAD_LENGTH and inside:
        figure = Words(figure.at, text, size, align="middle", turn=turn, halo=CLOSE / 2)
    return (*shapes, Line(line, HAIR), *tips, figure)
