"""How far the box is closed, as a line with a knob."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from rich.text import Text
from textual import events
from textual.binding import Binding, BindingType
from textual.geometry import Size as Cells
from textual.message import Message
from textual.reactive import reactive
from textual.widget import Widget

from tiler.tui.fold_look import CLOSED, FLAT

STEP = 5
"""Per cent for one key."""
LEFT, RIGHT = " flat ", " closed "
"""Words at both ends."""
_NUMBER = 6
"""Cells for the per cent."""
_LEAST = 5
"""Cells of the line at least."""


class OpeningBar(Widget, can_focus=True):
    """Moved by arrows, by a press, and by dragging."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("left,down", f"step(-{STEP})", "Open", show=False),
        Binding("right,up", f"step({STEP})", "Close", show=False),
        Binding("shift+left,shift+down", "step(-1)", "Open", show=False),
        Binding("shift+right,shift+up", "step(1)", "Close", show=False),
        Binding("home", f"step(-{CLOSED})", "Flat", show=False),
        Binding("end", f"step({CLOSED})", "Closed", show=False),
    ]

    shut: reactive[int] = reactive(CLOSED)
    """Per cent closed."""

    @dataclass
    class Moved(Message):
        """The knob has been moved."""

        shut: int
        """Per cent closed; may lie beyond the ends."""

    def __init__(self, id: str | None = None, plain: bool = False) -> None:
        super().__init__(id=id)
        self._plain = plain
        self._is_held = False

    def render(self) -> Text:
        """The line, with the knob on it."""
        cells = self._cells
        at = round(self.shut / CLOSED * (cells - 1))
        line, done, knob = ("-", "=", "O") if self._plain else ("─", "━", "●")
        text = Text(no_wrap=True, overflow="crop")
        text.append(LEFT, style="bold" if self.shut == FLAT else "")
        text.append(done * at)
        text.append(knob, style="bold")
        text.append(line * (cells - 1 - at), style="dim" if not self._plain else "")
        text.append(RIGHT, style="bold" if self.shut == CLOSED else "")
        text.append(f"{self.shut:>3} % ")
        return text

    @property
    def _cells(self) -> int:
        return max(_LEAST, self.size.width - len(LEFT) - len(RIGHT) - _NUMBER)

    def get_content_width(self, container: Cells, viewport: Cells) -> int:
        """As wide as there is room."""
        return container.width

    def action_step(self, steps: int) -> None:
        """Tell of a key."""
        self.post_message(self.Moved(self.shut + steps))

    def on_mouse_down(self, event: events.MouseDown) -> None:
        """Take the knob."""
        self._is_held = True
        self.capture_mouse()
        self._follow(event.x)

    def on_mouse_move(self, event: events.MouseMove) -> None:
        """Move the knob along."""
        if self._is_held and event.button:
            self._follow(event.x)

    def on_mouse_up(self) -> None:
        """Let go."""
        self._is_held = False
        self.release_mouse()

    def _follow(self, x: int) -> None:
        share = (x - len(LEFT)) / max(1, self._cells - 1)
        self.post_message(self.Moved(round(CLOSED * max(0.0, min(1.0, share)))))
