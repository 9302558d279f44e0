"""How quick the screen is: ``python -m tests.bench.bench_tui``.

Three figures: from the start of the process to the first picture and plan of a flat; from a key to the new
plan on the screen for the sample lid; and how long the event loop is held up while heavy flats are read and
drawn and keys are pressed (its own lag: how late a short sleep wakes up).
"""

from __future__ import annotations

import asyncio
import gc
import os
import statistics
import subprocess
import sys
import time
from pathlib import Path
from tempfile import TemporaryDirectory

from tiler.cli import GARBAGE

SIZE = (120, 40)
"""Columns and rows."""

SURROUNDED = {**os.environ, "COLUMNS": str(SIZE[0]), "LINES": str(SIZE[1])}
"""The size of the terminal, as a shell would tell it."""

NAP = 0.005
"""Seconds of each sleep whose lateness is the lag."""

CHANGES = ("right", "left", "down down down right", "left", "right", "left", "up up up right", "left")
"""Keys of the changes that are timed: another sheet and back, more overlap and back."""


async def _shown(app: object, need_picture: bool = True) -> float:
    """Wait for the plan (and the picture) of the present job; the clock when both have been drawn."""
    from tiler.tui.screens.plan import PlanScreen

    while True:
        screen = app.screen  # type: ignore[attr-defined]
        if isinstance(screen, PlanScreen) and screen.prepared is not None and screen.store is not None:
            view = screen.query_one("#flat").view  # type: ignore[attr-defined]
            is_planned = screen.prepared.job == screen.work.job
            if is_planned and (not need_picture or (view and screen.store.wish(view) is None)):
                drawn = asyncio.Event()
                screen.call_after_refresh(drawn.set)
                await drawn.wait()
                return time.time()
        await asyncio.sleep(0.002)


def _app(path: Path, folder: Path) -> object:
    """The application as the command line opens it."""
    gc.set_threshold(GARBAGE, 20, 20)  # as the command line does
    from tiler.tui.opening import opened
    from tiler.tui.surroundings import Surroundings

    return opened(path, Surroundings(folder, folder, {"LANG": "de_DE"}))


def start_child(path: str, folder: str, begun: str) -> None:
    """In a fresh process: print the seconds from its start to the first picture and plan."""
    app = _app(Path(path), Path(folder))

    async def run() -> None:
        async with app.run_test(size=SIZE):  # type: ignore[attr-defined]
            print(f"{await _shown(app) - float(begun):.3f} {time.process_time():.3f}")

    asyncio.run(run())


def started(path: Path, folder: Path) -> tuple[float, float]:
    """Seconds from the start of a process to the first picture and plan, and of processor time by then."""
    command = [
        sys.executable,
        "-m",
        "tests.bench.bench_tui",
        "start",
        str(path),
        str(folder),
        str(time.time()),
    ]
    done = subprocess.run(command, capture_output=True, text=True, check=True, env=SURROUNDED)
    wall, busy = done.stdout.split()[-2:]
    return float(wall), float(busy)


async def changes(path: Path, folder: Path, rounds: int = 4) -> list[float]:
    """Seconds from each changing key to the new plan on the screen."""
    app = _app(path, folder)
    took = []
    async with app.run_test(size=SIZE) as pilot:  # type: ignore[attr-defined]
        await _shown(app)
        for keys in CHANGES * rounds:
            *moves, change = keys.split()
            await pilot.press(*moves)
            await asyncio.sleep(0.05)
            before = app.screen.work.job  # type: ignore[attr-defined]
            begun = time.time()
            pressed = asyncio.create_task(pilot.press(change))
            while app.screen.work.job == before and time.time() < begun + 10:  # type: ignore[attr-defined]
                await asyncio.sleep(0.001)
            took.append(await _shown(app, need_picture=False) - begun)
            await pressed
    return took


async def lags(path: Path, folder: Path) -> tuple[list[float], float, float, float]:
    """The event loop while a flat is read, planned and drawn and keys are pressed.

    Returns:
        How late each short sleep woke once there was a screen to type on, how late the latest did until then,
        the longest that the loop's own thread worked between two wakings, and how long it took until the flat
        was shown, all in seconds.
    """
    late: list[float] = []
    own = [0.0]
    is_over = False

    async def watch() -> None:
        while not is_over:
            begun, worked = time.perf_counter(), time.thread_time()
            await asyncio.sleep(NAP)
            late.append(time.perf_counter() - begun - NAP)
            own.append(time.thread_time() - worked)

    app = _app(path, folder)
    async with app.run_test(size=SIZE) as pilot:  # type: ignore[attr-defined]
        watcher = asyncio.create_task(watch())
        begun = time.time()
        drawn = asyncio.Event()
        app.screen.call_after_refresh(drawn.set)  # type: ignore[attr-defined]
        await drawn.wait()
        await asyncio.sleep(2 * NAP)
        first = max(late)
        late.clear()
        shown = asyncio.create_task(_shown(app))
        while not shown.done():
            await pilot.press("down", "up")
        took = await shown - begun
        for keys in ("tab", "plus", "plus", "shift+right", "shift+down", "0"):
            await pilot.press(keys)
            await asyncio.sleep(0.1)
        is_over = True
        await watcher
    return late, first, max(own), took


def main() -> None:
    """Print the figures."""
    from tests.bench.heavy_flats import made  # not above: it loads what the program does not

    lid = Path(__file__).parents[2] / "sample_art" / "lid.pdf"
    print(f"other work on this machine: load {os.getloadavg()[0]:.1f} on {os.cpu_count()} processors")
    with TemporaryDirectory() as name:
        folder = Path(name)
        heavy = {kind: made(kind, folder / f"{kind}.pdf") for kind in ("photographs", "paths")}
        for kind, path in {"the sample lid": lid, **heavy}.items():
            size = path.stat().st_size / 1e6
            wall, busy = min(started(path, folder) for _ in range(5))
            print(
                f"first picture and plan, {kind} ({size:.0f} MB): {wall:.2f} s from process start, best of 5 "
                f"({busy:.2f} s of processor time)",
                flush=True,
            )
        took = asyncio.run(changes(lid, folder))
        print(
            f"key to new plan on screen, sample lid, {len(took)} changes: median "
            f"{statistics.median(took) * 1000:.0f} ms, worst {max(took) * 1000:.0f} ms",
            flush=True,
        )
        for kind, path in heavy.items():
            late, first, own, whole = asyncio.run(lags(path, folder))
            print(
                f"event loop while {kind} are read and drawn ({whole:.1f} s, {len(late)} looks): median lag "
                f"{statistics.median(late) * 1000:.1f} ms, worst {max(late) * 1000:.0f} ms "
                f"({first * 1000:.0f} ms while the first frame was made); its own thread worked "
                f"{own * 1000:.0f} ms at a stretch at most",
                flush=True,
            )


if __name__ == "__main__":
    if sys.argv[1:2] == ["start"]:
        start_child(*sys.argv[2:5])
    else:
        main()
