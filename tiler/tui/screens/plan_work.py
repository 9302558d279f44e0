"""The plan screen at work: read, plan and keep the picture in step, each in a worker of its own."""

from __future__ import annotations

import threading
from dataclasses import replace

from textual.worker import get_current_worker

from tiler.job import Job
from tiler.load import Loaded
from tiler.tui.messages import Failed, FlatLoaded, Planned, Progressed
from tiler.tui.picking import still_there
from tiler.tui.pixels import PixelStore
from tiler.tui.screens.dialogs import AskScreen, Question
from tiler.tui.screens.plan_base import PlanBase
from tiler.tui.state import needs_another_look, needs_loading
from tiler.tui.widgets.flat_view import FlatView
from tiler.tui.words import capital, told
from tiler.tui.work import Stopped, look_flat, plan_flat, problem_of, read_for_screen


class PlanWork(PlanBase):
    """Starts workers and takes what they report. The latest change wins; older work is let go."""

    def on_mount(self) -> None:
        """Begin to read."""
        self._planning = threading.Lock()
        self.call_later(self._show_title)  # only a screen that is mounted wholly shows one
        self._show_rows()
        self.query_one("#choices").focus()
        self.load(self.work.job)

    def take(self, job: Job) -> None:
        """Follow a changed job: keep it in the past, then read or plan anew."""
        before = self.work.job
        self.session = self.work.changed(job)
        self.follow(before)

    def follow(self, before: Job) -> None:
        """Bring flat and plan in step with the job."""
        job = self.work.job
        if job == before and self.problem is None:
            return
        if self.loaded is None or self.store is None or needs_loading(before, job):
            self.load(job)
        elif needs_another_look(before, job):
            self.look(job, self.loaded, self.store)
        else:
            self.plan(job, self.loaded)

    def load(self, job: Job) -> None:
        """Read the flat in a worker."""
        self.busy = "reading the flat"
        self.run_worker(
            lambda: self._load(job), thread=True, exclusive=True, group="load", exit_on_error=False
        )

    def look(self, job: Job, loaded: Loaded, store: PixelStore) -> None:
        """Find the lines anew in a worker; the picture stays."""
        self.run_worker(
            lambda: self._look(job, loaded, store),
            thread=True,
            exclusive=True,
            group="load",
            exit_on_error=False,
        )

    def plan(self, job: Job, loaded: Loaded) -> None:
        """Plan the sheets in a worker."""
        self.run_worker(
            lambda: self._plan(job, loaded), thread=True, exclusive=True, group="plan", exit_on_error=False
        )

    def _load(self, job: Job) -> None:
        """In the worker's thread."""
        worker = get_current_worker()

        def is_off() -> bool:
            return worker.is_cancelled

        try:
            begun = self.early.flat(job, is_off) if self.early is not None else None
            loaded, store = begun or read_for_screen(
                job, lambda stage, share: self._tell(Progressed(stage, share)), is_off
            )
        except Stopped:
            return
        except Exception as error:  # whatever it is, the screen lives on
            if not is_off():
                self._tell(Failed(job, problem_of(error, "reading the flat"), "load"))
            return
        if not is_off():
            self._tell(FlatLoaded(job, loaded, store))

    def _look(self, job: Job, loaded: Loaded, store: PixelStore) -> None:
        """In the worker's thread."""
        worker = get_current_worker()
        try:
            found = look_flat(job, loaded)
        except Exception as error:  # whatever it is, the screen lives on
            if not worker.is_cancelled:
                self._tell(Failed(job, problem_of(error, "looking for lines"), "load"))
            return
        if not worker.is_cancelled:
            self._tell(FlatLoaded(job, found, store))

    def _plan(self, job: Job, loaded: Loaded) -> None:
        """In the worker's thread; one plan at a time, and none that is not wanted any more."""
        worker = get_current_worker()
        with self._planning:
            if worker.is_cancelled:
                return
            try:
                begun = self.early.plan(job, loaded, lambda: worker.is_cancelled) if self.early else None
                prepared, kept = begun or plan_flat(job, loaded)
            except Stopped:
                return
            except Exception as error:  # whatever it is, the screen lives on
                if not worker.is_cancelled:
                    self._tell(Failed(job, problem_of(error, "planning the sheets"), "plan"))
                return
        if not worker.is_cancelled:
            self._tell(Planned(job, prepared, kept))

    def _tell(self, message: Progressed | Failed | FlatLoaded | Planned) -> None:
        """Report from a worker; a screen that has gone takes no reports."""
        if self.is_running:
            self.post_message(message)

    def on_progressed(self, event: Progressed) -> None:
        """Say what is being done."""
        event.stop()
        self.busy = event.stage

    def on_flat_loaded(self, event: FlatLoaded) -> None:
        """Show the flat, then plan it."""
        event.stop()
        job = self.work.job
        if needs_loading(event.job, job) or needs_another_look(event.job, job):
            return
        self.loaded, self.store = event.loaded, event.store
        self.busy = "planning the sheets" if self.prepared is None else ""
        self.query_one(FlatView).show_page(event.store, event.loaded.flat.size)
        self.plan(self.work.job, event.loaded)

    def on_planned(self, event: Planned) -> None:
        """Show the plan."""
        event.stop()
        if event.job != self.work.job:
            return
        if event.kept != event.job:
            self.session = replace(self.work, job=event.kept)
            self.notify("Chosen tiles and moved seams were let go: the plan is another.", timeout=6)
        self.busy, self.problem = "", None
        self.picked = still_there(event.prepared.plan, self.picked)
        self.prepared = event.prepared

    def on_failed(self, event: Failed) -> None:
        """Tell what went wrong; the choices stay, and the screen lives on."""
        event.stop()
        self.busy = ""
        problem = event.problem
        if event.stage != "picture" and event.job != self.work.job:
            return
        if problem.needs_password:
            self._ask_password(problem.sentence if self.work.job.wanted.password else "")
            return
        if event.stage == "plan" and self._was_seam_moved():
            self.session = replace(self.work.undone(), future=self.work.future)
        elif event.stage != "picture":
            self.problem = problem
        self.notify(told(problem), severity="error", timeout=8, markup=False)

    def _was_seam_moved(self) -> bool:
        """True when the last change was about nudges or pins alone."""
        if not self.work.past or self.prepared is None:
            return False
        before, now = self.work.past[-1], self.work.job
        return before != now and before == replace(now, nudges=before.nudges, pins=before.pins)

    def _ask_password(self, wrong: str) -> None:
        name = self.work.job.flat.name
        text = f"{capital(wrong)}." if wrong else f"{name} is locked. It is not kept anywhere."
        question = Question("Password", text, _as_typed, is_secret=True)
        self.app.push_screen(AskScreen(question), self._take_password)

    def _take_password(self, word: str | None) -> None:
        if word is None:
            self.problem = None
            self.notify("The flat stays locked; press o to open another.", timeout=6)
            return
        job = self.work.job
        job = replace(job, wanted=replace(job.wanted, password=word))
        self.session = replace(self.work, job=job)
        self.load(job)


def _as_typed(text: str) -> str:
    return text
