"""The flat with its tiles, seams, creases and labels."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from textual.binding import Binding, BindingType
from textual.message import Message
from textual.reactive import reactive

from tiler.geometry import Size
from tiler.tui.overlay import Scene, cut_points, overlay, shaded
from tiler.tui.picking import Way
from tiler.tui.pixels import Points
from tiler.tui.strokes import Glyph
from tiler.tui.viewport import Viewport
from tiler.tui.widgets.picture import PictureView

CUT_SHADE = (13, 43, 36)
"""Colour of cut lines in the picture; dark, as the flat lies on white paper."""


class FlatView(PictureView):
    """Draws a scene."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("left", "go('left')", "Left", show=False),
        Binding("right", "go('right')", "Right", show=False),
        Binding("up", "go('up')", "Up", show=False),
        Binding("down", "go('down')", "Down", show=False),
    ]

    scene: reactive[Scene] = reactive(Scene(Size(1, 1)))

    @dataclass
    class Going(Message):
        """An arrow key was pressed."""

        way: Way

    def watch_scene(self) -> None:
        """Draw the new scene."""
        self.redraw()

    def action_go(self, way: Way) -> None:
        """Tell of an arrow key."""
        self.post_message(self.Going(way))

    def marks(self, view: Viewport) -> dict[tuple[int, int], Glyph]:
        """Tiles, seams, labels, creases, dimensions."""
        return overlay(self.scene, view)

    def finished(self, points: Points, view: Viewport) -> Points:
        """Cuts painted in, unprinted parts dim."""
        points = shaded(points, self.scene, view, self.ground())
        for row, column in cut_points(self.scene.folds, view):
            points[row, column] = CUT_SHADE
        return points
