"""Which part of a page a picture of character cells shows, and where a millimetre falls in it.

A cell is taken to be twice as high as wide, so a cell holds two square picture points, one above the other::

    column 0   1   2
         +---+---+---+
    row 0| ▀ | ▀ | ▀ |   points 0 and 1 of the picture's height
         +---+---+---+
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from tiler.geometry import Point, Rect, Size

ZOOMS = (1.0, 1.5, 2.0, 3.0, 4.0, 6.0, 8.0, 12.0, 16.0, 24.0)
"""Steps of enlargement; 1 shows the whole page."""

SIDE_CELLS = 6
"""Columns kept free beside the page when all of it is shown: room for a dimension."""

TOP_CELLS = 2
"""Rows kept free above and below it."""


HAIR = 1e-6
"""Cells by which a place may lie beside a line between cells and still count as on it."""


ORIGIN = Point(0, 0)


@dataclass(frozen=True)
class Viewport:
    """A window of cells onto a page."""

    columns: int
    rows: int
    page: Size
    """What is looked at, mm."""
    zoom: float = 1.0
    """1 shows the whole page."""
    centre: Point = ORIGIN
    """The place of the page in the middle of the window, mm."""
    bare: bool = False
    """True keeps no room for dimensions round the page."""

    @classmethod
    def whole(cls, columns: int, rows: int, page: Size, bare: bool = False) -> Viewport:
        """The whole page in the middle."""
        return cls(columns, rows, page, 1.0, Point(page.width / 2, page.height / 2), bare)

    @property
    def density(self) -> float:
        """Picture points in a millimetre."""
        side, top = (2, 0) if self.bare else (SIDE_CELLS, TOP_CELLS)
        across = max(4, self.columns - 2 * side) / self.page.width
        down = max(2, self.rows - 2 * top) * 2 / self.page.height
        return min(across, down) * self.zoom

    @property
    def window(self) -> Rect:
        """The part shown, mm; it may reach beyond the page, whose corner lies on the corner of a cell."""
        density = self.density
        width, height = self.columns / density, self.rows * 2 / density
        left = round((self.centre.x - width / 2) * density) / density
        top = round((self.centre.y - height / 2) * density / 2) * 2 / density
        return Rect(left, top, width, height)

    def point(self, x: float, y: float) -> tuple[float, float]:
        """Where a place of the page falls, in picture points."""
        window = self.window
        return (x - window.x) * self.density, (y - window.y) * self.density

    def cell(self, x: float, y: float) -> tuple[int, int]:
        """Row and column of a place of the page; may lie outside the window."""
        across, down = self.point(x, y)
        return math.floor(down / 2 + HAIR), math.floor(across + HAIR)

    def place(self, column: int, row: int) -> Point:
        """The place of the page in the middle of a cell, mm."""
        window = self.window
        return Point(window.x + (column + 0.5) / self.density, window.y + (row + 0.5) * 2 / self.density)

    def resized(self, columns: int, rows: int) -> Viewport:
        """The same look in a window of another size."""
        return replace(self, columns=columns, rows=rows)._within()

    def zoomed(self, steps: int, around: Point | None = None) -> Viewport:
        """Some steps nearer (or farther, when negative); ``around`` stays where it is on the screen."""
        nearest = min(range(len(ZOOMS)), key=lambda i: abs(ZOOMS[i] - self.zoom))
        zoom = ZOOMS[max(0, min(len(ZOOMS) - 1, nearest + steps))]
        if around is None:
            return replace(self, zoom=zoom)._within()
        share = self.zoom / zoom
        x = around.x + (self.centre.x - around.x) * share
        y = around.y + (self.centre.y - around.y) * share
        return replace(self, zoom=zoom, centre=Point(x, y))._within()

    def panned(self, columns: float, rows: float) -> Viewport:
        """Moved by cells, to the right and down."""
        dx, dy = columns / self.density, rows * 2 / self.density
        return replace(self, centre=self.centre.shifted(dx, dy))._within()

    def centred(self, at: Point) -> Viewport:
        """Looking at another place."""
        return replace(self, centre=at)._within()

    def _within(self) -> Viewport:
        """Keep the page in sight: never further out than half of it; in the middle when all of it shows."""
        if self.zoom <= ZOOMS[0]:
            return replace(self, centre=Point(self.page.width / 2, self.page.height / 2))
        x = min(max(self.centre.x, 0.0), self.page.width)
        y = min(max(self.centre.y, 0.0), self.page.height)
        return replace(self, centre=Point(x, y))


SHARE_OF_WINDOW = 0.5
"""Most of the window that a place looked at may take."""

NEAREST_LOOK = 8.0
"""A small place is not enlarged further than this, so that what lies round it still shows."""


def looking_at(view: Viewport, place: Rect) -> Viewport:
    """The window with a place in its middle, as near as shows all of it with room round it."""
    whole = replace(view, zoom=1.0)
    window = whole.window
    fits = [
        zoom
        for zoom in ZOOMS
        if zoom <= NEAREST_LOOK
        and place.width <= SHARE_OF_WINDOW * window.width / zoom
        and place.height <= SHARE_OF_WINDOW * window.height / zoom
    ]
    return replace(view, zoom=max(fits, default=1.0)).centred(place.centre)
