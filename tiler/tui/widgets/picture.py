"""A page as a picture of half blocks that can be enlarged and moved."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np
from textual import events
from textual.binding import Binding, BindingType
from textual.geometry import Size as Cells
from textual.message import Message
from textual.strip import Strip
from textual.widget import Widget

from tiler.geometry import Point, Size
from tiler.tui.paint import PLAIN, paint, paint_plain
from tiler.tui.pixels import PixelStore, Points, Wish
from tiler.tui.strokes import Glyph
from tiler.tui.themes import palette_of, rgb
from tiler.tui.viewport import Viewport


class PictureView(Widget, can_focus=True):
    """Draws the points of a store; asks for sharper ones by a message."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("shift+left", "pan(-8, 0)", "Left", show=False),
        Binding("shift+right", "pan(8, 0)", "Right", show=False),
        Binding("shift+up", "pan(0, -4)", "Up", show=False),
        Binding("shift+down", "pan(0, 4)", "Down", show=False),
    ]

    @dataclass
    class Wanted(Message):
        """A picture must be rendered."""

        picture: PictureView
        store: PixelStore
        wish: Wish

    @dataclass
    class Pressed(Message):
        """A place of the page was pressed."""

        picture: PictureView
        at: Point
        """mm."""

    @dataclass
    class Moved(Message):
        """The window onto the page is another."""

        picture: PictureView

    def __init__(self, id: str | None = None, plain: bool = False, bare: bool = False) -> None:
        super().__init__(id=id)
        self.plain = plain
        self.view: Viewport | None = None
        self._bare = bare
        self._store: PixelStore | None = None
        self._asked: tuple[PixelStore, Wish] | None = None
        self._strips: list[Strip] | None = None
        self._drag_from: tuple[int, int] | None = None
        self._has_dragged = False

    def show_page(self, store: PixelStore | None, page: Size) -> None:
        """Look at a page; the window stays where it is when the page is as large as the one before."""
        self._store = store
        width, height = self.size
        if self.view is None or self.view.page != page:
            self.view = Viewport.whole(max(1, width), max(1, height), page, self._bare)
        self.redraw()

    def redraw(self) -> None:
        """Draw anew from what is there, and ask for what is missing."""
        self._strips = None
        self.refresh()
        if self._store is not None and self.view is not None and self.size.width > 0:
            wish = self._store.wish(self.view)
            if wish is not None and (self._store, wish) != self._asked:
                self._asked = (self._store, wish)
                self.post_message(self.Wanted(self, self._store, wish))

    def look(self, view: Viewport) -> None:
        """Look through another window."""
        if view != self.view:
            self.view = view
            self.redraw()
            self.post_message(self.Moved(self))

    def marks(self, view: Viewport) -> dict[tuple[int, int], Glyph]:
        """What lies over the picture; nothing here."""
        return {}

    def finished(self, points: Points, view: Viewport) -> Points:
        """The points as they shall be seen; unchanged here."""
        return points

    def ground(self) -> tuple[int, int, int]:
        """The colour round the page."""
        return (255, 255, 255) if self.plain else rgb(self.app.theme_variables["mat"])

    def warm_up(self) -> None:
        """Paint once for nothing, in a worker: the styles of a new picture are slow to make, and kept."""
        self._paint()

    def render_line(self, y: int) -> Strip:
        """One line of cells."""
        if self._strips is None:
            self._strips = self._paint()
        return self._strips[y] if y < len(self._strips) else Strip.blank(self.size.width, PLAIN)

    def _paint(self) -> list[Strip]:
        view = self.view
        if view is None:
            return [Strip.blank(self.size.width, self.rich_style)] * self.size.height
        points = self._store.cut(view, self.ground()) if self._store is not None else None
        if points is None:
            points = np.empty((view.rows * 2, view.columns, 3), dtype=np.uint8)
            points[:] = self.ground()
        else:
            points = self.finished(points, view)
        if self.plain:
            return paint_plain(points, self.marks(view))
        return paint(points, self.marks(view), palette_of(self.app.theme_variables))

    def on_resize(self, event: events.Resize) -> None:
        """Keep looking at the same place."""
        if self.view is not None:
            self.view = self.view.resized(max(1, event.size.width), max(1, event.size.height))
            self.redraw()

    def get_content_width(self, container: Cells, viewport: Cells) -> int:
        """As wide as there is room."""
        return container.width

    def zoom(self, steps: int, around: Point | None = None) -> None:
        """Nearer or farther; 0 shows the whole page."""
        if self.view is None:
            return
        if steps == 0:
            self.look(Viewport.whole(self.view.columns, self.view.rows, self.view.page, self._bare))
        else:
            self.look(self.view.zoomed(steps, around))

    def action_pan(self, columns: int, rows: int) -> None:
        """Move the window."""
        if self.view is not None:
            self.look(self.view.panned(columns, rows))

    def on_mouse_scroll_up(self, event: events.MouseScrollUp) -> None:
        """Nearer, where the pointer is."""
        self._wheel(1, event)

    def on_mouse_scroll_down(self, event: events.MouseScrollDown) -> None:
        """Farther."""
        self._wheel(-1, event)

    def _wheel(self, steps: int, event: events.MouseEvent) -> None:
        event.stop()
        if self.view is not None:
            self.zoom(steps, self.view.place(event.x, event.y))

    def on_mouse_down(self, event: events.MouseDown) -> None:
        """Begin to drag, or to press."""
        self._drag_from, self._has_dragged = (event.x, event.y), False
        self.capture_mouse()

    def on_mouse_move(self, event: events.MouseMove) -> None:
        """Drag the page along."""
        if self._drag_from is None or self.view is None or not event.button:
            return
        x, y = self._drag_from
        if (x, y) != (event.x, event.y):
            self._has_dragged = True
            self._drag_from = (event.x, event.y)
            self.look(self.view.panned(x - event.x, y - event.y))

    def on_mouse_up(self, event: events.MouseUp) -> None:
        """A press that was no drag picks."""
        self.release_mouse()
        if self._drag_from is not None and not self._has_dragged and self.view is not None:
            self.post_message(self.Pressed(self, self.view.place(event.x, event.y)))
        self._drag_from = None
