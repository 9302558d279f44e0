"""The reprint on the screen: its sheets as they will print, and how they are written."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from rich.text import Text
from textual import on
from textual.message import Message
from textual.widgets import Static
from textual.worker import get_current_worker

from tiler.revision.changes import Changes
from tiler.revision.reprint import Reprinted
from tiler.revision.told import written_words
from tiler.tui.messages import Failed, Progressed, WriteStopped
from tiler.tui.revising import print_reprint, write_changed
from tiler.tui.screens.sheet import SheetScreen
from tiler.tui.screens.writing import WriteScreen
from tiler.tui.work import Stopped, problem_of


class ReprintSheets(SheetScreen):
    """Turns the pages of the reprint."""

    def __init__(self, changes: Changes, labels: tuple[str, ...], label: str, plain: bool) -> None:
        part = changes.old.part
        super().__init__(changes.old, f"{part} {label}" if part else label, plain)
        self._changes, self._labels = changes, labels

    def _print(self) -> None:
        """In the worker's thread."""
        try:
            printed = print_reprint(self._changes, self._labels)
        except Exception as error:  # whatever it is, the screen lives on
            self.post_message(Failed(None, problem_of(error, "drawing the reprint"), "picture"))
            return
        self.post_message(self.PackPrinted(printed))


class ReprintScreen(WriteScreen):
    """Writes the chosen sheets of the later flat as soon as it opens."""

    @dataclass
    class Done(Message):
        """The reprint is written."""

        written: Reprinted

    def __init__(self, changes: Changes, labels: tuple[str, ...], output: Path) -> None:
        super().__init__(changes.old, output)
        self._changes, self._labels = changes, labels

    def on_mount(self) -> None:
        """Start."""
        super().on_mount()
        self.query_one("#write-title", Static).update("Writing the changed sheets")

    def _write(self) -> None:
        """In the worker's thread."""
        worker = get_current_worker()
        try:
            written = write_changed(
                self._changes,
                self._output,
                self._labels,
                lambda stage, share: self._post(Progressed(stage, share)),
                lambda: worker.is_cancelled,
            )
        except Stopped:
            self._post(WriteStopped())
        except Exception as error:  # whatever it is, the screen lives on
            self._post(Failed(self._prepared.job, problem_of(error, "writing the sheets"), "write"))
        else:
            self.post_message(self.Done(written))

    @on(Done)
    def _show_done(self, event: Done) -> None:
        """Show the result and what to do."""
        event.stop()
        head, *advice = written_words(event.written)
        text = Text(f"{head}\n", style="bold")
        joins = (
            "Put each new sheet in the place of the old one: page 1 shows where. "
            "Cut on a mat, along a steel rule, away from your hand."
        )
        for number, sentence in enumerate((*advice, joins), start=1):
            text.append(f"\n{number}  {sentence}", style="not bold")
        self._end("✓ The changed sheets are written", text)
