"""The late change on the screen, from the dropped file to the written sheets."""

from __future__ import annotations

import threading
from pathlib import Path

import pytest
from pypdf import PdfReader
from textual import events
from textual.pilot import Pilot
from textual.widgets import Input, OptionList, Static

from tests.revision.art import PLAIN, altered, draw, job_for
from tests.revision.resaved import SAVERS
from tests.tui.piloting import around, plan_screen, planned, screen_text, travel, until
from tiler.geometry import Rect, Size
from tiler.revision import changes as comparing
from tiler.revision.carry_on import has_same_faces
from tiler.tui.app import TilerApp
from tiler.tui.revision_rows import Spot
from tiler.tui.screens.dialogs import AskScreen, ConfirmScreen
from tiler.tui.screens.revise import RevisionScreen
from tiler.tui.screens.sheet import SheetScreen
from tiler.tui.screens.start import StartScreen
from tiler.tui.screens.writing import WriteScreen
from tiler.tui.viewport import Viewport
from tiler.tui.widgets.revision_view import RevisionView, spot_marks


@pytest.fixture
def app(tmp_path: Path) -> TilerApp:
    """A job of the sleeve: six tiles."""
    return TilerApp(around(tmp_path), job=job_for(draw(PLAIN, tmp_path / "sleeve.pdf")))


def dropped(app: TilerApp, path: Path) -> None:
    """Drop a file on the terminal."""
    app.post_message(events.Paste(f"'{path}'"))


async def compared(app: TilerApp, pilot: Pilot[None], path: Path) -> RevisionScreen:
    """The screen of a late change with its comparison done."""
    screen = await planned(app, pilot)
    screen.begin_revision(path)
    return await shown(app, pilot)


async def shown(app: TilerApp, pilot: Pilot[None]) -> RevisionScreen:
    """Wait for the comparison."""
    await until(pilot, lambda: isinstance(app.screen, RevisionScreen) and app.screen.revised is not None)
    assert isinstance(app.screen, RevisionScreen)
    return app.screen


def verdict(app: TilerApp) -> str:
    """What the comparison comes to."""
    return str(app.screen.query_one("#verdict", Static).render())


def told(app: TilerApp) -> str:
    """All notices."""
    return "\n".join(notice.message for notice in app._notifications)


def highlight(screen: RevisionScreen, key: str) -> None:
    """Put the bar on a line."""
    at = next(i for i, line in enumerate(screen._lines) if line.key == key)
    screen.query_one("#changes", OptionList).highlighted = at


def test_a_dropped_revision_is_compared_and_its_sheets_are_chosen_and_written(
    app: TilerApp, tmp_path: Path
) -> None:
    new = draw(altered(word="hood", decal=(0.8, 0.1, 0, 0)), tmp_path / "sleeve2.pdf")

    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        await planned(app, pilot)
        dropped(app, new)
        await until(pilot, lambda: isinstance(app.screen, ConfirmScreen))
        assert "the new revision of sleeve.pdf" in " ".join(screen_text(app).split())
        await pilot.press("enter")
        screen = await shown(app, pilot)
        text = screen_text(app)
        assert "2 of 6 sheets changed · 2 sheets to print" in " ".join(text.split())
        assert "“chimney” → “hood”" in text
        assert "24 × 24 mm at 178, 28" in text
        highlight(screen, "tile A1")
        await pilot.press("space")
        assert screen.chosen == {"A3"}
        assert "[ ] A1" in screen_text(app)
        await pilot.press("w")
        await until(pilot, lambda: "The changed sheets are written" in screen_text(app))
        await pilot.press("enter", "escape")
        assert plan_screen(app).work.job.flat.name == "sleeve.pdf"

    travel(app, journey)
    pages = [
        " ".join(page.extract_text().split()) for page in PdfReader(tmp_path / "sleeve2_reprint.pdf").pages
    ]
    assert "replaces A3" in pages[-1]
    assert "A1 changed too and were left out" in pages[0]


def test_a_dropped_flat_can_be_another_job(app: TilerApp, tmp_path: Path) -> None:
    other = draw(altered(word="hood"), tmp_path / "other.pdf")

    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        await planned(app, pilot)
        dropped(app, other)
        await until(pilot, lambda: isinstance(app.screen, ConfirmScreen))
        await pilot.press("right", "enter")
        await until(pilot, lambda: plan_screen(app).work.job.flat == other)

    travel(app, journey)


