"""Printer readings on the screen: the sheet is written, read, understood and kept."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from pypdf import PdfReader
from textual.pilot import Pilot
from textual.widgets import Button, Input

from tests.tui.piloting import around, planned, screen_text, small_job, travel, until
from tiler.cli import main
from tiler.errors import UsageError
from tiler.geometry import Margins, Point, Size
from tiler.printers.bars import calibration_bars
from tiler.printers.calibration import calibrate
from tiler.printers.in_use import profiles_folder
from tiler.printers.keeping import keep_readings, known_profile
from tiler.printers.measure import SheetReadings
from tiler.printers.profile import Profile
from tiler.printers.profile_files import load_profile
from tiler.printers.sheets import find_sheet
from tiler.tui.app import TilerApp
from tiler.tui.measure_rows import BARS, FIELDS, drawing, read_fields, result_lines, true_lengths
from tiler.tui.screens.dialogs import AskScreen, ChooseScreen, ConfirmScreen
from tiler.tui.screens.measure import MeasureScreen

A4 = find_sheet("A4")
SIZES = [(80, 24), (200, 60)]
TRUE = {"top": "174.5", "left": "260.5"}


@pytest.fixture(autouse=True)
def own_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Profiles of the test alone (XDG base directory specification)."""
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))


def test_the_fields_are_the_bars_of_the_sheet_in_its_order() -> None:
    assert list(BARS) == [bar.name for bar in calibration_bars(A4)]
    assert true_lengths(A4)["top"] == "175"
    assert true_lengths(find_sheet("A6")) == {}


def test_typed_words_become_readings() -> None:
    typed = {
        "top": "17,45cm",
        "left": " 260.5 ",
        "edge top": "4",
        "edge right": "5",
        "edge bottom": "12",
        "edge left": "4",
        "back right": "-0.5",
        "back down": "1",
        "right": "",
    }
    readings = read_fields(typed, A4)
    assert readings.lengths == {"top": pytest.approx(174.5), "left": 260.5}
    assert readings.edges == Margins(4, 5, 12, 4)
    assert readings.back == Point(-0.5, 1)


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"top": "wide"}, "top: 'wide' is not a length"),
        ({"edge top": "4", "edge left": "4"}, "right, bottom are missing"),
        ({"back down": "1"}, "right is missing"),
    ],
)
def test_words_that_are_no_reading_are_told_by_field(typed: dict[str, str], said: str) -> None:
    with pytest.raises(UsageError, match=said):
        read_fields(typed, A4)


def test_the_result_is_told_over_the_present_flat() -> None:
    found = calibrate(A4, {"top": 174.5, "left": 261.0})
    lines = result_lines(Profile("p"), found, Size(500, 400), landscape=False)
    # 500 mm x (174.5 / 175 - 1) = -1.43 mm; 400 mm x (261 / 260 - 1) = 1.54 mm
    assert "1.4 mm too narrow and 1.5 mm too long" in lines[1]
    # on their side, the width of the flat runs along the sheet: 500 / 260 = 1.92 mm, 400 / 350 = 1.14 mm
    assert (
        "1.9 mm too wide and 1.1 mm too short"
        in result_lines(Profile("p"), found, Size(500, 400), landscape=True)[1]
    )
    assert len(result_lines(Profile("p"), None, Size(500, 400), landscape=False)) == 1


@pytest.mark.parametrize("plain", [False, True])
def test_each_field_has_a_drawing_of_its_own(plain: bool) -> None:
    drawings = {field.key: drawing(field.key, 29, 15, plain) for field in FIELDS}
    assert len({shown.plain for shown in drawings.values()}) == len(FIELDS)
    for shown in drawings.values():
        lines = shown.plain.split("\n")
        assert {len(line) for line in lines} == {29}
        assert len(lines) == 15
        assert not plain or shown.plain.replace("→", "").replace("↓", "").isascii()


async def measuring(app: TilerApp, pilot: Pilot[None]) -> MeasureScreen:
    """Open the readings."""
    await planned(app, pilot)
    await pilot.press("m")
    await until(pilot, lambda: isinstance(app.screen, MeasureScreen))
    assert isinstance(app.screen, MeasureScreen)
    return app.screen


async def type_in(pilot: Pilot[None], screen: MeasureScreen, values: Mapping[str, str]) -> None:
    """Put words into fields."""
    for key, words in values.items():
        screen.query_one(f"#reading-{key.replace(' ', '-')}", Input).value = words
    await pilot.pause()


