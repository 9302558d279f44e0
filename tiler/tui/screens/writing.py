"""Writing the pack: progress, a way to call it off, the result and what to do next."""

from __future__ import annotations

from pathlib import Path
from typing import ClassVar

from rich.text import Text
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.screen import ModalScreen
from textual.widgets import ProgressBar, Static
from textual.worker import Worker, get_current_worker

from tiler.report import closing_words
from tiler.run import Outcome, Prepared
from tiler.tui.messages import Failed, Progressed, QueueFound, Sent, WriteStopped, Written
from tiler.tui.sending import bar_words, print_pages, queue_of
from tiler.tui.words import told
from tiler.tui.work import Stopped, problem_of, write_pack


class WriteScreen(ModalScreen[Outcome | None]):
    """Writes as soon as it opens."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape,ctrl+c", "stop", "Stop", key_display="esc"),
        Binding("enter,q", "close", "Back", show=False),
        Binding("m", "send(True)", "Print the map", show=False),
        Binding("r", "send(False)", "Print the rest", show=False),
    ]

    def __init__(self, prepared: Prepared, output: Path) -> None:
        super().__init__()
        self._prepared, self._output = prepared, output
        self._outcome: Outcome | None = None
        self._work: Worker[None] | None = None
        self._is_done = False
        self._queue = ""
        self._is_map_sent = False

    def compose(self) -> ComposeResult:
        """Title, bar, words."""
        with Vertical(classes="dialog"):
            yield Static("Writing the pack", classes="title", id="write-title")
            yield Static(str(self._output), classes="text", id="write-stage", markup=False)
            yield ProgressBar(total=1.0, show_eta=False, id="bar")
            yield Static(id="result")
            yield Static(id="sent", markup=False)
            yield Static("esc stops; nothing is written then", classes="keys", id="write-keys")

    def on_mount(self) -> None:
        """Start."""
        self._work = self.run_worker(
            self._write, thread=True, exclusive=True, group="write", exit_on_error=False
        )

    def _write(self) -> None:
        """In the worker's thread."""
        worker = get_current_worker()
        job = self._prepared.job
        try:
            outcome = write_pack(
                self._prepared,
                self._output,
                lambda stage, share: self._post(Progressed(stage, share)),
                lambda: worker.is_cancelled,
            )
        except Stopped:
            self._post(WriteStopped())
        except Exception as error:  # whatever it is, the screen lives on
            self._post(Failed(job, problem_of(error, "writing the pack"), "write"))
        else:
            self._post(Written(job, outcome))

    def _post(self, message: Progressed | WriteStopped | Failed | Written) -> None:
        self.post_message(message)

    def on_progressed(self, event: Progressed) -> None:
        """Move the bar."""
        event.stop()
        if not self._is_done:
            self.query_one("#bar", ProgressBar).update(progress=event.share)
            self.query_one("#write-stage", Static).update(f"{event.stage[:1].upper()}{event.stage[1:]} …")

    def on_written(self, event: Written) -> None:
        """Show the result."""
        event.stop()
        self._outcome = event.outcome
        head, *advice = closing_words(event.outcome)
        text = Text(f"{head}\n", style="bold")
        for number, sentence in enumerate((*advice, *_steps(event.outcome)), start=1):
            text.append(f"\n{number}  {sentence}", style="not bold")
        self._end("✓ The pack is written", text)
        self.run_worker(self._find_queue, thread=True, group="queue", exit_on_error=False)

    def _find_queue(self) -> None:
        """In the worker's thread; a print system that does not answer is no matter of the pack."""
        assert self._outcome is not None
        try:
            name = queue_of(self._outcome)
        except Exception:  # then the user prints by other means, as the steps say
            return
        if name:
            self.post_message(QueueFound(name))

    def on_queue_found(self, event: QueueFound) -> None:
        """Offer to print."""
        event.stop()
        self._queue = event.name
        self._tell_keys(f"m prints the map now on {event.name}")

    def action_send(self, is_map: bool) -> None:
        """Print the map, or all other pages once the map was printed."""
        outcome = self._outcome
        if outcome is None or not self._queue or (self._is_map_sent == is_map):
            return
        self._is_map_sent = True
        self.query_one("#sent", Static).update("\nSending …")
        self.run_worker(
            lambda: self._send(outcome, is_map),
            thread=True,
            group="queue",
            exclusive=True,
            exit_on_error=False,
        )

    def _send(self, outcome: Outcome, is_map: bool) -> None:
        """In the worker's thread."""
        try:
            request = print_pages(outcome, self._queue, is_map)
        except Exception as error:  # whatever it is, the pack is there
            self.post_message(Failed(outcome.prepared.job, problem_of(error, "printing"), "print"))
        else:
            self.post_message(Sent(is_map, request))

    def on_sent(self, event: Sent) -> None:
        """Say what was sent and what to do now."""
        event.stop()
        assert self._outcome is not None
        job = f" (print job {event.request})" if event.request else ""
        if event.is_map:
            words = f"\n✓ The map was sent{job}. {bar_words(self._outcome)}"
            self._tell_keys("r prints the rest")
        else:
            words = f"\n✓ The rest was sent{job}."
            self._queue = ""
            self._tell_keys()
        self.query_one("#sent", Static).update(words)

    def _tell_keys(self, keys: str = "") -> None:
        back = "enter goes back"
        self.query_one("#write-keys", Static).update(f"{keys} · {back}" if keys else back)

    def on_failed(self, event: Failed) -> None:
        """Show what went wrong."""
        event.stop()
        if event.stage == "print":
            self._queue = ""
            self._tell_keys()
            self.query_one("#sent", Static).update(Text(told(event.problem)))
            return
        self._end("✕ Nothing was written", Text(told(event.problem)))

    def on_write_stopped(self, event: WriteStopped) -> None:
        """Say that nothing was written."""
        event.stop()
        self._end("Stopped", Text("Nothing was written. An older pack is as it was."))

    def _end(self, title: str, text: Text) -> None:
        self._is_done = True
        self.query_one("#write-title", Static).update(title)
        self.query_one("#bar").display = False
        self.query_one("#write-stage").display = False
        self.query_one("#result", Static).update(text)
        self._tell_keys()

    def action_stop(self) -> None:
        """Call the writing off; when it is over, go back."""
        if self._is_done:
            self.dismiss(self._outcome)
        elif self._work is not None:
            self._work.cancel()
            self.query_one("#write-keys", Static).update("stopping …")

    def action_close(self) -> None:
        """Go back, once it is over."""
        if self._is_done:
            self.dismiss(self._outcome)


def _steps(outcome: Outcome) -> list[str]:
    """What to do after the first print."""
    steps = ["Print the other pages in the same way when both bars measure right."]
    if len(outcome.prepared.plan.tiles) > 1:
        pages = ", ".join(str(page) for page in outcome.assembly_pages)
        steps.append(
            f"Join the sheets as page {pages} shows. Cut on a mat, along a steel rule, away from your hand."
        )
    return steps
