"""True pixels: when the terminal is asked, what it may answer, and what is shown."""

from __future__ import annotations

import asyncio
import os
import re
import select
import sys
import termios
import threading
import tomllib
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType, SimpleNamespace
from typing import Any

import numpy as np
import pytest
from PIL import Image, ImageChops
from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.pilot import Pilot

from tests.tui.piloting import around, planned, screen_text, small_job, travel, until
from tiler.geometry import Point, Size
from tiler.job import Job
from tiler.load import load
from tiler.run import plan_sheets
from tiler.tui import true_pixels
from tiler.tui.app import TilerApp
from tiler.tui.asking import DEVICE_ATTRIBUTES, INSTALL, Asking, Protocol, ask, understood, why_not
from tiler.tui.screens.sheet import SheetScreen
from tiler.tui.true_part import Part, drawn_part, part_of
from tiler.tui.true_pixels import ABILITY, LARGEST, Pixels, colours_first, hand_on, use
from tiler.tui.viewport import Viewport
from tiler.tui.widgets.true_picture import TruePicture
from tiler.tui.work import Printed, page_picture, print_to_memory

A4 = Size(210, 297)
"""ISO 216."""

PLAIN_TERMINAL = {"TERM": "xterm-256color"}

VT340 = b"\x1b[?63;1;2;3;4;6;7;8;9c"
"""A terminal with sixel graphics: 4 among the extensions (DEC VT340 manual, primary DA; from memory)."""

VT220 = b"\x1b[?62;1;2;6;7;8;9c"
"""One without (DEC VT220, primary DA; from memory)."""


# -- whether to ask


@pytest.mark.parametrize(
    ("environ", "is_terminal", "is_installed", "word"),
    [
        (PLAIN_TERMINAL, True, True, None),
        (PLAIN_TERMINAL, True, False, "pip install"),
        (PLAIN_TERMINAL, False, True, "no terminal"),
        ({}, True, True, "no terminal"),
        ({"TERM": "dumb"}, True, True, "no terminal"),
        ({**PLAIN_TERMINAL, "NO_COLOR": "1"}, True, True, "NO_COLOR"),
        ({**PLAIN_TERMINAL, "NO_COLOR": ""}, True, True, None),  # no-color.org: set and not empty
        ({**PLAIN_TERMINAL, "TMUX": "/tmp/tmux-1000/default,1,0"}, True, True, "multiplexer"),
        ({**PLAIN_TERMINAL, "STY": "1.pts-0"}, True, True, "multiplexer"),
        ({"TERM": "screen-256color"}, True, True, "multiplexer"),
        ({"TERM": "tmux-256color"}, True, True, "multiplexer"),
        ({**PLAIN_TERMINAL, "SSH_CONNECTION": "192.0.2.1 1 192.0.2.2 22"}, True, True, "remote"),
    ],
)
def test_the_terminal_is_asked_only_where_an_answer_can_be_trusted(
    environ: dict[str, str], is_terminal: bool, is_installed: bool, word: str | None
) -> None:
    why = why_not(environ, is_terminal, is_installed)
    assert word in why if word else why == ""


def test_without_the_package_nothing_is_asked(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "textual_image", None)  # as if it were not installed
    monkeypatch.setattr("tiler.tui.asking.find_spec", lambda name: object() if name == "termios" else None)
    monkeypatch.setattr("os.write", lambda *_: pytest.fail("something was written to the terminal"))
    assert "pip install" in ask(PLAIN_TERMINAL).hear().why_not


