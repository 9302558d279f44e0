"""One page of the pack, as it will print."""

from __future__ import annotations

from typing import ClassVar

from textual.binding import Binding, BindingType

from tiler.tui.widgets.picture import PictureView


class SheetView(PictureView):
    """A bare picture whose arrows move it; it has nothing to pick."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "pan(0, -3)", "Up", show=False),
        Binding("down", "pan(0, 3)", "Down", show=False),
        Binding("h", "pan(-6, 0)", "Left", show=False),
        Binding("l", "pan(6, 0)", "Right", show=False),
    ]
