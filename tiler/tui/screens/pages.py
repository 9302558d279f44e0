"""Choose the page of a file that has several, with a picture of each."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical
from textual.message import Message
from textual.screen import ModalScreen
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option as ListOption
from textual.worker import get_current_worker

from tiler.flat.raster import Preview
from tiler.flat.read import read_flat
from tiler.geometry import Rect, Size
from tiler.job import Job
from tiler.tui.messages import Failed
from tiler.tui.pixels import PixelStore
from tiler.tui.screens.rendering import RenderingScreen
from tiler.tui.widgets.sheet_view import SheetView
from tiler.tui.work import problem_of
from tiler.units import format_number


class PagesScreen(RenderingScreen[Job | None], ModalScreen[Job | None]):
    """Pages left, the page under the bar right."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "cancel", "Back", key_display="esc")]

    @dataclass
    class PageRead(Message):
        """A page can be shown."""

        page: int
        size: Size
        store: PixelStore

    def __init__(self, job: Job, pages: int, plain: bool) -> None:
        super().__init__()
        self._job, self._pages, self._plain = job, pages, plain

    def compose(self) -> ComposeResult:
        """Title, list, picture."""
        with Vertical(classes="dialog pages"):
            yield Static("Which page is the flat?", classes="title")
            with Horizontal():
                yield OptionList(
                    *(ListOption(f"Page {number}") for number in range(1, self._pages + 1)), id="pages"
                )
                with Vertical():
                    yield SheetView(id="page-picture", plain=self._plain, bare=True)
                    yield Static(id="page-size")
            yield Static("↑ ↓ look · enter takes it · esc goes back", classes="keys")

    def on_mount(self) -> None:
        """Begin at the present page."""
        pages = self.query_one("#pages", OptionList)
        pages.highlighted = self._job.wanted.page - 1
        pages.focus()

    @on(OptionList.OptionHighlighted, "#pages")
    def _look(self, event: OptionList.OptionHighlighted) -> None:
        page = event.option_index + 1
        self.query_one("#page-size", Static).update("reading …")
        self.run_worker(
            lambda: self._read(page), thread=True, exclusive=True, group="page", exit_on_error=False
        )

    def _read(self, page: int) -> None:
        """In the worker's thread."""
        worker = get_current_worker()
        try:
            flat = read_flat(self._job.flat, replace(self._job.wanted, page=page))
            store = PixelStore(Preview(flat).render, Rect(0, 0, *flat.size))
        except Exception as error:  # a page that cannot be read is no reason to end
            self.post_message(Failed(None, problem_of(error, "reading the page"), "picture"))
            return
        if not worker.is_cancelled:
            self.post_message(self.PageRead(page, flat.size, store))

    def on_pages_screen_page_read(self, event: PageRead) -> None:
        """Show the page."""
        width, height = (format_number(side) for side in event.size)
        self.query_one("#page-size", Static).update(f"Page {event.page}: {width} × {height} mm")
        self.query_one(SheetView).show_page(event.store, event.size)

    def on_failed(self, event: Failed) -> None:
        """Say why a page cannot be shown."""
        event.stop()
        self.query_one("#page-size", Static).update(f"✕ {event.problem.sentence}")

    @on(OptionList.OptionSelected, "#pages")
    def _take(self, event: OptionList.OptionSelected) -> None:
        wanted = replace(self._job.wanted, page=event.option_index + 1)
        self.dismiss(replace(self._job, wanted=wanted))

    def action_cancel(self) -> None:
        """Keep the page."""
        self.dismiss(None)
