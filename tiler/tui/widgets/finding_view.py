"""The flat with the place of one finding on it."""

from __future__ import annotations

from textual.reactive import reactive

from tiler.geometry import Rect
from tiler.tui.strokes import Glyph, Strokes
from tiler.tui.viewport import Viewport
from tiler.tui.widgets.flat_view import FlatView


class FindingView(FlatView, can_focus=False):
    """Draws a double line round the place; the keys stay with the list."""

    spot: reactive[Rect | None] = reactive(None)
    """True-size flat mm; None for no place."""

    def watch_spot(self) -> None:
        """Draw another place, and look there when enlarged."""
        if self.spot is not None and self.view is not None and self.view.zoom > 1:
            self.look(self.view.centred(self.spot.centre))
        self.redraw()

    def marks(self, view: Viewport) -> dict[tuple[int, int], Glyph]:
        """Tiles and seams with the place over them."""
        below = super().marks(view)
        return below if self.spot is None else {**below, **spot_marks(self.spot, view, self.plain)}


def spot_marks(spot: Rect, view: Viewport, plain: bool = False) -> dict[tuple[int, int], Glyph]:
    """A box one cell outside a place, and arrows beside it where there is room.

    Args:
        spot: Flat mm.
        view: The window onto the flat.
        plain: True for characters of ASCII alone.
    """
    strokes = Strokes(view.rows, view.columns, plain)
    (top, left), (bottom, right) = view.cell(spot.x, spot.y), view.cell(spot.right, spot.bottom)
    strokes.box(top - 1, left - 1, bottom + 1, right + 1, "double", "picked")
    middle = (top + bottom) // 2
    strokes.word(middle, left - 3, "> " if plain else "▸ ", "picked")
    strokes.word(middle, right + 2, " <" if plain else " ◂", "picked")
    return strokes.glyphs()
