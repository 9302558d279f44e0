"""Where the flat lies on the map page."""

from __future__ import annotations

from dataclasses import dataclass

from tiler.geometry import Point, Rect, Size
from tiler.marks.dimension import OFFSET
from tiler.marks.metrics import em
from tiler.marks.style import CLOSE, NEAR
from tiler.plan.tile import Plan

HIDDEN = (1.2, 0.7)
"""Dashes of a hidden edge, mm (ISO 128-2 line type 02, shortened for the scale of the map)."""
TAG = 2.4
"""Radius of a strip's tag, mm."""


@dataclass(frozen=True)
class Frame:
    """Where the flat lies on the map page."""

    flat: Rect
    """On the sheet, mm."""
    factor: float
    """Map mm for each mm of the plan."""

    def point(self, at: Point) -> Point:
        """A point of the plan on the sheet."""
        return Point(self.flat.x + at.x * self.factor, self.flat.y + at.y * self.factor)

    def rect(self, rect: Rect) -> Rect:
        """A rectangle of the plan on the sheet."""
        return rect.scaled(self.factor).shifted(self.flat.x, self.flat.y)


def margins_of(plan: Plan, figure: float) -> tuple[float, float, float, float]:
    """Left, top, right and bottom room for dimension lines and strip tags, mm."""
    dim = OFFSET + CLOSE + em(figure)
    tags = 2 * TAG + NEAR + CLOSE if len(plan.strips) > 1 else 0.0
    across = plan.direction == "across"
    return dim, dim, tags if across else 0.0, 0.0 if across else tags


def fit(plan: Plan, area: Rect, figure: float) -> Frame | None:
    """The flat as large as the area allows (never enlarged), in its middle; None when nothing is left."""
    left, top, right, bottom = margins_of(plan, figure)
    room = area.inset(left, top, right, bottom)
    if room.width <= 0 or room.height <= 0:
        return None
    factor = min(room.width / plan.flat.width, room.height / plan.flat.height, 1.0)
    size = Size(plan.flat.width * factor, plan.flat.height * factor)
    x = room.x + (room.width - size.width) / 2
    y = room.y + (room.height - size.height) / 2
    return Frame(Rect(x, y, *size), factor)
