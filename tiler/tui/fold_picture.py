"""The folded box as cells: its art in half blocks, or its edges in plain characters. Pure."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from PIL import Image, ImageDraw

from tiler.fold.box import FoldedBox
from tiler.fold.camera import projection
from tiler.fold.framing import enlarged, steady_extent
from tiler.fold.quick_view import FINER, QuickView, middle_of, quick_view
from tiler.fold.rigid import Rigid
from tiler.fold.spotlight import (
    Stretch,
    hinge_named,
    meeting_named,
    visible_crease,
    visible_edge,
    visible_meeting,
)
from tiler.fold.view import MARGIN, Colour, Texture, Textures, fitting
from tiler.geometry import Point, Rect
from tiler.tui.fold_look import Look
from tiler.tui.pixels import Points
from tiler.tui.strokes import Glyph, Role, Strokes

_SMALLEST = 96
"""Prints are not halved below this, pixels."""
_LARGE, _BLOCK = 9000, 2
"""Drafts of more points are shown in blocks of so many points across and down."""
_HAIR = 1e-6
"""Points by which two edges that meet may lie apart by rounding alone."""
_LEAN = 0.45
"""Slopes below this, rows for each column, are drawn level; above its inverse, upright."""

Marks = dict[tuple[int, int], Glyph]


@dataclass(frozen=True)
class Prints:
    """The art of a box, as rendered and halved again and again, so that small pictures are not grainy."""

    levels: tuple[Textures, ...] = (Textures(),)
    """The finest first."""

    @classmethod
    def of(cls, textures: Textures) -> Prints:
        """All halves of the art."""
        levels = [textures]
        while _is_large(levels[-1]):
            last = levels[-1]
            levels.append(Textures(_halved(last.outside), _halved(last.inside)))
        return cls(tuple(levels))

    @property
    def density(self) -> float:
        """Pixels for each mm of the finest; 0 without art."""
        outside = self.levels[0].outside
        return 0.0 if outside is None else outside.pixels_per_mm

    def for_density(self, pixels_per_mm: float) -> Textures:
        """The coarsest art that is fine enough, or the finest there is."""
        for level in reversed(self.levels):
            if level.outside is not None and level.outside.pixels_per_mm >= 0.8 * pixels_per_mm:
                return level
        return self.levels[0]


def _is_large(textures: Textures) -> bool:
    return textures.outside is not None and min(textures.outside.picture.size) >= 2 * _SMALLEST


def _halved(texture: Texture | None) -> Texture | None:
    if texture is None:
        return None
    picture = texture.picture.reduce(2)
    return Texture(picture, texture.pixels_per_mm * picture.width / texture.picture.width)


@dataclass(frozen=True)
class Shot:
    """One picture that is wanted."""

    box: FoldedBox
    prints: Prints
    look: Look
    columns: int
    rows: int
    odd: Collection[str] = ()
    """Names of meetings that ask for a look."""
    ground: Colour = (255, 255, 255)
    light: Colour = (255, 185, 84)
    """Colour of what is picked."""
    plain: bool = False
    """True draws edges in plain characters."""
    is_draft: bool = False
    """True takes few colours, for a picture that will be followed by another at once."""

    @property
    def finer(self) -> int:
        """Points are compared this many times as fine as they are shown."""
        return 1 if self.is_draft else FINER

    @property
    def size(self) -> tuple[int, int]:
        """Picture points across and down."""
        return self.columns, 2 * self.rows


@dataclass(frozen=True, eq=False)
class Drawn:
    """A picture of cells."""

    points: Points
    """Twice as many rows as there are lines."""
    marks: Marks
    is_picked_seen: bool
    """False when something is picked but hidden."""
    density: float
    """Picture points for each mm."""


def draw(shot: Shot) -> Drawn:
    """Look at the box."""
    look, box = shot.look, shot.box
    places = box.folding.places(look.opening)
    whole = _roomy(steady_extent(box, places, look.corner), shot.size)
    extent = enlarged(whole, look.zoom, _around(shot, places))
    textures = Textures()
    if not shot.plain:
        textures = shot.prints.for_density(shot.finer * fitting(extent, shot.size).a)
    view = quick_view(box, places, look.corner, extent, textures, shot.size, shot.ground, shot.finer)
    lit = _lit(shot, view, places)
    marks = _marks(shot, view, places, lit)
    return Drawn(_points(shot, view, lit), marks, bool(lit) or not look.picked, view.to_points.a)


def _roomy(extent: Rect, size: tuple[int, int]) -> Rect:
    """The extent widened to the shape of the window, so that an enlarged picture fills it."""
    room = 2 * MARGIN * min(size)
    across, down = size[0] - room, size[1] - room
    factor = min(across / extent.width, down / extent.height)
    width, height = across / factor, down / factor
    return Rect(extent.centre.x - width / 2, extent.centre.y - height / 2, width, height)


def _around(shot: Shot, places: Mapping[str, Rigid]) -> Point | None:
    """The middle of what is picked, mm on the picture; None when nothing is, or all of the box shows."""
    meeting = meeting_named(shot.box, shot.look.picked)
    hinge = hinge_named(shot.box, shot.look.picked)
    if shot.look.zoom <= 1 or (meeting is None and hinge is None):
        return None
    if meeting is not None:
        name, start, end = meeting.a.panel, meeting.a.start, meeting.a.end
    else:
        assert hinge is not None, "one of both is picked"
        name, start, end = hinge.first, hinge.start, hinge.end
    middle = places[name].place([((start.x + end.x) / 2, (start.y + end.y) / 2)])[0]
    x, y = (projection(shot.box.standing, shot.look.corner) @ middle)[:2].tolist()
    return Point(x, y)


def _lit(shot: Shot, view: QuickView, places: Mapping[str, Rigid]) -> tuple[Stretch, ...]:
    """Where what is picked can be seen."""
    meeting = meeting_named(shot.box, shot.look.picked)
    if meeting is not None:
        return visible_meeting(view, places, meeting)
    hinge = hinge_named(shot.box, shot.look.picked)
    return visible_crease(view, places, hinge) if hinge is not None else ()


def _points(shot: Shot, view: QuickView, lit: tuple[Stretch, ...]) -> Points:
    """The art, with what is picked drawn over it; nothing where plain characters are wanted."""
    if shot.plain:
        return np.full((2 * shot.rows, shot.columns, 3), 255, dtype=np.uint8)
    if shot.is_draft:
        return _coarse(view.points, lit, shot.light)
    return _with_lines(view.points, lit, shot.light)


def _with_lines(points: Points, lit: tuple[Stretch, ...], light: Colour) -> Points:
    """Points with lines drawn over them."""
    if not lit:
        return points
    picture = Image.fromarray(points)
    pen = ImageDraw.Draw(picture)
    for stretch in lit:
        pen.line([(math.floor(x + _HAIR), math.floor(y + _HAIR)) for x, y in stretch], light, 1)
    return np.asarray(picture)


def _coarse(points: Points, lit: tuple[Stretch, ...], light: Colour) -> Points:
    """The same in few colours, and a large one in blocks, which a terminal takes faster."""
    height, width = points.shape[:2]
    if height * width > _LARGE:
        picture = Image.fromarray(points).reduce(_BLOCK)
        blocks = np.asarray(picture).repeat(_BLOCK, axis=0).repeat(_BLOCK, axis=1)
        points = blocks[:height, :width]
    few = (points & np.uint8(0xF0)) | np.uint8(0x08)
    return _with_lines(few, lit, light)


def _marks(shot: Shot, view: QuickView, places: Mapping[str, Rigid], lit: tuple[Stretch, ...]) -> Marks:
    """Edges where there are no colours, then names."""
    edges: Marks = {}
    if shot.plain:
        for stretch in _edges(shot.box, view, places):
            _stroke(edges, stretch)
        for stretch in lit:
            _stroke(edges, stretch, "#")
    return {**edges, **_names(shot, view, places, lit)}


def _names(shot: Shot, view: QuickView, places: Mapping[str, Rigid], lit: tuple[Stretch, ...]) -> Marks:
    """What is picked, odd meetings of the closed box, then panels."""
    names = Strokes(shot.rows, shot.columns, shot.plain)
    if lit:
        _name(names, shot.look.picked, _beside(_longest(lit), shot.look.zoom), "picked")
    for name, seen in _odd_ones(shot, view, places):
        _name(names, name, _beside(_longest(seen), shot.look.zoom), "label")
    if shot.look.has_names:
        for number, node in enumerate(shot.box.folding.tree.nodes):
            at = middle_of(view, number, len(node.panel.id) + 1)
            if at is not None:
                _name(names, node.panel.id, at, "tab")
    return names.glyphs()


def _odd_ones(
    shot: Shot, view: QuickView, places: Mapping[str, Rigid]
) -> Iterator[tuple[str, tuple[Stretch, ...]]]:
    """Meetings of the closed box that ask for a look and are seen, but for the one that is picked."""
    if shot.look.opening > 0:
        return
    for meeting in shot.box.meetings:
        if meeting.id in shot.odd and meeting.id != shot.look.picked:
            seen = visible_meeting(view, places, meeting)
            if seen:
                yield meeting.id, seen


def _edges(box: FoldedBox, view: QuickView, places: Mapping[str, Rigid]) -> Iterator[Stretch]:
    """All edges of all panels as far as they are seen."""
    for number, node in enumerate(box.folding.tree.nodes):
        for ring in (node.panel.polygon, *node.panel.holes):
            for start, end in pairwise([*ring, ring[0]]):
                yield from visible_edge(view, places[node.panel.id], start, end, number)


def _longest(lit: tuple[Stretch, ...]) -> Stretch:
    return max(lit, key=lambda stretch: math.dist(*stretch))


def _middle(stretch: Stretch) -> Point:
    (x1, y1), (x2, y2) = stretch
    return Point((x1 + x2) / 2, (y1 + y2) / 2)


def _beside(stretch: Stretch, zoom: float) -> Point:
    """Where the name of what is picked stands: in its middle, but at its upper end when art is looked at."""
    return _middle(stretch) if zoom <= 1 else min(stretch, key=lambda end: (end.y, end.x))


def _name(strokes: Strokes, text: str, at: Point, role: Role) -> None:
    """A word with its middle at a picture point, unless another stands there."""
    words = text if role == "tab" else f" {text} "
    row = int(at.y // 2)
    column = max(0, min(strokes.columns - len(words), round(at.x - len(words) / 2)))
    if strokes.is_free(row, column, len(words)):
        strokes.word(row, column, words, role)


def _stroke(edges: Marks, stretch: Stretch, sign: str = "") -> None:
    """A straight line of characters."""
    (x1, y1), (x2, y2) = stretch
    dx, dy = x2 - x1, (y2 - y1) / 2
    if not sign:
        sign = "\\" if dx * dy > 0 else "/"
        if abs(dy) < _LEAN * abs(dx):
            sign = "-"
        elif abs(dx) < _LEAN * abs(dy):
            sign = "|"
    steps = max(1, round(max(abs(dx), abs(dy))))
    for step in range(steps + 1):
        share = step / steps
        edges[math.floor(y1 / 2 + dy * share), math.floor(x1 + dx * share)] = Glyph(sign, "crease")
