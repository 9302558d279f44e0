"""Tiles, seams and the plan they make.

One tile on its sheet::

            cut allowance (cut off)
          +--------------------------------+
          |  . . . . seam: trim here . . . |
          |  +--------------------------+--|-- right edge: seam of the next tile
   trim   |  |                          |/////  glue tab,
   left   |  |        face              |/////  covered by the next tile
          |  |                          |/////
          |  +--------------------------+/////
          |  ///////// glue tab //////////////
          +--------------------------------+

Right and bottom edges with a neighbour carry a glue tab, left and top edges with a neighbour are trimmed; the
tile to the right or below is the *upper* one of the two.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from tiler.geometry import Margins, Point, Rect, Size
from tiler.plan.sheet import Sheet

ALLOWANCE = 3.0
"""Cut allowance: artwork printed beyond a trimmed seam, mm (common practice, no source)."""

EDGE_BAND = 7.0
"""Blank paper kept beyond a right or bottom edge that has no glue tab, mm.

It holds the label and the scale bar, which never stand on a face.
"""

ROW_LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"
"""Row letters: I and O are left out, as in ISO 5457."""


def row_letters(row: int) -> str:
    """The letters of a row counted from 0: A to Z without I and O, then AA, AB ...

    >>> row_letters(0), row_letters(8), row_letters(23), row_letters(24), row_letters(25)
    ('A', 'J', 'Z', 'AA', 'AB')
    """
    text = ""
    row += 1
    while row > 0:
        row, place = divmod(row - 1, len(ROW_LETTERS))
        text = ROW_LETTERS[place] + text
    return text


def tile_label(row: int, column: int) -> str:
    """Row letter and column number, both counted from 0.

    >>> tile_label(0, 0), tile_label(1, 2)
    ('A1', 'B3')
    """
    return f"{row_letters(row)}{column + 1}"


@dataclass(frozen=True)
class Tile:
    """The piece of the flat that is printed on one sheet."""

    label: str
    """Row letter and number, such as ``B2``."""
    strip: int
    """The strip this tile belongs to, counted from 0; strips are joined one after another."""
    order: int
    """Place within the strip, counted from 0; tiles of a strip are joined in this order."""
    face: Rect
    """What stays visible after taping, flat coordinates, mm."""
    window: Rect
    """All of the flat that is printed: face, glue tabs and cut allowances."""
    landscape: bool
    """True when the sheet lies on its long side."""
    sheet: Size
    """Page size as it lies, mm."""
    printable: Rect
    """The part of the page that the printer reaches, sheet coordinates, mm."""
    place: Point
    """Where the window's top-left corner lies on the sheet."""
    right: tuple[str, ...] = ()
    """Tiles that lie on this one's right glue tab."""
    below: tuple[str, ...] = ()
    """Tiles that lie on this one's bottom glue tab."""
    left: tuple[str, ...] = ()
    """Tiles under this one's trimmed left edge."""
    above: tuple[str, ...] = ()
    """Tiles under this one's trimmed top edge."""

    @property
    def to_sheet(self) -> Point:
        """The shift from flat coordinates to sheet coordinates."""
        return Point(self.place.x - self.window.x, self.place.y - self.window.y)

    def on_sheet(self, rect: Rect) -> Rect:
        """A rectangle of the flat, in sheet coordinates."""
        return rect.shifted(*self.to_sheet)

    @property
    def right_tab(self) -> float:
        """Width of the glue tab on the right, 0 without one."""
        return max(0.0, self.window.right - self.face.right)

    @property
    def bottom_tab(self) -> float:
        """Height of the glue tab below, 0 without one."""
        return max(0.0, self.window.bottom - self.face.bottom)

    @property
    def left_allowance(self) -> float:
        """Width of the cut allowance on the left, 0 where nothing is trimmed."""
        return max(0.0, self.face.x - self.window.x)

    @property
    def top_allowance(self) -> float:
        """Height of the cut allowance on top, 0 where nothing is trimmed."""
        return max(0.0, self.face.y - self.window.y)


@dataclass(frozen=True)
class Seam:
    """The straight line where two tiles meet, flat coordinates, mm."""

    start: Point
    """Its upper or left end."""
    end: Point
    """Its lower or right end."""
    upper: str
    """The tile that is trimmed here and lies on top."""
    lower: str
    """The tile that carries the glue tab."""
    penalty: float = 0.0
    """How unlucky the place is; 0 is clean."""
    why: str = ""
    """The reason for the place, in words."""

    @property
    def is_upright(self) -> bool:
        """True for a seam between left and right neighbours."""
        return abs(self.start.x - self.end.x) < abs(self.start.y - self.end.y)

    @property
    def length(self) -> float:
        """Distance between the ends, mm."""
        return abs(self.end.x - self.start.x) + abs(self.end.y - self.start.y)


@dataclass(frozen=True)
class Plan:
    """Where every tile goes."""

    flat: Size
    """Size of the tiled box after scaling, mm."""
    sheet: Sheet
    margins: Margins
    """Unprintable edges of the upright sheet."""
    overlap: float
    """Width of a glue tab, mm."""
    layout: str
    """``grid`` or ``strips``."""
    direction: str
    """``across`` when strips are rows, ``down`` when strips are columns."""
    tiles: tuple[Tile, ...]
    """In printing order: strip by strip."""
    seams: tuple[Seam, ...]
    grid_sheets: int
    """Sheets that the best plain grid needs with the same printable area."""
    warnings: tuple[str, ...] = field(default=())

    def tile(self, label: str) -> Tile:
        """The tile of that label.

        Raises:
            KeyError: There is no such tile.
        """
        for tile in self.tiles:
            if tile.label == label:
                return tile
        raise KeyError(label)

    @property
    def strips(self) -> tuple[tuple[Tile, ...], ...]:
        """The tiles grouped by strip, in joining order."""
        numbers = sorted({tile.strip for tile in self.tiles})
        return tuple(tuple(t for t in self.tiles if t.strip == number) for number in numbers)
