"""See the sheets one after another, as they will print: marks, tabs and all."""

from __future__ import annotations

from typing import ClassVar

from PIL import Image
from rich.text import Text
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.widgets import Footer, Static

from tiler.geometry import Rect, Size
from tiler.run import Prepared
from tiler.tui.messages import Failed
from tiler.tui.picking import find_tile, tile_words
from tiler.tui.pixels import PixelStore
from tiler.tui.screens.rendering import RenderingScreen
from tiler.tui.widgets.sheet_view import SheetView
from tiler.tui.work import sheet_picture, sheet_titles


class SheetScreen(RenderingScreen[str]):
    """Pages through the pack; ends with the label that was last looked at."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape,v,q", "close", "Back", key_display="esc"),
        Binding("left,pageup", "turn(-1)", "Page before", key_display="←", priority=True),
        Binding("right,pagedown,space", "turn(1)", "Next page", key_display="→", priority=True),
        Binding("plus,equals_sign", "zoom(1)", "Nearer", key_display="+"),
        Binding("minus", "zoom(-1)", "Farther", key_display="-"),
        Binding("0", "zoom(0)", "Whole sheet", key_display="0"),
    ]

    def __init__(self, prepared: Prepared, label: str, plain: bool) -> None:
        super().__init__()
        self._prepared, self._plain = prepared, plain
        self._pages = sheet_titles(prepared)
        labels = [page[0] for page in self._pages]
        self._at = labels.index(label) if label in labels else 0
        self._stores: dict[int, PixelStore] = {}

    def compose(self) -> ComposeResult:
        """Title, sheet, keys."""
        yield Static(id="sheet-title", markup=False)
        yield SheetView(id="sheet", plain=self._plain, bare=True)
        yield Footer(show_command_palette=False)

    def on_mount(self) -> None:
        """Show the first sheet."""
        self.query_one(SheetView).focus()
        self.call_after_refresh(self._show)

    def _show(self) -> None:
        label, width, height = self._pages[self._at]
        tile = find_tile(self._prepared.plan, label)
        words = tile_words(tile, is_printed=True) if tile else label
        text = Text.assemble((f"Page {self._at + 1} of {len(self._pages)}", "bold"), f"   {words}")
        self.query_one("#sheet-title", Static).update(text)
        self.query_one(SheetView).show_page(self._store(self._at), Size(width, height))

    def _store(self, at: int) -> PixelStore:
        if at not in self._stores:
            _, width, height = self._pages[at]

            def render(window: Rect, density: float) -> Image.Image:
                whole = sheet_picture(self._prepared, at, density)
                box = (
                    window.x * density,
                    window.y * density,
                    window.right * density,
                    window.bottom * density,
                )
                return whole.crop((round(box[0]), round(box[1]), round(box[2]), round(box[3])))

            self._stores[at] = PixelStore(render, Rect(0, 0, width, height))
        return self._stores[at]

    def action_turn(self, steps: int) -> None:
        """Go to another page."""
        self._at = (self._at + steps) % len(self._pages)
        self._show()

    def action_zoom(self, steps: int) -> None:
        """Nearer or farther."""
        self.query_one(SheetView).zoom(steps)

    def action_close(self) -> None:
        """Go back to the plan."""
        self.dismiss(self._pages[self._at][0])

    def on_failed(self, event: Failed) -> None:
        """Tell what went wrong."""
        event.stop()
        self.notify(event.problem.sentence, title="The sheet cannot be shown", severity="error")
