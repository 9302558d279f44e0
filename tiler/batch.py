"""Many jobs over all cores: a bad one does not stop the others."""

from __future__ import annotations

import logging
import multiprocessing
import os
import signal
import sys
import threading
import time
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Future, ProcessPoolExecutor, as_completed
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass
from importlib import import_module
from multiprocessing.context import BaseContext
from pathlib import Path

from tiler.errors import TilerError
from tiler.job import Job
from tiler.parts import Part, run_parts
from tiler.run import Outcome, load_pens, run

ENDED = "its process was ended by the system, most likely for want of memory; make it by itself"
"""What is said of a job that took its process down."""


@dataclass(frozen=True)
class Order:
    """One pack to make."""

    source: Path
    """The flat or the ticket, as the user named it."""
    output: Path
    job: Job | None = None
    """Of a single flat."""
    parts: tuple[Part, ...] = ()
    """Of a ticket with parts."""


@dataclass(frozen=True)
class Made:
    """What came of one order."""

    order: Order
    sheets: int = 0
    """Sheets of paper for the tiles."""
    seconds: float = 0.0
    """How long it took."""
    warnings: tuple[str, ...] = ()
    problem: str = ""
    """Why there is no pack, in one sentence; empty when there is one."""


Told = Callable[[Made], None]
"""Called with each order that is done, in the order in which they end."""


def make(order: Order) -> Made:
    """Make one pack; a problem is told, not raised."""
    start = time.perf_counter()
    try:
        if order.parts:
            whole = run_parts(order.parts, order.output)
            sheets = whole.sheets
            warnings = tuple(w for outcome in whole.outcomes for w in _warnings(outcome))
        else:
            assert order.job is not None, "an order has a job or parts"
            outcome = run(order.job, order.output)
            sheets, warnings = len(outcome.tile_pages), _warnings(outcome)
    except TilerError as problem:
        return Made(order, seconds=time.perf_counter() - start, problem=str(problem))
    except MemoryError:
        return Made(order, seconds=time.perf_counter() - start, problem=ENDED)
    return Made(order, sheets, time.perf_counter() - start, warnings)


def _warnings(outcome: Outcome) -> tuple[str, ...]:
    """What the user should read of a pack."""
    return (*outcome.prepared.warnings, *outcome.notes)


def make_all(orders: Sequence[Order], workers: int | None, told: Told) -> tuple[Made, ...]:
    """Make all packs, several at once.

    Args:
        orders: What to make; outputs differ.
        workers: How many at once; None for one for each core.
        told: Hears of each that is done.

    Returns:
        What came of each, in the order of the orders.
    """
    count = min(workers or os.cpu_count() or 1, len(orders))
    done: dict[Path, Made] = {}
    for made in _by_pool(orders, count) if count > 1 else map(make, orders):
        done[made.order.output] = made
        told(made)
    return tuple(done[order.output] for order in orders)


def _by_pool(orders: Sequence[Order], count: int) -> Iterator[Made]:
    """All orders over a pool; after a worker has died, those left get a process each."""
    left = {order.output: order for order in orders}
    try:
        for made in _pooled(orders, count):
            del left[made.order.output]
            yield made
    except BrokenProcessPool:
        for order in list(left.values()):
            yield from _alone(order)


def _pooled(orders: Sequence[Order], count: int) -> Iterator[Made]:
    """Each order as it is done.

    Raises:
        BrokenProcessPool: A worker has died.
    """
    with ProcessPoolExecutor(count, _context(), _begin) as pool:
        futures: list[Future[Made]] = [pool.submit(make, order) for order in orders]
        try:
            for future in as_completed(futures):
                yield future.result()
        finally:
            pool.shutdown(wait=False, cancel_futures=True)


def _context() -> BaseContext:
    """How workers are started: as copies of this process where that is safe, else afresh.

    A copy of a process with threads may hang, and system libraries of macOS forbid copies. Copies start at
    once, for they have loaded already what they need.
    """
    if sys.platform != "linux" or threading.active_count() > 1:
        return multiprocessing.get_context("spawn")

    for module in ("tiler.findings", "tiler.flat.raster", "pypdfium2"):
        import_module(module)
    load_pens()
    return multiprocessing.get_context("fork")


def _begin() -> None:
    """Make a worker quiet: Ctrl+C is for the one who waits for it, remarks on sloppy files for nobody."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    logging.getLogger("pypdf").setLevel(logging.CRITICAL)


def _alone(order: Order) -> Iterator[Made]:
    """One order in a process of its own."""
    try:
        yield from _pooled([order], 1)
    except BrokenProcessPool:
        yield Made(order, problem=ENDED)
