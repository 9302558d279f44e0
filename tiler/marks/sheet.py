"""One tile on its sheet: artwork, tabs, lines, marks, and the words and bars round the face.

Nothing stands on the face but halves of registration marks and crease guides, each with its own switch.
"""

from __future__ import annotations

from collections.abc import Iterable

from tiler.geometry import EPSILON, Affine, Point, Rect
from tiler.marks.check_marks import check_signs
from tiler.marks.crease_guides import draw_guides, guide_rooms
from tiler.marks.edge_marks import edge_signs
from tiler.marks.facts import Facts, MarkOptions
from tiler.marks.label_block import directions, label_blocks
from tiler.marks.metrics import Measure
from tiler.marks.registration import draw_registration, registration_rooms
from tiler.marks.room import find_room
from tiler.marks.scale_bar import LENGTHS, bar_size, scale_bar
from tiler.marks.seam_lines import draw_seams, draw_trims, trim_ticks_room, trim_words
from tiler.marks.shapes import Area, Artwork, Page, Shape
from tiler.marks.style import CLOSE, NEAR, NOTE, TINY, TITLE
from tiler.marks.tabs import (
    CLEAN,
    RIBBON,
    RIBBON_FROM,
    Tab,
    draw_allowances,
    draw_snip,
    draw_tabs,
    draw_unused_tabs,
    snip_zone,
    tabs_of,
)
from tiler.plan.tile import Plan, Tile

_EDGE = 0.1
"""Least distance of words and bars from the end of their band, mm."""
_GROUND = 0.4
"""White ground round a thing that stands on artwork, mm."""
_GAP = 0.4
"""Nothing stands closer than this to anything, mm; marks, bars and labels ask for 1 mm."""


def tile_page(plan: Plan, tile: Tile, facts: Facts, options: MarkOptions, measure: Measure) -> Page:
    """Everything on the sheet of one tile, in drawing order."""
    tabs = tabs_of(plan, tile)
    shapes = (
        artwork(tile, facts, options.lighten),
        *draw_guides(facts.guides, tile, options.guides),
        *draw_unused_tabs(tile, tabs),
        *draw_tabs(tabs),
        *draw_allowances(tile),
        *draw_snip(plan, tile),
        *draw_seams(plan, tile),
        *draw_trims(tile),
        *draw_registration(plan, tile, options.marks, options.avoid),
        *_Furniture(plan, tile, facts, options, measure).draw(tabs),
    )
    title = f"{tile.label}, strip {tile.strip + 1}"
    return Page(tile.sheet, shapes, tile.label, title)


def artwork(tile: Tile, facts: Facts, lighten: float) -> Artwork:
    """The flat, seen through the tile's window."""
    to_sheet = Affine.stretch(facts.scale, facts.scale).then(Affine.shift(*tile.to_sheet))
    return Artwork(tile.on_sheet(tile.window), to_sheet, facts.flat, lighten)


