"""What stands in the place of a picture while its flat is being read."""

from __future__ import annotations

from rich.text import Text
from textual.app import ComposeResult
from textual.containers import Vertical
from textual.reactive import reactive
from textual.widgets import ProgressBar, Static


class ReadingSign(Vertical):
    """The name of the flat and a bar that moves; nothing while none is read."""

    flat: reactive[str] = reactive("")
    """Name of the file; empty hides the sign."""

    def compose(self) -> ComposeResult:
        """Name above bar."""
        yield Static(id="reading-name")
        yield ProgressBar(total=None, show_percentage=False, show_eta=False)

    def on_mount(self) -> None:
        """Show what was told before."""
        self.watch_flat()

    def watch_flat(self) -> None:
        """Another flat, or none any more."""
        self.display = bool(self.flat)
        if self.is_mounted and self.flat:
            words = Text.assemble("Reading ", (self.flat, "bold"), " …", no_wrap=True, overflow="ellipsis")
            self.query_one("#reading-name", Static).update(words)
