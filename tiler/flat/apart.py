"""Let PDFium look at a foreign file in a process of its own, held to some time and memory.

A file can make any renderer run for hours, eat all memory or fall over: forms that call forms, pictures
that claim to be endless. Here that ends in a sentence, and the program goes on.
"""

from __future__ import annotations

import faulthandler
import os
import signal
import subprocess
import sys
import threading
import time
import warnings
from collections.abc import Callable
from select import select
from typing import NoReturn

from tiler.errors import FlatError
from tiler.flat import pdfium_work
from tiler.flat.limits import RESAVE, pdfium
from tiler.flat.pdfium_work import REFUSED, hold_back

PATIENCE = 55.0
"""Seconds of the clock after which the work is ended whatever the processor time it had."""

PIECE = 1 << 20
"""Bytes read from the other process at once."""


def draw_apart(
    name: str, pdf: bytes, width: int, height: int, meanwhile: Callable[[], object] | None = None
) -> bytes:
    """See ``pdfium_work.draw``.

    Args:
        name: The file, for messages.
        pdf: A document; its first page is drawn.
        width: Pixels.
        height: Pixels.
        meanwhile: Called while the other process draws, where there are two at work.

    Raises:
        FlatError: It cannot be drawn, or not with decent time and memory.
    """
    return _apart(name, "draw", pdf, width, height, "", meanwhile)


def mend_apart(name: str, pdf: bytes, password: str | None) -> bytes:
    """See ``pdfium_work.mend``.

    Raises:
        FlatError: It is beyond mending, or not with decent time and memory.
    """
    return _apart(name, "mend", pdf, 0, 0, password or "")


def _apart(
    name: str,
    work: str,
    pdf: bytes,
    width: int,
    height: int,
    password: str,
    meanwhile: Callable[[], object] | None = None,
) -> bytes:
    """Run a function of ``pdfium_work`` elsewhere."""
    # A fork is quick, but safe only while no other thread may hold a lock.
    if sys.platform == "linux" and threading.active_count() == 1:
        function: Callable[..., bytes] = getattr(pdfium_work, work)
        with pdfium():
            code, result = _forked(lambda: function(pdf, width, height, password), meanwhile)
    else:
        words = [sys.executable, pdfium_work.__file__, work, str(width), str(height)]
        code, result = _started(words, password.encode() + b"\n" + pdf)
    if code == 0:
        return result
    if code == REFUSED:
        raise FlatError(f"{name}: is damaged beyond reading", "export it again")
    if code in (-signal.SIGXCPU, -signal.SIGKILL):
        raise FlatError(
            f"{name}: takes longer than {pdfium_work.SECONDS} s to draw", "flatten or simplify its artwork"
        )
    raise FlatError(f"{name}: cannot be drawn with {pdfium_work.MEMORY // 10**6} MB of memory", RESAVE)


def _started(words: list[str], data: bytes) -> tuple[int, bytes]:
    """Run a program; exit code (minus a signal) and output."""
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join(path for path in sys.path if path)}
    try:
        done = subprocess.run(
            words, input=data, capture_output=True, timeout=PATIENCE, check=False, env=environment
        )
    except subprocess.TimeoutExpired:
        return -signal.SIGKILL, b""
    return done.returncode, done.stdout


def _forked(work: Callable[[], bytes], meanwhile: Callable[[], object] | None = None) -> tuple[int, bytes]:
    """Run a function in a fork, and another here; exit code (minus a signal) and result of the first."""
    ours, theirs = os.pipe()
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of numpy's idle threads, which the fork does not touch
        child = os.fork()
    if child == 0:
        os.close(ours)
        _live(work, theirs)
    os.close(theirs)
    result = None
    try:
        if meanwhile is not None:
            meanwhile()
        result = _heard(ours, time.monotonic() + PATIENCE)
    finally:
        os.close(ours)
        if result is None:
            os.kill(child, signal.SIGKILL)
        _, status = os.waitpid(child, 0)
    return os.waitstatus_to_exitcode(status), result or b""


def _heard(pipe: int, deadline: float) -> bytes | None:
    """All that comes through a pipe; None when it does not end in time."""
    pieces: list[bytes] = []
    while select([pipe], [], [], max(0.0, deadline - time.monotonic()))[0]:
        piece = os.read(pipe, PIECE)
        if not piece:
            return b"".join(pieces)
        pieces.append(piece)
    return None


def _live(work: Callable[[], bytes], pipe: int) -> NoReturn:
    """The life of the fork: its result goes through the pipe."""
    code = 1
    try:
        faulthandler.disable()
        signal.signal(signal.SIGINT, signal.SIG_DFL)
        os.dup2(os.open(os.devnull, os.O_WRONLY), 2)  # its last words are not for users
        hold_back()
        result = work()
        with os.fdopen(pipe, "wb") as stream:
            stream.write(result)
        code = 0
    except BaseException as problem:
        code = REFUSED if type(problem).__name__ == "PdfiumError" else 1
    finally:
        os._exit(code)
