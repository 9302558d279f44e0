"""Points, rectangles and affine maps, in millimetres, origin top-left, x right, y down.

All are immutable; every operation returns a new one.
"""

from __future__ import annotations

import math
from typing import NamedTuple

EPSILON = 1e-6
"""Lengths closer than this (mm) count as equal; a nanometre is far below any printer."""


class Point(NamedTuple):
    """A place."""

    x: float
    """mm to the right."""
    y: float
    """mm down."""

    def shifted(self, dx: float, dy: float) -> Point:
        """The point moved by ``dx``, ``dy``."""
        return Point(self.x + dx, self.y + dy)


class Size(NamedTuple):
    """An extent."""

    width: float
    """mm."""
    height: float
    """mm."""

    def turned(self) -> Size:
        """The same sheet lying on its other side."""
        return Size(self.height, self.width)

    def scaled(self, factor: float) -> Size:
        """Both sides times ``factor``."""
        return Size(self.width * factor, self.height * factor)


class Rect(NamedTuple):
    """An upright rectangle.

    ::

        (x, y) +-------- width --------+
               |                       | height
               +-----------------------+ (right, bottom)
    """

    x: float
    """Left edge, mm."""
    y: float
    """Top edge, mm."""
    width: float
    """mm."""
    height: float
    """mm."""

    @classmethod
    def between(cls, left: float, top: float, right: float, bottom: float) -> Rect:
        """The rectangle with these edges."""
        return cls(left, top, right - left, bottom - top)

    @property
    def right(self) -> float:
        """Right edge, mm."""
        return self.x + self.width

    @property
    def bottom(self) -> float:
        """Bottom edge, mm."""
        return self.y + self.height

    @property
    def size(self) -> Size:
        """Width and height."""
        return Size(self.width, self.height)

    @property
    def centre(self) -> Point:
        """The middle."""
        return Point(self.x + self.width / 2, self.y + self.height / 2)

    @property
    def corners(self) -> tuple[Point, Point, Point, Point]:
        """Clockwise from the top left."""
        return (
            Point(self.x, self.y),
            Point(self.right, self.y),
            Point(self.right, self.bottom),
            Point(self.x, self.bottom),
        )

    @property
    def is_empty(self) -> bool:
        """True when there is no area."""
        return self.width <= EPSILON or self.height <= EPSILON

    def shifted(self, dx: float, dy: float) -> Rect:
        """The rectangle moved by ``dx``, ``dy``."""
        return Rect(self.x + dx, self.y + dy, self.width, self.height)

    def scaled(self, factor: float) -> Rect:
        """Place and extent times ``factor``."""
        return Rect(self.x * factor, self.y * factor, self.width * factor, self.height * factor)

    def inset(self, left: float, top: float, right: float, bottom: float) -> Rect:
        """The rectangle with each edge moved inwards (outwards when negative)."""
        return Rect.between(self.x + left, self.y + top, self.right - right, self.bottom - bottom)

    def grown(self, by: float) -> Rect:
        """The rectangle with all edges moved outwards by ``by``."""
        return Rect(self.x - by, self.y - by, self.width + 2 * by, self.height + 2 * by)

    def intersection(self, other: Rect) -> Rect:
        """What both cover; an empty rectangle (zero extent) where they do not meet."""
        left, top = max(self.x, other.x), max(self.y, other.y)
        right, bottom = min(self.right, other.right), min(self.bottom, other.bottom)
        return Rect.between(left, top, max(left, right), max(top, bottom))

    def union(self, other: Rect) -> Rect:
        """The smallest rectangle around both."""
        return Rect.between(
            min(self.x, other.x),
            min(self.y, other.y),
            max(self.right, other.right),
            max(self.bottom, other.bottom),
        )

    def holds(self, other: Rect, tolerance: float = EPSILON) -> bool:
        """True when ``other`` lies inside, give or take ``tolerance`` mm."""
        return (
            other.x >= self.x - tolerance
            and other.y >= self.y - tolerance
            and other.right <= self.right + tolerance
            and other.bottom <= self.bottom + tolerance
        )

    def contains(self, point: Point, tolerance: float = EPSILON) -> bool:
        """True when ``point`` lies inside or on an edge."""
        return self.holds(Rect(point.x, point.y, 0, 0), tolerance)

    def overlaps(self, other: Rect) -> bool:
        """True when both share some area."""
        return (
            min(self.x + self.width, other.x + other.width) - max(self.x, other.x) > EPSILON
            and min(self.y + self.height, other.y + other.height) - max(self.y, other.y) > EPSILON
        )


class Margins(NamedTuple):
    """The unprintable edges of a sheet, in the order in which CSS and this program write them, mm."""

    top: float
    """Leading edge of a portrait sheet."""
    right: float
    bottom: float
    """Trailing edge of a portrait sheet, often the largest."""
    left: float

    def turned(self) -> Margins:
        """Margins safe for the same sheet printed as a landscape page.

        A driver may turn the page either way, so each edge takes the larger of the two it may become.
        """
        ends = max(self.top, self.bottom)
        sides = max(self.left, self.right)
        return Margins(sides, ends, sides, ends)


class Affine(NamedTuple):
    """A plane map: x' = a·x + c·y + e, y' = b·x + d·y + f (the order of a PDF matrix)."""

    a: float
    b: float
    c: float
    d: float
    e: float
    f: float

    @classmethod
    def shift(cls, dx: float, dy: float) -> Affine:
        """Move by ``dx``, ``dy``."""
        return cls(1, 0, 0, 1, dx, dy)

    @classmethod
    def stretch(cls, sx: float, sy: float) -> Affine:
        """Scale the axes by ``sx`` and ``sy`` about the origin."""
        return cls(sx, 0, 0, sy, 0, 0)

    @classmethod
    def turn(cls, degrees: float) -> Affine:
        """Turn about the origin; positive turns x towards y (clockwise on a y-down sheet)."""
        sine, cosine = math.sin(math.radians(degrees)), math.cos(math.radians(degrees))
        return cls(cosine, sine, -sine, cosine, 0, 0)

    def then(self, after: Affine) -> Affine:
        """The map that does this first and ``after`` second."""
        a, b, c, d, e, f = self
        return Affine(
            a * after.a + b * after.c,
            a * after.b + b * after.d,
            c * after.a + d * after.c,
            c * after.b + d * after.d,
            e * after.a + f * after.c + after.e,
            e * after.b + f * after.d + after.f,
        )

    def apply(self, x: float, y: float) -> Point:
        """Where the point goes."""
        return Point(self.a * x + self.c * y + self.e, self.b * x + self.d * y + self.f)

    def inverse(self) -> Affine:
        """The map back.

        Raises:
            ZeroDivisionError: The map flattens the plane.
        """
        a, b, c, d, e, f = self
        det = a * d - b * c
        return Affine(d / det, -b / det, -c / det, a / det, (c * f - d * e) / det, (b * e - a * f) / det)

    def bounds(self, rect: Rect) -> Rect:
        """The upright rectangle around the image of ``rect``."""
        points = [self.apply(*corner) for corner in rect.corners]
        xs, ys = [p.x for p in points], [p.y for p in points]
        return Rect.between(min(xs), min(ys), max(xs), max(ys))


IDENTITY = Affine(1, 0, 0, 1, 0, 0)
