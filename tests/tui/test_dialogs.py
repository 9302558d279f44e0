"""Typing without looking where the focus is, and where files go."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.pilot import Pilot
from textual.widgets import Input, OptionList

from tests.tui.piloting import around, plan_screen, planned, screen_text, small_flat, small_job, travel, until
from tiler.job import Job
from tiler.printers.sheets import find_sheet
from tiler.tui.app import TilerApp
from tiler.tui.beside import PROGRAM, default_output, default_ticket
from tiler.tui.fold_commands import FOLD_COMMANDS
from tiler.tui.screens.dialogs import ChooseScreen
from tiler.tui.screens.measure import MeasureScreen
from tiler.tui.screens.measure_base import Setting
from tiler.tui.screens.start import StartScreen

PROMPT = "Type a path or drop a file: PDF, JPEG, PNG, TIFF, WebP, job ticket"


def test_a_path_may_be_typed_while_the_list_has_the_focus(tmp_path: Path) -> None:
    flat = small_flat(tmp_path)

    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        await until(pilot, lambda: isinstance(app.screen, StartScreen) and app.screen.is_mounted)
        await until(pilot, lambda: app.focused is not None)
        assert isinstance(app.focused, OptionList)
        await pilot.press(*"li", "d", ".", *"pdf")
        assert app.screen.query_one("#path", Input).value == flat.name
        await pilot.press("enter")
        await until(pilot, lambda: not isinstance(app.screen, StartScreen))

    travel(TilerApp(around(tmp_path, sample=flat)), journey)


def test_the_line_for_a_path_can_be_read_whole_in_a_small_terminal(tmp_path: Path) -> None:
    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        await until(pilot, lambda: isinstance(app.screen, StartScreen) and app.screen.is_mounted)
        await until(pilot, lambda: PROMPT in screen_text(app))

    travel(TilerApp(around(tmp_path)), journey, (80, 24))


def test_a_value_may_be_typed_while_the_list_has_the_focus(tmp_path: Path) -> None:
    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        await planned(app, pilot)
        await pilot.press("enter")
        await until(pilot, lambda: isinstance(app.screen, ChooseScreen) and app.focused is not None)
        await pilot.press(*"A3")
        assert app.screen.query_one("#line", Input).value == "A3"
        await pilot.press("enter")
        await until(pilot, lambda: plan_screen(app).work.job.sheet == find_sheet("A3"))

    travel(TilerApp(around(tmp_path), job=small_job(tmp_path)), journey)


def test_the_end_of_a_long_path_shows_in_the_dialog(tmp_path: Path) -> None:
    folder = tmp_path / ("a_folder_with_a_long_name" * 4)
    folder.mkdir()

    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        await planned(app, pilot)
        await pilot.press("W")
        await until(pilot, lambda: "lid_pack.pdf" in screen_text(app))

    travel(TilerApp(around(tmp_path), job=small_job(folder)), journey)


def test_what_comes_of_the_installed_sample_goes_where_one_works(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    sample = Job(PROGRAM / "samples" / "lid.pdf", find_sheet("A4"))
    assert default_output(sample) == tmp_path / "lid_pack.pdf"
    assert default_ticket(sample) == tmp_path / "lid_job.toml"
    measure = MeasureScreen(Setting(sample, tmp_path / "profiles"))
    assert measure.sheet_path() == tmp_path / "calibration_A4.pdf"
    assert measure.read_path("letter") == tmp_path / "letter.pdf"
    own = Job(tmp_path / "box" / "lid.pdf", find_sheet("A4"))
    assert default_output(own) == tmp_path / "box" / "lid_pack.pdf"
    measure = MeasureScreen(Setting(own, tmp_path / "profiles"))
    assert measure.sheet_path() == tmp_path / "box" / "calibration_A4.pdf"
    assert measure.read_path("letter") == tmp_path / "box" / "letter.pdf"


def test_the_sample_is_offered_once(tmp_path: Path) -> None:
    flat = small_flat(tmp_path)

    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        await planned(app, pilot)
        await pilot.press("o")
        await until(pilot, lambda: isinstance(app.screen, StartScreen) and app.screen.is_mounted)
        await until(pilot, lambda: app.screen.query_one("#recent", OptionList).option_count > 0)
        assert app.screen.query_one("#recent", OptionList).option_count == 1

    travel(TilerApp(around(tmp_path, sample=flat), job=Job(flat, find_sheet("A4"))), journey)


def test_no_key_of_the_folded_box_is_told_twice() -> None:
    keys = [key for command in FOLD_COMMANDS for key in command.shown_key.split()]
    assert len(keys) == len(set(keys))


def test_help_begins_with_the_first_steps_in_a_small_terminal(tmp_path: Path) -> None:
    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        await planned(app, pilot)
        await pilot.press("f1")
        await until(pilot, lambda: "w writes the pack" in screen_text(app))
        text = screen_text(app)
        places = [text.index(words) for words in ("First steps", "measure both scale bars", "w  Write –")]
        assert places == sorted(places)

    travel(TilerApp(around(tmp_path), job=small_job(tmp_path)), journey, (80, 24))


def test_what_a_picked_seam_says_can_be_read_whole_in_a_small_terminal(tmp_path: Path) -> None:
    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        await planned(app, pilot)
        await pilot.press("e")
        await until(pilot, lambda: "Seam A1 | A2" in screen_text(app))
        caption = app.screen.query_one("#caption")
        text = " ".join("".join(s.text for s in caption.render_line(y)) for y in range(caption.size.height))
        for words in ("no free place within 10 mm", "p pin", "r release"):
            assert words in " ".join(text.split()), text

    travel(TilerApp(around(tmp_path), job=small_job(tmp_path)), journey, (80, 24))
