"""The files of a job with parts: save the ticket, write the one pack."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from rich.text import Text
from textual import on
from textual.message import Message
from textual.reactive import reactive
from textual.worker import get_current_worker

from tiler.errors import UsageError
from tiler.parts import Part, PartsOutcome, run_parts
from tiler.parts_ticket import save_parts
from tiler.run import Prepared
from tiler.tui.messages import Failed, Progressed, WriteStopped
from tiler.tui.parts_state import PartsSession
from tiler.tui.screens.dialogs import AskScreen, ConfirmScreen, Question, Reply
from tiler.tui.screens.rendering import RenderingScreen
from tiler.tui.screens.writing import WriteScreen
from tiler.tui.words import told
from tiler.tui.work import Problem, Stopped, problem_of, watched


class PartsFiles(RenderingScreen[None]):
    """Asks where things go and writes them."""

    session: reactive[PartsSession | None] = reactive(None)

    def __init__(self) -> None:
        super().__init__()
        self._found: dict[str, Prepared | Problem] = {}

    def action_save(self) -> None:
        """Save the ticket where it lies."""
        if self.session is not None:
            self._save(self.session.ticket)

    def action_save_as(self) -> None:
        """Ask where the ticket goes."""
        if self.session is None:
            return
        text = "All choices of all parts. A password is never written."
        question = Question(
            "Save the job ticket",
            text,
            lambda typed: self._read_path(typed, ".toml"),
            value=str(self.session.ticket),
        )
        self.app.push_screen(AskScreen(question), self._save)

    def _save(self, path: Path | None) -> None:
        if path is None or self.session is None:
            return
        try:
            save_parts(self.session.parts, path)
        except Exception as error:  # whatever it is, the screen lives on
            self.notify(told(problem_of(error, "saving the ticket")), severity="error", markup=False)
            return
        self.session = self.session.saved(path)
        self.notify(f"Saved: {path.name}", timeout=4, markup=False)

    def _read_path(self, text: str, ending: str) -> Path:
        if not text.strip() or self.session is None:
            raise UsageError("no file is named", f"write a path that ends with {ending}")
        path = Path(text.strip()).expanduser()
        path = path if path.is_absolute() else self.session.ticket.absolute().parent / path
        return path if path.suffix.lower() == ending else path.with_name(f"{path.name}{ending}")

    def action_write(self) -> None:
        """Write the pack beside the ticket; ask before a file of another session is replaced."""
        if self.session is None:
            return
        output = self.session.default_output
        if not output.exists() or output == self.session.output:
            self._write(output)
            return
        replies = (Reply("other", "Another name", is_main=True), Reply("replace", "Replace"))

        def replied(reply: str | None) -> None:
            if reply == "replace":
                self._write(output)
            elif reply == "other":
                self.action_write_as()

        self.app.push_screen(
            ConfirmScreen("Replace the pack?", f"{output} is already there.", replies), replied
        )

    def action_write_as(self) -> None:
        """Ask where the pack goes."""
        if self.session is not None:
            question = Question(
                "Write the pack",
                "Where does it go?",
                lambda typed: self._read_path(typed, ".pdf"),
                value=str(self.session.default_output),
            )
            self.app.push_screen(AskScreen(question), self._write)

    def _write(self, output: Path | None) -> None:
        """Write it, if every part has a plan."""
        if output is None or self.session is None:
            return
        plans = [self._found.get(part.name) for part in self.session.parts]
        ready = [plan for plan in plans if isinstance(plan, Prepared)]
        if len(ready) < len(plans):
            self.notify("There is no plan for every part yet.", severity="warning", timeout=4)
            return
        screen = PartsWriteScreen(ready[0], self.session.parts, output)
        self.app.push_screen(screen, lambda _: self._keep(screen))

    def _keep(self, screen: PartsWriteScreen) -> None:
        if screen.whole is not None and self.session is not None:
            self.session = self.session.written(screen.whole.output)


class PartsWriteScreen(WriteScreen):
    """Writes one pack of all parts as soon as it opens."""

    @dataclass
    class Done(Message):
        """The pack is written."""

        whole: PartsOutcome

    def __init__(self, first: Prepared, parts: tuple[Part, ...], output: Path) -> None:
        super().__init__(first, output)
        self._parts = parts
        self.whole: PartsOutcome | None = None
        """What was written."""

    def _write(self) -> None:
        """In the worker's thread."""
        worker = get_current_worker()
        progress = watched(
            lambda stage, share: self._post(Progressed(stage, share)), lambda: worker.is_cancelled
        )
        try:
            whole = run_parts(self._parts, self._output, progress)
        except Stopped:
            self._post(WriteStopped())
        except Exception as error:  # whatever it is, the screen lives on
            self._post(Failed(self._prepared.job, problem_of(error, "writing the pack"), "write"))
        else:
            self.post_message(self.Done(whole))

    @on(Done)
    def _show_done(self, event: Done) -> None:
        """Show the result and what to do."""
        event.stop()
        whole = self.whole = event.whole
        each = ", ".join(f"{one.prepared.part} {len(one.tile_pages)}" for one in whole.outcomes)
        text = Text(f"{whole.output}: {whole.sheets} sheets ({each})\n", style="bold")
        steps = (
            "Print the first map, at 100 % with no fitting, and check its scale bars before the rest.",
            "Each part has a map and an assembly page of its own, and its name before every label.",
            "Cut on a mat, along a steel rule, away from your hand.",
        )
        for number, sentence in enumerate(steps, start=1):
            text.append(f"\n{number}  {sentence}", style="not bold")
        self._end("✓ The pack is written", text)
