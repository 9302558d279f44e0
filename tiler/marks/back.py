"""The back of a tile: the inside print, laid so that it is true behind the front.

Inside art is drawn as seen from the inside, so its x runs against the flat's. The back page's x (or y) runs
against the front's as well, by the edge over which the printer turns the sheet::

      front                 back, turned about            back, turned about
    +--------+              the vertical axis             the horizontal axis
    | A      |              +--------+                    +--------+
    |   face |   x, y       |      A |   width - x, y     |        |   x, height - y
    |        |              | ecaf   |                    | A      |
    +--------+              +--------+                    +--------+

From behind the glue tab of the lower tile lies on top of the upper tile. So the back carries art right to the
outer edge of the tabs and a little beyond, and the tabs are trimmed there. Whatever stays visible from
behind carries nothing but art.
"""

from __future__ import annotations

from collections.abc import Iterator

from tiler.geometry import EPSILON, Affine, Point, Rect, Size
from tiler.marks.facts import Facts, Flip, InsidePrint
from tiler.marks.metrics import Measure, cap_height, em
from tiler.marks.room import find_room
from tiler.marks.shapes import Artwork, Page, Shape, Words
from tiler.marks.style import CLOSE, DESCENT, HALO, NOTE, QUIET, TINY, TITLE
from tiler.marks.tabs import CLEAN
from tiler.plan.tile import Tile

BLEED = CLEAN
"""Inside art beyond the outer edge of a glue tab, mm, so that a slightly wild cut shows no white."""


def turns_sideways(page: Size, flip: Flip) -> bool:
    """True when the sheet turns about its vertical axis, as the leaf of a book does."""
    return (flip == "long") == (page.height >= page.width)


def to_back(page: Size, flip: Flip) -> Affine:
    """From a place on the front page to the place behind it, as the back page is read.

    Args:
        page: Of the front as it is read, mm; the back has the same size.
        flip: The edge of the paper over which the sheet is turned.
    """
    if turns_sideways(page, flip):
        return Affine(-1, 0, 0, 1, page.width, 0)
    return Affine(1, 0, 0, -1, 0, page.height)


def inside_to_flat(flat: Size, inside: Size) -> Affine:
    """From inside art to the flat's true-size coordinates, their middles laid on each other.

    Args:
        flat: True size of the outside's box, mm.
        inside: True size of the inside's box, mm.
    """
    return Affine(-1, 0, 0, 1, (flat.width + inside.width) / 2, (flat.height - inside.height) / 2)


def back_window(tile: Tile) -> Rect:
    """What the back carries, in sheet coordinates of the front: the window, and a bleed beyond its tabs."""
    right = BLEED if tile.right_tab > EPSILON else 0.0
    below = BLEED if tile.bottom_tab > EPSILON else 0.0
    return tile.on_sheet(tile.window).inset(0, 0, -right, -below)


def back_page(tile: Tile, facts: Facts, inside: InsidePrint, lighten: float, measure: Measure) -> Page:
    """The page printed on the back of a tile.

    Args:
        tile: The tile on the front.
        facts: What the sheets say.
        inside: The inside print.
        lighten: Share of white laid over the art, 0 to 0.9.
        measure: Width of a text.
    """
    behind = to_back(tile.sheet, inside.flip)
    to_sheet = (
        inside_to_flat(facts.flat, inside.size)
        .then(Affine.stretch(facts.scale, facts.scale))
        .then(Affine.shift(*tile.to_sheet))
        .then(behind)
    )
    art = Artwork(moved(back_window(tile), behind), to_sheet, inside.size, lighten, "inside")
    name = f"{tile.label} back"
    return Page(tile.sheet, (art, *_label(name, tile, behind, measure)), name, f"{tile.label}, inside print")


def moved(rect: Rect, by: Affine) -> Rect:
    """The rectangle after a map that keeps it upright."""
    one, other = by.apply(rect.x, rect.y), by.apply(rect.right, rect.bottom)
    return Rect.between(min(one.x, other.x), min(one.y, other.y), max(one.x, other.x), max(one.y, other.y))


def falling_away(tile: Tile) -> Iterator[Rect]:
    """Parts of the sheet that are cut off in any case, sheet coordinates of the front: paper, then art."""
    paper, window, art = tile.printable, tile.on_sheet(tile.window), back_window(tile)
    face = tile.on_sheet(tile.face)
    yield Rect.between(paper.x, art.bottom + CLOSE, paper.right, paper.bottom)
    yield Rect.between(art.right + CLOSE, paper.y, paper.right, paper.bottom)
    yield Rect.between(window.x, window.y, window.right, face.y - CLEAN)
    yield Rect.between(window.x, window.y, face.x - CLEAN, window.bottom)


def _label(text: str, tile: Tile, behind: Affine, measure: Measure) -> tuple[Shape, ...]:
    """The tile's name in a part that falls away; nothing where no part has room."""
    rooms = [moved(room, behind) for room in falling_away(tile) if not room.is_empty]
    tail = DESCENT if "Q" in text else 0.0
    for type_size in (TITLE, NOTE, TINY):
        size = Size(measure(text, type_size, False), cap_height(type_size) + tail * em(type_size))
        for room in rooms:
            for upright in (False, True):
                wanted = size.turned() if upright else size
                place = find_room(wanted, room, (), Point(room.x, room.y))
                if place is not None:
                    return (_words(text, type_size, place, upright),)
    return ()


def _words(text: str, type_size: float, place: Rect, upright: bool) -> Words:
    """The text in its place; an upright one reads upwards."""
    cap = cap_height(type_size)
    if upright:
        return Words(Point(place.x + cap, place.bottom), text, type_size, turn=-90, grey=QUIET, halo=HALO)
    return Words(Point(place.x, place.y + cap), text, type_size, grey=QUIET, halo=HALO)
