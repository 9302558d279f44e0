"""How many sheets, large, and what that means."""

from __future__ import annotations

from rich.text import Text
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.reactive import reactive
from textual.widgets import Digits, Static

from tiler.tui.answer import Answer
from tiler.tui.words import told
from tiler.tui.work import Problem


class AnswerPanel(Vertical):
    """The plan in a few words, or why there is none."""

    answer: reactive[Answer | None] = reactive(None)
    problem: reactive[Problem | None] = reactive(None)
    notes: reactive[int] = reactive(0)
    busy: reactive[str] = reactive("")
    _lines = -1
    """Line breaks of the words shown; the panel is laid out anew only when there are others."""

    def compose(self) -> ComposeResult:
        """A number, words beside it, a line below."""
        with Horizontal(id="answer-line"):
            yield Digits("", id="count")
            yield Static(id="words")
        yield Static(id="problem")
        yield Static(id="state")

    def watch_answer(self) -> None:
        """Show another answer."""
        self._show()

    def watch_problem(self) -> None:
        """Show what went wrong, or no more."""
        self._show()

    def watch_notes(self) -> None:
        """Show how many notes there are."""
        self._show()

    def watch_busy(self) -> None:
        """Show what is being done."""
        self._show()

    def on_mount(self) -> None:
        """Show the first state."""
        self.query_one("#count").display = False
        self._show()

    def _show(self) -> None:
        if not self.is_mounted:
            return
        answer, problem = self.answer, self.problem
        self.query_one("#answer-line").display = problem is None
        panel = self.query_one("#problem", Static)
        panel.display = problem is not None
        if problem is not None:
            panel.update(_problem_text(problem))
        count = self.query_one("#count", Digits)
        number = str(answer.sheets) if answer else ""
        if count.value != number:
            count.update(number)
            count.display = bool(number)
        words = _answer_text(answer) if answer else Text("")
        lines = words.plain.count("\n")
        self.query_one("#words", Static).update(words, layout=lines != self._lines)
        self._lines = lines
        self.query_one("#state", Static).update(self._state(), layout=False)

    def _state(self) -> Text:
        """What is being done, else notes."""
        if self.busy:
            return Text(f"… {self.busy}")
        if self.notes and self.problem is None:
            return Text(f"! {self.notes} note{'s' if self.notes != 1 else ''}, press n")
        return Text("")


def _answer_text(answer: Answer) -> Text:
    lines = [answer.against_grid, answer.lies, answer.folds, answer.printed]
    text = Text(answer.headline, style="bold")
    for line in lines:
        if line:
            text.append(f"\n{line}", style="not bold")
    return text


def _problem_text(problem: Problem) -> Text:
    text = Text("✕ No plan. ", style="bold")
    return text.append(told(problem), style="not bold")
