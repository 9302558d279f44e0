"""The comparison behind the screen of a late change, in a worker that can be stopped."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from textual.message import Message
from textual.reactive import reactive
from textual.widgets import Static
from textual.worker import Worker, get_current_worker

from tiler.flat.raster import Preview
from tiler.geometry import Rect
from tiler.job import Job
from tiler.run import Prepared
from tiler.tui.messages import Failed, Progressed
from tiler.tui.pixels import PixelStore
from tiler.tui.revising import Revised, compare_revision
from tiler.tui.revision_rows import Line
from tiler.tui.screens.dialogs import AskScreen, ConfirmScreen, Question, Reply
from tiler.tui.screens.rendering import WorkingScreen
from tiler.tui.words import capital
from tiler.tui.work import Problem, Stopped, problem_of


@dataclass
class PlannedAnew(Message):
    """The later flat has a plan of its own."""

    prepared: Prepared


class RevisionWork(WorkingScreen[Job | None]):
    """Starts the comparison and takes what it reports. Ends with the job to go on with.

    Args:
        old: The job as it was planned and printed.
        path: The later flat.
        plain: True for a terminal without colours.
    """

    revised: reactive[Revised | None] = reactive(None)
    chosen: reactive[frozenset[str]] = reactive(frozenset())
    """Labels of the sheets to print."""
    is_before: reactive[bool] = reactive(False)
    """True while the picture shows the earlier flat."""

    @dataclass
    class Compared(Message):
        """The comparison is done."""

        revised: Revised
        stores: tuple[PixelStore, PixelStore]
        """Pictures of the earlier and of the later flat."""

    def __init__(self, old: Prepared, path: Path, plain: bool) -> None:
        super().__init__()
        self._old, self._path, self._plain = old, path, plain
        self._stores: tuple[PixelStore, PixelStore] | None = None
        self._work: Worker[None] | None = None
        self._lines: tuple[Line, ...] = ()

    def _compare(self, password: str | None) -> None:
        self._say("Comparing; esc stops.")
        self._work = self.run_worker(
            lambda: self._look(password), thread=True, exclusive=True, group="revision", exit_on_error=False
        )

    def _look(self, password: str | None) -> None:
        """In the worker's thread."""
        worker = get_current_worker()

        def is_off() -> bool:
            return worker.is_cancelled or not self.is_running

        try:
            revised = compare_revision(
                self._old,
                self._path,
                password,
                lambda stage, share: self._post(Progressed(stage, share)),
                is_off,
            )
            flats = revised.changes.old.flat, revised.changes.new.flat
            before, after = (PixelStore(Preview(one).render, Rect(0, 0, *one.size)) for one in flats)
        except Stopped:
            return
        except Exception as error:  # whatever it is, the screen lives on
            self._post(Failed(self._old.job, problem_of(error, "comparing"), "load"))
            return
        if not is_off():
            self._post(self.Compared(revised, (before, after)))

    def _is_done(self) -> bool:
        return self.revised is not None

    def _failed(self, problem: Problem) -> None:
        """A locked flat is asked for its password."""
        if problem.needs_password:
            text = f"{capital(problem.sentence)}. It is not kept anywhere."
            self.app.push_screen(
                AskScreen(Question("Password", text, str, is_secret=True)), self._take_password
            )

    def _take_password(self, word: str | None) -> None:
        if word is not None:
            self._compare(word)

    def _say(self, words: str) -> None:
        self.query_one("#verdict", Static).update(words)

    def _ask_to_replace(self, output: Path, go_on: Callable[[], object]) -> None:
        """Go on at once, or ask first where a file of that name is already there."""
        if not output.exists():
            go_on()
            return

        def replied(reply: str | None) -> None:
            if reply == "replace":
                go_on()

        self.app.push_screen(
            ConfirmScreen(
                "Replace the file?",
                f"{output} is already there.",
                (Reply("keep", "Keep it", is_main=True), Reply("replace", "Replace")),
            ),
            replied,
        )
