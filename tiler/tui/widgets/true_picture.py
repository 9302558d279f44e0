"""A page in half cells, over which its true pixels are laid as soon as they are there."""

from __future__ import annotations

from collections import OrderedDict
from dataclasses import dataclass

from textual import events
from textual.geometry import Region
from textual.message import Message
from textual.strip import Strip
from textual.timer import Timer
from textual.widgets._toast import Toast

from tiler.geometry import Size
from tiler.tui.pixels import PixelStore
from tiler.tui.true_part import Cell, Part, part_of
from tiler.tui.true_pixels import Pixels
from tiler.tui.widgets.sheet_view import SheetView

REST = 0.12
"""Seconds that the window must lie still before its pixels are made: no key repeats slower."""

KEPT = 6
"""Pictures kept, ready to be shown again."""


@dataclass(frozen=True)
class Wanted:
    """A picture that shall lie over the cells."""

    page: int
    """Counted from 0."""
    part: Part
    cell: Cell
    ground: tuple[int, int, int]
    column: int
    row: int
    """The cell of the terminal in which its corner lies."""


class TruePicture(SheetView):
    """Shows a page in half cells, and in true pixels where it may.

    The pixels are written after the cells, by the screen's own writer. Whatever draws cells over them later
    takes them away, so they are laid anew whenever this widget has been drawn, and not while a notice lies
    over it.
    """

    @dataclass
    class PixelsWanted(Message):
        """True pixels must be made."""

        picture: TruePicture
        wanted: Wanted

    def __init__(self, id: str | None, plain: bool, pixels: Pixels | None) -> None:
        super().__init__(id=id, plain=plain, bare=True)
        self._pixels = None if plain else pixels
        self._page = 0
        self._is_true = self._pixels is not None
        self._made: OrderedDict[Wanted, str] = OrderedDict()
        self._making: Wanted | None = None
        self._rest: Timer | None = None
        self._is_covered = False

    @property
    def has_pixels(self) -> bool:
        """True when the terminal has true pixels."""
        return self._pixels is not None

    @property
    def is_true(self) -> bool:
        """True when true pixels are shown."""
        return self._is_true

    def show_numbered(self, number: int, store: PixelStore, page: Size) -> None:
        """Look at a page by its number."""
        self._page = number
        self.show_page(store, page)

    def switch(self, is_true: bool) -> None:
        """Between true pixels and cells."""
        self._is_true = is_true and self.has_pixels
        self.redraw()

    def redraw(self) -> None:
        """Draw the cells anew; the pixels follow when the window lies still."""
        super().redraw()
        if self._rest is not None:
            self._rest.stop()
            self._rest = None
        if self._is_true and self.is_attached:
            self._rest = self.set_timer(REST, self._want)

    def wanted(self) -> Wanted | None:
        """The picture that should lie over the cells now; None for none."""
        cell = self._pixels.cell() if self._pixels is not None and self._is_true else None
        if cell is None or self.view is None or self._store is None or not self.screen.is_active:
            return None
        part = part_of(self.view, cell)
        if part is None or self.screen.query(Toast):
            return None
        x, y = self.content_region.offset
        return Wanted(self._page, part, cell, self.ground(), x + part.column, y + part.row)

    def _want(self) -> None:
        """Lay the pixels if they are there, else have them made."""
        self._rest = None
        wanted = self.wanted()
        if wanted is None:
            return
        if wanted in self._made:
            self._send(self._made[wanted])
        elif wanted != self._making:
            self._making = wanted
            self.post_message(self.PixelsWanted(self, wanted))

    def lay(self, wanted: Wanted, text: str) -> None:
        """Take a picture that was made, and show it if it is still the one."""
        self._made[wanted], self._making = text, None
        while len(self._made) > KEPT:
            self._made.popitem(last=False)
        if wanted == self.wanted():
            self._send(text)

    def render_lines(self, crop: Region) -> list[Strip]:
        """The cells; they cover the pixels, which follow after them."""
        if self._is_true and not self._is_covered:
            self._is_covered = True
            self.call_after_refresh(self._relay)
        return super().render_lines(crop)

    def _relay(self) -> None:
        self._is_covered = False
        if self._rest is None:  # else the window is still moving
            self._want()

    def _send(self, text: str) -> None:
        driver = self.app._driver
        if text and driver is not None:
            driver.write(text)

    def on_unmount(self, event: events.Unmount) -> None:
        """Let the terminal forget the pictures."""
        if self._pixels is not None:
            self._send(self._pixels.farewell())
