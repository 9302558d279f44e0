"""Glue tabs and cut allowances: everything printed beyond a seam that nobody will see on the mock.

::

      face |c|//////|      |     c  1 mm of clean artwork, so that a wild cut shows art and not white
           |c|//////|      |     /  white veil and hatching
           |c|//////|      |        ribbon for label and scale bar, nearly white, along the outer edge
"""

from __future__ import annotations

from dataclasses import dataclass

from tiler.geometry import EPSILON, Point, Rect
from tiler.marks.crosses import snipped
from tiler.marks.hatch import hatch
from tiler.marks.shapes import Area, Line, Shape, Words
from tiler.marks.style import BLACK, CLOSE, FINE, HAIR, HALO, QUIET, TINY
from tiler.plan.tile import Plan, Seam, Tile

CLEAN = 1.0
"""Artwork left untouched beyond a seam, mm (house style: twice the error of a careful cut by hand)."""
VEIL = 0.65
"""Opacity of the white over a tab; art still shows for laying the next tile."""


RIBBON = 6.4
"""Width of the ribbon along a tab's outer edge, mm: the tile label's height and a little air."""
RIBBON_FROM = 11.5
"""Tabs narrower than this (mm) have no ribbon; label and bar then lie on grounds of their own."""
_RIBBON_VEIL = 0.92


@dataclass(frozen=True)
class Tab:
    """One tile's place on a glue tab."""

    strip: Rect
    """The tab along its seam without the corner, from the face outwards, sheet coordinates, mm."""
    upright: bool
    """True for a tab on the right, False for one at the bottom."""
    neighbour: str
    """The tile that goes here."""
    corner: float = 0.0
    """How far the tab runs on beyond the end of its seam, mm; only tabs on the right do."""
    mitred: bool = False
    """True when the end of the tab is cut at 45 degrees."""

    @property
    def depth(self) -> float:
        """From the seam to the outer edge, mm."""
        return self.strip.width if self.upright else self.strip.height

    @property
    def ribbon(self) -> float:
        """Width of the ribbon, mm; 0 without one."""
        return RIBBON if self.depth >= RIBBON_FROM else 0.0

    def layer(self, inner: float, outer: float) -> tuple[Point, ...]:
        """The convex part of the tab between two distances from the seam, mm."""
        strip, back = self.strip, (inner, outer) if self.mitred else (-self.corner, -self.corner)
        if self.upright:
            return (
                Point(strip.x + inner, strip.y),
                Point(strip.x + outer, strip.y),
                Point(strip.x + outer, strip.bottom - back[1]),
                Point(strip.x + inner, strip.bottom - back[0]),
            )
        return (
            Point(strip.x, strip.y + inner),
            Point(strip.right - back[0], strip.y + inner),
            Point(strip.right - back[1], strip.y + outer),
            Point(strip.x, strip.y + outer),
        )


def tabs_of(plan: Plan, tile: Tile) -> tuple[Tab, ...]:
    """The glue tabs of a tile, one for every seam where it is the lower one."""
    seams = [seam for seam in plan.seams if seam.lower == tile.label]
    return tuple(_tab(tile, seam, snipped(plan, tile)) for seam in seams)


def _tab(tile: Tile, seam: Seam, snip: bool) -> Tab:
    face, window = tile.on_sheet(tile.face), tile.on_sheet(tile.window)
    start, end = seam.start.shifted(*tile.to_sheet), seam.end.shifted(*tile.to_sheet)
    if seam.is_upright:
        strip = Rect.between(face.right, start.y, window.right, end.y)
        last = abs(end.y - face.bottom) < EPSILON
        corner = tile.bottom_tab if last and not snip else 0.0
        return Tab(strip, True, seam.upper, corner, last and snip)
    strip = Rect.between(start.x, face.bottom, end.x, window.bottom)
    return Tab(strip, False, seam.upper, mitred=snip and abs(end.x - face.right) < EPSILON)


