"""From faces to tiles: neighbours, windows, place on the sheet and seams.

::

    allowance   face            glue tab
      |  +------------------+ - - - - +
      |  |                  |   A1    |  right edge: A2's face touches, so A1 prints on below it
      v  |       A1         |   tab   |
      ...+------------------+ - - - - +
                     bottom tab likewise
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from tiler.errors import PlanError
from tiler.geometry import EPSILON, Point, Rect
from tiler.plan.request import PlanRequest
from tiler.plan.tile import ALLOWANCE, EDGE_BAND, Plan, Seam, Tile
from tiler.units import format_length


@dataclass(frozen=True)
class Face:
    """A face with its name, before it knows its neighbours."""

    label: str
    strip: int
    """Strip, counted from 0."""
    order: int
    """Place within the strip, counted from 0."""
    rect: Rect
    """Flat coordinates, mm."""
    landscape: bool
    """How its sheet lies."""


Judge = Callable[[Seam], tuple[float, str]]
"""Gives a seam its penalty and the reason in words."""


def build_plan(
    request: PlanRequest, faces: Sequence[Face], layout: str, direction: str, grid_sheets: int
) -> Plan:
    """Make tiles and seams from faces.

    Raises:
        PlanError: A window does not fit the printable area of its sheet.
    """
    pairs = [pair for pair in map(_meeting, *_all_pairs(faces)) if pair]
    tiles = tuple(_tile(request, face, faces, pairs) for face in faces)
    for tile in tiles:
        _check_fit(request, tile)
    seams = tuple(Seam(start, end, upper.label, lower.label) for lower, upper, start, end in pairs)
    return Plan(
        request.flat,
        request.sheet,
        request.margins,
        request.overlap,
        layout,
        direction,
        tiles,
        seams,
        grid_sheets,
    )


_Pair = tuple[Face, Face, Point, Point]
"""Lower face, upper face, both ends of the seam."""


def _all_pairs(faces: Sequence[Face]) -> tuple[list[Face], list[Face]]:
    """Each face against each other one, as two lists of equal length."""
    lowers = [lower for lower in faces for upper in faces if upper is not lower]
    uppers = [upper for lower in faces for upper in faces if upper is not lower]
    return lowers, uppers


def _meeting(lower: Face, upper: Face) -> _Pair | None:
    """The seam if ``upper`` lies right of or below ``lower`` and touches it."""
    a, b = lower.rect, upper.rect
    top, bottom = max(a.y, b.y), min(a.bottom, b.bottom)
    if abs(a.right - b.x) < EPSILON and bottom - top > EPSILON:
        return lower, upper, Point(b.x, top), Point(b.x, bottom)
    left, right = max(a.x, b.x), min(a.right, b.right)
    if abs(a.bottom - b.y) < EPSILON and right - left > EPSILON:
        return lower, upper, Point(left, b.y), Point(right, b.y)
    return None


def _tile(request: PlanRequest, face: Face, faces: Sequence[Face], pairs: Sequence[_Pair]) -> Tile:
    """The tile of one face."""
    upright = [(low, up) for low, up, start, end in pairs if start.x == end.x]
    level = [(low, up) for low, up, start, end in pairs if start.x != end.x]
    right = [up for low, up in upright if low is face]
    below = [up for low, up in level if low is face]
    left = [low for low, up in upright if up is face]
    above = [low for low, up in level if up is face]
    rect = face.rect
    window = Rect.between(
        rect.x - (ALLOWANCE if left else 0),
        rect.y - (ALLOWANCE if above else 0),
        min([rect.right + request.overlap, max(up.rect.right for up in right)]) if right else rect.right,
        min([rect.bottom + request.overlap, max(up.rect.bottom for up in below)]) if below else rect.bottom,
    ).intersection(Rect(0, 0, request.flat.width, request.flat.height))
    printable = request.printable(face.landscape)
    return Tile(
        face.label,
        face.strip,
        face.order,
        rect,
        window,
        face.landscape,
        request.sheet.oriented(face.landscape),
        printable,
        Point(printable.x, printable.y),
        tuple(up.label for up in right),
        tuple(up.label for up in below),
        tuple(low.label for low in left),
        tuple(low.label for low in above),
    )


def _check_fit(request: PlanRequest, tile: Tile) -> None:
    """Raise when window or the band for label and scale bar leaves the printable area."""
    needed = (
        tile.left_allowance + tile.face.width + max(tile.right_tab, EDGE_BAND),
        tile.top_allowance + tile.face.height + max(tile.bottom_tab, EDGE_BAND),
    )
    for need, room in zip(needed, tile.printable.size, strict=True):
        if need > room + EPSILON:
            raise PlanError(
                f"tile {tile.label} needs {format_length(need)} where {request.sheet.name} can print"
                f" {format_length(room)}",
                "move the seam back, or use a smaller overlap, smaller margins or a larger sheet",
            )
