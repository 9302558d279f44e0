"""Journeys through the screen, each from the first key to the last."""

from __future__ import annotations

import threading
from dataclasses import replace
from pathlib import Path

import pytest
from pypdf import PdfReader
from textual.pilot import Pilot
from textual.widgets import Input, OptionList

from tests.flats import drawn
from tests.tui.piloting import around, plan_screen, planned, screen_text, small_flat, small_job, travel, until
from tiler import run
from tiler.errors import PackError
from tiler.printers.queues import Queue
from tiler.ticket import load_ticket
from tiler.tui import sending, work
from tiler.tui.app import TilerApp
from tiler.tui.screens.dialogs import AskScreen, ChooseScreen, ConfirmScreen
from tiler.tui.screens.plan import PlanScreen
from tiler.tui.screens.start import StartScreen
from tiler.tui.screens.writing import WriteScreen


def test_open_change_the_sheet_and_write(tmp_path: Path) -> None:
    flat = small_flat(tmp_path)

    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        assert isinstance(app.screen, StartScreen)
        app.screen.query_one("#path", Input).focus()
        await pilot.press(*str(flat.name).replace(".", " ").replace(" ", "."), "enter")
        screen = await planned(app, pilot)
        before = len(screen.prepared.plan.tiles)  # type: ignore[union-attr]
        await pilot.press("right")
        await until(pilot, lambda: "sheet of A3" in screen_text(app) or "sheets of A3" in screen_text(app))
        screen = await planned(app, pilot)
        assert len(screen.prepared.plan.tiles) < before  # type: ignore[union-attr]
        await pilot.press("w")
        await until(pilot, lambda: "The pack is written" in screen_text(app))
        assert "Print page 1 (the map) first" in screen_text(app)
        await pilot.press("enter")
        assert not plan_screen(app).work.is_unsaved

    travel(TilerApp(around(tmp_path)), journey)
    pack = PdfReader(tmp_path / "lid_pack.pdf")
    assert float(max(pack.pages[0].mediabox[2:])) == pytest.approx(420 / 25.4 * 72, abs=0.01)  # ISO 216 A3


def test_a_wrong_password_is_told_and_asked_again(tmp_path: Path) -> None:
    flat = small_flat(tmp_path, password="heron")

    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        await until(pilot, lambda: isinstance(app.screen, AskScreen))
        assert app.screen.query_one("#line", Input).password
        await pilot.press(*"egret", "enter")
        await until(pilot, lambda: isinstance(app.screen, AskScreen) and "assword" in screen_text(app))
        await until(pilot, lambda: app.screen.query_one("#line", Input).value == "")
        await pilot.press(*"heron", "enter")
        screen = await planned(app, pilot)
        assert screen.work.job.wanted.password == "heron"
        assert not screen.work.is_unsaved

    travel(TilerApp(around(tmp_path), path=flat), journey)


def test_structure_is_reassigned(tmp_path: Path) -> None:
    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        screen = await planned(app, pilot)
        assert not screen.loaded.structure.lines  # type: ignore[union-attr]
        choices = screen.query_one("#choices", OptionList)
        choices.highlighted = choices.get_option_index("line_as Werk 7")
        await pilot.press("enter")
        await until(pilot, lambda: isinstance(app.screen, ChooseScreen))
        values = app.screen.query_one("#values", OptionList)
        texts = [str(option.prompt).strip("● ") for option in values.options]
        values.highlighted = texts.index("crease")
        await pilot.press("enter")
        screen = await planned(app, pilot)
        assert screen.work.job.line_as == (("Werk 7", "crease"),)
        assert len(screen.loaded.structure.lines) == 1  # type: ignore[union-attr]
        assert "Guides" in screen_text(app)

    travel(TilerApp(around(tmp_path), job=small_job(tmp_path)), journey)


