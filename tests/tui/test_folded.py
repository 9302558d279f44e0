"""The folded box on the screen, driven by keys and mouse."""

from __future__ import annotations

import asyncio
from itertools import pairwise
from pathlib import Path

import pytest
from PIL import Image
from pypdf import PdfReader, PdfWriter
from textual.pilot import Pilot

from tests.flats import add_layer
from tests.fold.flats import BY_NAME
from tests.fold.test_verdict import banded
from tests.structure.cartons import Chain
from tests.tui.piloting import around, plan_screen, planned, screen_text, travel, until
from tiler.flat.read import Wanted
from tiler.fold.camera import CORNERS
from tiler.fold.choices import FoldChoices
from tiler.geometry import Point
from tiler.job import Job
from tiler.printers.sheets import find_sheet
from tiler.ticket import load_ticket
from tiler.tui.app import TilerApp
from tiler.tui.fold_commands import FOLD_COMMANDS
from tiler.tui.screens.dialogs import ChooseScreen
from tiler.tui.screens.folded import FoldedScreen
from tiler.tui.screens.plan import PlanScreen
from tiler.tui.screens.reading import ReadingScreen
from tiler.tui.themes import LIGHT
from tiler.tui.widgets.fold_view import FoldView


def tray_app(folder: Path, shift: float = 0.0, plain: bool = False, **fold: object) -> TilerApp:
    """A tray with a band round its walls: base P3 of 120 × 80, walls P1, P2, P4 and P5 of 30.

    The band may be shifted by some mm towards the rim on P4, the right wall.
    """
    carton = BY_NAME["telescoping tray"]
    writer = PdfWriter(clone_from=PdfReader(banded(folder / "band.pdf", shift)))
    cuts = " ".join(_path(chain) for chain in carton.cuts)  # the band's page is drawn in mm, y down
    add_layer(writer, "Cut", f"0 G 0.2 w {cuts}".encode(), "on")
    writer.write(folder / "tray.pdf")
    creases = tuple((a, b) for chain in carton.creases for a, b in pairwise(Point(*p) for p in chain))
    environ = {"LANG": "de_DE", **({"NO_COLOR": "1"} if plain else {})}
    choices = FoldChoices(**fold)  # type: ignore[arg-type]
    job = Job(folder / "tray.pdf", find_sheet("A4"), creases=creases, fold=choices)
    return TilerApp(around(folder, environ=environ), job=job)


def _path(chain: Chain) -> str:
    """Points as PDF operators."""
    return " ".join(f"{x:.3f} {y:.3f} {'l' if n else 'm'}" for n, (x, y) in enumerate(chain)) + " S"


async def folded(app: TilerApp, pilot: Pilot[None]) -> FoldedScreen:
    """Open the folded box and wait until it is drawn with its art and its verdicts."""
    await planned(app, pilot)
    await pilot.press("f")
    await until(pilot, lambda: isinstance(app.screen, FoldedScreen) and app.screen.is_mounted)
    screen = app.screen
    assert isinstance(screen, FoldedScreen)
    await until(pilot, lambda: screen.problem is not None or screen.drawn is not None)
    if screen.problem is None:
        await until(
            pilot, lambda: screen.box is not None and len(screen.verdicts) == len(screen.box.meetings)
        )
        await settled(screen, pilot)
    return screen


async def settled(screen: FoldedScreen, pilot: Pilot[None]) -> None:
    """Wait until the box has come to rest and is drawn."""
    await until(pilot, lambda: screen.goal == screen.look and not screen._pictures.is_busy)


