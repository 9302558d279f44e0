"""Check points on a sheet: never on the face, but beside it in the row and the column of the spot.

::

          face              | tab
                            |
             x  (the spot)  |  <- a      the arrow and its letter stand in the spot's row
                            |
      ------------------------
             ^              tab
             a

A spot that lies on a tab or in the waste has a small ring where it is.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from tiler.geometry import EPSILON, Point, Rect
from tiler.marks.arrow import arrow
from tiler.marks.facts import CheckSpot, Facts
from tiler.marks.metrics import Measure, cap_height
from tiler.marks.shapes import Ring, Shape, Words
from tiler.marks.style import BLACK, CLOSE, FINE, HALO, NOTE
from tiler.marks.tabs import CLEAN
from tiler.plan.tile import Tile

_ARROW = 1.8
"""Length of an arrow, mm; with its letter it fits between a seam and the ribbon of a tab."""
_AFTER = 0.4
"""Between arrow and letter, mm."""
_CLEAR = 0.3
"""Between the clean artwork beyond a seam and the arrow, mm."""
_RADIUS = 1.2
"""Of the ring round a spot, mm."""
_HALF = 0.8
"""Half the width that an arrow takes with its white edge, mm."""


@dataclass(frozen=True)
class Sign:
    """Something small that has its place or none."""

    room: Rect
    """Sheet coordinates, its white edge included."""
    shapes: tuple[Shape, ...]


def check_signs(tile: Tile, facts: Facts, taken: Sequence[Rect], measure: Measure) -> tuple[Sign, ...]:
    """The signs of all check points that find room on a sheet.

    Args:
        tile: The sheet's tile.
        facts: Holds the check points.
        taken: Places of other things, sheet coordinates.
        measure: Width of a text.
    """
    signs: list[Sign] = []
    for spot in facts.check_points:
        for sign in _signs_of(tile, spot, measure):
            others = [*taken, *(other.room for other in signs)]
            if tile.printable.holds(sign.room) and not any(sign.room.overlaps(rect) for rect in others):
                signs.append(sign)
    return tuple(signs)


def _signs_of(tile: Tile, spot: CheckSpot, measure: Measure) -> Iterator[Sign]:
    """What a spot could have on this sheet."""
    if not tile.window.contains(spot.at):
        return
    at, face = spot.at.shifted(*tile.to_sheet), tile.on_sheet(tile.face)
    if not tile.face.contains(spot.at):
        ring = _ringed(spot, at, measure)
        if _is_on_tab(tile, ring.room):
            yield ring
    elif spot.in_waste:
        ring = _ringed(spot, at, measure)
        if face.holds(ring.room):
            yield ring
    else:
        yield from _arrows(tile, spot, at, measure)


def _is_on_tab(tile: Tile, room: Rect) -> bool:
    """True within the window, off the face and the clean artwork beside it; not in a cut allowance."""
    face, window = tile.on_sheet(tile.face), tile.on_sheet(tile.window)
    beyond = room.x >= face.right + CLEAN or room.y >= face.bottom + CLEAN
    return beyond and window.holds(room) and room.x >= face.x and room.y >= face.y


def _ringed(spot: CheckSpot, at: Point, measure: Measure) -> Sign:
    """A ring on the spot, its letter to the right of it."""
    cap, width = cap_height(NOTE), measure(spot.sign, NOTE, True)
    base = at.shifted(_RADIUS + _AFTER + HALO, cap / 2)
    room = Rect.between(at.x - _RADIUS, at.y - _RADIUS, base.x + width, at.y + _RADIUS)
    shapes = (
        Ring(at, _RADIUS, FINE, halo=HALO),
        Words(base, spot.sign, NOTE, bold=True, halo=2 * HALO),
    )
    return Sign(room.grown(FINE + 2 * HALO), shapes)


def _arrows(tile: Tile, spot: CheckSpot, at: Point, measure: Measure) -> Iterator[Sign]:
    """Arrows from all four sides of the face, each starting where the sheet has no face beside it."""
    face, window = tile.on_sheet(tile.face), tile.on_sheet(tile.window)
    width = measure(spot.sign, NOTE, True)
    sides = (
        (Point(1, 0), window.right - face.right, Point(face.right, at.y)),
        (Point(0, 1), window.bottom - face.bottom, Point(at.x, face.bottom)),
        (Point(-1, 0), face.x - window.x, Point(face.x, at.y)),
        (Point(0, -1), face.y - window.y, Point(at.x, face.y)),
    )
    for away, beyond, edge in sides:
        clear = CLEAN + _CLEAR if beyond > EPSILON else CLOSE
        tip = edge.shifted(away.x * clear, away.y * clear)
        yield _pointing(spot.sign, tip, away, width)


def _pointing(sign: str, tip: Point, away: Point, width: float) -> Sign:
    """An arrow to its tip, with the letter at its tail."""
    cap = cap_height(NOTE)
    tail = tip.shifted(away.x * _ARROW, away.y * _ARROW)
    half = abs(away.x) * width / 2 + abs(away.y) * cap / 2
    middle = tail.shifted(away.x * (_AFTER + half), away.y * (_AFTER + half))
    letter = Rect(middle.x - width / 2, middle.y - cap / 2, width, cap).grown(2 * HALO)
    shaft = Rect.between(min(tip.x, tail.x), min(tip.y, tail.y), max(tip.x, tail.x), max(tip.y, tail.y))
    beside = (_HALF * abs(away.y), _HALF * abs(away.x))
    room = letter.union(shaft.inset(-beside[0], -beside[1], -beside[0], -beside[1]))
    words = Words(middle.shifted(0, cap / 2), sign, NOTE, bold=True, align="middle", halo=2 * HALO)
    return Sign(room, (*arrow(tail, tip, BLACK, FINE, HALO), words))