def test_a_seam_is_nudged_pinned_and_released(tmp_path: Path) -> None:
    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        screen = await planned(app, pilot)
        await pilot.press("e")
        name = screen.picked.seam
        seam = screen.prepared.plan.seams[0]  # type: ignore[union-attr]
        at, key = (seam.start.x, "left") if seam.is_upright else (seam.start.y, "up")
        await pilot.press(key)
        screen = await planned(app, pilot)
        assert screen.picked.seam == name
        assert [(nudge.seam, nudge.by) for nudge in screen.work.job.nudges] == [(name, -1.0)]
        moved = screen.prepared.plan.seams[0]  # type: ignore[union-attr]
        assert (moved.start.x if moved.is_upright else moved.start.y) == pytest.approx(at - 1)
        await pilot.press("p")
        screen = await planned(app, pilot)
        assert screen.work.job.nudges == ()
        assert [pin.at for pin in screen.work.job.pins] == [pytest.approx(at - 1, abs=0.001)]
        assert "◆" in screen_text(app)
        await pilot.press("r")
        screen = await planned(app, pilot)
        assert screen.work.job.pins == ()

    travel(TilerApp(around(tmp_path), job=small_job(tmp_path)), journey)


def test_a_ticket_saved_and_opened_again_gives_the_same_plan(tmp_path: Path) -> None:
    ticket = tmp_path / "lid_job.toml"
    plans = []

    async def save(app: TilerApp, pilot: Pilot[None]) -> None:
        screen = await planned(app, pilot)
        await pilot.press("e", "left", "up")
        screen = await planned(app, pilot)
        await pilot.press("escape", "tab", "down", "down", "down", "right")
        screen = await planned(app, pilot)
        assert screen.work.is_unsaved
        plans.append(screen.prepared.plan)  # type: ignore[union-attr]
        await pilot.press("s", "enter")
        await until(pilot, ticket.exists)
        await until(pilot, lambda: isinstance(app.screen, PlanScreen) and not app.screen.work.is_unsaved)

    async def open_again(app: TilerApp, pilot: Pilot[None]) -> None:
        screen = await planned(app, pilot)
        plans.append(screen.prepared.plan)  # type: ignore[union-attr]

    travel(TilerApp(around(tmp_path), job=small_job(tmp_path)), save)
    travel(TilerApp(around(tmp_path), path=ticket), open_again)
    assert plans[0] == plans[1]
    assert load_ticket(ticket).flat == tmp_path / "lid.pdf"


def test_cancel_while_writing_leaves_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    is_writing, may_go_on = threading.Event(), threading.Event()
    real = run.write

    def slowly(prepared, output, progress):  # type: ignore[no-untyped-def]
        def held(stage: str, share: float) -> None:
            if share > 0.9:
                is_writing.set()
                may_go_on.wait(10)
            progress(stage, share)

        return real(prepared, output, held)

    monkeypatch.setattr(work, "write", slowly)

    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        await planned(app, pilot)
        await pilot.press("w")
        await until(pilot, is_writing.is_set)
        assert any(tmp_path.glob(".lid_pack*"))
        await pilot.press("escape")
        may_go_on.set()
        await until(pilot, lambda: "Nothing was written" in screen_text(app))
        await pilot.press("enter")
        plan_screen(app)

    travel(TilerApp(around(tmp_path), job=small_job(tmp_path)), journey)
    assert sorted(path.name for path in tmp_path.iterdir()) == ["lid.pdf", "state"]


def test_an_older_pack_is_replaced_only_when_asked(tmp_path: Path) -> None:
    (tmp_path / "lid_pack.pdf").write_bytes(b"older")

    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        await planned(app, pilot)
        await pilot.press("w")
        await until(pilot, lambda: isinstance(app.screen, ConfirmScreen))
        await pilot.press("escape")
        assert (tmp_path / "lid_pack.pdf").read_bytes() == b"older"
        await pilot.press("w", "enter")
        await until(pilot, lambda: isinstance(app.screen, AskScreen))
        await pilot.press("escape")
        assert (tmp_path / "lid_pack.pdf").read_bytes() == b"older"
        await pilot.press("w", "right", "enter")
        await until(pilot, lambda: "The pack is written" in screen_text(app))

    travel(TilerApp(around(tmp_path), job=small_job(tmp_path)), journey)
    assert (tmp_path / "lid_pack.pdf").read_bytes().startswith(b"%PDF")


def test_unsaved_choices_are_not_lost_by_a_key(tmp_path: Path) -> None:
    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        await planned(app, pilot)
        await pilot.press("right")
        await planned(app, pilot)
        await pilot.press("q")
        await until(pilot, lambda: isinstance(app.screen, ConfirmScreen))
        await pilot.press("escape")
        assert app.is_running
        plan_screen(app)
        await pilot.press("u")
        screen = await planned(app, pilot)
        assert not screen.work.is_unsaved
        await pilot.press("q")
        await until(pilot, lambda: not app.is_running)

    travel(TilerApp(around(tmp_path), job=small_job(tmp_path)), journey)