@pytest.mark.parametrize("size", SIZES)
def test_a_new_printer_is_measured_and_taken_for_the_job(tmp_path: Path, size: tuple[int, int]) -> None:
    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        screen = await measuring(app, pilot)
        await until(pilot, lambda: "The line along the top" in screen_text(app))
        await pilot.press(*"173.5", "enter", "down", *"260.5", "down")
        await until(pilot, lambda: "across 99.14 % ± 0.29" in screen_text(app))
        # 1000 pt x (173.5 / 175 - 1) = -3.02 mm; 700 pt x (260.5 / 260 - 1) = 0.47 mm
        assert "Over your 352.8 × 246.9 mm flat this is 3 mm too narrow and 0.5 mm too" in screen_text(app)
        await type_in(pilot, screen, {f"edge {edge}": "4" for edge in ("top", "right", "bottom", "left")})
        await pilot.press("ctrl+s")
        await until(pilot, lambda: isinstance(app.screen, AskScreen))
        await pilot.press(*"con", "enter")
        assert "cannot be the name of a printer profile" in screen_text(app)
        app.screen.query_one("#line", Input).value = "Studio laser"
        await pilot.press("enter")
        plan = await planned(app, pilot)
        assert plan.work.job.printer == "Studio laser"
        assert plan.prepared.profile.scale_x == pytest.approx(173.5 / 175, abs=1e-5)  # type: ignore[union-attr]
        assert any("is kept and taken for this job" in told.message for told in app._notifications)
        assert "Studio laser" in screen_text(app)

    travel(TilerApp(around(tmp_path), job=small_job(tmp_path)), journey, size)
    assert load_profile(profiles_folder(), "studio laser").margins_for(A4) == Margins(4, 4, 4, 4)


def test_the_screen_and_the_command_line_make_the_same_profile(tmp_path: Path) -> None:
    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        screen = await measuring(app, pilot)
        screen.printer = "screen"
        await type_in(pilot, screen, {**TRUE, "falling": "313.2", "back right": "0.5", "back down": "-1"})
        await pilot.press("ctrl+s")
        await planned(app, pilot)

    travel(TilerApp(around(tmp_path), job=small_job(tmp_path)), journey)
    words = ["--top", "174.5", "--left", "260.5", "--falling", "313.2", "--back=0.5,-1"]
    assert main(["printer", "measure", "line", "--sheet", "A4", *words]) == 0
    folder = profiles_folder()
    assert replace(load_profile(folder, "screen"), name="line") == load_profile(folder, "line")


REFUSED: tuple[tuple[dict[str, str], str], ...] = (
    ({"top": "0", "left": "260"}, "The reading 'top' is 0 mm is no length"),
    ({"top": "6.87", "left": "260"}, "Did you measure in inches? write 6.87in"),
    ({"top": "260", "left": "175"}, "Did you swap them?"),
    # (210 - 2 x 3) / 210 = 97.1 %
    ({"top": "169.98", "left": "252.6"}, "looks like A4 fitted into margins of 3 mm"),
    ({"top": "174.5", "bottom": "260"}, "Is that the bar 'left'?"),
    ({"top": "abc", "left": "260"}, "Top: 'abc' is not a length"),
    ({"top": "174.5"}, "One line across the sheet and one along it are needed"),
    ({**TRUE, "edge top": "4"}, "Of the steps at the edges, right, bottom, left are missing yet"),
)
"""What is typed, and what the screen says of it."""


def test_readings_that_cannot_be_are_told_and_not_kept(tmp_path: Path) -> None:
    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        screen = await measuring(app, pilot)
        screen.printer = "Studio"
        for values, said in REFUSED:
            await type_in(pilot, screen, {**{field.key: "" for field in FIELDS}, **values})
            await until(pilot, lambda said=said: said in " ".join(screen_text(app).split()))  # type: ignore[misc]
            await pilot.press("ctrl+s")
            assert app.screen is screen
        await pilot.press("escape")
        await until(pilot, lambda: isinstance(app.screen, ConfirmScreen))
        await pilot.press("right", "enter")
        assert (await planned(app, pilot)).work.job.printer is None

    travel(TilerApp(around(tmp_path), job=small_job(tmp_path)), journey)
    assert known_profile(profiles_folder(), "Studio") is None


@pytest.mark.parametrize(("reply", "keeps_a3"), [("add", True), ("anew", False), ("keep", True)])
def test_a_known_printer_is_never_changed_unasked(tmp_path: Path, reply: str, keeps_a3: bool) -> None:
    a3 = find_sheet("A3")
    readings = SheetReadings(a3, {"top": 260.0, "left": 385.0}, Margins(5, 5, 5, 5))
    keep_readings(profiles_folder(), "Studio", readings, date(2026, 1, 2))

    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        screen = await measuring(app, pilot)
        assert "Printer: Studio" in screen_text(app)
        await type_in(pilot, screen, TRUE)
        await pilot.press("ctrl+s")
        await until(pilot, lambda: isinstance(app.screen, ConfirmScreen))
        assert "A3; measured 2026-01-02" in screen_text(app)
        app.screen.query_one(f"#{reply}", Button).press()
        if reply == "keep":
            await until(pilot, lambda: app.screen is screen)
        else:
            plan = await planned(app, pilot)
            await until(
                pilot,
                lambda: plan.prepared.profile.scale_x == pytest.approx(174.5 / 175, abs=1e-5),  # type: ignore[union-attr]
            )

    job = replace(small_job(tmp_path), printer="Studio")
    travel(TilerApp(around(tmp_path), job=job), journey)
    kept = load_profile(profiles_folder(), "Studio")
    assert (kept.margins_for(a3) is not None) is keeps_a3
    assert (kept.measured == date(2026, 1, 2)) is (reply == "keep")


