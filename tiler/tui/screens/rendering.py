"""Pictures made in a worker thread, for any screen that shows one."""

from __future__ import annotations

from typing import TypeVar

from textual.screen import Screen
from textual.worker import get_current_worker

from tiler.tui.messages import Failed
from tiler.tui.widgets.picture import PictureView
from tiler.tui.work import problem_of

Result = TypeVar("Result")


class RenderingScreen(Screen[Result]):
    """Answers a picture's wish for sharper points; only the latest wish is followed."""

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
