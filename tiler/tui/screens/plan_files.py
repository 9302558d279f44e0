"""The plan screen's files: save the ticket, write the pack."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from tiler.errors import UsageError
from tiler.tui.beside import default_output, default_ticket, folder_for
from tiler.tui.screens.dialogs import AskScreen, ConfirmScreen, Question, Reply
from tiler.tui.screens.plan_fold import PlanFold
from tiler.tui.words import told
from tiler.tui.work import problem_of

if TYPE_CHECKING:
    from tiler.run import Outcome


class PlanFiles(PlanFold):
    """Asks where things go and writes them."""

    def action_save(self) -> None:
        """Save the ticket where it lies, else ask for a place."""
        if self.work.ticket is not None:
            self._save(self.work.ticket)
        else:
            self.action_save_as()

    def action_save_as(self) -> None:
        """Ask where the ticket goes."""
        at = self.work.ticket or default_ticket(self.work.job)
        text = "All choices of this job, to open or repeat it later. A password is never written."
        self.app.push_screen(
            AskScreen(Question("Save the job ticket", text, self._read_ticket_path, value=str(at))),
            self._save_if_given,
        )

    def _read_ticket_path(self, text: str) -> Path:
        path = self._read_path(text, ".toml")
        return path

    def _read_path(self, text: str, ending: str) -> Path:
        if not text.strip():
            raise UsageError("no file is named", f"write a path that ends with {ending}")
        path = Path(text.strip()).expanduser()
        path = path if path.is_absolute() else folder_for(self.work.job.flat.absolute()) / path
        return path if path.suffix.lower() == ending else path.with_name(f"{path.name}{ending}")

    def _save_if_given(self, path: Path | None) -> None:
        if path is not None:
            self._save(path)

    def _save(self, path: Path) -> bool:
        from tiler.ticket import save_ticket

        try:
            save_ticket(self.work.job, path)
        except Exception as error:  # whatever it is, the screen lives on
            self.notify(told(problem_of(error, "saving the ticket")), severity="error", markup=False)
            return False
        self.session = self.work.saved(path)
        self.notify(f"Saved: {path.name}", timeout=4, markup=False)
        return True

    def action_write(self) -> None:
        """Write the pack beside the flat; ask before a file of another session is replaced."""
        output = self.work.output or default_output(self.work.job)
        if output.exists() and output != self.work.output:
            self.app.push_screen(
                ConfirmScreen(
                    "Replace the pack?",
                    f"{output} is already there.",
                    (Reply("other", "Another name", is_main=True), Reply("replace", "Replace")),
                ),
                lambda reply: self._reply_to_replace(reply, output),
            )
        else:
            self._write(output)

    def _reply_to_replace(self, reply: str | None, output: Path) -> None:
        if reply == "replace":
            self._write(output)
        elif reply == "other":
            self.action_write_as()

    def action_write_as(self) -> None:
        """Ask where the pack goes."""
        at = self.work.output or default_output(self.work.job)
        question = Question(
            "Write the pack", "Where does it go?", lambda text: self._read_path(text, ".pdf"), value=str(at)
        )
        self.app.push_screen(AskScreen(question), lambda path: self._write(path) if path else None)

    def _write(self, output: Path) -> None:
        prepared = self.prepared
        if prepared is None or self.problem is not None or prepared.job != self.work.job:
            self.notify("There is no plan to write yet.", severity="warning", timeout=4)
            return
        from tiler.tui.screens.writing import WriteScreen

        self.app.push_screen(WriteScreen(prepared, output), self._written)

    def _written(self, outcome: Outcome | None) -> None:
        if outcome is not None:
            self.session = self.work.written(outcome.output, outcome.prepared.job)
            self.app.written = outcome  # type: ignore[attr-defined]
