"""Help is there on every screen that has keys, and tells the keys of that screen."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import Any

import pytest
from textual.binding import Binding, BindingType
from textual.pilot import Pilot
from textual.screen import Screen
from textual.widgets import Input

from tests.tui.piloting import around, planned, screen_text, small_job, travel, until
from tiler.tui.app import TilerApp
from tiler.tui.screens.findings import FindingsScreen
from tiler.tui.screens.findings_base import KEYS as FINDINGS_KEYS
from tiler.tui.screens.measure import MeasureScreen
from tiler.tui.screens.measure_base import KEYS as MEASURE_KEYS
from tiler.tui.screens.reading import ReadingScreen
from tiler.tui.screens.sheet import SheetScreen
from tiler.tui.screens.start import KEYS as START_KEYS
from tiler.tui.screens.start import StartScreen

PLACES: tuple[tuple[str, type[Screen[Any]], Iterable[BindingType]], ...] = (
    ("i", FindingsScreen, FINDINGS_KEYS),
    ("v", SheetScreen, SheetScreen.BINDINGS),
    ("m", MeasureScreen, MEASURE_KEYS),
    ("o", StartScreen, [key for key in START_KEYS if isinstance(key, Binding) and key.action != "leave"]),
)


async def told_in_full(app: TilerApp, pilot: Pilot[None], keys: Iterable[BindingType]) -> None:
    """Wait for the help and look for a sentence on every key."""
    await until(pilot, lambda: isinstance(app.screen, ReadingScreen) and app.screen.is_mounted)
    text = " ".join(screen_text(app).replace("│", " ").split())  # long sentences go on in the next line
    for key in keys:
        assert isinstance(key, Binding)
        assert not key.tooltip or f"{key.description} – {key.tooltip}" in text, text


@pytest.mark.parametrize(("key", "kind", "keys"), PLACES, ids=[kind.__name__ for _, kind, _ in PLACES])
@pytest.mark.parametrize("asked", ["question_mark", "f1"])
def test_help_tells_the_keys_of_the_screen_that_it_is_asked_on(
    tmp_path: Path, key: str, kind: type[Screen[Any]], keys: Iterable[BindingType], asked: str
) -> None:
    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        await planned(app, pilot)
        await pilot.press(key)
        await until(pilot, lambda: isinstance(app.screen, kind) and app.screen.is_mounted)
        await until(pilot, lambda: app.focused is not None)
        await pilot.press(asked)
        await told_in_full(app, pilot, keys)
        await pilot.press("escape")
        assert isinstance(app.screen, kind)
        assert all("?" not in line.value for line in app.screen.query(Input))

    travel(TilerApp(around(tmp_path), job=small_job(tmp_path)), journey, (120, 50))


def test_the_first_screen_tells_how_to_leave(tmp_path: Path) -> None:
    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        await until(pilot, lambda: isinstance(app.screen, StartScreen) and app.screen.is_mounted)
        await until(pilot, lambda: "? Help" in screen_text(app) and "esc Quit" in screen_text(app))
        await pilot.press("question_mark")
        await until(pilot, lambda: "Quit – Leave tiler." in screen_text(app))
        assert "Back to the job" not in screen_text(app)
        await pilot.press("escape", "escape")
        await until(pilot, lambda: not app.is_running or app._exit)

    travel(TilerApp(around(tmp_path)), journey, (80, 24))


def test_the_keys_of_a_page_fit_into_a_small_terminal(tmp_path: Path) -> None:
    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        await planned(app, pilot)
        await pilot.press("v")
        await until(pilot, lambda: "Page 1 of" in screen_text(app))
        assert "? Help" in screen_text(app).splitlines()[-1]

    travel(TilerApp(around(tmp_path), job=small_job(tmp_path)), journey, (80, 24))
