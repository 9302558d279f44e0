"""Run work in a fork with its time and memory measured, for files that may do harm."""

from __future__ import annotations

import os
import resource
import signal
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass

SECONDS = 60
MEMORY = 1_500_000_000
"""Bytes of resident memory at most."""

WALL = 6_000_000_000
"""Bytes of address space at which a process is stopped for good."""

ALONE = 75_000_000
"""Resident bytes of a process with tiler and these tests loaded and nothing done yet, measured; the fork of a
test run that holds more is not charged for the rest."""


@dataclass(frozen=True)
class Ended:
    """How a process ended."""

    code: int
    """Exit code, or minus the signal."""
    out: str
    err: str
    seconds: float
    memory: int
    """Largest resident memory, bytes, as if the process had begun with the program alone, see ``ALONE``."""


def run_tiler(words: list[str]) -> Ended:
    """The command line in a fork."""
    return forked(lambda: _tiler(words))


def _tiler(words: list[str]) -> int:
    """The command line."""
    from tiler.cli import main

    try:
        return main(words)
    except SystemExit as stop:
        return stop.code if isinstance(stop.code, int) else 1


def forked(work: Callable[[], int]) -> Ended:
    """Run some work in a fork of this process."""
    with tempfile.TemporaryFile() as out, tempfile.TemporaryFile() as err:
        start, held = time.monotonic(), _held()
        child = os.fork()
        if child == 0:
            _limited(work, out.fileno(), err.fileno())
        _, status, used = os.wait4(child, 0)
        seconds = time.monotonic() - start
        out.seek(0)
        err.seek(0)
        told = out.read().decode("utf-8", "replace"), err.read().decode("utf-8", "replace")
        return Ended(
            os.waitstatus_to_exitcode(status), *told, seconds, used.ru_maxrss * 1024 - max(0, held - ALONE)
        )


def _held() -> int:
    """Resident bytes of this process, which a fork starts with; 0 where the system does not say."""
    try:
        with open("/proc/self/statm", encoding="ascii") as statm:
            return int(statm.read().split()[1]) * resource.getpagesize()
    except OSError:
        return 0


def _limited(work: Callable[[], int], out: int, err: int) -> None:
    """The life of the fork."""
    code = 70
    try:
        os.dup2(out, 1)
        os.dup2(err, 2)
        sys.stdout, sys.stderr = os.fdopen(1, "w", closefd=False), os.fdopen(2, "w", closefd=False)
        resource.setrlimit(resource.RLIMIT_AS, (WALL, WALL))
        resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
        signal.signal(signal.SIGALRM, signal.SIG_DFL)
        signal.alarm(SECONDS)
        code = work()
        sys.stdout.flush()
        sys.stderr.flush()
    except BaseException:
        import traceback

        traceback.print_exc()
        sys.stderr.flush()
    finally:
        os._exit(code)
