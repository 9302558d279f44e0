"""Free places on the blank paper and tabs round a face.

Labels, bars and words stand where nothing else does. What each wants is a point; what it gets is the nearest
free place in its band, or none.
"""

from __future__ import annotations

from collections.abc import Sequence

from tiler.geometry import EPSILON, Point, Rect, Size
from tiler.marks.style import CLOSE

ACROSS_WEIGHT = 12.0
"""A step across the band counts this many times one along it, so that things stay in rows (house style)."""


def find_room(
    size: Size, within: Rect, taken: Sequence[Rect], wish: Point, gap: float = CLOSE
) -> Rect | None:
    """The free place of that size nearest to the wished top-left corner.

    Args:
        size: Of the thing, mm.
        within: The band that it must stay in.
        taken: What it must keep ``gap`` mm away from.
        wish: Where its top-left corner would best be.
        gap: Mm.

    Returns:
        None when the band has no such place.
    """
    last = Point(within.right - size.width, within.bottom - size.height)
    if last.x < within.x - EPSILON or last.y < within.y - EPSILON:
        return None
    blocks = [block for block in (rect.grown(gap) for rect in taken) if block.overlaps(within)]
    wished = Rect(_held(wish.x, within.x, last.x), _held(wish.y, within.y, last.y), *size)
    if not any(_hits(wished, block) for block in blocks):
        return wished
    xs = _stops(wish.x, within.x, last.x, [(b.x - size.width, b.right) for b in blocks])
    ys = _stops(wish.y, within.y, last.y, [(b.y - size.height, b.bottom) for b in blocks])
    across_x = ACROSS_WEIGHT if within.width < within.height else 1.0
    across_y = ACROSS_WEIGHT if within.width >= within.height else 1.0
    nearest = sorted((across_x * abs(x - wish.x) + across_y * abs(y - wish.y), x, y) for x in xs for y in ys)
    places = (Rect(x, y, *size) for _, x, y in nearest)
    return next((p for p in places if not any(_hits(p, block) for block in blocks)), None)


def _held(value: float, low: float, high: float) -> float:
    return min(max(value, low), high)


def _hits(place: Rect, block: Rect) -> bool:
    return (
        place.x < block.right - EPSILON
        and place.right > block.x + EPSILON
        and place.y < block.bottom - EPSILON
        and place.bottom > block.y + EPSILON
    )


def _stops(wish: float, low: float, high: float, sides: list[tuple[float, float]]) -> list[float]:
    """The wished coordinate and all those right beside something, within bounds."""
    stops = {_held(wish, low, high), low, max(low, high)}
    for pair in sides:
        stops.update(value for value in pair if low <= value <= high)
    return sorted(stops)
