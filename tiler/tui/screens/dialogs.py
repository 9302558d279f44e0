"""Small dialogs: ask for one line, ask a question, choose a value."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import ClassVar, Generic, TypeVar

from rich.text import Text
from textual import events, on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical
from textual.screen import ModalScreen
from textual.widgets import Button, Input, OptionList, Static
from textual.widgets.option_list import Option as ListOption

from tiler.errors import TilerError
from tiler.job import Job
from tiler.tui.row import Row
from tiler.tui.words import capital

Value = TypeVar("Value")

CANCEL: list[BindingType] = [Binding("escape", "cancel", "Back", key_display="esc")]


@dataclass(frozen=True)
class Question(Generic[Value]):
    """One line to be typed."""

    title: str
    text: str
    read: Callable[[str], Value]
    """Turns the line into a value; raises ``TilerError`` when it cannot."""
    value: str = ""
    """What stands there at first."""
    hint: str = ""
    """Shown while the line is empty."""
    is_secret: bool = False
    """True hides what is typed."""


class AskScreen(ModalScreen[Value | None]):
    """Asks for one line until it can be read, or until the user goes back."""

    BINDINGS: ClassVar[list[BindingType]] = CANCEL

    def __init__(self, question: Question[Value]) -> None:
        super().__init__()
        self._question = question

    def compose(self) -> ComposeResult:
        """Title, sentence, line, and what is wrong with it."""
        asked = self._question
        with Vertical(classes="dialog"):
            yield Static(asked.title, classes="title")
            yield Static(asked.text, classes="text", markup=False)
            yield Input(
                asked.value,
                placeholder=asked.hint,
                password=asked.is_secret,
                id="line",
                select_on_focus=False,
            )
            yield Static(id="wrong", markup=False)
            yield Static("enter takes it · esc goes back", classes="keys")

    @on(Input.Submitted)
    def _submit(self, event: Input.Submitted) -> None:
        try:
            self.dismiss(self._question.read(event.value))
        except TilerError as problem:
            self.query_one("#wrong", Static).update(f"✕ {_sentence(problem)}")

    def on_mount(self) -> None:
        """Show the end of a long path, which holds the name of the file."""
        self.call_after_refresh(self._show_end)

    def _show_end(self) -> None:
        line = self.query_one("#line", Input)
        line.cursor_position = 0
        line.cursor_position = len(line.value)

    @on(Input.Changed)
    def _change(self) -> None:
        self.query_one("#wrong", Static).update("")

    def action_cancel(self) -> None:
        """Go back without a value."""
        self.dismiss(None)


class ChooseScreen(ModalScreen[Job | None]):
    """All values of a row; where the row allows it, one can be typed too."""

    BINDINGS: ClassVar[list[BindingType]] = CANCEL

    def __init__(self, row: Row, job: Job) -> None:
        super().__init__()
        self._row, self._job = row, job

    def compose(self) -> ComposeResult:
        """Title, values, line to type in."""
        row = self._row
        with Vertical(classes="dialog"):
            yield Static(row.label, classes="title", markup=False)
            yield Static(row.help, classes="text", markup=False)
            if row.options:
                yield OptionList(*(ListOption(self._prompt(i)) for i in range(len(row.options))), id="values")
            if row.typed is not None:
                hint = f"or type {row.hint}" if row.options else row.hint
                yield Input(placeholder=hint, id="line", select_on_focus=False)
                yield Static(id="wrong", markup=False)
            keys = "enter takes it · esc goes back"
            yield Static(f"tab to type · {keys}" if row.options and row.typed else keys, classes="keys")

    def _prompt(self, index: int) -> Text:
        option = self._row.options[index]
        return Text(f"{'●' if option.job == self._job else ' '} {option.text}")

    def on_mount(self) -> None:
        """Begin at the present value."""
        if self._row.options:
            values = self.query_one("#values", OptionList)
            now = [i for i, option in enumerate(self._row.options) if option.job == self._job]
            values.highlighted = now[0] if now else 0
            values.focus()
        else:
            self.query_one("#line", Input).focus()

    def on_key(self, event: events.Key) -> None:
        """A value may be typed while the list has the focus."""
        if self._row.typed is not None:
            type_into(self.query_one("#line", Input), event)

    def on_paste(self, event: events.Paste) -> None:
        """What is pasted, or dropped, on the list goes into the line."""
        if self._row.typed is not None:
            event.stop()
            line = self.query_one("#line", Input)
            line.focus()
            line.insert_text_at_cursor((event.text.splitlines() or [""])[0])

    @on(OptionList.OptionSelected)
    def _choose(self, event: OptionList.OptionSelected) -> None:
        self.dismiss(self._row.options[event.option_index].job)

    @on(Input.Submitted)
    def _submit(self, event: Input.Submitted) -> None:
        if self._row.typed is None or not event.value.strip():
            return
        try:
            self.dismiss(self._row.typed(event.value))
        except TilerError as problem:
            self.query_one("#wrong", Static).update(f"✕ {_sentence(problem)}")

    def action_cancel(self) -> None:
        """Leave the row as it is."""
        self.dismiss(None)


@dataclass(frozen=True)
class Reply:
    """One way to answer a question."""

    name: str
    label: str
    is_main: bool = False
    """True for the safe and usual one, which has the focus."""


class ConfirmScreen(ModalScreen[str | None]):
    """Asks a question with a few buttons."""

    BINDINGS: ClassVar[list[BindingType]] = [
        *CANCEL,
        Binding("left", "app.focus_previous", show=False),
        Binding("right", "app.focus_next", show=False),
    ]

    def __init__(self, title: str, text: str, replies: tuple[Reply, ...]) -> None:
        super().__init__()
        self._title, self._text, self._replies = title, text, replies

    def compose(self) -> ComposeResult:
        """Title, sentence, buttons."""
        with Vertical(classes="dialog"):
            yield Static(self._title, classes="title")
            yield Static(self._text, classes="text", markup=False)
            with Horizontal(classes="buttons"):
                for reply in self._replies:
                    yield Button(
                        reply.label, id=reply.name, variant="primary" if reply.is_main else "default"
                    )
            yield Static("← → and enter · esc goes back", classes="keys")

    def on_mount(self) -> None:
        """Begin at the usual reply."""
        main = next((reply for reply in self._replies if reply.is_main), self._replies[0])
        self.query_one(f"#{main.name}", Button).focus()

    @on(Button.Pressed)
    def _reply(self, event: Button.Pressed) -> None:
        self.dismiss(event.button.id)

    def action_cancel(self) -> None:
        """No reply."""
        self.dismiss(None)


def type_into(line: Input, event: events.Key) -> None:
    """Put a letter that was typed beside a line into it, and go on there.

    Args:
        line: Must not select its text when it gets the focus, which would overwrite the letter.
        event: A key that no other widget took.
    """
    if event.is_printable and event.character not in (None, " ") and not line.has_focus:
        event.stop()
        line.focus()
        line.insert_text_at_cursor(event.character or "")


def _sentence(problem: TilerError) -> str:
    """A problem and its remedy as one sentence with a full stop."""
    return f"{capital(str(problem))}."
