"""The flat with what a later revision has changed on it."""

from __future__ import annotations

from collections.abc import Collection

from textual.reactive import reactive

from tiler.tui.revision_rows import Spot
from tiler.tui.strokes import Glyph, Role, Strokes
from tiler.tui.viewport import Viewport
from tiler.tui.widgets.flat_view import FlatView

Cell = tuple[int, int]
"""Row and column."""


class RevisionView(FlatView):
    """Draws changed places over the tiles: a double line round each, and its number."""

    spots: reactive[tuple[Spot, ...]] = reactive(())
    picked_spot: reactive[int] = reactive(0)
    """Number of the picked place; 0 for none."""

    def watch_spots(self) -> None:
        """Draw the places."""
        self.redraw()

    def watch_picked_spot(self) -> None:
        """Draw another pick."""
        self.redraw()

    def marks(self, view: Viewport) -> dict[tuple[int, int], Glyph]:
        """Tiles and seams with the changed places over them."""
        job = self.scene.job
        if job is None:
            return super().marks(view)
        below = super().marks(view)
        words = {
            at for at, glyph in below.items() if glyph.role in ("label", "picked") and _is_word(glyph.text)
        }
        return {**below, **spot_marks(self.spots, self.picked_spot, view, job.scale, words, self.plain)}


def _is_word(text: str) -> bool:
    """True for the letters of a label, False for the strokes of a line."""
    return text.isascii() or text in "▸◂"


def spot_marks(
    spots: tuple[Spot, ...],
    picked: int,
    view: Viewport,
    scale: float,
    taken: Collection[Cell],
    plain: bool = False,
) -> dict[Cell, Glyph]:
    """A box and a number for each place; the picked one last, so that it lies on top.

    Args:
        spots: The places.
        picked: Number of the picked one.
        view: The window onto the flat.
        scale: Of the job.
        taken: Cells that labels stand in; they stay free.
        plain: True for characters of ASCII alone.
    """
    strokes = Strokes(view.rows, view.columns, plain)
    for spot in sorted(spots, key=lambda one: (one.number == picked, -one.number)):
        shown = spot.rect.scaled(1 / scale)
        top, left = view.cell(shown.x, shown.y)
        bottom, right = view.cell(shown.right, shown.bottom)
        if bottom > top and right > left:
            strokes.box(top, left, bottom, right, "double", "mark")
        name = str(spot.number)
        role: Role = "mark"
        if spot.number == picked:
            name, role = f"[{name}]" if plain else f"▸{name}◂", "picked"
        row, column = _free_corner((top, left, bottom, right), len(name), taken)
        strokes.word(row, column, name, role)
    return {at: glyph for at, glyph in strokes.glyphs().items() if at not in taken}


def _free_corner(box: tuple[int, int, int, int], length: int, taken: Collection[Cell]) -> Cell:
    """Where a number stands: at the first corner that no label covers, else beside or below the first."""
    top, left, bottom, right = box
    places = ((top, left), (top, right), (bottom, left), (bottom, right), (bottom + 1, left), (top - 1, left))
    for row, column in places:
        if not any((row, column + step) in taken for step in range(length)):
            return row, column
    return top, left
