"""A ticket with parts on the screen: the list, one part opened, the one pack, the saved ticket."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from pypdf import PdfReader
from textual import events
from textual.pilot import Pilot
from textual.widgets import OptionList

from tests.flats import add_layer, flat_pdf
from tests.tui.piloting import around, planned, screen_text, travel, until
from tiler.cli import main
from tiler.job import Job
from tiler.parts import Part, load_parts
from tiler.parts_ticket import save_parts
from tiler.printers.sheets import find_sheet
from tiler.run import Prepared
from tiler.tui.app import TilerApp
from tiler.tui.parts_state import PartsSession
from tiler.tui.screens.dialogs import ConfirmScreen
from tiler.tui.screens.parts import PartsScreen
from tiler.tui.screens.plan import PlanScreen
from tiler.tui.screens.revise import RevisionScreen
from tiler.tui.work import Problem


@pytest.fixture
def ticket(tmp_path: Path) -> Path:
    """A lid and a tray on A4."""
    flats = flat_pdf(tmp_path / "lid.pdf", (1000, 700)), flat_pdf(tmp_path / "tray.pdf", (700, 900))
    sheet = find_sheet("A4")
    save_parts([Part(flat.stem, Job(flat, sheet)) for flat in flats], tmp_path / "box.toml")
    return tmp_path / "box.toml"


async def listed(app: TilerApp, pilot: Pilot[None]) -> PartsScreen:
    """Wait until every part has a plan, or a problem."""

    def is_there() -> bool:
        screen = app.screen
        return (
            isinstance(screen, PartsScreen)
            and screen.is_mounted
            and all(
                isinstance(found := screen._found.get(part.name), Problem)
                or (isinstance(found, Prepared) and found.job == part.job)
                for part in screen.work.parts
            )
        )

    await until(pilot, is_there)
    assert isinstance(app.screen, PartsScreen)
    return app.screen


def test_the_parts_are_listed_with_their_sheets_and_written_as_one_pack(ticket: Path) -> None:
    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        screen = await listed(app, pilot)
        counts = {name: len(found.printed) for name, found in screen._found.items()}  # type: ignore[union-attr]
        text = screen_text(app)
        assert f"lid {counts['lid']} sheets lid.pdf" in " ".join(text.split())
        assert f"tray {counts['tray']} sheets tray.pdf" in " ".join(text.split())
        assert "in one pack of 2 parts" in text
        await pilot.press("w")
        await until(pilot, lambda: "The pack is written" in screen_text(app))
        assert f"lid {counts['lid']}, tray {counts['tray']}" in " ".join(screen_text(app).split())
        await pilot.press("enter")
        assert app.screen is screen

    travel(TilerApp(around(ticket.parent), path=ticket), journey)
    pack = ticket.with_name("box_pack.pdf")
    labels = PdfReader(pack).page_labels
    assert {"lid Map", "tray Map", "lid A1", "tray A1"} <= set(labels)
    assert main(["mock", str(ticket), "-o", str(ticket.with_name("other.pdf"))]) == 0
    assert pack.read_bytes() == ticket.with_name("other.pdf").read_bytes()


def test_a_part_is_opened_changed_and_saved_with_the_others(ticket: Path) -> None:
    before = load_parts(ticket)

    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        screen = await listed(app, pilot)
        await pilot.press("down", "enter")
        plan = await planned(app, pilot)
        assert plan.work.job.flat.name == "tray.pdf"
        plan.take(replace(plan.work.job, overlap=15.0))
        await planned(app, pilot)
        await pilot.press("L")
        await listed(app, pilot)
        assert screen.work.is_unsaved
        assert "* box.toml" in screen_text(app)
        await pilot.press("s")
        await until(pilot, lambda: not screen.work.is_unsaved)

    travel(TilerApp(around(ticket.parent), path=ticket), journey)
    lid, tray = load_parts(ticket)
    assert lid == before[0]
    assert tray.job == replace(before[1].job, overlap=15.0)


def test_a_dropped_flat_is_the_new_revision_of_the_part_it_is_called_after(ticket: Path) -> None:
    later = flat_pdf(ticket.with_name("tray_rev2.pdf"), (700, 900), change=_mark)

    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        screen = await listed(app, pilot)
        app.post_message(events.Paste(str(later)))
        await until(pilot, lambda: isinstance(app.screen, ConfirmScreen))
        assert "the new revision of the tray, tray.pdf" in " ".join(screen_text(app).split())
        await pilot.press("enter")
        await until(pilot, lambda: isinstance(app.screen, RevisionScreen) and app.screen.revised is not None)
        assert app.screen.revised.changes.tiles  # type: ignore[attr-defined]
        await pilot.press("g")
        await listed(app, pilot)
        assert [part.job.flat.name for part in screen.work.parts] == ["lid.pdf", "tray_rev2.pdf"]
        assert screen.work.is_unsaved

    travel(TilerApp(around(ticket.parent), path=ticket), journey)


def _mark(writer: object) -> None:
    """A square that the earlier tray has not."""
    add_layer(writer, "Decal", b"0 0 1 rg 300 400 60 60 re f", "on")  # type: ignore[arg-type]


def test_another_sheet_for_one_part_holds_for_all(ticket: Path) -> None:
    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        screen = await listed(app, pilot)
        await pilot.press("enter")
        plan = await planned(app, pilot)
        plan.take(replace(plan.work.job, sheet=find_sheet("A3")))
        await planned(app, pilot)
        await pilot.press("s", "L")
        await listed(app, pilot)
        assert {part.job.sheet.name for part in screen.work.parts} == {"iso_a3_297x420mm"}
        assert "of A3" in screen_text(app)

    travel(TilerApp(around(ticket.parent), path=ticket), journey)
    assert {part.job.sheet.name for part in load_parts(ticket)} == {"iso_a3_297x420mm"}


def test_a_part_that_cannot_be_read_is_one_sentence_and_the_others_are_there(ticket: Path) -> None:
    ticket.with_name("tray.pdf").write_bytes(b"no print file")

    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        screen = await listed(app, pilot)
        assert isinstance(screen._found["lid"], Prepared)
        assert "tray cannot be planned" in " ".join(screen_text(app).split())
        await pilot.press("down")
        await until(pilot, lambda: "✕ tray.pdf" in screen_text(app))
        await pilot.press("w")
        assert app.screen is screen, "there is nothing to write yet"
        await pilot.press("up", "enter")
        await planned(app, pilot)

    travel(TilerApp(around(ticket.parent), path=ticket), journey)
    assert not ticket.with_name("box_pack.pdf").exists()


def test_a_wrong_ticket_with_parts_is_told(tmp_path: Path) -> None:
    path = tmp_path / "box.toml"
    path.write_text('version = 1\n[paper]\nsheet = "A4"\n[[part]]\nfile = "lid.pdf"\n', encoding="utf-8")

    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        await until(
            pilot, lambda: any("a part has no name" in notice.message for notice in app._notifications)
        )

    travel(TilerApp(around(tmp_path), path=path), journey)


def test_changed_parts_are_not_lost_by_a_key(ticket: Path) -> None:
    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        screen = await listed(app, pilot)
        await pilot.press("enter")
        plan = await planned(app, pilot)
        plan.take(replace(plan.work.job, lighten=0.2))
        await planned(app, pilot)
        await pilot.press("q")
        await until(pilot, lambda: isinstance(app.screen, ConfirmScreen))
        assert "box.toml" in screen_text(app)
        await pilot.press("enter")
        await until(pilot, lambda: not screen.work.is_unsaved)
        assert isinstance(app.screen, PlanScreen)

    travel(TilerApp(around(ticket.parent), path=ticket), journey)
    assert load_parts(ticket)[0].job.lighten == 0.2


def test_the_list_stays_in_sight_at_every_size(ticket: Path) -> None:
    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        screen = await listed(app, pilot)
        for size in ((80, 24), (200, 60), (120, 40)):
            await pilot.resize_terminal(*size)
            await until(pilot, lambda: "tray.pdf" in screen_text(app) and "Quit" in screen_text(app))
            assert screen.query_one("#parts", OptionList).has_focus

    travel(TilerApp(around(ticket.parent), path=ticket), journey)


def test_a_job_of_one_flat_has_no_list_of_parts(tmp_path: Path) -> None:
    flat = flat_pdf(tmp_path / "lid.pdf", (1000, 700))

    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        screen = await planned(app, pilot)
        await pilot.press("L")
        assert app.screen is screen

    travel(TilerApp(around(tmp_path), job=Job(flat, find_sheet("A4"))), journey)


def test_only_choices_make_parts_unsaved(ticket: Path) -> None:
    session = PartsSession.of(load_parts(ticket), ticket)
    job = session.parts[0].job
    assert not session.changed(0, job).is_unsaved
    secret = replace(job, wanted=replace(job.wanted, password="heron"))
    assert not session.changed(0, secret).is_unsaved, "a password is kept nowhere"
    other = session.changed(0, replace(job, scale=0.5))
    assert other.is_unsaved
    assert not other.saved(ticket).is_unsaved
