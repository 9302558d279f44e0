"""The pack drawn for the screen: it tells what it does, and ends when it is not wanted any more."""

from __future__ import annotations

import threading
from dataclasses import replace
from pathlib import Path

import pytest
from textual.pilot import Pilot

from tests.tui.piloting import around, plan_screen, planned, screen_text, small_job, travel, until
from tiler.checks import run
from tiler.checks.finding import Report
from tiler.job import Job
from tiler.printers.sheets import find_sheet
from tiler.run import prepare
from tiler.tui.app import TilerApp
from tiler.tui.screens.sheet import SheetScreen
from tiler.tui.work import Stopped, print_to_memory

TRAY = Path(__file__).parents[2] / "sample_art" / "tray.pdf"


def test_a_pack_in_memory_tells_of_checks_and_edges_and_goes_only_forward() -> None:
    prepared = prepare(Job(TRAY, find_sheet("A4"), proof=True, corners=True))
    told: list[tuple[str, float]] = []
    print_to_memory(prepared, lambda stage, share: told.append((stage, share)))
    stages = [stage for stage, _ in told]
    assert "measuring text" in stages
    assert stages.count("looking along the edges") == 4, "the tray has four corners"
    shares = [share for _, share in told]
    assert shares == sorted(shares)


@pytest.mark.parametrize("stage", ["measuring text", "looking along the edges"])
def test_a_pack_in_memory_is_called_off_while_it_looks(stage: str) -> None:
    prepared = prepare(Job(TRAY, find_sheet("A4"), proof=True, corners=True))
    told: list[str] = []
    with pytest.raises(Stopped):
        print_to_memory(prepared, lambda now, _: told.append(now), lambda: stage in told)
    assert told.count(stage) == 1
    assert "writing the pack" not in told


def test_going_back_ends_the_checks_of_the_pages(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    begun, gone_on, ended = threading.Event(), threading.Event(), threading.Event()

    def slow(flat: object, *args: object) -> Report:
        progress = args[-1]
        progress("measuring text", 0.5)  # type: ignore[operator]
        begun.set()
        gone_on.wait(20)
        try:
            progress("measuring lines", 0.6)  # type: ignore[operator]
        finally:
            ended.set()
        raise AssertionError("the checks went on")

    monkeypatch.setattr(run, "run_checks", slow)

    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        await planned(app, pilot)
        await pilot.press("v")
        await until(pilot, begun.is_set)
        await until(pilot, lambda: "Drawing the pack: measuring text" in screen_text(app))
        await pilot.press("escape")
        await until(pilot, lambda: app.screen is plan_screen(app))
        gone_on.set()
        await until(pilot, ended.is_set)
        assert not any(isinstance(screen, SheetScreen) for screen in app.screen_stack)

    job = replace(small_job(tmp_path), proof=True)
    travel(TilerApp(around(tmp_path), job=job), journey)