class _Furniture:
    """Sets bars, label and words into the bands right of and below the face, one after another."""

    def __init__(self, plan: Plan, tile: Tile, facts: Facts, options: MarkOptions, measure: Measure) -> None:
        self._plan, self._tile, self._facts, self._measure = plan, tile, facts, measure
        self._face, self._window = tile.on_sheet(tile.face), tile.on_sheet(tile.window)
        rooms = [
            *registration_rooms(plan, tile, options.marks, options.avoid),
            *guide_rooms(facts.guides, tile, options.guides),
            *snip_zone(plan, tile),
            *trim_ticks_room(tile),
        ]
        self._signs = [
            *check_signs(tile, facts, rooms, measure),
            *edge_signs(plan, tile, facts, rooms, measure),
        ]
        rooms += [sign.room for sign in self._signs]
        self._taken = [rect.grown(CLOSE - _GAP) for rect in rooms] + self._outer_edges()

    def _outer_edges(self) -> list[Rect]:
        """The outer edges of the tabs, which nothing may straddle."""
        window, edges = self._window, []
        if self._tile.bottom_tab > EPSILON:
            edges.append(Rect.between(window.x, window.bottom, window.right, window.bottom + _GROUND))
        if self._tile.right_tab > EPSILON:
            edges.append(Rect.between(window.right, window.y, window.right + _GROUND, window.bottom))
        return edges

    def draw(self, tabs: Iterable[Tab]) -> tuple[Shape, ...]:
        """All of it; a thing that finds no room at all is left out."""
        shapes = [shape for sign in self._signs for shape in sign.shapes]
        shapes += [*self._bar(upright=False), *self._bar(upright=True)]
        for tab in tabs:
            shapes += self._direction(tab)
        shapes += self._label()
        for words in trim_words(self._plan, self._tile, self._taken, self._measure):
            shapes += words
        return tuple(shapes)

    def _band(self, upright: bool) -> Rect:
        """Paper and tab to the right of the face (upright) or below it."""
        paper, face = self._tile.printable, self._face
        if upright:
            clear = CLEAN + _GROUND if self._tile.right_tab > EPSILON else CLOSE
            return Rect.between(face.right + clear, paper.y, paper.right, paper.bottom).grown(-_EDGE)
        clear = CLEAN + _GROUND if self._tile.bottom_tab > EPSILON else CLOSE
        left = min(max(paper.x, face.x), paper.right)
        return Rect.between(left, face.bottom + clear, paper.right, paper.bottom).grown(-_EDGE)

    def _row(self, upright: bool, depth: float) -> float:
        """Where the row of bars and labels starts: in the ribbon of a tab, else on the paper beyond."""
        tab = self._tile.right_tab if upright else self._tile.bottom_tab
        edge = self._face.right if upright else self._face.bottom
        if tab >= RIBBON_FROM:
            return edge + tab - (RIBBON + depth) / 2
        return edge + tab + NEAR

    def _bar(self, upright: bool) -> tuple[Shape, ...]:
        band, face = self._band(upright), self._face
        for length in LENGTHS:
            size = bar_size(length, upright)
            if upright:
                wish = Point(self._row(True, size.width), face.bottom - size.height - CLOSE)
            else:
                wish = Point(face.right - size.width - CLOSE, self._row(False, size.height))
            place = find_room(size, band, self._taken, wish, _GAP)
            if place is not None:
                return self._settle(place, scale_bar(place, upright, self._measure))
        return ()

    def _label(self) -> tuple[Shape, ...]:
        for block in label_blocks(self._plan, self._tile, self._facts, self._measure):
            for upright in (False, True):
                band = self._band(upright)
                wish = Point(self._face.x + CLOSE, self._row(False, block.size.height))
                if upright:
                    wish = Point(self._row(True, block.size.width), self._face.y + CLOSE)
                place = find_room(block.size, band, self._taken, wish, _GAP)
                if place is not None:
                    return self._settle(place, block.draw(place))
        return ()

    def _direction(self, tab: Tab) -> tuple[Shape, ...]:
        band = tab.strip.inset(CLEAN if tab.upright else 0, 0 if tab.upright else CLEAN, 0, 0)
        hatched = tab.depth - CLEAN - tab.ribbon
        for direction in directions(tab.neighbour, tab.upright, (TITLE, NOTE, TINY), self._measure):
            size = direction.size
            wish = Point(band.x + (hatched - size.width) / 2, band.centre.y - size.height / 2)
            if not tab.upright:
                wish = Point(band.centre.x - size.width / 2, band.y + (hatched - size.height) / 2)
            place = find_room(size, band, self._taken, wish, _GAP)
            if place is not None:
                self._taken.append(place.grown(CLOSE - _GAP))
                return direction.draw(place)
        return ()

    def _settle(self, place: Rect, shapes: tuple[Shape, ...]) -> tuple[Shape, ...]:
        """Take the place, and lay a white ground where it is on artwork without a ribbon."""
        self._taken.append(place.grown(CLOSE - _GAP))
        ground = place.grown(_GROUND).intersection(self._window)
        in_ribbon = any(self._ribbon(upright).holds(place) for upright in (True, False))
        if ground.is_empty or in_ribbon:
            return shapes
        return (Area(ground.corners, grey=1), *shapes)

    def _ribbon(self, upright: bool) -> Rect:
        window = self._window
        tab = self._tile.right_tab if upright else self._tile.bottom_tab
        depth = RIBBON if tab >= RIBBON_FROM else 0.0
        if upright:
            return Rect.between(window.right - depth, self._face.y, window.right, window.bottom)
        return Rect.between(self._face.x, window.bottom - depth, window.right, window.bottom)
