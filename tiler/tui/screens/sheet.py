"""See the pages of the pack one after another, as they will print: marks, tabs and all."""

from __future__ import annotations

from dataclasses import dataclass
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
from tiler.tui.screens.rendering import RenderingScreen
from tiler.tui.widgets.sheet_view import SheetView
from tiler.tui.work import Printed, Stopped, page_picture, print_to_memory, problem_of


class SheetScreen(RenderingScreen[str]):
    """Turns the pages of the pack; ends with the label of the page that was seen last."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape,v,q", "close", "Back", key_display="esc"),
        Binding("left,pageup", "turn(-1)", "Page before", key_display="←", priority=True),
        Binding("right,pagedown,space", "turn(1)", "Next page", key_display="→", priority=True),
        Binding("plus,equals_sign", "zoom(1)", "Nearer", key_display="+"),
        Binding("minus", "zoom(-1)", "Farther", key_display="-"),
        Binding("0", "zoom(0)", "Whole page", key_display="0"),
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

    def compose(self) -> ComposeResult:
        """Title, page, keys."""
        yield Static("Drawing the pack …", id="sheet-title", markup=False)
        yield SheetView(id="sheet", plain=self._plain, bare=True)
        yield Footer(show_command_palette=False)

    def on_mount(self) -> None:
        """Begin to draw."""
        self.query_one(SheetView).focus()
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
        self.query_one(SheetView).show_page(self._store(printed, self._at), printed.sizes[self._at])

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
        self.query_one(SheetView).zoom(steps)

    def action_close(self) -> None:
        """Go back to the plan."""
        self.dismiss(self._printed.labels[self._at] if self._printed else self._label)

    def on_failed(self, event: Failed) -> None:
        """Tell what went wrong."""
        event.stop()
        self.notify(event.problem.sentence, title="The page cannot be shown", severity="error", markup=False)