def draw_tabs(tabs: tuple[Tab, ...]) -> tuple[Shape, ...]:
    """Veil, hatching, ribbon and outer edge of the glue tabs."""
    shapes: list[Shape] = []
    for tab in tabs:
        edge = tab.depth - tab.ribbon
        hatched = tab.layer(CLEAN, edge)
        shapes += [Area(hatched, grey=1, opacity=VEIL), *hatch(hatched)]
        if tab.ribbon:
            shapes.append(Area(tab.layer(edge, tab.depth), grey=1, opacity=_RIBBON_VEIL))
        outer = tab.layer(tab.depth - HAIR / 2, tab.depth - HAIR / 2)
        shapes.append(Line((outer[1], outer[2]) if tab.upright else (outer[3], outer[2]), HAIR, QUIET))
    return tuple(shapes)


def draw_unused_tabs(tile: Tile, tabs: tuple[Tab, ...]) -> tuple[Shape, ...]:
    """A plain veil over the parts of a tab where no tile goes; they are waste, and carry label or bar."""
    face, window = tile.on_sheet(tile.face), tile.on_sheet(tile.window)
    gone: list[Rect] = []
    if tile.bottom_tab > EPSILON:
        covered = [(t.strip.x, t.strip.right) for t in tabs if not t.upright]
        gone += [
            Rect.between(a, face.bottom + CLEAN, b, window.bottom)
            for a, b in _uncovered(face.x, face.right, covered)
        ]
    if tile.right_tab > EPSILON:
        covered = [(t.strip.y, t.strip.bottom) for t in tabs if t.upright]
        gone += [
            Rect.between(face.right + CLEAN, a, window.right, b)
            for a, b in _uncovered(face.y, face.bottom, covered)
        ]
    return tuple(Area(rect.corners, grey=1, opacity=_RIBBON_VEIL) for rect in gone)


def _uncovered(low: float, high: float, covered: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """The stretches between ``low`` and ``high`` that no pair covers."""
    free, at = [], low
    for start, end in [*sorted(covered), (high, high)]:
        if start > at + EPSILON:
            free.append((at, start))
        at = max(at, end)
    return free


def draw_allowances(tile: Tile) -> tuple[Shape, ...]:
    """The veil over the cut allowances, leaving the clean millimetre."""
    face, window = tile.on_sheet(tile.face), tile.on_sheet(tile.window)
    top = face.y - CLEAN if tile.top_allowance > CLEAN else window.y
    areas = []
    if tile.top_allowance > CLEAN:
        areas.append(Rect.between(window.x, window.y, window.right, top))
    if tile.left_allowance > CLEAN:
        areas.append(Rect.between(window.x, top, face.x - CLEAN, window.bottom))
    return tuple(Area(area.corners, grey=1, opacity=VEIL) for area in areas)


def draw_snip(plan: Plan, tile: Tile) -> tuple[Shape, ...]:
    """The veil over the corner that is cut off, and the 45 degree line through the corner of the face."""
    if not snipped(plan, tile):
        return ()
    face, window = tile.on_sheet(tile.face), tile.on_sheet(tile.window)
    x, y, right, down = face.right, face.bottom, tile.right_tab, tile.bottom_tab
    off = CLEAN / 2
    far, low = Point(x + right, y - right), Point(x - down, y + down)
    corner = Area((Point(x, y), far, Point(*window[:2]).shifted(*window.size), low), grey=1, opacity=0.85)
    end = FINE / 2
    lines = (
        Line((far.shifted(-end, end), Point(x + off, y - off)), FINE, BLACK, halo=HALO),
        Line((Point(x - off, y + off), low.shifted(end, -end)), FINE, BLACK, halo=HALO),
    )
    word = Words(Point(x + 2.4, y + 2.4), "snip", TINY, align="middle", turn=-45, halo=HALO)
    return (corner, *lines, word)


def snip_zone(plan: Plan, tile: Tile) -> tuple[Rect, ...]:
    """The rectangle round a snipped corner, where nothing else may stand."""
    if not snipped(plan, tile):
        return ()
    face, window = tile.on_sheet(tile.face), tile.on_sheet(tile.window)
    return (
        Rect.between(face.right, face.bottom - tile.right_tab, window.right + CLOSE, window.bottom),
        Rect.between(face.right - tile.bottom_tab, face.bottom, window.right, window.bottom + CLOSE),
    )
