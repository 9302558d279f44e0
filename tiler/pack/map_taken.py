"""Places taken on the map's drawing, sorted into fields, so that thousands are soon looked through."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator

from tiler.geometry import EPSILON, Rect

FIELDS = 64
"""Of the longer side of the drawing (measured: 5,000 numbers on an A4 map find their places in seconds)."""


class Taken:
    """Rectangles by the fields of the drawing that they touch; what lies outside counts to its rim."""

    def __init__(self, within: Rect, rects: Iterable[Rect] = ()) -> None:
        self._within = within
        self._step = max(within.width, within.height, EPSILON) / FIELDS
        self._fields: dict[tuple[int, int], list[Rect]] = defaultdict(list)
        for rect in rects:
            self.add(rect)

    def add(self, rect: Rect) -> None:
        """Take a place."""
        for field in self._touched(rect):
            self._fields[field].append(rect)

    def remove(self, rect: Rect) -> None:
        """Free a place that was taken."""
        for field in self._touched(rect):
            self._fields[field].remove(rect)

    def near(self, area: Rect) -> tuple[Rect, ...]:
        """All that may overlap an area, each once: everything that does, and some neighbours."""
        found = (rect for field in self._touched(area) for rect in self._fields.get(field, ()))
        return tuple(dict.fromkeys(found))

    def _touched(self, rect: Rect) -> Iterator[tuple[int, int]]:
        """Fields that a rectangle reaches."""
        left, right = self._field(rect.x - self._within.x), self._field(rect.right - self._within.x)
        top, bottom = self._field(rect.y - self._within.y), self._field(rect.bottom - self._within.y)
        return ((x, y) for x in range(left, right + 1) for y in range(top, bottom + 1))

    def _field(self, along: float) -> int:
        """Where a distance from the drawing's corner lies."""
        return int(min(max(along / self._step, 0), FIELDS))