def test_a_key_asks_for_the_revision(app: TilerApp, tmp_path: Path) -> None:
    new = draw(altered(word="hood"), tmp_path / "sleeve2.pdf")

    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        await planned(app, pilot)
        await pilot.press("N")
        await until(pilot, lambda: isinstance(app.screen, StartScreen) and app.screen.is_mounted)
        assert "new revision of sleeve.pdf" in screen_text(app)
        app.screen.query_one("#path", Input).value = str(new)
        app.screen.query_one("#path", Input).focus()
        await pilot.press("enter")
        screen = await shown(app, pilot)
        assert screen.chosen == {"A1"}

    travel(app, journey)


def test_the_new_sheet_is_seen_before_it_is_written(app: TilerApp, tmp_path: Path) -> None:
    new = draw(altered(word="hood"), tmp_path / "sleeve2.pdf")

    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        screen = await compared(app, pilot, new)
        highlight(screen, "tile A1")
        await pilot.press("v")
        await until(pilot, lambda: isinstance(app.screen, SheetScreen) and "Page 4 of 4" in screen_text(app))
        assert "A1" in screen_text(app)
        await pilot.press("escape")
        assert app.screen is screen

    travel(app, journey)


def test_a_place_is_outlined_and_numbered_and_seen_before_and_after(app: TilerApp, tmp_path: Path) -> None:
    new = draw(altered(decal=(0.8, 0.1, 0, 0)), tmp_path / "sleeve2.pdf")

    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        screen = await compared(app, pilot, new)
        view = screen.query_one(RevisionView)
        assert "╔" in screen_text(app) or "═" in screen_text(app)
        highlight(screen, "place 1")
        await until(pilot, lambda: view.picked_spot == 1 and "▸1◂" in screen_text(app))
        await pilot.press("plus", "plus", "plus")
        assert view.view is not None
        assert Rect(170, 20, 40, 40).contains(view.view.centre)

        def colour() -> tuple[int, ...]:
            points = view._store.cut(view.view, (0, 0, 0)) if view._store and view.view else None
            return (
                ()
                if points is None
                else tuple(int(v) for v in points[len(points) // 2, points.shape[1] // 2])
            )

        await until(pilot, lambda: len(colour()) == 3)
        after = colour()
        await pilot.press("b")
        await until(pilot, lambda: len(colour()) == 3 and colour() != after)
        assert screen.is_before
        await pilot.press("b")
        await until(pilot, lambda: colour() == after)

    travel(app, journey)


@pytest.mark.parametrize(
    ("saver", "sentence"),
    [("", "byte for byte. Nothing to print."), ("qdf", "shows the same on every sheet. Nothing to print.")],
    ids=["the same file", "saved anew"],
)
def test_the_same_art_is_said_to_be_the_same(
    app: TilerApp, tmp_path: Path, saver: str, sentence: str
) -> None:
    new = tmp_path / "sleeve2.pdf"
    if saver:
        SAVERS[saver](tmp_path / "sleeve.pdf", new)
    else:
        new.write_bytes((tmp_path / "sleeve.pdf").read_bytes())

    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        await compared(app, pilot, new)
        assert verdict(app).endswith(sentence)
        await pilot.press("w")
        assert not isinstance(app.screen, WriteScreen)

    travel(app, journey)
    assert not (tmp_path / "sleeve2_reprint.pdf").exists()


def test_another_size_offers_the_whole_pack(app: TilerApp, tmp_path: Path) -> None:
    new = draw(altered(size=(242.0, 160.0)), tmp_path / "sleeve2.pdf")

    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        await compared(app, pilot, new)
        text = verdict(app)
        assert "measured 240 × 160 mm and now measures 242 × 160 mm" in text
        assert "W writes the whole pack" in text
        await pilot.press("w")
        assert isinstance(app.screen, RevisionScreen), "no old sheet fits"
        await pilot.press("W")
        await until(pilot, lambda: "The pack is written" in screen_text(app))

    travel(app, journey)
    labels = PdfReader(tmp_path / "sleeve2_pack.pdf").page_labels
    assert {"A1", "A2", "A3", "B1", "B2", "B3"} <= set(labels)


def test_art_that_has_moved_offers_both(app: TilerApp, tmp_path: Path) -> None:
    new = draw(altered(everything_by=(1.0, 0.0)), tmp_path / "sleeve2.pdf")

    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        await compared(app, pilot, new)
        text = verdict(app)
        assert "The whole art has moved by 1 mm to the right" in text
        await pilot.press("w")
        await until(pilot, lambda: "The changed sheets are written" in screen_text(app))
        await pilot.press("enter", "W")
        await until(pilot, lambda: "The pack is written" in screen_text(app))

    travel(app, journey)


def test_the_job_goes_on_with_the_later_flat_on_the_same_seams_and_can_be_taken_back(
    app: TilerApp, tmp_path: Path
) -> None:
    new = draw(altered(word="hood"), tmp_path / "sleeve2.pdf")

    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        screen = await planned(app, pilot)
        await pilot.press("e", "left")
        screen = await planned(app, pilot)
        assert screen.prepared is not None
        plan = screen.prepared.plan
        screen.begin_revision(new)
        await shown(app, pilot)
        await pilot.press("g")
        screen = await planned(app, pilot)
        assert screen.prepared is not None
        assert screen.work.job.flat == new
        assert has_same_faces(screen.prepared.plan, plan)
        await pilot.press("u")
        screen = await planned(app, pilot)
        assert screen.work.job.flat == tmp_path / "sleeve.pdf"

    travel(app, journey)


def test_comparing_can_be_stopped(app: TilerApp, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    new = draw(altered(word="hood"), tmp_path / "sleeve2.pdf")
    has_begun, may_go_on, ends = threading.Event(), threading.Event(), []
    real = comparing._compared

    def slowly(*words: object) -> object:
        has_begun.set()
        may_go_on.wait(10)
        try:
            return real(*words)  # type: ignore[arg-type]
        except BaseException as end:
            ends.append(type(end).__name__)
            raise

    monkeypatch.setattr(comparing, "_compared", slowly)

    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        screen = await planned(app, pilot)
        screen.begin_revision(new)
        await until(pilot, has_begun.is_set)
        await pilot.press("escape")
        plan_screen(app)
        may_go_on.set()
        await until(pilot, lambda: ends == ["Stopped"])

    travel(app, journey)


@pytest.mark.parametrize(
    ("name", "content", "sentence"),
    [("sleeve2.pdf", b"no print file", "✕"), ("job.toml", b"version = 1", "is a job ticket")],
)
def test_a_file_that_is_no_revision_is_one_sentence(
    app: TilerApp, tmp_path: Path, name: str, content: bytes, sentence: str
) -> None:
    (tmp_path / name).write_bytes(content)

    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        screen = await planned(app, pilot)
        screen.begin_revision(tmp_path / name)
        await until(pilot, lambda: sentence in screen_text(app) or sentence in told(app))
        assert "Traceback" not in screen_text(app)

    travel(app, journey)


def test_a_locked_revision_is_asked_for_its_password(app: TilerApp, tmp_path: Path) -> None:
    import pikepdf

    new = tmp_path / "sleeve2.pdf"
    with pikepdf.open(draw(altered(word="hood"), tmp_path / "open.pdf")) as pdf:
        pdf.save(new, encryption=pikepdf.Encryption(owner="owner", user="heron", R=6))

    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        screen = await planned(app, pilot)
        screen.begin_revision(new)
        await until(pilot, lambda: isinstance(app.screen, AskScreen))
        assert app.screen.query_one("#line", Input).password
        await pilot.press(*"heron", "enter")
        found = await shown(app, pilot)
        assert found.chosen == {"A1"}

    travel(app, journey)


def test_the_flat_itself_is_no_revision_of_itself(app: TilerApp, tmp_path: Path) -> None:
    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        screen = await planned(app, pilot)
        screen.begin_revision(tmp_path / "sleeve.pdf")
        await until(pilot, lambda: "is the flat of this job itself" in told(app))

    travel(app, journey)


def test_help_tells_every_key_of_the_screen(app: TilerApp, tmp_path: Path) -> None:
    new = draw(altered(word="hood"), tmp_path / "sleeve2.pdf")

    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        screen = await compared(app, pilot, new)
        await pilot.press("question_mark")
        await until(pilot, lambda: "Help: a new revision" in screen_text(app))
        text = screen_text(app)
        assert all(
            words in text for words in ("Print or not", "Before", "Go on", "Whole pack", "a changed place")
        )
        await pilot.press("escape")
        assert app.screen is screen

    travel(app, journey)


def test_a_number_stands_where_no_label_stands() -> None:
    view = Viewport.whole(60, 30, Size(100, 100))
    spot = Spot(1, Rect(40, 40, 20, 20))
    free = spot_marks((spot,), 0, view, 1.0, set())
    (at,) = [cell for cell, glyph in free.items() if glyph.text == "1"]
    moved = spot_marks((spot,), 0, view, 1.0, {at})
    (other,) = [cell for cell, glyph in moved.items() if glyph.text == "1"]
    assert other != at
    assert at not in moved
    assert other in free, "at another corner of the same box"


def test_marks_of_changes_are_plain_where_colours_are_not_wanted() -> None:
    view = Viewport.whole(60, 30, Size(100, 100))
    marks = spot_marks((Spot(1, Rect(20, 20, 60, 60)),), 1, view, 1.0, set(), plain=True)
    assert all(glyph.text.isascii() for glyph in marks.values())
    assert "[" in {glyph.text for glyph in marks.values()}