def test_the_calibration_sheet_is_written_for_the_chosen_paper(tmp_path: Path) -> None:
    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        screen = await measuring(app, pilot)
        await pilot.press("f4")
        await until(pilot, lambda: isinstance(app.screen, ChooseScreen))
        app.screen.query_one("#line", Input).value = "Letter"
        app.screen.query_one("#line", Input).focus()
        await pilot.press("enter")
        await until(pilot, lambda: "Sheet: Letter" in screen_text(app))
        await pilot.press("f2")
        await until(pilot, lambda: isinstance(app.screen, AskScreen))
        await pilot.press("enter")
        await until(pilot, (tmp_path / "calibration_Letter.pdf").exists)
        await until(pilot, lambda: any("let the sheet rest" in told.message for told in app._notifications))
        await pilot.press("f2")
        await until(pilot, lambda: isinstance(app.screen, AskScreen))
        await pilot.press("enter")
        await until(pilot, lambda: isinstance(app.screen, ConfirmScreen))
        await pilot.press("enter")
        await until(pilot, lambda: app.screen is screen)

    travel(TilerApp(around(tmp_path), job=small_job(tmp_path)), journey)
    pages = PdfReader(tmp_path / "calibration_Letter.pdf").pages
    # ANSI/ASME Y14.1: size A is 8.5 x 11 in
    assert [tuple(map(float, page.mediabox[2:])) for page in pages] == [(612.0, 792.0)] * 2


def test_the_calibration_sheet_never_replaces_the_flat(tmp_path: Path) -> None:
    job = small_job(tmp_path)
    before = job.flat.read_bytes()

    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        await measuring(app, pilot)
        await pilot.press("f2")
        await until(pilot, lambda: isinstance(app.screen, AskScreen))
        app.screen.query_one("#line", Input).value = str(job.flat)
        await pilot.press("enter")
        await until(pilot, lambda: isinstance(app.screen, ConfirmScreen))
        await pilot.press("right", "enter")
        await until(pilot, lambda: any(told.severity == "error" for told in app._notifications))

    travel(TilerApp(around(tmp_path), job=job), journey)
    assert job.flat.read_bytes() == before


def test_a_known_printer_is_chosen_from_the_list(tmp_path: Path) -> None:
    keep_readings(profiles_folder(), "Studio", SheetReadings(A4, {}, Margins(4, 5, 12, 4)), date(2026, 1, 2))

    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        screen = await measuring(app, pilot)
        assert "none chosen" in screen_text(app)
        await pilot.press("f3")
        await until(pilot, lambda: isinstance(app.screen, ChooseScreen))
        assert "Studio  ·  A4; scale not measured" in screen_text(app)
        await pilot.press("enter")
        await until(pilot, lambda: "Printer: Studio" in screen_text(app))
        assert screen.query_one("#reading-edge-bottom", Input).placeholder == "12"
        await pilot.press("escape")
        await planned(app, pilot)

    travel(TilerApp(around(tmp_path), job=small_job(tmp_path)), journey)


def test_a_sheet_too_small_to_measure_on_is_told(tmp_path: Path) -> None:
    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        screen = await measuring(app, pilot)
        screen.sheet = find_sheet("A6")
        screen.show_choices()
        await type_in(pilot, screen, TRUE)
        await until(pilot, lambda: "too small to calibrate on" in screen_text(app))

    travel(TilerApp(around(tmp_path), job=small_job(tmp_path)), journey)


@pytest.mark.parametrize("size", [(80, 24), (120, 40)])
def test_what_to_read_is_told_in_words_of_what_is_seen_on_the_sheet(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        screen = await measuring(app, pilot)
        await until(pilot, lambda: "First number you see at each edge, mm" in screen_text(app))
        assert "Where the cross shows on the back, mm" in screen_text(app)
        screen.query_one("#reading-edge-top", Input).focus()
        await until(pilot, lambda: "Of the steps at the top edge" in screen_text(app))
        screen.query_one("#reading-back-down", Input).focus()
        await until(pilot, lambda: "up is minus" in screen_text(app))

    travel(TilerApp(around(tmp_path), job=small_job(tmp_path)), journey, size)
