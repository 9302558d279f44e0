"""Picture points for the screen: rendered once for each enlargement, then cut as the window moves.

``cut`` is quick and never waits: while a sharper picture is being made it enlarges what it has.
"""

from __future__ import annotations

import math
import threading
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from PIL import Image

from tiler.geometry import Rect
from tiler.tui.viewport import Viewport

Render = Callable[[Rect, float], Image.Image]
"""Draws a part of a page, mm, at a number of points in a millimetre."""

Points = np.ndarray[Any, np.dtype[np.uint8]]
"""Rows × columns × 3."""

FINER = 1.5
"""Rendered points for one point shown, at least: averaged, small type turns grey and not to noise."""

WHOLE_UP_TO = 3_000_000
"""Points up to which the whole page is rendered; above, only the window with some room about it."""

KEPT = 6
"""Pictures kept."""


@dataclass(frozen=True)
class Wish:
    """A picture that is wanted."""

    window: Rect
    """mm."""
    density: float
    """Points in a millimetre."""


class PixelStore:
    """Pictures of one page.

    Args:
        render: Draws a part of the page; called in a worker thread.
        page: The page, mm.
    """

    def __init__(self, render: Render, page: Rect) -> None:
        self._render, self._page = render, page
        self._pictures: OrderedDict[Wish, Image.Image] = OrderedDict()
        self._lock, self._making = threading.Lock(), threading.Lock()

    def wish(self, view: Viewport) -> Wish | None:
        """What must be rendered to show this view sharply; None when it is there."""
        density = _step(view.density * FINER)
        shown = view.window.intersection(self._page)
        with self._lock:
            for have in self._pictures:
                if have.density == density and have.window.holds(shown, 0.01):
                    return None
        if self._page.width * self._page.height * density * density <= WHOLE_UP_TO:
            return Wish(self._page, density)
        window = view.window
        room = window.inset(-window.width / 2, -window.height / 2, -window.width / 2, -window.height / 2)
        return Wish(room.intersection(self._page), density)

    def make(self, wish: Wish, is_off: Callable[[], bool]) -> None:
        """Render a picture and keep it; slow. One at a time: who waits may be called off meanwhile."""
        with self._making:
            if is_off() or wish in self._pictures:
                return
            picture = self._render(wish.window, wish.density)
        with self._lock:
            self._pictures[wish] = picture
            while len(self._pictures) > KEPT:
                self._pictures.popitem(last=False)

    def cut(self, view: Viewport, ground: tuple[int, int, int]) -> Points | None:
        """The points of a view, two for each cell, on a ground; None while there is no picture at all."""
        shown = view.window.intersection(self._page)
        best = self._best(_step(view.density * FINER), shown)
        if best is None or shown.is_empty:
            return None
        wish, picture = best
        canvas = np.empty((view.rows * 2, view.columns, 3), dtype=np.uint8)
        canvas[:] = ground
        left, top = (round(value) for value in view.point(shown.x, shown.y))
        right, bottom = (round(value) for value in view.point(shown.right, shown.bottom))
        right, bottom = min(max(right, left + 1), view.columns), min(max(bottom, top + 1), view.rows * 2)
        left, top = max(left, 0), max(top, 0)
        kx, ky = picture.width / wish.window.width, picture.height / wish.window.height
        box = (
            max(0.0, (shown.x - wish.window.x) * kx),
            max(0.0, (shown.y - wish.window.y) * ky),
            min(float(picture.width), (shown.right - wish.window.x) * kx),
            min(float(picture.height), (shown.bottom - wish.window.y) * ky),
        )
        if box[2] - box[0] < 1e-3 or box[3] - box[1] < 1e-3 or right <= left or bottom <= top:
            return canvas
        part = picture.resize((right - left, bottom - top), Image.Resampling.BOX, box=box)
        canvas[top:bottom, left:right] = np.asarray(part)
        return canvas

    def _best(self, density: float, shown: Rect) -> tuple[Wish, Image.Image] | None:
        """The kept picture that shows this part best: it must hold it; the nearest density wins."""
        with self._lock:
            found = [
                (abs(np.log(wish.density / density)), index, wish, picture)
                for index, (wish, picture) in enumerate(self._pictures.items())
                if wish.window.holds(shown, 0.01)
            ]
        if not found:
            return None
        _, _, wish, picture = min(found, key=lambda entry: entry[:2])
        return wish, picture


def _step(density: float) -> float:
    """The next power of two, so that a resized window and a near enlargement share a picture."""
    return float(2.0 ** math.ceil(math.log2(density)))
