r"""Registration marks: a thin open diamond on the seam, made whole when two tiles are laid right.

::

             face | tab
                / | \
               <--+-->      5 mm from point to point
                \ | /

Both tiles print the whole diamond at the same flat coordinate. After trimming, either face keeps one half.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence

from tiler.geometry import Point, Rect
from tiler.marks.facts import Show
from tiler.marks.shapes import Line, Shape
from tiler.marks.style import FINE, HAIR, HALO
from tiler.plan.tile import Plan, Seam, Tile

REACH = 2.5
"""From the middle of the mark to its points, mm."""
INSET = 0.13
"""Share of the seam between a mark and the nearer end; far apart marks show the smallest turn."""
LEAST_INSET = 4.0
"""A mark never comes nearer to an end than this, mm, so that it stays off the corner."""
THIRD_FROM = 250.0
"""Seams longer than this (mm) get a third mark in the middle (house style)."""
_STEP = 1.0
"""Marks move off an avoided place by steps of this length, mm."""


def marks_on_seam(seam: Seam, avoid: Sequence[Rect] = ()) -> tuple[Point, ...]:
    """Where the marks of a seam stand, plan coordinates; the same for both of its tiles.

    Args:
        seam: At least 14 mm for two marks; one mark down to 8 mm, none below.
        avoid: Places that marks keep off where they can, plan coordinates.
    """
    if seam.length < 2 * LEAST_INSET:
        return ()
    inset = max(LEAST_INSET, INSET * seam.length)
    wishes = [inset, seam.length - inset]
    if seam.length < 2 * LEAST_INSET + 2 * REACH + 1:
        wishes = [seam.length / 2]
    elif seam.length > THIRD_FROM:
        wishes.insert(1, seam.length / 2)
    share = (seam.length - 2 * LEAST_INSET) / len(wishes)
    room = mark_room(seam.start).union(mark_room(seam.end))
    near = [rect for rect in avoid if rect.overlaps(room)]
    stretches = [(LEAST_INSET + i * share, LEAST_INSET + (i + 1) * share) for i in range(len(wishes))]
    return tuple(
        _settle(seam, wish, low, high, near) for wish, (low, high) in zip(wishes, stretches, strict=True)
    )


def _settle(seam: Seam, wish: float, low: float, high: float, avoid: Sequence[Rect]) -> Point:
    """The clear place nearest to the wish within its own stretch of the seam; the wish when there is none."""
    steps = int((high - low) / _STEP) + 1
    for along in itertools.chain(
        [wish], (wish + sign * n * _STEP for n in range(1, steps) for sign in (-1, 1))
    ):
        if low <= along <= high:
            spot = _along(seam, along)
            if not any(rect.overlaps(mark_room(spot)) for rect in avoid):
                return spot
    return _along(seam, wish)


def _along(seam: Seam, distance: float) -> Point:
    return seam.start.shifted(0, distance) if seam.is_upright else seam.start.shifted(distance, 0)


def mark_room(spot: Point) -> Rect:
    """The square a mark takes, its white edge included."""
    return Rect(spot.x, spot.y, 0, 0).grown(REACH + HALO + FINE)


def draw_registration(plan: Plan, tile: Tile, show: Show, avoid: Sequence[Rect]) -> tuple[Shape, ...]:
    """All registration marks of a tile, in sheet coordinates."""
    shapes: list[Shape] = []
    if show == "none":
        return ()
    for seam in plan.seams:
        if tile.label not in (seam.lower, seam.upper):
            continue
        outwards = 1 if seam.lower == tile.label else -1
        for spot in marks_on_seam(seam, avoid):
            at = spot.shifted(*tile.to_sheet)
            if show == "full":
                shapes += whole_mark(at, seam.is_upright)
            else:
                shapes += half_mark(at, seam.is_upright, outwards)
    return tuple(shapes)


def registration_rooms(plan: Plan, tile: Tile, show: Show, avoid: Sequence[Rect]) -> tuple[Rect, ...]:
    """The squares that the marks of a tile take, in sheet coordinates."""
    if show == "none":
        return ()
    return tuple(
        mark_room(spot.shifted(*tile.to_sheet))
        for seam in plan.seams
        if tile.label in (seam.lower, seam.upper)
        for spot in marks_on_seam(seam, avoid)
    )


def whole_mark(at: Point, upright: bool) -> tuple[Line, Line]:
    """The diamond and the hairline across the seam."""
    ring = tuple(at.shifted(x * REACH, y * REACH) for x, y in ((0, -1), (1, 0), (0, 1), (-1, 0)))
    reach = (REACH, 0.0) if upright else (0.0, REACH)
    across = (at.shifted(-reach[0], -reach[1]), at.shifted(*reach))
    return (
        Line(ring, HAIR, halo=HALO, closed=True),
        Line(across, HAIR, halo=HALO),
    )


def half_mark(at: Point, upright: bool, outwards: int) -> tuple[Line, Line]:
    """The half of the mark that lies off the face, standing clear of the seam by its own white edge."""
    clear = HALO + FINE

    def spot(away: float, along: float) -> Point:
        away *= outwards
        return at.shifted(away, along) if upright else at.shifted(along, away)

    diamond = (spot(clear, -REACH + clear), spot(REACH, 0), spot(clear, REACH - clear))
    return (
        Line(diamond, HAIR, halo=HALO),
        Line((spot(clear, 0), spot(REACH, 0)), HAIR, halo=HALO),
    )
