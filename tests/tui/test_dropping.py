"""A file dropped where none is opened is never ignored: a notice says where to drop it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from textual.events import Paste
from textual.pilot import Pilot
from textual.screen import Screen
from textual.widgets import Input

from tests.tui.piloting import around, planned, small_flat, small_job, travel, until
from tiler.tui.app import TilerApp
from tiler.tui.screens.dialogs import ChooseScreen
from tiler.tui.screens.findings import FindingsScreen
from tiler.tui.screens.folded import FoldedScreen
from tiler.tui.screens.measure import MeasureScreen
from tiler.tui.screens.reading import ReadingScreen
from tiler.tui.screens.sheet import SheetScreen
from tiler.tui.widgets.choice_list import ChoiceList

ELSEWHERE: tuple[tuple[str, type[Screen[Any]]], ...] = (
    ("f", FoldedScreen),
    ("i", FindingsScreen),
    ("v", SheetScreen),
    ("m", MeasureScreen),
    ("n", ReadingScreen),
)


def told(app: TilerApp, words: str) -> bool:
    """True when a notice has these words."""
    return any(words in notice.message for notice in app._notifications)


@pytest.mark.parametrize(("key", "kind"), ELSEWHERE, ids=[kind.__name__ for _, kind in ELSEWHERE])
def test_a_file_dropped_beside_the_plan_is_told_where_it_belongs(
    tmp_path: Path, key: str, kind: type[Screen[Any]]
) -> None:
    other = small_flat(tmp_path, "tray.pdf")

    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        plan = await planned(app, pilot)
        await pilot.press(key)
        await until(pilot, lambda: isinstance(app.screen, kind) and app.screen.is_mounted)
        app.post_message(Paste(f"'{other}' "))
        await until(pilot, lambda: told(app, "tray.pdf is not opened here: go back to the plan with esc"))
        assert all(not line.value for line in app.screen.query(Input))
        await pilot.press("escape")
        await until(pilot, lambda: app.screen is plan)
        assert plan.work.job.flat.name == "lid.pdf"

    travel(TilerApp(around(tmp_path), job=small_job(tmp_path)), journey)


def test_what_is_dropped_and_is_no_file_is_told(tmp_path: Path) -> None:
    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        plan = await planned(app, pilot)
        app.post_message(Paste(str(tmp_path / "gone.pdf")))
        await until(pilot, lambda: told(app, "There is no file"))
        app.post_message(Paste(str(tmp_path)))
        await until(pilot, lambda: told(app, "is a folder"))
        assert app.screen is plan

    travel(TilerApp(around(tmp_path), job=small_job(tmp_path)), journey)


def test_a_file_dropped_on_the_values_of_a_row_goes_into_its_line(tmp_path: Path) -> None:
    other = small_flat(tmp_path, "inside.pdf")

    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        plan = await planned(app, pilot)
        row = next(row for row in plan.query_one(ChoiceList).rows if row.key == "inside")
        plan.post_message(ChoiceList.Opened(row))
        await until(pilot, lambda: isinstance(app.screen, ChooseScreen) and app.screen.is_mounted)
        app.post_message(Paste(str(other)))
        await until(pilot, lambda: app.screen.query_one("#line", Input).value == str(other))
        await pilot.press("enter")
        await until(pilot, lambda: plan.work.job.inside == other)

    travel(TilerApp(around(tmp_path), job=small_job(tmp_path)), journey)
