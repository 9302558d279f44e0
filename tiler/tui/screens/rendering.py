"""Pictures made in a worker thread, for any screen that shows one."""

from __future__ import annotations

from typing import TypeVar

from textual.message import Message
from textual.screen import Screen
from textual.widgets import ProgressBar
from textual.worker import get_current_worker

from tiler.tui.messages import Failed, Progressed
from tiler.tui.widgets.picture import PictureView
from tiler.tui.words import capital, told
from tiler.tui.work import Problem, problem_of

Result = TypeVar("Result")


class RenderingScreen(Screen[Result]):
    """Answers a picture's wish for sharper points; only the latest wish is followed."""

    def _post(self, message: Message) -> None:
        """Report from a worker; a screen that has gone takes no reports."""
        if self.is_running:
            self.post_message(message)

    def on_picture_view_wanted(self, event: PictureView.Wanted) -> None:
        """Start to render."""
        event.stop()
        group = f"picture {event.picture.id}"
        self.run_worker(
            lambda: self._make(event), thread=True, exclusive=True, group=group, exit_on_error=False
        )

    def _make(self, event: PictureView.Wanted) -> None:
        """In the worker's thread."""
        worker = get_current_worker()
        try:
            event.store.make(event.wish, lambda: worker.is_cancelled)
            if not worker.is_cancelled:
                event.picture.warm_up()
        except Exception as error:  # a picture is worth no crash
            self.post_message(Failed(None, problem_of(error, "drawing the flat"), "picture"))
            return
        if not worker.is_cancelled:
            self.app.call_from_thread(event.picture.redraw)


class WorkingScreen(RenderingScreen[Result]):
    """Does long work as soon as it opens: a bar and a sentence tell how far it is, or what went wrong."""

    def _is_done(self) -> bool:
        """True once the work has brought its result."""
        raise NotImplementedError

    def _say(self, words: str) -> None:
        """Show a sentence above the list."""
        raise NotImplementedError

    def _failed(self, problem: Problem) -> None:
        """What else a failure of the work asks for."""

    def on_progressed(self, event: Progressed) -> None:
        """Move the bar."""
        event.stop()
        if not self._is_done():
            self.query_one("#bar", ProgressBar).update(progress=event.share)
            self._say(f"{capital(event.stage)} … esc stops.")

    def on_failed(self, event: Failed) -> None:
        """Tell what went wrong."""
        event.stop()
        if event.stage == "picture":
            self.notify(told(event.problem), severity="error", markup=False)
            return
        self.query_one("#bar").display = False
        self._say(f"✕ {told(event.problem)}")
        self._failed(event.problem)
