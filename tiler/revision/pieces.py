"""Both revisions drawn piece by piece for the comparison, the next piece while one is looked at."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from tiler.flat.pdf import PdfFlat
from tiler.geometry import Point, Rect
from tiler.plan.tile import Plan
from tiler.revision.areas import Gathered
from tiler.revision.compare import PIXELS_PER_MM, Mask, Pixels
from tiler.revision.other_hand import drawn_by_another
from tiler.revision.second_look import CLOSER, Look, really_changed
from tiler.revision.sides import Side

if TYPE_CHECKING:
    from tiler.flat.raster import Preview

BAND = 4_000_000
"""Pixels that are drawn of each flat at once, so that memory stays low on any sheet."""

BORDER = 4
"""Pixels drawn beyond what is compared, so that its edge is treated like its middle."""

LOOSE = 2
"""Pixels around the box of a text into which its glyphs may reach."""


@dataclass(frozen=True, eq=False)
class View:
    """One side of the job, ready for drawing, and what has changed on it."""

    side: Side
    previews: tuple[Preview, Preview]
    gathered: Gathered


@dataclass(frozen=True, eq=False)
class Piece:
    """A tile on one side, or a band of it."""

    label: str
    """The tile."""
    view: View
    left: int
    """Of the piece, in pixels of a lattice over the whole plan; so is the rest."""
    top: int
    right: int
    bottom: int

    @property
    def corner(self) -> Point:
        """Its top-left corner on paper, mm."""
        return Point(self.left / PIXELS_PER_MM, self.top / PIXELS_PER_MM)

    @property
    def window(self) -> Rect:
        """What is drawn of the flats, with a border; flat millimetres."""
        outer = Rect.between(self.left - BORDER, self.top - BORDER, self.right + BORDER, self.bottom + BORDER)
        return self.view.side.window(outer.scaled(1 / PIXELS_PER_MM))

    def before(self) -> Pixels:
        """Its drawing as it was."""
        return self._drawn(0)

    def after(self) -> Pixels:
        """Its drawing as it is now, of the same shape."""
        return self._drawn(1)

    def _drawn(self, which: int) -> Pixels:
        density = PIXELS_PER_MM * self.view.side.scale
        return np.asarray(self.view.previews[which].render(self.window, density), np.uint8)

    def changed(self, before: Pixels, after: Pixels) -> Mask:
        """Its changed pixels, as they lie on the outside."""
        side = self.view.side
        text = _boxes(side.same_text, self.window, PIXELS_PER_MM * side.scale, before.shape[:2])
        mask = really_changed(before, after, text, self._look())[:, :: -1 if side.inside else 1]
        height, width = self.bottom - self.top, self.right - self.left
        inner: Mask = mask[BORDER : BORDER + height, BORDER : BORDER + width]
        return inner

    def _look(self) -> Look | None:
        """What draws a part of both larger; None for pictures, which have no finer detail to show."""
        side = self.view.side
        if not (isinstance(side.old.source, PdfFlat) and isinstance(side.new.source, PdfFlat)):
            return None
        density = PIXELS_PER_MM * side.scale
        window = self.window

        def look(top: int, left: int, bottom: int, right: int) -> tuple[Pixels, Pixels]:
            x, y = window.x + left / density, window.y + top / density
            part = Rect(x, y, (right - left) / density, (bottom - top) / density)
            before, after = (
                np.asarray(preview.render(part, density * CLOSER), np.uint8) for preview in self.view.previews
            )
            return before, after

        return look


def pieces_of(plan: Plan, views: Sequence[View]) -> Iterator[Piece]:
    """All that is to be compared, tile by tile.

    Faces begin and end on the same lattice of pixels all over the flat, so that none is counted twice.
    """
    for tile in plan.tiles:
        for view in views:
            shown = view.side.shown(tile).scaled(PIXELS_PER_MM)
            left, top, right, bottom = (round(e) for e in (shown.x, shown.y, shown.right, shown.bottom))
            step = max(1, BAND // max(1, right - left))
            for first in range(top, bottom, step):
                yield Piece(tile.label, view, left, first, right, min(first + step, bottom))


def drawn_ahead(
    pieces: Iterable[Piece], meanwhile: Callable[[], object]
) -> Iterator[tuple[Piece, Pixels, Pixels]]:
    """Each piece with its two drawings; the next is drawn in another thread, its later half elsewhere.

    Args:
        pieces: What to draw.
        meanwhile: Called once while the first is drawn.
    """
    row = list(pieces)
    with drawn_by_another([piece.after for piece in row]) as fetch, ThreadPoolExecutor(1) as hand:

        def both(number: int) -> tuple[Pixels, Pixels]:
            before = row[number].before()
            return before, fetch(number, before.shape)

        begun: Future[tuple[Pixels, Pixels]] | None = None
        for number in range(len(row)):
            following = hand.submit(both, number)
            if begun is None:
                meanwhile()
            else:
                yield row[number - 1], *begun.result()
            begun = following
        if begun is not None:
            yield row[-1], *begun.result()


def _boxes(boxes: Sequence[Rect], window: Rect, density: float, shape: tuple[int, ...]) -> Mask | None:
    """The pixels of a window that lie in boxes; None when none does."""
    near = [box for box in boxes if box.overlaps(window)]
    mask = np.zeros(shape, dtype=bool)
    for box in near:
        left, top, right, bottom = (
            max(0, round(edge * density))
            for edge in (box.x - window.x, box.y - window.y, box.right - window.x, box.bottom - window.y)
        )
        mask[max(0, top - LOOSE) : bottom + LOOSE, max(0, left - LOOSE) : right + LOOSE] = True
    return mask if near else None
