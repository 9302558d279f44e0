"""The plan screen's late change: a later flat is named or dropped, compared, and may take the job over."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from tiler.errors import TilerError
from tiler.job import Job
from tiler.tui.pasted import is_ticket
from tiler.tui.screens.dialogs import ConfirmScreen, Reply
from tiler.tui.screens.plan_work import PlanWork
from tiler.tui.words import told
from tiler.tui.work import problem_of


class PlanRevise(PlanWork):
    """Opens the screen of a late change and takes its job."""

    part = ""
    """Name of the part among several; empty for a job of one flat."""

    def action_revise(self) -> None:
        """Ask for the later flat."""
        from tiler.tui.screens.start import StartScreen

        if self._is_planned():
            greeting = f"Which file is the new revision of {self.work.job.flat.name}?"
            around = self.app.around  # type: ignore[attr-defined]
            self.app.push_screen(
                StartScreen(self.folder, around.state, None, has_job=True, greeting=greeting),
                self._begin_if_given,
            )

    def _begin_if_given(self, path: Path | None) -> None:
        if path is not None:
            self.begin_revision(path)

    def _is_planned(self) -> bool:
        """True when there is a plan to compare with."""
        if self.prepared is None or self.problem is not None or self.prepared.job != self.work.job:
            self.notify("There is no plan to compare with yet.", severity="warning", timeout=4)
            return False
        return True

    def begin_revision(self, path: Path) -> None:
        """Compare a later flat with the one of this job."""
        if not self._is_planned() or self.prepared is None:
            return
        from tiler.tui.revising import refuse_revision
        from tiler.tui.screens.revise import RevisionScreen

        try:
            refuse_revision(self.work.job, path)
        except TilerError as problem:
            self.notify(
                told(problem_of(problem, "comparing")), title="No revision", severity="error", markup=False
            )
            return
        old = replace(self.prepared, part=self.part)
        self.app.push_screen(RevisionScreen(old, path, self.plain), self._go_on_if_given)

    def _go_on_if_given(self, job: Job | None) -> None:
        if job is not None:
            self.take(job)

    def drop(self, path: Path) -> None:
        """A file was dropped: a ticket is opened; a flat may be another job, or a later revision."""
        if is_ticket(path) or self.prepared is None or path == self.work.job.flat:
            self.app.open_path(path)  # type: ignore[attr-defined]
            return
        name = self.work.job.flat.name
        replies = (Reply("revision", "New revision", is_main=True), Reply("job", "New job"))
        self.app.push_screen(
            ConfirmScreen(
                path.name,
                f"Is it the new revision of {name}, to be compared with the sheets you have, or another job?",
                replies,
            ),
            lambda reply: self._take_dropped(reply, path),
        )

    def _take_dropped(self, reply: str | None, path: Path) -> None:
        if reply == "revision":
            self.begin_revision(path)
        elif reply == "job":
            self.app.open_path(path)  # type: ignore[attr-defined]
