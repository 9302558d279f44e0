"""What the front says when the back carries inside print: the outer edges of its tabs are trimmed too."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from tiler.geometry import EPSILON, Affine, Point, Rect, Size
from tiler.marks.metrics import Measure, cap_height, em
from tiler.marks.room import find_room
from tiler.marks.shapes import Line, Page, Ring, Shape, Words
from tiler.marks.style import BLACK, CLOSE, DESCENT, FINE, HALO, TINY
from tiler.marks.tabs import RIBBON
from tiler.plan.tile import Tile

WORDS = ("trim this edge too: it shows inside", "trim this edge too")
"""Best first; left out where a tab has no room for either."""
_OFF = 0.3
"""Least distance of the words from the edge, mm."""


def with_tab_trims(page: Page, tile: Tile, measure: Measure) -> Page:
    """The front of a tile with a line to cut along at the outer edge of each tab, and words beside it."""
    taken = [box for shape in page.shapes for box in _boxes(shape, measure)]
    shapes: list[Shape] = list(tab_trims(tile))
    for upright, band in _bands(tile):
        shapes += _note(band, upright, taken, measure)
    return replace(page, shapes=(*page.shapes, *shapes))


def tab_trims(tile: Tile) -> tuple[Line, ...]:
    """Lines just outside the tabs, their inner edge on the window's; cut so that they fall away."""
    window = tile.on_sheet(tile.window)
    x, y = window.right + FINE / 2, window.bottom + FINE / 2
    right, below = tile.right_tab > EPSILON, tile.bottom_tab > EPSILON
    corner = FINE if right and below else 0.0
    lines = []
    if right:
        lines.append(Line((Point(x, window.y), Point(x, window.bottom + corner)), FINE, BLACK))
    if below:
        lines.append(Line((Point(window.x, y), Point(window.right + corner, y)), FINE, BLACK))
    return tuple(lines)


def _bands(tile: Tile) -> Iterable[tuple[bool, Rect]]:
    """The outer part of each tab, and whether it is upright."""
    face, window = tile.on_sheet(tile.face), tile.on_sheet(tile.window)
    if tile.right_tab >= RIBBON:
        yield True, Rect.between(window.right - RIBBON, face.y, window.right - _OFF, face.bottom)
    if tile.bottom_tab >= RIBBON:
        yield False, Rect.between(face.x, window.bottom - RIBBON, face.right, window.bottom - _OFF)


def _note(band: Rect, upright: bool, taken: Sequence[Rect], measure: Measure) -> tuple[Shape, ...]:
    """The words along a band, near its outer edge and its middle."""
    cap = cap_height(TINY)
    for text in WORDS:
        size = Size(measure(text, TINY, False), cap + DESCENT * em(TINY))
        wish = Point(band.centre.x - size.width / 2, band.bottom - size.height)
        if upright:
            size = size.turned()
            wish = Point(band.right - size.width, band.centre.y - size.height / 2)
        place = find_room(size, band, taken, wish)
        if place is not None:
            base = Point(place.x + cap, place.bottom) if upright else Point(place.x, place.y + cap)
            return (Words(base, text, TINY, turn=-90 if upright else 0, halo=HALO),)
    return ()


def _boxes(shape: Shape, measure: Measure) -> tuple[Rect, ...]:
    """The upright rectangle round a shape that words must keep off; areas and artwork lie below them."""
    match shape:
        case Line():
            xs, ys = [p.x for p in shape.points], [p.y for p in shape.points]
            return (Rect.between(min(xs), min(ys), max(xs), max(ys)).grown(shape.width / 2 + shape.halo),)
        case Ring():
            return (Rect(*shape.centre, 0, 0).grown(shape.radius + shape.width / 2 + shape.halo),)
        case Words():
            return (_words_box(shape, measure),)
        case _:
            return ()


def _words_box(words: Words, measure: Measure) -> Rect:
    """The upright rectangle round one line of text."""
    width = measure(words.text, words.size, words.bold)
    start = {"left": 0.0, "middle": -width / 2, "right": -width}[words.align]
    place = Affine.turn(words.turn).then(Affine.shift(*words.at))
    up, down = -cap_height(words.size), DESCENT * em(words.size)
    ends = [place.apply(x, y) for x in (start, start + width) for y in (up, down)]
    xs, ys = [p.x for p in ends], [p.y for p in ends]
    return Rect.between(min(xs), min(ys), max(xs), max(ys)).grown(CLOSE / 4)
