"""Read, draw and plan a flat while the screen itself is still being loaded.

Much of that work is done outside Python (hashing, inflating, PDFium), so it takes place beside the loading
where there are two processors. The screen takes each result once and never does the same work twice.
"""

from __future__ import annotations

import contextlib
import threading
from collections.abc import Callable
from concurrent.futures import Future
from concurrent.futures import TimeoutError as StillAtWork
from importlib import import_module
from typing import TypeVar

from tiler.errors import TilerError
from tiler.job import Job
from tiler.load import Loaded
from tiler.run import Prepared
from tiler.tui.pixels import PixelStore
from tiler.tui.viewport import Viewport
from tiler.tui.work import Asked, Stopped, plan_flat, read_for_screen

Result = TypeVar("Result")

RINGS = ("numpy", "PIL.Image", "pypdf", "pypdfium2", "pypdfium2.raw")
"""Libraries that the screen loads too. Their modules import one another in rings, which two threads must not
do at the same time: one of them would see a module that is half there."""

LOOK = 0.05
"""Seconds between two looks whether a result is still wanted."""


class EarlyWork:
    """The work for one job, begun at once.

    Args:
        job: What the screen will open.
        columns: Width of the picture that will probably be shown, cells.
        rows: Its height.
    """

    def __init__(self, job: Job, columns: int, rows: int) -> None:
        self._job, self._cells = job, (max(1, columns), max(1, rows))
        self._is_off = threading.Event()
        for name in RINGS:
            import_module(name)
        self._read: Future[tuple[Loaded, PixelStore]] = Future()
        self._plan: Future[tuple[Prepared, Job]] = Future()
        for result in (self._read, self._plan):
            result.set_running_or_notify_cancel()
        threading.Thread(target=self._work, args=(self._read, self._plan), name="early reading").start()

    def flat(self, job: Job, is_off: Asked) -> tuple[Loaded, PixelStore] | None:
        """The flat and its picture; None when they were begun for another job, or given already.

        Raises:
            TilerError: The flat cannot be read.
            Stopped: It is not wanted any more.
        """
        read, self._read = self._read, Future()
        if not self._is_begun(read, job):
            self.stop()
            return None
        return self._waited(read, is_off)

    def plan(self, job: Job, loaded: Loaded, is_off: Asked) -> tuple[Prepared, Job] | None:
        """The plan of a flat that was given; None for another job or flat, or when given already.

        Raises:
            TilerError: No plan fulfils the choices.
            Stopped: It is not wanted any more.
        """
        plan, self._plan = self._plan, Future()
        if not self._is_begun(plan, job):
            self.stop()
            self._wait_out(plan, is_off)
            return None
        found = self._waited(plan, is_off)
        return found if found is not None and found[0].loaded is loaded else None

    def stop(self) -> None:
        """Let go what is not done yet."""
        self._is_off.set()

    def _is_begun(self, result: Future[Result], job: Job) -> bool:
        return job == self._job and (result.running() or result.done())

    def _waited(self, result: Future[Result], is_off: Asked) -> Result | None:
        """What comes of some work; None when it was let go before its end though it is wanted."""
        while True:
            try:
                return result.result(LOOK)
            except StillAtWork:
                if is_off():
                    self.stop()
                    raise Stopped from None
            except TilerError:
                raise
            except Exception as error:  # the one who asks does it again and tells what is wrong
                if is_off():
                    raise Stopped from error
                return None

    def _wait_out(self, plan: Future[tuple[Prepared, Job]], is_off: Asked) -> None:
        """Wait for a plan that nobody wants: two at once would read the file in each other's way."""
        if plan.running():
            with contextlib.suppress(TilerError):
                self._waited(plan, is_off)

    def _work(self, read: Future[tuple[Loaded, PixelStore]], plan: Future[tuple[Prepared, Job]]) -> None:
        """In a thread: read, then draw and plan at the same time."""
        _fill(read, lambda: read_for_screen(self._job, _quietly, self._is_off.is_set))
        if read.exception() is not None:
            _fill(plan, self._gone)
            return
        loaded, store = read.result()
        drawing = threading.Thread(target=self._draw, args=(loaded, store), name="early drawing")
        drawing.start()
        _fill(plan, lambda: self._gone() if self._is_off.is_set() else plan_flat(self._job, loaded))

    def _gone(self) -> tuple[Prepared, Job]:
        raise Stopped

    def _draw(self, loaded: Loaded, store: PixelStore) -> None:
        """The first picture, as sharp as the screen will probably ask for."""
        wish = store.wish(Viewport.whole(*self._cells, loaded.flat.size))
        if wish is not None:
            with contextlib.suppress(Exception):  # the screen asks for the same and tells what is wrong
                store.make(wish, self._is_off.is_set)


def _fill(result: Future[Result], work: Callable[[], Result]) -> None:
    """Do some work and put what comes of it, or its error, into a promise."""
    try:
        result.set_result(work())
    except BaseException as error:  # whatever it is, the one who waits must hear of it
        result.set_exception(error)


def _quietly(stage: str, share: float) -> None:
    """Nobody is there yet to be told."""