@pytest.mark.parametrize(
    ("size", "theme"), [((80, 24), ""), ((80, 24), LIGHT), ((120, 40), ""), ((200, 60), LIGHT)]
)
def test_the_folded_box_says_all_that_matters(tmp_path: Path, size: tuple[int, int], theme: str) -> None:
    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        app.theme = theme or app.theme
        await folded(app, pilot)
        text = screen_text(app)
        for words in (
            "tray.pdf", "closed, seen from front right, 24° above", "120 × 80 × 30 mm",
            "stands on P3", "Root panel", "Board", "m1 P1–P2", "meets", "P1/P3", "90°",
            "esc Back", "? Help", "P5", "▀",
        ):  # fmt: skip
            assert words in text, (words, text)
        assert max(len(line) for line in text.splitlines()) <= size[0]

    travel(tray_app(tmp_path), journey, size)


def test_arrows_turn_and_tilt_the_box(tmp_path: Path) -> None:
    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        screen = await folded(app, pilot)
        before = screen.query_one("#folded").render_line(10).text
        await pilot.press("left", "left", "down", "shift+right")
        await settled(screen, pilot)
        assert (screen.look.corner.azimuth, screen.look.corner.elevation) == (50, 34)
        assert "34° above" in screen_text(app)
        assert screen.query_one("#folded").render_line(10).text != before
        await pilot.press(*["up"] * 14)
        assert "straight from below" in screen_text(app)
        await pilot.press("v", "v")
        await settled(screen, pilot)
        assert screen.look.corner in CORNERS.values()

    travel(tray_app(tmp_path), journey)


