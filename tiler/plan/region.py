"""What must be covered: the flat's panels or ink as a mask of small cells.

::

      0   1   2   3   mm
    0 +---+---+---+      a cell is set when any part of it is to be covered;
      | . | # | # |      the last row and column may be narrower than the others
    1 +---+---+---+
      | # | # | . |
    2 +---+---+---+
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
import numpy.typing as npt

from tiler.geometry import EPSILON, Rect, Size

Mask = npt.NDArray[np.bool_]
Span = tuple[float, float]
"""From and to along one axis, mm."""

CELL = 1.0
"""Side of a cell where nothing else is asked for, mm; finer than any hand cut."""


@dataclass(frozen=True, eq=False)
class Region:
    """The part of a flat that must appear on some face; conservative to one cell."""

    size: Size
    """The flat, mm."""
    mask: Mask
    """Rows by columns, True where something is to be covered."""
    cell: Size
    """Width and height of one cell, mm."""

    @classmethod
    def whole(cls, size: Size, cell: float = CELL) -> Region:
        """All of the flat."""
        return cls(size, np.ones(_shape(size, cell), dtype=bool), Size(cell, cell))

    @classmethod
    def from_mask(cls, mask: Mask, size: Size) -> Region:
        """A mask that covers the flat exactly, so that a cell is the flat's size over the mask's shape."""
        rows, columns = mask.shape
        return cls(size, np.array(mask, dtype=bool), Size(size.width / columns, size.height / rows))

    @classmethod
    def from_rects(cls, rects: Iterable[Rect], size: Size, cell: float = CELL) -> Region:
        """The union of rectangles, clipped to the flat."""
        mask = np.zeros(_shape(size, cell), dtype=bool)
        box = Rect(0, 0, size.width, size.height)
        for rect in rects:
            inside = rect.intersection(box)
            if not inside.is_empty:
                left, right = _cells(inside.x, inside.right, cell)
                top, bottom = _cells(inside.y, inside.bottom, cell)
                mask[top:bottom, left:right] = True
        return cls(size, mask, Size(cell, cell))

    @classmethod
    def from_polygons(
        cls,
        rings: Sequence[Sequence[tuple[float, float]]],
        size: Size,
        grown_by: float = 0.0,
        cell: float = CELL,
    ) -> Region:
        """The union of closed rings, each grown by ``grown_by`` mm, clipped to the flat."""
        import shapely

        shape = shapely.union_all([shapely.make_valid(shapely.Polygon(ring)) for ring in rings])
        if grown_by:
            shape = shape.buffer(grown_by)
        return cls(size, _rasterised(shape, size, cell), Size(cell, cell))

    @property
    def is_empty(self) -> bool:
        """True when there is nothing to cover."""
        return not bool(self.mask.any())

    @cached_property
    def extent(self) -> Rect:
        """The smallest rectangle around the region; empty when there is nothing to cover."""
        return self.bounds(Rect(0, 0, self.size.width, self.size.height))

    def touches(self, rect: Rect) -> bool:
        """True when some of the region lies inside ``rect``."""
        top, bottom, left, right = self._window(rect)
        if bottom <= top or right <= left:
            return False
        table, first, last = self._table, self.row_kinds[top], self.row_kinds[bottom - 1] + 1
        return bool(table[last, right] - table[first, right] - table[last, left] + table[first, left])

    def bounds(self, rect: Rect) -> Rect:
        """The tight extent of the region inside ``rect``; an empty rectangle where there is none."""
        top, bottom, left, right = self._window(rect)
        if bottom <= top or right <= left or not self.touches(rect):
            return Rect(rect.x, rect.y, 0, 0)
        part = self.mask[top:bottom, left:right]
        columns, rows = np.flatnonzero(part.any(axis=0)), np.flatnonzero(part.any(axis=1))
        cells = Rect.between(
            self._x(left + int(columns[0])),
            self._y(top + int(rows[0])),
            self._x(left + int(columns[-1]) + 1),
            self._y(top + int(rows[-1]) + 1),
        )
        return cells.intersection(rect)

    def spans_across(self, top: float, bottom: float) -> list[Span]:
        """Where the band from ``top`` to ``bottom`` holds any of the region, as stretches along x."""
        first, last = self.rows_between(top, bottom)
        return [(self._x(a), self._x(b)) for a, b in self.column_runs(first, last)]

    def spans_down(self, left: float, right: float) -> list[Span]:
        """Where the band from ``left`` to ``right`` holds any of the region, as stretches along y."""
        return self.flipped.spans_across(left, right)

    @cached_property
    def flipped(self) -> Region:
        """The region with x and y exchanged."""
        return Region(self.size.turned(), np.ascontiguousarray(self.mask.T), self.cell.turned())

    @cached_property
    def row_kinds(self) -> tuple[int, ...]:
        """A number for each row, shared by equal neighbours: bands of equal kinds hold the same."""
        changes = (self.mask[1:] != self.mask[:-1]).any(axis=1)
        return (0, *np.cumsum(changes).tolist())

    def rows_between(self, top: float, bottom: float) -> tuple[int, int]:
        """First row and the row after the last one that the band touches."""
        first, last = _cells(top, bottom, self.cell.height)
        return max(0, first), min(self.mask.shape[0], max(first, last))

    def column_runs(self, first: int, last: int) -> list[tuple[int, int]]:
        """Runs of columns that hold something in rows ``first`` to ``last - 1``."""
        if last <= first:
            return []
        return _runs(self._down[self.row_kinds[last - 1] + 1] > self._down[self.row_kinds[first]])

    def contact(self, y: float) -> npt.NDArray[np.float64]:
        """How much of the region, up to each column edge, continues through the line at ``y``, mm."""
        above, below = self.rows_between(y - 0.01, y - 0.005)[0], self.rows_between(y + 0.005, y + 0.01)[0]
        if y <= EPSILON or y >= self.size.height - EPSILON:
            return np.zeros(self.mask.shape[1] + 1)
        both = self.mask[above] & self.mask[below]
        return np.concatenate(([0.0], np.cumsum(both * self.cell.width)))

    def _x(self, column: int) -> float:
        return min(column * self.cell.width, self.size.width)

    def _y(self, row: int) -> float:
        return min(row * self.cell.height, self.size.height)

    def _window(self, rect: Rect) -> tuple[int, int, int, int]:
        """Rows and columns that ``rect`` touches: top, bottom, left, right."""
        top, bottom = self.rows_between(rect.y, rect.bottom)
        left, right = _cells(rect.x, rect.right, self.cell.width)
        return top, bottom, max(0, left), min(self.mask.shape[1], right)

    @cached_property
    def _kinds(self) -> Mask:
        """One row of each kind; a drawn flat has few, so what is counted over them is soon counted."""
        kinds = np.array(self.row_kinds)
        rows: Mask = self.mask[np.flatnonzero(np.diff(kinds, prepend=-1))]
        return rows

    @cached_property
    def _table(self) -> npt.NDArray[np.int32]:
        """Summed areas: entry [k, c] counts the cells of kinds above k and left of edge c."""
        kinds, columns = self._kinds.shape
        table = np.zeros((kinds + 1, columns + 1), dtype=np.int32)
        self._down.cumsum(axis=1, out=table[:, 1:])
        return table

    @cached_property
    def _down(self) -> npt.NDArray[np.int32]:
        """Entry [k, c] counts the cells of column c of kinds above k."""
        kinds, columns = self._kinds.shape
        table = np.zeros((kinds + 1, columns), dtype=np.int32)
        self._kinds.cumsum(axis=0, dtype=np.int32, out=table[1:])
        return table


def _shape(size: Size, cell: float) -> tuple[int, int]:
    """Rows and columns of cells that cover the flat."""
    return max(1, math.ceil(size.height / cell - EPSILON)), max(1, math.ceil(size.width / cell - EPSILON))


def _cells(start: float, end: float, cell: float) -> tuple[int, int]:
    """First cell and the cell after the last one that the stretch touches."""
    return math.floor((start + EPSILON) / cell), math.ceil((end - EPSILON) / cell)


def _runs(filled: Mask) -> list[tuple[int, int]]:
    """From and to of each run of True."""
    edges = np.flatnonzero(np.diff(np.concatenate(([False], filled, [False])).astype(np.int8)))
    return [(int(a), int(b)) for a, b in zip(edges[::2], edges[1::2], strict=True)]


def _rasterised(shape: Any, size: Size, cell: float) -> Mask:
    """Set each cell that ``shape`` enters: large blocks first, and only blocks on its edge in detail."""
    import shapely

    rows, columns = _shape(size, cell)
    mask = np.zeros((rows, columns), dtype=bool)
    shapely.prepare(shape)
    blocks = np.array([[0, 0]])
    for side, finer in ((max(rows, columns), 32), (32, 4), (4, 1), (1, 0)):
        y, x = blocks[:, 0] * cell, blocks[:, 1] * cell
        tiny = EPSILON
        boxes = shapely.box(x + tiny, y + tiny, x + side * cell - tiny, y + side * cell - tiny)
        met = shapely.intersects(shape, boxes)
        full = shapely.contains_properly(shape, boxes) if side > 1 else met
        for top, left in blocks[full]:
            mask[top : top + side, left : left + side] = True
        blocks = _split(blocks[met & ~full], side, finer, rows, columns)
        if not len(blocks):
            break
    return mask


def _split(
    blocks: npt.NDArray[np.int64], side: int, finer: int, rows: int, columns: int
) -> npt.NDArray[np.int64]:
    """The blocks cut into blocks of side ``finer``, leaving out those beyond the mask."""
    if not len(blocks) or not finer:
        return np.empty((0, 2), dtype=np.int64)
    steps = np.arange(0, side, finer)
    offsets = np.stack(np.meshgrid(steps, steps, indexing="ij"), axis=-1).reshape(-1, 2)
    pieces = (blocks[:, None, :] + offsets[None, :, :]).reshape(-1, 2)
    return pieces[(pieces[:, 0] < rows) & (pieces[:, 1] < columns)]
