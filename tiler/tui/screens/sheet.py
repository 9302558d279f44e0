"""See the pages of the pack one after another, as they will print: marks, tabs and all."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import ClassVar

from PIL import Image
from rich.text import Text
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.message import Message
from textual.widgets import Footer, Static
from textual.worker import get_current_worker

from tiler.geometry import Rect
from tiler.run import Prepared
from tiler.tui.messages import Failed, Progressed
from tiler.tui.picking import find_tile, tile_words
from tiler.tui.pixels import PixelStore
from tiler.tui.screens.key_help import key_help, told_key
from tiler.tui.screens.rendering import RenderingScreen
from tiler.tui.true_part import drawn_part
from tiler.tui.true_pixels import ABILITY, Pixels
from tiler.tui.widgets.true_picture import TruePicture, Wanted
from tiler.tui.work import Printed, Stopped, page_picture, print_to_memory, problem_of


class SheetScreen(RenderingScreen[str]):
    """Turns the pages of the pack; ends with the label of the page that was seen last."""

    BINDINGS: ClassVar[list[BindingType]] = [
        told_key("escape,v,q", "close", "Back", "Go back to the plan.", "esc"),
        replace(told_key("left,pageup", "turn(-1)", "Before", "Show the page before.", "←"), priority=True),
        replace(
            told_key("right,pagedown,space", "turn(1)", "Next", "Show the next page.", "→"), priority=True
        ),
        told_key("plus,equals_sign", "zoom(1)", "Nearer", "Enlarge the page.", "+"),
        told_key("minus", "zoom(-1)", "Farther", "See more of the page.", "-"),
        told_key("0", "zoom(0)", "Whole", "Show the whole page."),
        told_key("p", "pixels", "Pixels", "Show it in true pixels, where the terminal has them."),
        told_key("p", "cells", "Cells", "Show it in half cells, as in every terminal."),
        Binding("p", "tell_why", "Pixels", show=False),
        told_key("question_mark,f1", "help", "Help", "All keys.", "?"),
    ]

    @dataclass
    class PackPrinted(Message):
        """The pack lies in memory."""

        printed: Printed

    def __init__(self, prepared: Prepared, label: str, plain: bool) -> None:
        super().__init__()
        self._prepared, self._label, self._plain = prepared, label, plain
        self._printed: Printed | None = None
        self._at = 0
        self._stores: dict[int, PixelStore] = {}
        self._pixels: Pixels | None = ABILITY.pixels

    def compose(self) -> ComposeResult:
        """Title, page, keys."""
        yield Static("Drawing the pack …", id="sheet-title", markup=False)
        yield TruePicture("sheet", self._plain, self._pixels)
        yield Footer(show_command_palette=False)

    def on_mount(self) -> None:
        """Begin to draw."""
        self.query_one(TruePicture).focus()
        self.refresh_bindings()
        self.run_worker(self._print, thread=True, exclusive=True, group="pack", exit_on_error=False)

    def _print(self) -> None:
        """In the worker's thread; going back calls it off."""
        worker = get_current_worker()
        try:
            printed = print_to_memory(self._prepared, self._tell, lambda: worker.is_cancelled)
        except Stopped:
            return
        except Exception as error:  # whatever it is, the screen lives on
            self.post_message(Failed(None, problem_of(error, "drawing the pack"), "picture"))
            return
        self.post_message(self.PackPrinted(printed))

    def _tell(self, stage: str, share: float) -> None:
        self.post_message(Progressed(stage, share))

    def on_progressed(self, event: Progressed) -> None:
        """Tell what takes its time."""
        event.stop()
        if self._printed is None:
            self.query_one("#sheet-title", Static).update(f"Drawing the pack: {event.stage} …")

    def on_sheet_screen_pack_printed(self, event: PackPrinted) -> None:
        """Show the page that was asked for."""
        self._printed = event.printed
        labels = event.printed.labels
        self._at = labels.index(self._label) if self._label in labels else 0
        self._show()

    def _show(self) -> None:
        printed = self._printed
        if printed is None:
            return
        label = printed.labels[self._at]
        tile = find_tile(self._prepared.plan, label)
        words = tile_words(tile, is_printed=True) if tile else label
        text = Text.assemble((f"Page {self._at + 1} of {len(printed.labels)}", "bold"), f"   {words}")
        self.query_one("#sheet-title", Static).update(text)
        self.query_one(TruePicture).show_numbered(
            self._at, self._store(printed, self._at), printed.sizes[self._at]
        )

    def _store(self, printed: Printed, at: int) -> PixelStore:
        if at not in self._stores:

            def render(window: Rect, density: float) -> Image.Image:
                whole = page_picture(printed, at, density)
                box = (
                    window.x * density,
                    window.y * density,
                    window.right * density,
                    window.bottom * density,
                )
                return whole.crop((round(box[0]), round(box[1]), round(box[2]), round(box[3])))

            self._stores[at] = PixelStore(render, Rect(0, 0, *printed.sizes[at]))
        return self._stores[at]

    def action_turn(self, steps: int) -> None:
        """Go to another page."""
        if self._printed is not None:
            self._at = (self._at + steps) % len(self._printed.labels)
            self._show()

    def action_zoom(self, steps: int) -> None:
        """Nearer or farther."""
        self.query_one(TruePicture).zoom(steps)

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """One key for three things: only the one that can be done now."""
        if action in ("pixels", "cells", "tell_why"):
            found = self.query(TruePicture)
            has = bool(found) and found.first().has_pixels
            is_true = has and found.first().is_true
            return {"pixels": has and not is_true, "cells": is_true, "tell_why": not has}[action]
        return True

    def action_pixels(self) -> None:
        """Show the page in true pixels."""
        self._switch(True)

    def action_cells(self) -> None:
        """Show it in half cells."""
        self._switch(False)

    def action_tell_why(self) -> None:
        """Say why there are cells alone."""
        self.notify(ABILITY.why_not, title="The page is shown in cells", timeout=6, markup=False)

    def _switch(self, is_true: bool) -> None:
        self.query_one(TruePicture).switch(is_true)
        self.refresh_bindings()

    def on_true_picture_pixels_wanted(self, event: TruePicture.PixelsWanted) -> None:
        """Make them; only the latest are wanted."""
        event.stop()
        self.run_worker(
            lambda: self._make_pixels(event.wanted),
            thread=True,
            exclusive=True,
            group="true pixels",
            exit_on_error=False,
        )

    def _make_pixels(self, wanted: Wanted) -> None:
        """In the worker's thread."""
        worker, printed, pixels = get_current_worker(), self._printed, self._pixels
        if printed is None or pixels is None:
            return
        try:
            picture = drawn_part(printed, wanted.page, wanted.part, wanted.ground)
            if worker.is_cancelled:
                return
            text = pixels.text(picture, wanted.cell, wanted.column, wanted.row)
        except Exception as error:  # cells are there all the same
            self.post_message(Failed(None, problem_of(error, "drawing in true pixels"), "pixels"))
            return
        if not worker.is_cancelled:
            self.app.call_from_thread(self._lay, wanted, text)

    def _lay(self, wanted: Wanted, text: str) -> None:
        for picture in self.query(TruePicture):
            picture.lay(wanted, text)

    def action_help(self) -> None:
        """All keys."""
        keys = [key for key in SheetScreen.BINDINGS if isinstance(key, Binding) and key.tooltip]
        moves = (("↑ ↓ h l", "Move an enlarged page; or drag it"),)
        self.app.push_screen(key_help("Help: pages of the pack", keys, moves, "On the page"))

    def action_close(self) -> None:
        """Go back to the plan."""
        self.dismiss(self._printed.labels[self._at] if self._printed else self._label)

    def on_failed(self, event: Failed) -> None:
        """Tell what went wrong."""
        event.stop()
        if event.stage == "pixels":
            self._switch(False)
        self.notify(event.problem.sentence, title="The page cannot be shown", severity="error", markup=False)