def test_the_box_is_opened_by_keys_by_the_line_and_by_the_mouse(tmp_path: Path) -> None:
    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        screen = await folded(app, pilot)
        await pilot.press("comma", "comma", "full_stop", "comma")
        assert screen.look.shut == 90
        assert "90 % closed" in screen_text(app)
        await pilot.press("tab", "left", "shift+right")
        assert "home flat · end closed" in screen_text(app)
        assert screen.look.shut == 86
        await pilot.press("home")
        assert screen.look.shut == 0
        bar = screen.query_one("#opening")
        await pilot.click("#opening", offset=(bar.size.width // 2, 0))
        assert 35 <= screen.look.shut <= 60
        await pilot.click("#opening", offset=(bar.size.width - 1, 0))
        assert screen.look.shut == 100
        await pilot.press("space")
        await settled(screen, pilot)
        assert screen.look.shut == 0
        assert "flat, seen" in screen_text(app)

    travel(tray_app(tmp_path), journey)


def test_the_mouse_turns_the_box_by_its_near_side(tmp_path: Path) -> None:
    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        screen = await folded(app, pilot)
        await pilot.mouse_down("#folded", offset=(40, 10))
        await pilot.hover("#folded", offset=(30, 12))
        await pilot.mouse_up("#folded", offset=(30, 12))
        assert screen.look.corner.azimuth == 32 + 30
        assert screen.look.corner.elevation == 24 + 12
        await pilot.hover("#folded", offset=(5, 5))
        assert screen.look.corner.azimuth == 62

    travel(tray_app(tmp_path), journey)


def test_an_angle_is_changed_undone_and_made_again(tmp_path: Path) -> None:
    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        screen = await folded(app, pilot)
        rows = screen.query_one("#choices")
        rows.focus()
        rows.pick("crease P1/P3")  # type: ignore[attr-defined]
        await pilot.pause()
        assert screen.look.picked == "P1/P3"
        await pilot.press("right", "shift+right")
        fold = plan_of(app).work.job.fold
        assert fold.angles == (("P1", "P3", 105.0),)
        await until(pilot, lambda: screen.box is not None and len(screen.box.meetings) == 2)
        assert "105° told" in screen_text(app)
        assert "* tray.pdf" in screen_text(app)
        await pilot.press("u")
        assert plan_of(app).work.job.fold.angles == (("P1", "P3", 95.0),)
        await pilot.press("u", "U", "u")
        await until(pilot, lambda: screen.box is not None and len(screen.box.meetings) == 4)
        assert plan_of(app).work.job.fold == FoldChoices()
        await pilot.press("u")
        assert plan_of(app).work.job.fold == FoldChoices()

    travel(tray_app(tmp_path), journey)


def test_an_angle_is_typed_and_what_is_none_is_refused(tmp_path: Path) -> None:
    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        screen = await folded(app, pilot)
        rows = screen.query_one("#choices")
        rows.focus()
        rows.pick("crease P3/P5")  # type: ignore[attr-defined]
        await pilot.press("enter")
        assert isinstance(app.screen, ChooseScreen)
        await pilot.press("tab", *"200", "enter")
        assert "is no angle of a crease" in screen_text(app)
        await pilot.press("backspace", "backspace", "backspace", *"72.5", "enter")
        await until(pilot, lambda: app.screen is screen and "72.5° told" in screen_text(app))
        assert plan_of(app).work.job.fold.told("P3", "P5") == 72.5

    travel(tray_app(tmp_path), journey)


def test_root_and_board_are_kept_in_the_ticket(tmp_path: Path) -> None:
    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        screen = await folded(app, pilot)
        await pilot.press("tab", "tab", "right", "right")
        assert plan_of(app).work.job.fold.root == "P2"
        await until(pilot, lambda: screen.box is not None and screen.box.folding.tree.root.id == "P2")
        await pilot.press("down", "down", "right", "right", "right", "right")
        await until(pilot, lambda: "outside" in screen_text(app))
        await pilot.press("s", "enter")
        await until(pilot, lambda: (tmp_path / "tray_job.toml").exists())
        assert load_ticket(tmp_path / "tray_job.toml").fold == FoldChoices(root="P2", caliper=0.8)
        await pilot.press("escape")
        plan_screen(app)

    travel(tray_app(tmp_path), journey)


def test_the_box_turns_to_each_meeting(tmp_path: Path) -> None:
    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        screen = await folded(app, pilot)
        for name in ("m1", "m2", "m3", "m4", "m1"):
            await pilot.press("m")
            await until(pilot, lambda name=name: screen.look.picked == name and not hidden(screen))  # type: ignore[misc]
            assert f"{name}: artwork meets" in screen_text(app)
        await pilot.press("plus", "plus", "plus")
        await settled(screen, pilot)
        assert screen.look.zoom == 3
        await pilot.press("M", "0")
        await until(pilot, lambda: screen.look.picked == "m4")
        assert screen.look.zoom == 1

    travel(tray_app(tmp_path), journey)


def test_a_band_that_steps_is_told_beside_the_box(tmp_path: Path) -> None:
    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        screen = await folded(app, pilot)
        text = screen_text(app)
        assert "! art does not meet at m2, m4" in text
        assert "! steps 2 mm up" in text
        assert "! steps 2 mm down" in text
        await pilot.press("m", "m")
        await until(pilot, lambda: screen.look.picked == "m2" and not hidden(screen))
        assert "m2: artwork steps 2 mm up from P1 to P4" in " ".join(screen_text(app).split())

    travel(tray_app(tmp_path, shift=2.0), journey)


def hidden(screen: FoldedScreen) -> bool:
    """True while what is picked is not in sight, or the box still turns."""
    if screen.goal != screen.look or screen._pictures.is_busy or screen.drawn is None:
        return True
    return not screen.drawn.is_picked_seen


def test_a_flat_without_panels_says_why_and_the_screen_lives_on(tmp_path: Path) -> None:
    Image.new("RGB", (600, 400), "navy").save(tmp_path / "label.png", dpi=(150, 150))
    job = Job(tmp_path / "label.png", find_sheet("A4"), Wanted(ppi=150))

    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        screen = await folded(app, pilot)
        assert "The flat has no panels to fold" in " ".join(screen_text(app).split())
        assert "This flat cannot be folded as it is." in screen_text(app)
        await pilot.press("left", "comma", "space", "v", "b", "m", "plus", "n", "l", "u", "t")
        await pilot.press("tab", "tab", "down", "down", "right")
        assert plan_of(app).work.job.fold.caliper is not None
        await pilot.press("question_mark")
        assert isinstance(app.screen, ReadingScreen)
        await pilot.press("escape", "escape")
        assert isinstance(app.screen, PlanScreen)
        assert screen.box is None

    travel(TilerApp(around(tmp_path), job=job), journey)


def test_choices_that_do_not_fit_are_told_and_can_be_let_go(tmp_path: Path) -> None:
    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        await until(pilot, lambda: isinstance(app.screen, PlanScreen) and app.screen.loaded is not None)
        await pilot.press("f")
        await until(pilot, lambda: isinstance(app.screen, FoldedScreen) and app.screen.problem is not None)
        screen = app.screen
        assert isinstance(screen, FoldedScreen)
        assert "No straight crease between P1 and P9" in " ".join(screen_text(app).split())
        rows = screen.query_one("#choices")
        rows.focus()
        rows.pick("lost P1/P9")  # type: ignore[attr-defined]
        await pilot.press("right")
        await until(pilot, lambda: screen.box is not None and screen.drawn is not None)
        assert screen.problem is None
        assert plan_of(app).work.job.fold == FoldChoices()

    travel(tray_app(tmp_path, angles=(("P1", "P9", 30.0),)), journey)


def test_the_picture_follows_the_size_of_the_terminal(tmp_path: Path) -> None:
    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        screen = await folded(app, pilot)
        for size in ((80, 24), (200, 60), (40, 12), (20, 5), (120, 40)):
            await pilot.resize_terminal(*size)
            await settled(screen, pilot)
        view = screen.query_one(FoldView)
        await until(pilot, lambda: len(view._strips) == view.size.height)
        assert "120 × 80 × 30 mm" in screen_text(app)

    travel(tray_app(tmp_path), journey)


def test_without_colours_the_box_is_lines_in_plain_characters(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("NO_COLOR", "1")

    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        screen = await folded(app, pilot)
        await pilot.press("v", "comma")
        await settled(screen, pilot)
        view = screen.query_one("#folded")
        text = "\n".join(view.render_line(y).text for y in range(view.size.height))
        assert text.isascii()
        assert {"-", "|"} <= set(text)
        assert "P3" in text

    travel(tray_app(tmp_path, plain=True), journey)


def test_help_and_notes_tell_everything(tmp_path: Path) -> None:
    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        screen = await folded(app, pilot)
        await pilot.press("question_mark")
        text = screen_text(app)
        for command in FOLD_COMMANDS:
            assert command.help in text, command.label
        await pilot.press("escape", "n")
        text = screen_text(app)
        assert "Every crease folds." in text
        assert all(f"{one.id}: artwork meets" in text for one in screen.box.meetings)  # type: ignore[union-attr]
        await pilot.press("escape", "escape")
        plan_screen(app)

    travel(tray_app(tmp_path), journey, (120, 60))


def test_every_command_of_the_folded_box_has_an_action_and_a_key_of_its_own() -> None:
    keys = [key for command in FOLD_COMMANDS for key in command.keys.split(",")]
    assert len(keys) == len(set(keys))
    for command in FOLD_COMMANDS:
        assert hasattr(FoldedScreen, f"action_{command.action.split('(')[0]}"), command.label


def test_leaving_while_the_box_is_still_drawn_does_no_harm(tmp_path: Path) -> None:
    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        await planned(app, pilot)
        for _ in range(3):
            await pilot.press("f", "space", "left", "escape")
        plan_screen(app)
        await asyncio.sleep(0.3)
        await pilot.press("f", "t", "t")
        await until(pilot, lambda: isinstance(app.screen, FoldedScreen) and app.screen.drawn is not None)

    travel(tray_app(tmp_path), journey)


def plan_of(app: TilerApp) -> PlanScreen:
    """The plan screen, wherever it lies."""
    return next(screen for screen in app.screen_stack if isinstance(screen, PlanScreen))
