"""Where the lower tile shows the seam and where the upper one is trimmed.

Both lines lie just outside the face, with their inner edge exactly on the seam, and with a white line beside
them so that they read on dark art. Nothing of them is left on a neat mock.
"""

from __future__ import annotations

from collections.abc import Sequence

from tiler.geometry import EPSILON, Point, Rect
from tiler.marks.arrow import arrow
from tiler.marks.metrics import Measure, cap_height
from tiler.marks.room import find_room
from tiler.marks.shapes import Line, Shape, Words
from tiler.marks.style import BLACK, CLOSE, FINE, HALO, NEAR, TINY
from tiler.marks.tabs import CLEAN
from tiler.plan.tile import Plan, Seam, Tile

TICK = 3.0
"""Length of a tick beyond the window, mm."""


def _beside(start: Point, end: Point, away: Point) -> tuple[Line, Line]:
    """A black line outside the face, hugging it, and a white one outside that."""
    black = away.x * FINE / 2, away.y * FINE / 2
    outer = FINE + HALO / 2
    white = away.x * outer, away.y * outer
    return (
        Line((start.shifted(*white), end.shifted(*white)), HALO, 1.0),
        Line((start.shifted(*black), end.shifted(*black)), FINE, BLACK),
    )


def draw_seams(plan: Plan, tile: Tile) -> tuple[Shape, ...]:
    """The seam on the tab of the lower tile."""
    lines: list[Shape] = []
    for seam in plan.seams:
        if seam.lower == tile.label:
            away = Point(1, 0) if seam.is_upright else Point(0, 1)
            lines += _beside(seam.start.shifted(*tile.to_sheet), seam.end.shifted(*tile.to_sheet), away)
    return tuple(lines)


def draw_trims(tile: Tile) -> tuple[Shape, ...]:
    """The trim lines of the upper tile, right through its window, and ticks on blank paper beyond."""
    face, window, paper = tile.on_sheet(tile.face), tile.on_sheet(tile.window), tile.printable
    lines: list[Shape] = []
    if tile.left_allowance > EPSILON:
        lines += _beside(Point(face.x, window.y), Point(face.x, window.bottom), Point(-1, 0))
        x = face.x - FINE / 2
        spans = _ticks(paper.y, window.y, window.bottom, paper.bottom)
        lines += [Line((Point(x, a), Point(x, b)), FINE) for a, b in spans]
    if tile.top_allowance > EPSILON:
        lines += _beside(Point(window.x, face.y), Point(window.right, face.y), Point(0, -1))
        y = face.y - FINE / 2
        spans = _ticks(paper.x, window.x, window.right, paper.right)
        lines += [Line((Point(a, y), Point(b, y)), FINE) for a, b in spans]
    return tuple(lines)


def trim_ticks_room(tile: Tile) -> tuple[Rect, ...]:
    """Where the ticks of the trim lines stand, so that nothing else does."""
    face, window = tile.on_sheet(tile.face), tile.on_sheet(tile.window)
    rooms = []
    if tile.left_allowance > EPSILON:
        rooms.append(Rect.between(face.x - FINE, window.bottom, face.x, window.bottom + CLOSE + TICK))
    if tile.top_allowance > EPSILON:
        rooms.append(Rect.between(window.right, face.y - FINE, window.right + CLOSE + TICK, face.y))
    return tuple(rooms)


def _ticks(low: float, first: float, last: float, high: float) -> list[tuple[float, float]]:
    """Ticks before ``first`` and after ``last``, where there is at least 1 mm of paper for them."""
    spans = [(max(low, first - CLOSE - TICK), first - CLOSE), (last + CLOSE, min(high, last + CLOSE + TICK))]
    return [(a, b) for a, b in spans if b - a >= CLOSE]


def trim_words(
    plan: Plan, tile: Tile, taken: Sequence[Rect], measure: Measure
) -> tuple[tuple[Shape, ...], ...]:
    """Tiny words in the cut allowance: what happens here, and on which tile the edge will lie."""
    seams = [seam for seam in plan.seams if seam.upper == tile.label]
    return tuple(_trim_word(tile, seam, taken, measure) for seam in seams)


def _trim_word(tile: Tile, seam: Seam, taken: Sequence[Rect], measure: Measure) -> tuple[Shape, ...]:
    text = f"trim, lay on {seam.lower}"
    depth = tile.left_allowance if seam.is_upright else tile.top_allowance
    room = depth - CLEAN
    length = measure(text, TINY, False) + NEAR + CLOSE
    if room < cap_height(TINY) + 0.5 or length > seam.length - 2 * CLOSE:
        return ()
    window = tile.on_sheet(tile.window)
    middle = Point((seam.start.x + seam.end.x) / 2, (seam.start.y + seam.end.y) / 2).shifted(*tile.to_sheet)
    start, end = seam.start.shifted(*tile.to_sheet), seam.end.shifted(*tile.to_sheet)
    if seam.is_upright:
        band = Rect.between(window.x, start.y, window.x + room, end.y)
        size, wish = Rect(0, 0, room, length).size, Point(window.x, middle.y - length / 2)
    else:
        band = Rect.between(start.x, window.y, end.x, window.y + room)
        size, wish = Rect(0, 0, length, room).size, Point(middle.x - length / 2, window.y)
    place = find_room(size, band, taken, wish)
    return () if place is None else _write(place, text, seam.is_upright)


def _write(place: Rect, text: str, upright: bool) -> tuple[Shape, ...]:
    """An arrow away from the face and the words behind it, in the order of reading."""
    lift = (min(place.size) - cap_height(TINY)) / 2
    if upright:
        base = Point(place.right - lift, place.bottom - NEAR - CLOSE)
        pointer = arrow(
            Point(place.right - 0.1, place.bottom - CLOSE), Point(place.x + 0.1, place.bottom - CLOSE)
        )
        return (*pointer, Words(base, text, TINY, turn=-90, halo=HALO))
    base = Point(place.x + NEAR + CLOSE, place.bottom - lift)
    pointer = arrow(Point(place.x + CLOSE, place.bottom - 0.1), Point(place.x + CLOSE, place.y + 0.1))
    return (*pointer, Words(base, text, TINY, halo=HALO))
