"""What stands on the screens, at the sizes people have."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from textual.events import Paste
from textual.pilot import Pilot
from textual.widgets import OptionList

from tests.tui.piloting import around, plan_screen, planned, screen_text, small_flat, small_job, travel, until
from tiler.tui.app import TilerApp
from tiler.tui.commands import COMMANDS
from tiler.tui.paint import PLAIN
from tiler.tui.screens.plan import PlanScreen
from tiler.tui.screens.reading import ReadingScreen
from tiler.tui.screens.sheet import SheetScreen
from tiler.tui.screens.start import StartScreen
from tiler.tui.themes import DARK, LIGHT

ANSWER = ("2", "sheets of A4", "as few as a plain grid", "lies 352.8 × 246.9 mm")
ROWS = ("Sheet", "Lies", "Margins", "Overlap", "Layout", "Box")
KEYS = ("w Write", "v Sheet", "f Fold", "o Open", "s Save", "e Seam", "? Help", "q Quit")


@pytest.mark.parametrize(
    ("size", "theme"), [((80, 24), DARK), ((80, 24), LIGHT), ((120, 40), LIGHT), ((200, 60), DARK)]
)
def test_the_plan_screen_says_all_that_matters(tmp_path: Path, size: tuple[int, int], theme: str) -> None:
    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        app.theme = theme
        await planned(app, pilot)
        text = screen_text(app)
        for words in (*ANSWER[1:], *ROWS, *KEYS, " A1 ", "352.8 mm", "lid.pdf"):
            assert words in text, (words, text)
        assert "▀" in text
        assert max(len(line) for line in text.splitlines()) <= size[0]

    travel(TilerApp(around(tmp_path), job=small_job(tmp_path)), journey, size)


def test_no_colour_means_plain_characters(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NO_COLOR", "1")

    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        screen = await planned(app, pilot)
        await pilot.pause(0.2)
        strips = [screen.query_one("#flat").render_line(y) for y in range(30)]
        text = "".join(strip.text for strip in strips)
        assert text.isascii()
        assert "#" in text or "@" in text or "%" in text
        assert all(segment.style == PLAIN for strip in strips for segment in strip)

    surroundings = around(tmp_path, environ={"NO_COLOR": "1", "LANG": "de_DE"})
    travel(TilerApp(surroundings, job=small_job(tmp_path)), journey)


def test_tiles_and_seams_are_picked_with_the_mouse(tmp_path: Path) -> None:
    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        screen = await planned(app, pilot)
        view = screen.query_one("#flat").view  # type: ignore[attr-defined]
        row, column = view.cell(300, 100)
        await pilot.click("#flat", offset=(column, row))
        assert screen.picked.tile == "A2"
        assert "A2 · " in screen_text(app)
        row, column = view.cell(screen.prepared.plan.seams[0].start.x, 100)  # type: ignore[union-attr]
        await pilot.click("#flat", offset=(column, row))
        assert screen.picked.seam == "A1|A2"

    travel(TilerApp(around(tmp_path), job=small_job(tmp_path)), journey)


def test_keys_zoom_and_move_the_picture(tmp_path: Path) -> None:
    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        screen = await planned(app, pilot)
        flat = screen.query_one("#flat")
        whole = flat.view  # type: ignore[attr-defined]
        await pilot.press("shift+tab", "plus", "plus", "shift+right")
        assert flat.view.zoom == 2.0  # type: ignore[attr-defined]
        assert flat.view.centre.x > whole.centre.x  # type: ignore[attr-defined]
        await pilot.press("0")
        assert flat.view == whole  # type: ignore[attr-defined]

    travel(TilerApp(around(tmp_path), job=small_job(tmp_path)), journey)


def test_a_sheet_is_seen_as_it_will_print(tmp_path: Path) -> None:
    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        await planned(app, pilot)
        await pilot.press("tab", "right", "right", "v")
        await until(pilot, lambda: isinstance(app.screen, SheetScreen) and "A2 · " in screen_text(app))
        await until(pilot, lambda: "▀" in screen_text(app))
        assert "Page 4 of 4" in screen_text(app)
        await pilot.press("left")
        assert "Page 3 of 4   A1" in screen_text(app)
        await pilot.press("escape")
        assert plan_screen(app).picked.tile == "A1"

    travel(TilerApp(around(tmp_path), job=small_job(tmp_path)), journey)


def test_a_tile_left_out_is_not_printed(tmp_path: Path) -> None:
    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        await planned(app, pilot)
        await pilot.press("tab", "right", "space")
        screen = await planned(app, pilot)
        assert [tile.label for tile in screen.prepared.printed] == ["A2"]  # type: ignore[union-attr]
        text = screen_text(app)
        assert "prints 1 of 2" in text
        assert "not printed" in text

    travel(TilerApp(around(tmp_path), job=small_job(tmp_path)), journey)


def test_creases_and_check_points_are_added_by_position(tmp_path: Path) -> None:
    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        await planned(app, pilot)
        await pilot.press("c", *"10,10,10,900", "enter")
        assert "lies outside the flat" in screen_text(app)
        for _ in range(3):
            await pilot.press("backspace")
        await pilot.press(*"200", "enter")
        screen = await planned(app, pilot)
        assert screen.work.job.creases == (((10.0, 10.0), (10.0, 200.0)),)
        assert len(screen.loaded.structure.lines) == 1  # type: ignore[union-attr]
        await pilot.press("k", *"60,60,code", "enter")
        screen = await planned(app, pilot)
        assert [point.name for point in screen.work.job.check_points] == ["code"]
        assert "✕ code" in screen_text(app)

    travel(TilerApp(around(tmp_path), job=small_job(tmp_path)), journey)


def test_a_dropped_file_opens(tmp_path: Path) -> None:
    flat = small_flat(tmp_path, "my lid.pdf")

    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        app.screen.set_focus(app.screen.query_one("#recent"))
        app.post_message(Paste(f"'{flat}'"))
        await planned(app, pilot)

    travel(TilerApp(around(tmp_path)), journey)


def test_the_start_offers_recent_files_and_the_sample(tmp_path: Path) -> None:
    flat = small_flat(tmp_path, "recent.pdf")
    app = TilerApp(around(tmp_path), job=replace(small_job(tmp_path), flat=flat))

    async def first(app: TilerApp, pilot: Pilot[None]) -> None:
        await planned(app, pilot)

    async def second(app: TilerApp, pilot: Pilot[None]) -> None:
        assert isinstance(app.screen, StartScreen)
        text = screen_text(app)
        assert "recent.pdf" in text
        assert "The sample" in text
        assert "notes.docx" not in text
        app.screen.query_one("#recent", OptionList).highlighted = 0
        await pilot.press("enter")
        await until(pilot, lambda: isinstance(app.screen, PlanScreen))

    (tmp_path / "notes.docx").touch()
    travel(app, first)
    travel(TilerApp(around(tmp_path, sample=small_flat(tmp_path, "sample.pdf"))), second, (80, 24))


def test_help_names_every_command(tmp_path: Path) -> None:
    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        await planned(app, pilot)
        await pilot.press("question_mark")
        assert isinstance(app.screen, ReadingScreen)
        text = " ".join(screen_text(app).replace("│", " ").split())  # long sentences go on in the next line
        for command in COMMANDS:
            assert command.help in text, command.label
        await pilot.press("escape")
        plan_screen(app)

    travel(TilerApp(around(tmp_path), job=small_job(tmp_path)), journey, (120, 120))


def test_every_command_has_an_action_and_a_key_of_its_own() -> None:
    keys = [key for command in COMMANDS for key in command.keys.split(",")]
    assert len(keys) == len(set(keys))
    for command in COMMANDS:
        assert hasattr(PlanScreen, f"action_{command.action.split('(')[0]}"), command.label


def test_ctrl_c_leaves_at_once_when_nothing_is_unsaved(tmp_path: Path) -> None:
    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        await planned(app, pilot)
        await pilot.press("ctrl+c")
        await until(pilot, lambda: not app.is_running)

    travel(TilerApp(around(tmp_path), job=small_job(tmp_path)), journey)


def test_a_flat_that_cannot_be_read_says_why(tmp_path: Path) -> None:
    (tmp_path / "lid.pdf").write_bytes(b"%PDF-1.7 nothing more")

    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        await until(pilot, lambda: isinstance(app.screen, PlanScreen) and app.screen.problem)
        assert "No plan." in screen_text(app)
        await pilot.press("w")
        plan_screen(app)

    travel(TilerApp(around(tmp_path), path=tmp_path / "lid.pdf"), journey)
