"""Drive the application in a test: small flats, keys, and what stands on the screen."""

from __future__ import annotations

import asyncio
import time
from collections.abc import Awaitable, Callable
from pathlib import Path

from textual.pilot import Pilot

from tests.flats import add_layer, flat_pdf
from tiler.job import Job
from tiler.printers.sheets import find_sheet
from tiler.tui.app import TilerApp
from tiler.tui.screens.plan import PlanScreen
from tiler.tui.surroundings import Surroundings

PATIENCE = 30.0
"""Seconds after which a test gives up waiting."""

STEP = 0.02
"""Seconds between two looks."""

Journey = Callable[[TilerApp, "Pilot[None]"], Awaitable[None]]


def around(folder: Path, **changes: object) -> Surroundings:
    """A system in a test's own folder, in a country of A4."""
    given: dict[str, object] = {"state": folder / "state", "folder": folder, "environ": {"LANG": "de_DE"}}
    return Surroundings(**{**given, **changes})  # type: ignore[arg-type]


def travel(app: TilerApp, journey: Journey, size: tuple[int, int] = (120, 40)) -> None:
    """Run the application and go on a journey through it."""

    async def whole() -> None:
        async with app.run_test(size=size) as pilot:
            await journey(app, pilot)

    asyncio.run(whole())


async def until(pilot: Pilot[None], condition: Callable[[], object]) -> None:
    """Wait for something that a worker brings about."""
    end = time.monotonic() + PATIENCE
    while time.monotonic() < end:
        await asyncio.sleep(STEP)
        if condition():
            await pilot.pause()
            return
    raise AssertionError(f"never happened; the screen says:\n{screen_text(pilot.app)}")  # type: ignore[arg-type]


def screen_text(app: TilerApp) -> str:
    """All characters on the screen, line by line."""
    lines = app.screen._compositor.render_strips()
    return "\n".join("".join(segment.text for segment in line).rstrip() for line in lines)


def plan_screen(app: TilerApp) -> PlanScreen:
    """The plan screen, which must be in front."""
    assert isinstance(app.screen, PlanScreen), app.screen
    return app.screen


async def planned(app: TilerApp, pilot: Pilot[None]) -> PlanScreen:
    """Wait until the plan of the present job stands on the screen."""

    def is_there() -> bool:
        screen = app.screen
        return (
            isinstance(screen, PlanScreen)
            and screen.is_mounted  # asking a screen for its state any sooner would start its watchers
            and screen.prepared is not None
            and screen.prepared.job == screen.work.job
            and not screen.busy
        )

    await until(pilot, is_there)
    return plan_screen(app)


def small_flat(folder: Path, name: str = "lid.pdf", password: str | None = None) -> Path:
    """A flat of 353 × 247 mm with a layer of lines whose name no trade word tells."""

    def lines(writer: object) -> None:
        content = b"0 G 1 w 100 0 m 100 700 l S"
        add_layer(writer, "Werk 7", content, "on")  # type: ignore[arg-type]

    return flat_pdf(folder / name, (1000, 700), change=lines, password=password)


def small_job(folder: Path) -> Job:
    """A job of the small flat on A4."""
    return Job(small_flat(folder), find_sheet("A4"))
