"""What is read is named at once, and no longer when it is there or cannot be."""

from __future__ import annotations

import threading
from pathlib import Path

import pytest
from textual.pilot import Pilot

from tests.tui.piloting import around, plan_screen, planned, screen_text, small_job, travel, until
from tiler.cli import open as opening
from tiler.errors import FlatError
from tiler.tui.app import TilerApp
from tiler.tui.screens import plan_work
from tiler.tui.work import read_for_screen


@pytest.mark.parametrize("size", [(80, 24), (120, 40)])
def test_a_flat_is_named_while_it_is_read(
    tmp_path: Path, size: tuple[int, int], monkeypatch: pytest.MonkeyPatch
) -> None:
    gate, read = threading.Event(), read_for_screen

    def waits(*given: object) -> object:
        gate.wait(20)
        return read(*given)  # type: ignore[arg-type]

    monkeypatch.setattr(plan_work, "read_for_screen", waits)

    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        try:
            await until(pilot, lambda: "Reading lid.pdf …" in screen_text(app))
            assert "lid.pdf" in screen_text(app).splitlines()[0]
            assert "━━━" in screen_text(app)
        finally:
            gate.set()
        await planned(app, pilot)
        assert "Reading" not in screen_text(app)
        assert not app.screen.query_one("#reading").display

    travel(TilerApp(around(tmp_path), job=small_job(tmp_path)), journey, size)


def test_a_flat_that_cannot_be_read_is_not_said_to_be_read_still(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fails(*_: object) -> None:
        raise FlatError("lid.pdf: is cut short", "export it again")

    monkeypatch.setattr(plan_work, "read_for_screen", fails)

    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        await until(pilot, lambda: "No plan" in screen_text(app))
        assert "Reading" not in screen_text(app)
        assert plan_screen(app).problem is not None

    travel(TilerApp(around(tmp_path), job=small_job(tmp_path)), journey)


def test_the_file_is_named_before_the_screen_is_loaded_and_the_words_go_again(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("sys.stderr.isatty", lambda: True)
    opening._say_reading(Path("/jobs/lid\x1b[2J.pdf"))
    opening._clear_reading()
    assert capsys.readouterr().err == "Reading lid�[2J.pdf …\r\x1b[K"


def test_nothing_is_said_where_nobody_watches(capsys: pytest.CaptureFixture[str]) -> None:
    opening._say_reading(Path("/jobs/lid.pdf"))
    opening._clear_reading()
    assert capsys.readouterr().err == ""
