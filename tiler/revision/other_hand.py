"""The later revision drawn in a process of its own, so that two cores draw two revisions at once.

PDFium draws one thing at a time in a process; a copy of the process has a PDFium of its own.
"""

from __future__ import annotations

import contextlib
import faulthandler
import os
import signal
import sys
import threading
import warnings
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from typing import BinaryIO, NoReturn

import numpy as np

from tiler.revision.compare import Pixels

Draw = Callable[[], Pixels]
"""Draws one piece of the later revision."""

Fetch = Callable[[int, tuple[int, ...]], Pixels]
"""Takes the number of a piece and the shape of its drawing; called once for each piece, in their order."""


@contextmanager
def drawn_by_another(draws: Sequence[Draw]) -> Iterator[Fetch]:
    """Drawings in their order, by a copy of this process where one is safe, else by this one.

    A copy is safe only while no other thread may hold a lock. Where it falls over, this process draws.
    """
    if sys.platform != "linux" or threading.active_count() > 1 or (os.cpu_count() or 1) < 2 or not draws:
        yield lambda number, shape: draws[number]()
        return
    ours, theirs = os.pipe()
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of numpy's idle threads, which the copy does not touch
        child = os.fork()
    if child == 0:
        os.close(ours)
        _live(draws, theirs)
    os.close(theirs)
    try:
        with os.fdopen(ours, "rb", buffering=0) as stream:
            yield lambda number, shape: _heard(stream, shape, draws[number])
    finally:
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)


def _heard(stream: BinaryIO, shape: tuple[int, ...], draw: Draw) -> Pixels:
    """The next drawing from the other process; drawn here once that has ended."""
    pixels: Pixels = np.empty(shape, np.uint8)
    room = pixels.data.cast("B")
    while room:
        count = stream.readinto(room)  # type: ignore[attr-defined]
        if not count:
            return draw()
        room = room[count:]
    return pixels


def _live(draws: Sequence[Draw], pipe: int) -> NoReturn:
    """The life of the copy: draw all, then end. What fails is drawn again, and told, by the other process."""
    try:
        faulthandler.disable()
        signal.signal(signal.SIGINT, signal.SIG_IGN)  # the one who waits for it will end it
        os.dup2(os.open(os.devnull, os.O_WRONLY), 2)  # its last words are not for users
        with contextlib.suppress(BaseException), os.fdopen(pipe, "wb", buffering=0) as stream:
            for draw in draws:
                room = np.ascontiguousarray(draw()).data.cast("B")
                while room:
                    room = room[stream.write(room) :]
    finally:
        os._exit(0)
