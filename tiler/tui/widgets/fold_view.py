"""The folded box as a picture that is turned by arrows and by the mouse."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from textual import events
from textual.binding import Binding, BindingType
from textual.geometry import Size as Cells
from textual.message import Message
from textual.strip import Strip
from textual.widget import Widget

from tiler.tui.paint import PLAIN

STEP = 10
"""Degrees for one arrow key."""
FINE_STEP = 2
"""Degrees with shift."""
DRAG = 3
"""Degrees for each column that the mouse is dragged; twice as many for a row, which is twice as high."""


class FoldView(Widget, can_focus=True):
    """Shows lines of cells that others have drawn; tells of keys and of the mouse.

    The part of the box that is near goes the way of the arrow or of the mouse.
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("left", f"turn({STEP}, 0)", "Left", show=False),
        Binding("right", f"turn(-{STEP}, 0)", "Right", show=False),
        Binding("up", f"turn(0, -{STEP})", "Up", show=False),
        Binding("down", f"turn(0, {STEP})", "Down", show=False),
        Binding("shift+left", f"turn({FINE_STEP}, 0)", "Left", show=False),
        Binding("shift+right", f"turn(-{FINE_STEP}, 0)", "Right", show=False),
        Binding("shift+up", f"turn(0, -{FINE_STEP})", "Up", show=False),
        Binding("shift+down", f"turn(0, {FINE_STEP})", "Down", show=False),
    ]

    @dataclass
    class Turned(Message):
        """The viewer steps round the box and up."""

        azimuth: float
        """Degrees."""
        elevation: float
        """Degrees."""

    @dataclass
    class Zoomed(Message):
        """Nearer, or farther when below 0."""

        steps: int

    class Resized(Message):
        """There is another number of cells to draw."""

    def __init__(self, id: str | None = None) -> None:
        super().__init__(id=id)
        self._strips: list[Strip] = []
        self._words = ""
        self._drag_from: tuple[int, int] | None = None

    def show(self, strips: list[Strip]) -> None:
        """Show a picture."""
        self._strips, self._words = strips, ""
        self.refresh()

    def say(self, words: str) -> None:
        """Show words in the middle instead of a picture."""
        self._strips, self._words = [], words
        self.refresh()

    def render_line(self, y: int) -> Strip:
        """One line of cells; a picture of another size is shown as far as it fits until the next is there."""
        width, style = self.size.width, self.rich_style
        if y < len(self._strips):
            return self._strips[y].adjust_cell_length(width, style)
        lines = self._words.split("\n")
        at = y - (self.size.height - len(lines)) // 2
        if self._words and 0 <= at < len(lines):
            return Strip.blank(width, style) if not lines[at] else self._line(lines[at])
        return Strip.blank(width, style or PLAIN)

    def _line(self, words: str) -> Strip:
        """Words in the middle of a line."""
        from rich.segment import Segment

        width = self.size.width
        return Strip([Segment(f"{words[:width]:^{width}}", self.rich_style)], width)

    def on_resize(self) -> None:
        """Ask for a picture of the new size."""
        self.post_message(self.Resized())

    def get_content_width(self, container: Cells, viewport: Cells) -> int:
        """As wide as there is room."""
        return container.width

    def action_turn(self, azimuth: float, elevation: float) -> None:
        """Tell of an arrow key."""
        self.post_message(self.Turned(azimuth, elevation))

    def on_mouse_scroll_up(self, event: events.MouseScrollUp) -> None:
        """Nearer."""
        event.stop()
        self.post_message(self.Zoomed(1))

    def on_mouse_scroll_down(self, event: events.MouseScrollDown) -> None:
        """Farther."""
        event.stop()
        self.post_message(self.Zoomed(-1))

    def on_mouse_down(self, event: events.MouseDown) -> None:
        """Begin to drag."""
        self._drag_from = (event.x, event.y)
        self.capture_mouse()

    def on_mouse_move(self, event: events.MouseMove) -> None:
        """Turn the box by its near side."""
        if self._drag_from is None or not event.button:
            return
        x, y = self._drag_from
        if (x, y) != (event.x, event.y):
            self._drag_from = (event.x, event.y)
            self.post_message(self.Turned(DRAG * (x - event.x), 2 * DRAG * (event.y - y)))

    def on_mouse_up(self) -> None:
        """Let go."""
        self.release_mouse()
        self._drag_from = None
