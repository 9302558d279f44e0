r"""The lengths on the calibration sheet that a person measures.

::

    +--- top ------------+      falling: top left to bottom right
    | \                / |      rising:  bottom left to top right
    l    +--------+      r
    e    | square |      i      The bars are as long as whole 5 mm allow, for a reading error
    f    | 100 mm |      g      of half a millimetre counts the less, the longer the bar.
    t    +--------+      h
    | /                \ t
    +--- bottom ---------+
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from tiler.errors import PrinterError
from tiler.geometry import EPSILON, Point, Rect
from tiler.plan.sheet import Sheet
from tiler.units import format_number

EDGE_ROOM = 17.0
"""mm between the sheet's edge and a bar: room for the edge steps, beyond any usual unprintable margin."""

BAR_STEP = 5.0
"""mm; bars are whole multiples of it, so that a wrong one is seen at a glance."""

SQUARE = 100.0
"""mm; side of the square in the middle of the sheet."""

_CLEARANCE = 5.0
"""mm from the square to the nearest bar, for the bars' names."""


@dataclass(frozen=True)
class Bar:
    """One length to measure, from the middle of one line to the middle of another."""

    name: str
    """What the sheet, the command line and the messages call it, such as ``top``."""
    start: Point
    """Sheet mm, on the upright sheet."""
    end: Point
    """Sheet mm."""

    @property
    def across(self) -> float:
        """Extent along the sheet's width, mm."""
        return self.end.x - self.start.x

    @property
    def down(self) -> float:
        """Extent along the sheet's length, mm; negative for the rising diagonal."""
        return self.end.y - self.start.y

    @property
    def is_across(self) -> bool:
        """True for a bar along the sheet's width."""
        return abs(self.down) < EPSILON

    @property
    def is_down(self) -> bool:
        """True for a bar along the sheet's length."""
        return abs(self.across) < EPSILON

    @property
    def length(self) -> float:
        """True length, mm."""
        return math.hypot(self.across, self.down)


def frame_of_bars(sheet: Sheet) -> Rect:
    """The rectangle whose sides are the four bars along the edges, on the upright sheet.

    Raises:
        PrinterError: The sheet has no room for the square inside the bars.
    """
    page = sheet.oriented(landscape=False)
    width, height = (math.floor((side - 2 * EDGE_ROOM) / BAR_STEP + 1e-9) * BAR_STEP for side in page)
    if width < SQUARE + 2 * _CLEARANCE:
        shortest = SQUARE + 2 * (_CLEARANCE + EDGE_ROOM)
        raise PrinterError(
            f"a sheet {format_number(page.width)} mm wide is too small to calibrate on",
            f"calibrate on one of at least {format_number(shortest)} mm, such as A4; its scale holds for all",
        )
    return Rect((page.width - width) / 2, (page.height - height) / 2, width, height)


def square_of(sheet: Sheet) -> Rect:
    """The square in the middle of the upright sheet."""
    page = sheet.oriented(landscape=False)
    return Rect((page.width - SQUARE) / 2, (page.height - SQUARE) / 2, SQUARE, SQUARE)


def calibration_bars(sheet: Sheet) -> tuple[Bar, ...]:
    """All lengths of the calibration sheet, in the order in which it lists them.

    Raises:
        PrinterError: The sheet is too small to calibrate on.
    """
    top_left, top_right, bottom_right, bottom_left = frame_of_bars(sheet).corners
    square = square_of(sheet).corners
    return (
        Bar("top", top_left, top_right),
        Bar("bottom", bottom_left, bottom_right),
        Bar("left", top_left, bottom_left),
        Bar("right", top_right, bottom_right),
        Bar("falling", top_left, bottom_right),
        Bar("rising", bottom_left, top_right),
        Bar("square-across", square[0], square[1]),
        Bar("square-down", square[0], square[3]),
    )
