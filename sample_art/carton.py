"""Geometry of a four-walled carton blank: panels, cuts, creases, walls and the path round them.

Everything is in millimetres, origin at the top-left of the trimmed blank, y down, seen from the
outside (printed side up). The blank is a cross: a base panel with four walls; the two long walls
carry a glue flap at either end. The shape is drawn by us for this sample; it follows no catalogue.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from shapely.geometry import Polygon

Point = tuple[float, float]
Side = Literal["front", "right", "back", "left"]
SIDES: tuple[Side, ...] = ("front", "right", "back", "left")
KAPPA = 0.5522847498
"""Control-point distance of a Bezier quarter circle, for radius 1: 4/3 (sqrt 2 - 1)."""


@dataclass(frozen=True)
class Line:
    """A straight piece of the structure."""

    start: Point
    end: Point


@dataclass(frozen=True)
class Curve:
    """A cubic Bezier piece of the structure."""

    start: Point
    control1: Point
    control2: Point
    end: Point


Piece = Line | Curve


@dataclass(frozen=True)
class WallFrame:
    """Upright view of one wall: u runs right, v runs down, as a person sees the wall standing."""

    side: Side
    origin: Point
    """Top-left corner of the upright wall, on the blank."""
    right: Point
    """Unit vector of u on the blank."""
    down: Point
    """Unit vector of v on the blank."""
    length: float
    """Wall length along u, mm."""
    start: float
    """Distance round the box at u = 0, mm, from the left end of the front wall."""

    def at(self, u: float, v: float) -> Point:
        """Return the point of the blank that lies at (u, v) of the upright wall, mm."""
        (rx, ry), (dx, dy) = self.right, self.down
        return (self.origin[0] + u * rx + v * dx, self.origin[1] + u * ry + v * dy)


@dataclass(frozen=True)
class Carton:
    """A base panel with four walls and four glue flaps; all sizes mm between crease centres."""

    length: float
    """Base panel along x."""
    width: float
    """Base panel along y."""
    depth: float
    """Wall height."""
    flap: float
    """How far a glue flap reaches beyond the end of its wall."""
    taper: float
    """How much the flap narrows on each side towards its free edge."""
    notch: float = 0.0
    """Radius of the thumb notch in the rim of the right-hand (x = max) wall; 0 for none."""
    base_up: bool = True
    """True for a lid (base panel on top, rim down), False for a tray (base panel below)."""

    @property
    def size(self) -> tuple[float, float]:
        """Return the trimmed blank's width and height."""
        return self.length + 2 * self.depth, self.width + 2 * self.depth

    @property
    def girth(self) -> float:
        """Return the way round the four walls."""
        return 2 * (self.length + self.width)

    def corners(self) -> list[Point]:
        """Return the outline's corners in order, without the notch, starting at the back wall."""
        d, f, t = self.depth, self.flap, self.taper
        x0, x1, y0, y1 = d, d + self.length, d, d + self.width
        w, h = self.size
        return [
            *[(x0, 0.0), (x1, 0.0), (x1 + f, t), (x1 + f, d - t), (x1, y0)],
            *[(w, y0), (w, y1), (x1, y1)],
            *[(x1 + f, y1 + t), (x1 + f, h - t), (x1, h), (x0, h), (x0 - f, h - t)],
            *[(x0 - f, y1 + t), (x0, y1), (0.0, y1), (0.0, y0), (x0, y0)],
            *[(x0 - f, d - t), (x0 - f, t)],
        ]

    def cuts(self) -> list[Piece]:
        """Return the closed outline, piece after piece, each starting where the last one ended."""
        corners = self.corners()
        pieces: list[Piece] = []
        for start, end in zip(corners, [*corners[1:], corners[0]], strict=True):
            rim = self.notch > 0 and start[0] == end[0] == self.size[0]
            pieces.extend(self._notched(start, end) if rim else [Line(start, end)])
        return pieces

    def _notched(self, start: Point, end: Point) -> list[Piece]:
        """Return the right wall's rim with the half-round thumb notch at its middle."""
        x, y, r = start[0], (start[1] + end[1]) / 2, self.notch
        k = r * KAPPA
        return [
            Line(start, (x, y - r)),
            Curve((x, y - r), (x - k, y - r), (x - r, y - k), (x - r, y)),
            Curve((x - r, y), (x - r, y + k), (x - k, y + r), (x, y + r)),
            Line((x, y + r), end),
        ]

    def creases(self) -> list[Line]:
        """Return the eight creases: four round the base panel, four at the flaps."""
        d = self.depth
        x0, x1, y0, y1 = d, d + self.length, d, d + self.width
        h = self.size[1]
        return [
            Line((x0, y0), (x1, y0)),
            Line((x1, y0), (x1, y1)),
            Line((x1, y1), (x0, y1)),
            Line((x0, y1), (x0, y0)),
            Line((x0, 0.0), (x0, y0)),
            Line((x1, 0.0), (x1, y0)),
            Line((x0, y1), (x0, h)),
            Line((x1, y1), (x1, h)),
        ]

    def bleed_outline(self, bleed: float) -> list[Point]:
        """Return the outline grown by `bleed` mm with sharp corners, rounded to 0.1 micrometre."""
        grown = Polygon(self.corners()).buffer(bleed, join_style="mitre", mitre_limit=3.0)
        return [(round(x, 4), round(y, 4)) for x, y in grown.exterior.coords[:-1]]

    def wall(self, side: Side) -> WallFrame:
        """Return the upright frame of one wall; walls follow each other to the right."""
        d, (w, h) = self.depth, self.size
        x0, x1, y0, y1 = d, d + self.length, d, d + self.width
        outward: dict[Side, Point] = {
            "front": (0.0, 1.0),
            "right": (1.0, 0.0) if self.base_up else (-1.0, 0.0),
            "back": (0.0, -1.0),
            "left": (-1.0, 0.0) if self.base_up else (1.0, 0.0),
        }
        sign = 1.0 if self.base_up else -1.0
        down = (outward[side][0] * sign, outward[side][1] * sign)
        right = (down[1], -down[0])
        top: dict[Side, Point] = {
            "front": (x0, y1) if self.base_up else (x1, h),
            "right": (x1, y1) if self.base_up else (0.0, y1),
            "back": (x1, y0) if self.base_up else (x0, 0.0),
            "left": (x0, y0) if self.base_up else (w, y0),
        }
        length = self.length if side in ("front", "back") else self.width
        steps = {"front": 0.0, "right": self.length, "back": self.length + self.width}
        start = steps.get(side, 2 * self.length + self.width)
        return WallFrame(side, top[side], right, down, length, start)


LID = Carton(length=300.0, width=220.0, depth=60.0, flap=18.0, taper=6.0, notch=12.0)
"""The lid: 300 x 220 mm top, 60 mm walls, blank 420 x 340 mm."""
TRAY = Carton(length=298.0, width=218.0, depth=80.0, flap=22.0, taper=8.0, base_up=False)
"""The tray: 2 mm smaller each way, 80 mm walls, blank 458 x 378 mm."""
BLEED = 3.0
"""Bleed round every outline, mm (common practice, no source)."""
