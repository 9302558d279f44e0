"""Ask the terminal whether it shows pictures, before the screen owns it.

The question is sent first, the screen is loaded meanwhile, and the answer is heard last: so it costs no time,
and a slow terminal's answer does not arrive as if somebody had typed it. Keys typed meanwhile are handed on.
"""

from __future__ import annotations

import contextlib
import os
import re
import sys
import time
from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from importlib.util import find_spec
from typing import Any

PACKAGE = "textual_image"
"""Makes pictures into what a terminal understands; optional."""

INSTALL = "pip install textual-image==0.12.0"
"""How it is installed: the release of the optional extra, whose inner parts are known."""

PATIENCE = 0.1
"""Seconds that are waited for an answer once the screen is loaded."""

DEVICE_ATTRIBUTES = "\x1b[c"
"""Every terminal answers it (DEC VT100, ECMA-48 DA), so it is asked last and ends the waiting."""

CELL_SIZE = "\x1b[16t"
"""Height and width of a cell, px (xterm control sequences, XTWINOPS)."""

GRAPHICS = "\x1b_Gi=31,s=1,v=1,a=q,t=d,f=24;AAAA\x1b\\"
"""Whether a picture of one point would be taken (the published terminal graphics protocol)."""

GRAPHICS_TERMS = ("xterm-kitty", "xterm-ghostty")
"""Terminal types, as terminfo names them, that place such pictures by characters; others are not asked, as
some would print the question."""

MULTIPLEXERS = ("tmux", "screen")
"""Beginnings of the terminal types of programs that stand between and let no picture through."""

_ATTRIBUTES = re.compile(rb"\x1b\[\?([\d;]*)c")
_CELL = re.compile(rb"\x1b\[6;(\d+);(\d+)t")
_GRAPHICS = re.compile(rb"\x1b_Gi=31;([^\x1b]*)\x1b\\")
_BEGUN = re.compile(rb"\x1b(\[\?[\d;]*|\[6;[\d;]*|_G[^\x1b]*\x1b?)\Z")

SIXEL = "4"
"""Among the device attributes: sixel graphics (DEC VT340)."""


class Protocol(Enum):
    """How a terminal takes pictures."""

    SIXEL = "sixel"
    PLACED = "terminal graphics protocol"


@dataclass(frozen=True)
class Answer:
    """What the terminal said."""

    protocol: Protocol | None = None
    cell: tuple[int, int] | None = None
    """Width and height of a cell, px, when it told."""
    why_not: str = ""
    """Why there are no pictures; empty when there are."""
    typed: str = ""
    """Keys typed while it was asked."""


def why_not(environ: Mapping[str, str], is_terminal: bool, is_installed: bool) -> str:
    """Why the terminal need not even be asked; empty when it is worth it.

    Args:
        environ: The environment.
        is_terminal: True when input and output both are a terminal.
        is_installed: True when the optional package is there.
    """
    term = environ.get("TERM", "")
    if not is_installed:
        return f"True pixels need a package that is not there: {INSTALL}."
    if not is_terminal or term in ("", "dumb"):
        return "There is no terminal that could show pixels."
    if environ.get("NO_COLOR"):
        return "NO_COLOR is set, so the page is drawn in plain characters."
    if environ.get("TMUX") or environ.get("STY") or term.startswith(MULTIPLEXERS):
        return "No pictures get through the terminal multiplexer; start tiler outside it."
    if environ.get("SSH_CONNECTION") or environ.get("SSH_TTY"):
        return "Over a remote connection the page stays in cells."
    return ""


NO_PICTURES = "This terminal shows no pictures."


class Asking:
    """A question under way.

    Args:
        why: Why nothing is asked; empty to ask.
        question: What is sent.
        source: File number of the input.
        target: File number of the output.
    """

    def __init__(self, why: str, question: str = "", source: int = 0, target: int = 1) -> None:
        self._why, self._source = why, source
        self._before: list[Any] | None = None
        if not why:
            self._ask(question, target)

    def _ask(self, question: str, target: int) -> None:
        """Send the question; the answer must neither be echoed nor wait for the end of a line."""
        import termios

        try:
            before = termios.tcgetattr(self._source)
            quiet = list(before)
            quiet[3] &= ~(termios.ECHO | termios.ICANON)
            termios.tcsetattr(self._source, termios.TCSANOW, quiet)
            self._before = before
            os.write(target, question.encode("ascii"))
        except (termios.error, OSError):
            self._why = NO_PICTURES
            self._restore()

    def hear(self, patience: float = PATIENCE) -> Answer:
        """The answer; the terminal is as it was afterwards."""
        if self._why:
            return Answer(why_not=self._why)
        heard = b""
        try:
            end = time.monotonic() + patience
            while not _ATTRIBUTES.search(heard) and self._has_more(end):
                one = os.read(self._source, 1)  # so that nothing typed after the answer is taken
                if not one:
                    break
                heard += one
        except OSError:
            return Answer(why_not=NO_PICTURES)
        finally:
            self._restore()
        return understood(heard)

    def _has_more(self, end: float) -> bool:
        import select

        return bool(select.select([self._source], [], [], max(0.0, end - time.monotonic()))[0])

    def _restore(self) -> None:
        import termios

        if self._before is not None:
            with contextlib.suppress(termios.error):
                termios.tcsetattr(self._source, termios.TCSANOW, self._before)
            self._before = None


def understood(heard: bytes) -> Answer:
    """What the bytes that came say; all that is no answer was typed."""
    attributes, cell, graphics = (pattern.search(heard) for pattern in (_ATTRIBUTES, _CELL, _GRAPHICS))
    rest = heard
    for pattern in (_ATTRIBUTES, _CELL, _GRAPHICS, _BEGUN):
        rest = pattern.sub(b"", rest)
    protocol = None
    if graphics is not None and graphics[1] == b"OK":
        protocol = Protocol.PLACED
    elif attributes is not None and SIXEL in attributes[1].decode("ascii").split(";")[1:]:
        protocol = Protocol.SIXEL
    return Answer(
        protocol,
        (int(cell[2]), int(cell[1])) if cell is not None else None,
        "" if protocol else NO_PICTURES,
        rest.decode("utf-8", "ignore"),
    )


def ask(environ: Mapping[str, str]) -> Asking:
    """Ask the terminal of this process, if it is worth it."""
    is_terminal = bool(
        find_spec("termios") and all(end and end.isatty() for end in (sys.__stdin__, sys.__stdout__))
    )
    why = why_not(environ, is_terminal, find_spec(PACKAGE) is not None)
    if why or sys.__stdin__ is None or sys.__stdout__ is None:
        return Asking(why or NO_PICTURES)
    target = sys.__stdout__.fileno()
    question = GRAPHICS if environ.get("TERM") in GRAPHICS_TERMS else ""
    if cell_now(target) is None:
        question += CELL_SIZE
    return Asking("", question + DEVICE_ATTRIBUTES, sys.__stdin__.fileno(), target)


def cell_now(terminal: int) -> tuple[int, int] | None:
    """Width and height of a cell, px, as the system knows them; None when it does not. It asks nothing."""
    try:
        import fcntl
        import struct
        import termios

        told = fcntl.ioctl(terminal, termios.TIOCGWINSZ, bytes(8))
        rows, columns, width, height = struct.unpack("HHHH", told)
    except (ImportError, OSError):
        return None
    if not (rows and columns and width >= columns and height >= rows):
        return None
    return int(width // columns), int(height // rows)