def test_a_resize_keeps_tiles_and_choices_in_sight(tmp_path: Path) -> None:
    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        await planned(app, pilot)
        for size in ((80, 24), (200, 60), (60, 16), (120, 40)):
            await pilot.resize_terminal(*size)
            await until(pilot, lambda: all(f" {label}" in screen_text(app) for label in ("A1", "A2")))
            text = screen_text(app)
            assert len(text.splitlines()) == size[1]
            assert "Sheet" in text

    travel(TilerApp(around(tmp_path), job=small_job(tmp_path)), journey)


def test_a_problem_of_the_plan_is_told_and_mended(tmp_path: Path) -> None:
    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        await planned(app, pilot)
        plan_screen(app).take(replace(plan_screen(app).work.job, overlap=400.0))
        await until(pilot, lambda: plan_screen(app).problem is not None)
        assert "No plan" in screen_text(app)
        await pilot.press("w")
        assert not isinstance(app.screen, WriteScreen)
        await pilot.press("u")
        await until(pilot, lambda: plan_screen(app).problem is None)
        assert "sheets of A4" in screen_text(app)

    travel(TilerApp(around(tmp_path), job=small_job(tmp_path)), journey)


def test_a_crash_in_a_worker_is_told_and_the_screen_lives(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        await planned(app, pilot)

        def crash(*_: object) -> None:
            raise ZeroDivisionError("by chance")

        with monkeypatch.context() as patch:
            patch.setattr(work, "plan_sheets", crash)
            await pilot.press("right")
            await until(pilot, lambda: plan_screen(app).problem is not None)
            assert "unexpectedly" in screen_text(app)
        await pilot.press("right")
        screen = await planned(app, pilot)
        assert screen.problem is None

    travel(TilerApp(around(tmp_path), job=small_job(tmp_path)), journey)


def test_a_pack_that_cannot_be_written_says_why(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: object) -> None:
        raise PackError("the disk is full", "make room")

    monkeypatch.setattr(work, "write", full)

    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        await planned(app, pilot)
        await pilot.press("w")
        await until(pilot, lambda: "The disk is full." in screen_text(app))
        assert "Make room." in screen_text(app)

    travel(TilerApp(around(tmp_path), job=small_job(tmp_path)), journey)


def test_a_page_of_several_is_chosen_by_its_picture(tmp_path: Path) -> None:
    import io

    from pypdf import PdfWriter

    writer = PdfWriter()
    for width in (500, 900):
        writer.append(io.BytesIO(drawn(width, 400)))
    writer.write(tmp_path / "pair.pdf")

    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        screen = await planned(app, pilot)
        await pilot.press("g")
        await until(pilot, lambda: "Page 1: 176.4 × 141.1 mm" in screen_text(app))
        await pilot.press("down")
        await until(pilot, lambda: "Page 2: 317.5 × 141.1 mm" in screen_text(app))
        await pilot.press("enter")
        screen = await planned(app, pilot)
        assert screen.loaded.flat.page == 2  # type: ignore[union-attr]

    travel(TilerApp(around(tmp_path), path=tmp_path / "pair.pdf"), journey)


def test_the_map_is_printed_first_and_the_rest_when_asked(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    sent: list[tuple[str, ...]] = []

    def take(arguments: tuple[str, ...]) -> str:
        sent.append(arguments)
        return f"studio-{len(sent)}"

    monkeypatch.setattr(sending, "system_queues", lambda: (Queue("studio", is_default=True),))
    monkeypatch.setattr(sending, "send", take)

    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        await planned(app, pilot)
        await pilot.press("w")
        await until(pilot, lambda: "m prints the map now on studio" in screen_text(app))
        await pilot.press("r")
        assert not sent
        await pilot.press("m")
        await until(pilot, lambda: "The map was sent (print job studio-1)" in screen_text(app))
        await pilot.press("m", "r")
        await until(pilot, lambda: "The rest was sent (print job studio-2)" in screen_text(app))

    travel(TilerApp(around(tmp_path), job=small_job(tmp_path)), journey)
    pages = [arguments[arguments.index("-P") + 1] for arguments in sent]
    assert pages == ["1", "2-4"]
