"""The late change of one part among several, from the list of the parts."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from tiler.errors import TilerError
from tiler.job import Job
from tiler.parts import Part
from tiler.revision.which_part import part_for
from tiler.run import Prepared
from tiler.tui.pasted import is_ticket
from tiler.tui.revising import refuse_revision
from tiler.tui.screens.dialogs import ConfirmScreen, Reply
from tiler.tui.screens.parts_files import PartsFiles
from tiler.tui.screens.revise import RevisionScreen
from tiler.tui.screens.start import StartScreen
from tiler.tui.words import told
from tiler.tui.work import problem_of


class PartsRevise(PartsFiles):
    """Compares a later flat with the part that it replaces."""

    _plain = False

    @property
    def part(self) -> Part | None:
        """The part under the bar."""
        raise NotImplementedError

    def put(self, part: Part, job: Job) -> None:
        """Another job for a part."""
        raise NotImplementedError

    def action_revise(self) -> None:
        """Ask for the later flat of the part under the bar."""
        part = self.part
        if part is None:
            return

        def begin(path: Path | None) -> None:
            if path is not None:
                self._compare(part, path)

        around = self.app.around  # type: ignore[attr-defined]
        greeting = f"Which file is the new revision of the {part.name}, {part.job.flat.name}?"
        folder = part.job.flat.absolute().parent
        self.app.push_screen(StartScreen(folder, around.state, None, has_job=True, greeting=greeting), begin)

    def drop(self, path: Path) -> None:
        """A file was dropped: a ticket is opened; a flat may be another job, or a later part."""
        part = self._meant(path)
        if is_ticket(path) or part is None:
            self.app.open_path(path)  # type: ignore[attr-defined]
            return

        def replied(reply: str | None) -> None:
            if reply == "revision":
                self._compare(part, path)
            elif reply == "job":
                self.app.open_path(path)  # type: ignore[attr-defined]

        replies = (Reply("revision", "New revision", is_main=True), Reply("job", "New job"))
        text = (
            f"Is it the new revision of the {part.name}, {part.job.flat.name}, or another job? "
            "For another part put the bar on it and press N."
        )
        self.app.push_screen(ConfirmScreen(path.name, text, replies), replied)

    def _meant(self, path: Path) -> Part | None:
        """The part that a file is called after, else the one under the bar."""
        try:
            return part_for(self.session.parts if self.session else (), path)
        except TilerError:
            return self.part

    def _compare(self, part: Part, path: Path) -> None:
        """Compare, if the part has a plan."""
        found = self._found.get(part.name)
        if not isinstance(found, Prepared) or found.job != part.job:
            self.notify("There is no plan of this part yet.", severity="warning", timeout=4)
            return
        try:
            refuse_revision(part.job, path)
        except TilerError as problem:
            words = told(problem_of(problem, "comparing"))
            self.notify(words, title="No revision", severity="error", markup=False)
            return

        def go_on(job: Job | None) -> None:
            if job is not None:
                self.put(part, job)

        self.app.push_screen(RevisionScreen(replace(found, part=part.name), path, self._plain), go_on)
