"""Time whole processes from outside, with the system's own accounting of each."""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parent.parent.parent


@dataclass(frozen=True)
class Spent:
    """What one run of a command took."""

    wall: float
    """Seconds."""
    cpu: float
    """Seconds of user and system time."""
    peak: float
    """Largest resident size, MB (10^6 bytes)."""


def once(command: Sequence[str]) -> Spent:
    """Run a command to its end.

    Raises:
        RuntimeError: It failed.
    """
    # compiled modules may be kept, as they are where tiler is installed
    own = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    start = time.perf_counter()
    quiet = subprocess.DEVNULL
    process = subprocess.Popen(command, cwd=ROOT, env=own, stdout=quiet, stderr=quiet)
    _, status, usage = os.wait4(process.pid, 0)
    wall = time.perf_counter() - start
    process.returncode = os.waitstatus_to_exitcode(status)
    if process.returncode:
        raise RuntimeError(f"{' '.join(command)} ended with {process.returncode}")
    unit = 1 if sys.platform == "darwin" else 1024
    return Spent(wall, usage.ru_utime + usage.ru_stime, usage.ru_maxrss * unit / 1e6)


def in_turn(commands: Sequence[Sequence[str]], runs: int = 7) -> list[Spent]:
    """Medians of each command, run in turn so that all see the same machine; the first round warms up."""
    rounds = [[once(command) for command in commands] for _ in range(runs + 1)][1:]
    return [
        Spent(
            statistics.median(spent.wall for spent in column),
            statistics.median(spent.cpu for spent in column),
            statistics.median(spent.peak for spent in column),
        )
        for column in zip(*rounds, strict=True)
    ]