def test_where_nothing_is_asked_the_package_is_not_loaded(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(true_pixels, "import_module", lambda name: pytest.fail(f"{name} was loaded"))
    ability = true_pixels.Ability()
    use(ask({**PLAIN_TERMINAL, "TMUX": "/tmp/tmux-1000/default,1,0"}).hear(), ability)
    assert ability.pixels is None
    assert ability.why_not


def test_the_release_named_is_the_one_of_the_optional_extra() -> None:
    project = tomllib.loads((Path(__file__).parents[2] / "pyproject.toml").read_text(encoding="utf-8"))[
        "project"
    ]
    assert project["optional-dependencies"]["pixels"] == [INSTALL.removeprefix("pip install ")]


# -- what it answers


@pytest.mark.parametrize(
    ("heard", "protocol", "cell", "typed"),
    [
        (VT340, Protocol.SIXEL, None, ""),
        (b"\x1b[6;20;10t" + VT340, Protocol.SIXEL, (10, 20), ""),
        (b"w\x1b[6;20;10t\x1b[A" + VT340 + b"", Protocol.SIXEL, (10, 20), "w\x1b[A"),
        (b"\x1b_Gi=31;OK\x1b\\" + VT220, Protocol.PLACED, None, ""),
        (b"\x1b_Gi=31;ENOTSUPPORTED:no\x1b\\" + VT220, None, None, ""),
        (VT220, None, None, ""),
        (b"\x1b[?4c", None, None, ""),  # the first number is the kind of terminal, no extension
        (b"", None, None, ""),
        (b"q\x1b[?62;4", None, None, "q"),  # broken off
    ],
)
def test_answers_are_told_from_keys(
    heard: bytes, protocol: Protocol | None, cell: tuple[int, int] | None, typed: str
) -> None:
    answer = understood(heard)
    assert (answer.protocol, answer.cell, answer.typed) == (protocol, cell, typed)
    assert bool(answer.why_not) == (protocol is None)


@pytest.fixture
def line() -> Iterator[tuple[int, int]]:
    """Both ends of a terminal line: ours and the terminal's."""
    far, near = os.openpty()
    yield near, far
    os.close(near)
    os.close(far)


def test_the_line_is_quiet_while_asking_and_as_before_after_it(line: tuple[int, int]) -> None:
    near, far = line
    before = termios.tcgetattr(near)
    asking = Asking("", DEVICE_ATTRIBUTES, near, near)
    assert os.read(far, 100) == DEVICE_ATTRIBUTES.encode()
    os.write(far, b"k" + VT340 + b"later")
    answer = asking.hear()
    assert (answer.protocol, answer.typed) == (Protocol.SIXEL, "k")
    assert termios.tcgetattr(near) == before
    assert not select.select([far], [], [], 0)[0]  # nothing was echoed
    os.write(far, b"\n")
    assert os.read(near, 100).rstrip() == b"later"  # what was typed after the answer is still there


def test_a_terminal_that_says_nothing_shows_no_pictures(line: tuple[int, int]) -> None:
    near, _ = line
    before = termios.tcgetattr(near)
    answer = Asking("", DEVICE_ATTRIBUTES, near, near).hear(0.02)
    assert answer.protocol is None
    assert answer.why_not
    assert termios.tcgetattr(near) == before


def test_an_answer_that_comes_while_the_screen_is_loaded_is_heard(line: tuple[int, int]) -> None:
    near, far = line
    asking = Asking("", DEVICE_ATTRIBUTES, near, near)
    late = threading.Timer(0.05, os.write, (far, VT340))
    late.start()
    late.join()
    assert asking.hear(0.0).protocol is Protocol.SIXEL


def test_keys_typed_while_asking_reach_the_application() -> None:
    posted: list[Any] = []
    hand_on("v?\x1b[A", SimpleNamespace(post_message=posted.append))  # type: ignore[arg-type]
    keys = [(event.key, event.character) for event in posted if isinstance(event, events.Key)]
    assert keys == [("v", "v"), ("question_mark", "?"), ("up", None)]


# -- which part of a page


def test_a_page_shown_whole_fills_whole_cells_round_it() -> None:
    part = part_of(Viewport.whole(104, 50, A4, bare=True), (10, 20))
    assert part is not None
    assert part.density == pytest.approx(1000 / 297)
    assert (part.width % 10, part.height) == (0, 1000)
    assert 0 <= part.left < 10
    assert part.left + 707 <= part.width < part.left + 707 + 10 + 1  # 210 mm at that density: 707.07 px
    assert abs(part.column * 10 + part.width / 2 - 520) <= 10, "in the middle"


def test_cells_that_are_not_twice_as_high_as_wide_do_not_stretch_the_page() -> None:
    part = part_of(Viewport.whole(104, 50, A4, bare=True), (9, 19))
    assert part is not None
    assert part.density == pytest.approx(50 * 2 / 297 * 9)  # the narrower side of half a cell counts


def test_the_pixels_cover_the_page_in_half_cells() -> None:
    part = part_of(
        Viewport.whole(104, 50, A4, bare=True), (8, 17)
    )  # 210 × 297 mm are 70.7 × 100 points there
    assert part is not None
    assert (part.row, part.height) == (0, 50 * 17)
    assert part.top > 17, "the page itself is lower than its half cells"


def test_nothing_is_wanted_where_the_page_is_not() -> None:
    view = Viewport(20, 10, A4, 24.0, Point(-500, 150), bare=True)
    assert part_of(view, (10, 20)) is None


@pytest.fixture(scope="module")
def printed(tmp_path_factory: pytest.TempPathFactory) -> Printed:
    job: Job = small_job(tmp_path_factory.mktemp("pixels"))
    return print_to_memory(plan_sheets(job, load(job)), lambda stage, share: None)


def test_a_part_is_drawn_as_the_whole_page_has_it(printed: Printed) -> None:
    density = 4.0
    whole = page_picture(printed, 0, density)
    inside = drawn_part(printed, 0, Part(0, 0, 300, 200, -250, -330, density), (9, 9, 9))
    box = (250, 330, 550, 530)
    difference = np.asarray(ImageChops.difference(inside, whole.crop(box)))
    assert difference.max() <= 2, "not the same place, to a pixel"
    assert np.asarray(inside).min() < 128, "there is nothing to compare"


def test_beside_the_page_lies_ground(printed: Printed) -> None:
    picture = drawn_part(printed, 0, Part(0, 0, 100, 80, 40, 30, 2.0), (1, 2, 3))
    assert picture.getpixel((39, 40)) == (1, 2, 3)
    assert picture.getpixel((50, 29)) == (1, 2, 3)
    assert picture.getpixel((41, 31)) == (255, 255, 255)


# -- a stand-in for the package


class FakeSixel:
    """Draws what the package would: room, the picture, other controls."""

    def __init__(self, image: Image.Image, width: int, height: int) -> None:
        self.image, self.cells = image, (width, height)

    def __rich_console__(self, console: object, options: object) -> Iterator[Segment]:
        yield Segment(" " * self.cells[0] + "\n")
        yield Segment(f"\x1bP0;0;0q{self.image.width}x{self.image.height}\x1b\\", control=[])


class FakePlaced:
    """Writes the picture by itself, then draws one line for each row of cells."""

    numbers = iter(range(7, 1000))

    def __init__(self, image: Image.Image, width: int, height: int) -> None:
        self.cells = (width, height)
        self.terminal_image_id = 0

    def __rich_console__(self, console: object, options: object) -> Iterator[Segment]:
        self.terminal_image_id = next(self.numbers)
        out = sys.modules["textual_image.renderable.tgp"].sys.__stdout__
        out.write(f"\x1b_Gi={self.terminal_image_id};AAAA\x1b\\")
        for _ in range(self.cells[1]):
            yield Segment("\U0010eeee" * self.cells[0] + "\n", Style(color="rgb(0,0,7)"))


@pytest.fixture
def package(monkeypatch: pytest.MonkeyPatch) -> dict[str, ModuleType]:
    """The package, as far as it is used; its loading must not see a terminal."""
    modules = {
        name: ModuleType(name)
        for name in (
            "textual_image",
            "textual_image.renderable",
            "textual_image._terminal",
            "textual_image.renderable.tgp",
        )
    }
    modules["textual_image.renderable"].SixelImage = FakeSixel  # type: ignore[attr-defined]
    modules["textual_image.renderable"].TGPImage = FakePlaced  # type: ignore[attr-defined]
    modules["textual_image._terminal"].CellSize = lambda *size: size  # type: ignore[attr-defined]
    modules["textual_image._terminal"].get_cell_size = SimpleNamespace()  # type: ignore[attr-defined]
    for name, module in modules.items():
        monkeypatch.setitem(sys.modules, name, module)
    monkeypatch.setattr(true_pixels, "cell_now", lambda _: None)
    return modules


def test_a_picture_stands_at_its_cell(package: dict[str, ModuleType]) -> None:
    text = Pixels(Protocol.SIXEL, (10, 20)).text(Image.new("RGB", (100, 60)), (10, 20), 4, 2)
    assert text == "\x1b7\x1b[3;5H\x1bP0;0;0q100x60\x1b\\\x1b8"  # ECMA-48 CUP counts from 1, row first
    assert package["textual_image._terminal"].get_cell_size._result == (10, 20)


def test_a_large_sixel_picture_is_sent_in_pieces_that_cover_it(package: dict[str, ModuleType]) -> None:
    text = Pixels(Protocol.SIXEL, (9, 19)).text(Image.new("RGB", (1800, 1140)), (9, 19), 0, 0)
    pieces = re.findall(r"\x1b\[(\d+);(\d+)H\x1bP0;0;0q(\d+)x(\d+)", text)
    sizes = [tuple(map(int, piece)) for piece in pieces]
    assert all(width <= LARGEST and height <= LARGEST for _, _, width, height in sizes)
    assert sum(width * height for _, _, width, height in sizes) == 1800 * 1140
    assert [(row, column) for row, column, _, _ in sizes] == [(1, 1), (1, 112), (53, 1), (53, 112)]


def test_all_colours_are_told_before_the_first_is_used() -> None:
    # DEC VT340: "#n;2;r;g;b" tells a colour in per cent, "#n" uses it, "!n~" repeats, "$" and "-" end a line
    given = '\x1bP0;0;0q"1;1;4;12#0;2;100;100;100!4~-#0!4~$#7;2;9;8;7!2?~\x1b\\'
    wanted = '\x1bP0;0;0q"1;1;4;12#0;2;100;100;100#7;2;9;8;7#0!4~-#0!4~$#7!2?~\x1b\\'
    assert colours_first(given) == wanted


def test_what_the_package_would_write_by_itself_goes_through_the_screen(
    package: dict[str, ModuleType], capfd: pytest.CaptureFixture[str]
) -> None:
    pixels = Pixels(Protocol.PLACED, (10, 20))
    text = pixels.text(Image.new("RGB", (30, 40)), (10, 20), 4, 2)
    assert capfd.readouterr().out == ""
    assert "\x1b_Gi=7;AAAA" in text
    assert text.index("\x1b_G") < text.index("\x1b[3;5H") < text.index("\x1b[4;5H")
    assert text.count("\U0010eeee") == 6
    assert pixels.farewell() == "\x1b_Ga=d,d=I,i=7,q=2\x1b\\"
    assert pixels.farewell() == ""


def test_another_release_of_the_package_means_cells(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("textual_image", "textual_image.renderable"):
        monkeypatch.setitem(sys.modules, name, None)
    ability = true_pixels.Ability()
    output = sys.__stdout__
    use(understood(VT340), ability)
    assert ability.pixels is None
    assert "pip install" in ability.why_not
    assert sys.__stdout__ is output


# -- on the screen


def ready(monkeypatch: pytest.MonkeyPatch, pixels: Pixels | None) -> None:
    monkeypatch.setattr(ABILITY, "pixels", pixels)
    monkeypatch.setattr(ABILITY, "why_not", "" if pixels else "Pixels rest today.")


async def sheet_opened(app: TilerApp, pilot: Pilot[None], monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The map on the sheet screen; what is written past the cells is returned as it comes."""
    await planned(app, pilot)
    sent: list[str] = []
    monkeypatch.setattr(app._driver, "write", lambda text: sent.append(text) if "\x1bP" in text else None)
    await pilot.press("v")
    await until(pilot, lambda: isinstance(app.screen, SheetScreen) and "Page 1 of 4" in screen_text(app))
    await until(pilot, lambda: "▀" in screen_text(app))
    return sent


def size_of(text: str) -> tuple[int, int]:
    found = re.search(r"q(\d+)x(\d+)", text)
    assert found is not None
    return int(found[1]), int(found[2])


def test_the_page_is_shown_in_true_pixels_and_a_key_goes_back_to_cells(
    tmp_path: Path, package: dict[str, ModuleType], monkeypatch: pytest.MonkeyPatch
) -> None:
    ready(monkeypatch, Pixels(Protocol.SIXEL, (8, 16)))

    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        sent = await sheet_opened(app, pilot, monkeypatch)
        await until(pilot, lambda: sent)
        # 38 rows of 16 px lie between title and keys; A4 lying in them is 860 × 608 px (ISO 216)
        assert size_of(sent[-1]) == (864, 608)
        assert "p Cells" in screen_text(app)
        assert "▀" in screen_text(app), "the cells lie below"
        await pilot.press("p")
        assert "p Pixels" in screen_text(app)
        sent.clear()
        await pilot.press("right", "plus")
        await pilot.pause(0.3)
        assert sent == []
        await pilot.press("p")
        await until(pilot, lambda: sent)
        # the next page stands: 430 × 608 px, and one step nearer is half as wide again
        assert size_of(sent[-1]) in ((648, 608), (656, 608))

    travel(TilerApp(around(tmp_path), job=small_job(tmp_path)), journey)


def test_all_keys_stand_in_the_footer_of_a_small_terminal(
    tmp_path: Path, package: dict[str, ModuleType], monkeypatch: pytest.MonkeyPatch
) -> None:
    ready(monkeypatch, Pixels(Protocol.SIXEL, (8, 16)))

    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        await sheet_opened(app, pilot, monkeypatch)
        assert "p Cells" in screen_text(app)
        await pilot.press("p")
        assert "p Pixels" in screen_text(app)

    travel(TilerApp(around(tmp_path), job=small_job(tmp_path)), journey, (80, 24))


def test_enlarging_and_moving_make_new_pixels(
    tmp_path: Path, package: dict[str, ModuleType], monkeypatch: pytest.MonkeyPatch
) -> None:
    ready(monkeypatch, Pixels(Protocol.SIXEL, (8, 16)))

    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        sent = await sheet_opened(app, pilot, monkeypatch)
        picture = app.screen.query_one(TruePicture)
        await until(pilot, lambda: sent)
        seen = set()
        for key in ("plus", "plus", "plus", "down", "l"):
            sent.clear()
            await pilot.press(key)
            await until(pilot, lambda: sent)
            wanted = picture.wanted()
            assert wanted is not None
            seen.add(wanted)
        assert len(seen) == 5
        assert size_of(sent[-1])[0] <= picture.size.width * 8

    travel(TilerApp(around(tmp_path), job=small_job(tmp_path)), journey)


def test_pixels_keep_off_while_something_lies_over_the_page(
    tmp_path: Path, package: dict[str, ModuleType], monkeypatch: pytest.MonkeyPatch
) -> None:
    ready(monkeypatch, Pixels(Protocol.SIXEL, (8, 16)))

    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        sent = await sheet_opened(app, pilot, monkeypatch)
        await until(pilot, lambda: sent)
        app.notify("something else", timeout=0.6)
        await until(pilot, lambda: "something else" in screen_text(app))
        sent.clear()
        app.screen.query_one(TruePicture).refresh()
        await pilot.pause(0.2)
        assert sent == []
        await until(pilot, lambda: sent)  # the notice has gone
        assert "something else" not in screen_text(app)
        await pilot.press("ctrl+p")
        sent.clear()
        await pilot.pause(0.3)
        assert sent == []
        await pilot.press("escape")
        await until(pilot, lambda: sent)

    async def with_notices() -> None:
        app = TilerApp(around(tmp_path), job=small_job(tmp_path))
        async with app.run_test(size=(120, 40), notifications=True) as pilot:
            await journey(app, pilot)

    asyncio.run(with_notices())


def test_when_pixels_fail_the_cells_stay(
    tmp_path: Path, package: dict[str, ModuleType], monkeypatch: pytest.MonkeyPatch
) -> None:
    pixels = Pixels(Protocol.SIXEL, (8, 16))

    def broken(*_: object) -> str:
        raise ValueError("no room")

    monkeypatch.setattr(pixels, "text", broken)
    ready(monkeypatch, pixels)

    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        sent = await sheet_opened(app, pilot, monkeypatch)
        await until(pilot, lambda: any("no room" in told.message for told in app._notifications))
        await pilot.pause(0.3)
        assert "p Pixels" in screen_text(app)
        assert "▀" in screen_text(app)
        assert sent == []

    travel(TilerApp(around(tmp_path), job=small_job(tmp_path)), journey)


def test_where_there_are_no_pixels_the_key_says_why(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    ready(monkeypatch, None)

    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        await sheet_opened(app, pilot, monkeypatch)
        assert "p Pixels" not in screen_text(app)
        await pilot.press("p")
        assert [told.message for told in app._notifications] == ["Pixels rest today."]

    travel(TilerApp(around(tmp_path), job=small_job(tmp_path)), journey)


def test_the_package_itself_makes_the_picture_when_it_is_installed(monkeypatch: pytest.MonkeyPatch) -> None:
    pytest.importorskip("textual_image", reason="the optional extra is not installed")
    monkeypatch.setattr(true_pixels, "cell_now", lambda _: None)
    picture = Image.new("RGB", (200, 120), (0, 102, 204))
    text = Pixels(Protocol.SIXEL, (10, 20)).text(picture, (10, 20), 0, 0)
    # DEC VT340: raster attributes 1:1 and the size; colour in per cent of each primary
    assert '\x1bP0;0;0q"1;1;200;120' in text
    assert "#0;2;0;40;80" in text
