"""Pictures in the terminal's own pixels, where it has them.

The optional package makes the text; it is sent by the screen's own writer, so that it never mixes with what
the screen draws. Two habits of the package (it is pinned) are kept from harm: it asks the terminal when it is
loaded and when it wants to know the size of a cell, and for one protocol it writes to the terminal by itself.
"""

from __future__ import annotations

import io
import re
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from importlib import import_module
from types import SimpleNamespace
from typing import TYPE_CHECKING, Any

from PIL import Image

from tiler.tui.asking import INSTALL, PACKAGE, Answer, Protocol, cell_now

if TYPE_CHECKING:
    from textual.app import App

    from tiler.tui.true_part import Cell

LARGEST = 1000
"""Pixels a side that a sixel picture may have (xterm's maxGraphicSize); a larger one is sent in pieces."""

COLOURS = 256
"""Colours of a sixel picture."""

_START = re.compile(r"\x1bP[\d;]*q(?:\"[\d;]*)?")
_DEFINED = re.compile(r"(#\d+)(;2;\d+;\d+;\d+)")

WIDEST = 297
"""Cells a side that the placing characters of the terminal graphics protocol can count."""


class Pixels:
    """Makes pictures into text that shows them.

    Args:
        protocol: How the terminal takes them.
        cell: Width and height of a cell, px, where the system does not tell.

    Raises:
        Exception: Whatever the loading of the package raises.
    """

    def __init__(self, protocol: Protocol, cell: Cell | None) -> None:
        self._protocol, self._told = protocol, cell
        self._lock = threading.Lock()
        self._numbers: list[int] = []
        with _without_terminal():
            self._maker: Any = import_module(f"{PACKAGE}.renderable")
            self._terminal: Any = import_module(f"{PACKAGE}._terminal")
            self._placing: Any = import_module(f"{PACKAGE}.renderable.tgp")

    def cell(self) -> Cell | None:
        """Width and height of a cell now, px; None when nobody knows."""
        now = cell_now(sys.__stdout__.fileno()) if sys.__stdout__ and sys.__stdout__.isatty() else None
        return now or self._told

    def text(self, picture: Image.Image, cell: Cell, column: int, row: int) -> str:
        """What shows a picture of whole cells with its corner in a cell of the terminal, counted from 0."""
        with self._lock:
            self._terminal.get_cell_size._result = self._terminal.CellSize(*cell)  # else it asks by itself
            if self._protocol is Protocol.SIXEL:
                body = "".join(self._pieces(picture, cell, column, row))
            else:
                body = self._placed(picture, cell, column, row)
        return f"\x1b7{body}\x1b8"

    def _pieces(self, picture: Image.Image, cell: Cell, column: int, row: int) -> Iterator[str]:
        """One palette for all pieces, so that no border shows between them."""
        inked = picture.quantize(COLOURS, Image.Quantize.FASTOCTREE)
        wide, high = LARGEST // cell[0] * cell[0], LARGEST // cell[1] * cell[1]
        for top in range(0, picture.height, high):
            for left in range(0, picture.width, wide):
                box = (left, top, min(left + wide, picture.width), min(top + high, picture.height))
                size = ((box[2] - box[0]) // cell[0], (box[3] - box[1]) // cell[1])
                made = self._maker.SixelImage(inked.crop(box), width=size[0], height=size[1])
                data = [part.text for part in _parts(made, size) if part.text.startswith("\x1bP")]
                yield _at(column + left // cell[0], row + top // cell[1])
                yield from map(colours_first, data)

    def _placed(self, picture: Image.Image, cell: Cell, column: int, row: int) -> str:
        """The picture itself, then the characters that stand for its cells."""
        from rich.color import ColorSystem

        size = (picture.width // cell[0], picture.height // cell[1])
        if max(size) > WIDEST:
            raise ValueError(f"the window is wider than {WIDEST} cells")
        sent = io.StringIO()
        self._placing.sys = SimpleNamespace(__stdout__=sent)  # what it would write by itself
        made = self._maker.TGPImage(picture, width=size[0], height=size[1])
        lines = [
            _at(column, row + at)
            + part.style.render(part.text.rstrip("\n"), color_system=ColorSystem.TRUECOLOR)
            for at, part in enumerate(_parts(made, size))
        ]
        self._numbers.append(made.terminal_image_id)
        return sent.getvalue() + "".join(lines)

    def farewell(self) -> str:
        """What frees the terminal's memory of all pictures; empty when it holds none by number."""
        numbers, self._numbers = self._numbers, []
        return "".join(f"\x1b_Ga=d,d=I,i={number},q=2\x1b\\" for number in numbers)


def colours_first(sixels: str) -> str:
    """The same picture with all its colours told before the first is used.

    Told on the way, as the package does, the bands above come out in the colours below (seen in xterm 379).
    """
    start = _START.match(sixels)
    if start is None:
        return sixels
    body = sixels[start.end() :]
    told = "".join(found[0] for found in _DEFINED.finditer(body))
    return start[0] + told + _DEFINED.sub(r"\1", body)


def _at(column: int, row: int) -> str:
    """Go to a cell (ECMA-48 CUP)."""
    return f"\x1b[{row + 1};{column + 1}H"


def _parts(made: Any, size: tuple[int, int]) -> list[Any]:
    """What the package draws, in its own order."""
    from rich.console import Console

    console = Console(file=io.StringIO(), width=size[0], height=size[1])
    return list(console.render(made, console.options.update(max_width=size[0], height=size[1])))


@contextmanager
def _without_terminal() -> Iterator[None]:
    """Load the package so that it takes the output for a file, and asks nothing."""
    kept = sys.__stdout__
    vars(sys)["__stdout__"] = io.StringIO()
    try:
        yield
    finally:
        vars(sys)["__stdout__"] = kept


NOT_ASKED = "The terminal was not asked for pictures."


class Ability:
    """What the one terminal of this process can do."""

    pixels: Pixels | None = None
    why_not: str = NOT_ASKED


ABILITY = Ability()


def use(answer: Answer, ability: Ability = ABILITY) -> None:
    """Keep what the terminal answered; loads the package only when there is something to show."""
    ability.pixels, ability.why_not = None, answer.why_not
    if answer.protocol is None:
        return
    try:
        pixels = Pixels(answer.protocol, answer.cell)
    except Exception:  # another release of the package: cells serve as well
        ability.why_not = f"The installed textual-image does not fit: {INSTALL} puts it right."
        return
    if pixels.cell() is None:
        ability.why_not = "This terminal does not tell how many pixels its cells have."
    else:
        ability.pixels = pixels


def hand_on(typed: str, app: App[Any]) -> None:
    """Give the application the keys that were typed before it ran."""
    if typed:
        from textual._xterm_parser import XTermParser

        parser = XTermParser()
        for event in (*parser.feed(typed), *parser.feed("")):
            app.post_message(event)
