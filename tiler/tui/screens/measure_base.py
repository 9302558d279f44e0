"""Readings of a calibration sheet: the fields, a drawing that shows which is which, and what they come to."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import ClassVar

from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.events import DescendantFocus, Paste, Resize
from textual.screen import Screen
from textual.timer import Timer
from textual.widgets import Button, Footer, Input, Static

from tiler.errors import TilerError
from tiler.geometry import Size
from tiler.job import Job
from tiler.printers.bars import calibration_bars
from tiler.printers.keeping import Kept, known_profile
from tiler.printers.measure import SheetReadings, measured_profile
from tiler.printers.profile import Profile
from tiler.printers.readings import check_readings
from tiler.printers.sheets import sheet_label
from tiler.tui.measure_rows import (
    FIELDS,
    Field,
    drawing,
    missing_words,
    read_fields,
    result_lines,
    spans_both_ways,
    true_lengths,
    whole_readings,
)
from tiler.tui.pasted import pasted_path
from tiler.tui.screens.key_help import told_key
from tiler.tui.screens.plan_base import HEIGHTS, WIDTHS
from tiler.tui.words import capital, told
from tiler.tui.work import problem_of

PATIENCE = 0.7
"""Seconds after the last key before a number that cannot be is told: it may be half typed."""

BEGIN = (
    "Print the calibration sheet (f2) at 100 %, let it rest, measure it with a steel rule, and type what you "
    "read, from line middle to line middle. One line across and one along do; each further one makes it more "
    "certain."
)

KEYS: list[BindingType] = [
    told_key("ctrl+s", "save", "Save", "Keep the readings in the printer's profile."),
    told_key("f2", "write_sheet", "Calibration sheet", "Write the sheet that is printed and measured."),
    told_key("f3", "choose_printer", "Printer", "Choose a printer, or name a new one."),
    told_key("f4", "choose_sheet", "Sheet", "Choose the paper of the calibration sheet."),
    replace(
        told_key("up", "app.focus_previous", "Field before", "Go to it.", "↑", show=False), priority=True
    ),
    replace(told_key("down", "app.focus_next", "Next field", "Go to it.", "↓", show=False), priority=True),
    told_key("escape", "back", "Back", "Go back to the plan.", "esc"),
    replace(told_key("question_mark,f1", "help", "Help", "All keys.", "?"), priority=True),
]


@dataclass(frozen=True)
class Setting:
    """What the screen is opened with."""

    job: Job
    """The present job: its sheet and its printer are where the screen begins."""
    folder: Path
    """The user's folder of profiles."""
    flat: Size | None = None
    """Size of the present flat on paper, mm."""
    landscape: bool = False
    """True when most of its tiles lie on their side."""
    plain: bool = False
    """True for a terminal without colours."""


class ReadingLine(Input):
    """A line for one reading; a file that is dropped on it is none and goes on to the screens behind."""

    def check_consume_key(self, key: str, character: str | None) -> bool:
        """Leave the question mark to the help: it is in no number."""
        return character != "?" and super().check_consume_key(key, character)

    def on_paste(self, event: Paste) -> None:
        """Keep paths out."""
        if pasted_path(event.text) is not None:
            event.prevent_default()


class MeasureBase(Screen[Kept | None]):
    """Shows fields, drawing and result; ends with the profile that was kept."""

    BINDINGS: ClassVar[list[BindingType]] = KEYS
    HORIZONTAL_BREAKPOINTS = WIDTHS
    VERTICAL_BREAKPOINTS = HEIGHTS

    def __init__(self, setting: Setting) -> None:
        super().__init__()
        self.setting = setting
        self.sheet = setting.job.sheet
        self.printer = setting.job.printer or ""
        """Name of the profile; empty until one is chosen."""
        self._timer: Timer | None = None
        self._field = ""

    def compose(self) -> ComposeResult:
        """Title; printer and sheet; fields left, drawing right; result; keys."""
        yield Static("  Printer readings", id="title", markup=False)
        with Horizontal(id="measure-top"):
            yield Button("", id="printer")
            yield Button("", id="sheet-choice")
        with Horizontal(id="measure-bench"):
            with VerticalScroll(id="fields", can_focus=False):
                yield from self._compose_fields()
            with Vertical(id="measure-look"):
                yield Static(id="drawing")
                yield Static(id="field-help", markup=False)
        with VerticalScroll(id="result-box", can_focus=False):
            yield Static(BEGIN, id="readings-result", markup=False)
        yield Footer(show_command_palette=False)

    def _compose_fields(self) -> Iterator[Horizontal | Static]:
        """Bars one below the other, then the steps and the back in pairs."""
        yield Static(f"{'Lines, mm':<15}{'true':>6}  measured", classes="field-heading")
        for field in FIELDS:
            if field.group == "bar":
                yield Horizontal(*self._parts(field), classes="field-row")
        for heading, keys in (
            ("First number you see at each edge, mm", ("edge top", "edge bottom")),
            ("", ("edge left", "edge right")),
            ("Where the cross shows on the back, mm", ("back right", "back down")),
        ):
            if heading:
                yield Static(heading, classes="field-heading")
            pair = [field for key in keys for field in FIELDS if field.key == key]
            yield Horizontal(*(part for field in pair for part in self._parts(field)), classes="field-row")

    def _parts(self, field: Field) -> Iterator[Static | Input]:
        """Name, and a line to type in."""
        kind = "bar" if field.group == "bar" else "small"
        yield Static(field.label, id=f"{_id(field.key)}-name", classes=f"field-name {kind}")
        yield ReadingLine(id=_id(field.key), classes=f"reading {kind}", select_on_focus=False)

    def on_mount(self) -> None:
        """Begin at the first field, or at the printer when none is chosen."""
        self.show_choices()
        self.query_one(f"#{_id('top')}", Input).focus()

    # -- choices

    def show_choices(self) -> None:
        """Printer and sheet, and what the lines measure on a true sheet."""
        known = self.known()
        if not self.printer:
            words = "Printer: none chosen"
        else:
            words = f"Printer: {self.printer}{'' if known is not None else ' (new)'}"
        for name, label in (("printer", words), ("sheet-choice", f"Sheet: {sheet_label(self.sheet)}")):
            button = self.query_one(f"#{name}", Button)
            button.label = Text(label, no_wrap=True, overflow="ellipsis")
            button.refresh(layout=True)
        lengths = true_lengths(self.sheet)
        margins = known.margins_for(self.sheet) if known is not None else None
        for field in FIELDS:
            line = self.query_one(f"#{_id(field.key)}", Input)
            if field.group == "bar":
                words = f"{field.label:<15}{lengths.get(field.key, ''):>6}"
                self.query_one(f"#{_id(field.key)}-name", Static).update(words)
            elif field.group == "edge" and margins is not None:
                line.placeholder = f"{margins._asdict()[field.label]:g}"
            else:
                line.placeholder = ""
        self.work_out(patient=False)

    def known(self) -> Profile | None:
        """The profile that is there already; None for a new one, or one that cannot be read."""
        try:
            return known_profile(self.setting.folder, self.printer) if self.printer else None
        except TilerError:
            return None

    # -- the field that is typed in

    @on(DescendantFocus)
    def _enter(self, event: DescendantFocus) -> None:
        """Show which line it is."""
        key = next((field.key for field in FIELDS if event.widget.id == _id(field.key)), "")
        self._field = key or self._field
        self._show_drawing()

    @on(Resize)
    def _resize(self) -> None:
        self.call_after_refresh(self._show_drawing)

    def _show_drawing(self) -> None:
        """Draw the sheet as large as there is room, upright as paper is."""
        look = self.query_one("#measure-look")
        rows = max(11, min(look.size.height - 3, 31)) | 1
        columns = max(25, min(look.size.width - 2, round(rows * 2 * 0.85))) | 1
        accent = "bold" if self.setting.plain else f"bold {self.app.theme_variables['accent']}"
        self.query_one("#drawing", Static).update(
            drawing(self._field, columns, rows, self.setting.plain, accent)
        )
        help_of = {field.key: field.help for field in FIELDS}
        self.query_one("#field-help", Static).update(help_of.get(self._field, ""))

    @on(Input.Submitted)
    def _next(self) -> None:
        """Enter goes to the next field."""
        self.work_out(patient=False)
        self.focus_next(Input)

    @on(Input.Changed)
    def _change(self) -> None:
        if self._timer is not None:
            self._timer.stop()
        self._timer = self.set_timer(PATIENCE, lambda: self.work_out(patient=False))
        self.work_out(patient=True)

    # -- what it comes to

    def typed(self) -> dict[str, str]:
        """What stands in the fields."""
        return {field.key: self.query_one(f"#{_id(field.key)}", Input).value for field in FIELDS}

    def readings(self) -> SheetReadings:
        """What was typed.

        Raises:
            UsageError: Something is no length.
        """
        return read_fields(self.typed(), self.sheet)

    def work_out(self, patient: bool) -> None:
        """Show what the readings come to, or why they cannot be.

        Args:
            patient: True says nothing yet of what cannot be, as it may be half typed.
        """
        shown = self.query_one("#readings-result", Static)
        if not any(words.strip() for words in self.typed().values()):
            self._say(shown, BEGIN, "quiet")
            return
        try:
            lines = self._result()
        except Exception as error:  # a reading may be anything; the screen lives on
            if not patient:
                self._say(shown, f"✕ {told(problem_of(error, 'working out the readings'))}", "wrong")
            return
        self._say(shown, "\n".join(lines), "right" if len(lines) > 1 else "quiet")

    def _result(self) -> tuple[str, ...]:
        """What is read so far comes to, and what is missing yet.

        Raises:
            TilerError: A reading cannot be.
        """
        typed = self.typed()
        readings, gap = whole_readings(typed, self.sheet), missing_words(typed)
        notes = (f"{capital(gap)} yet.",) if gap else ()
        check_readings(calibration_bars(self.sheet) if readings.lengths else (), readings.lengths)
        if not spans_both_ways(readings):
            return ("One line across the sheet and one along it are needed for a result.", *notes)
        if not (readings.lengths or readings.edges or readings.back):
            return notes
        before = self.known() or Profile(self.printer or "printer")
        profile, found = measured_profile(before, readings, date.today())
        return (*result_lines(profile, found, self.setting.flat, self.setting.landscape), *notes)

    def _say(self, shown: Static, words: str, kind: str) -> None:
        shown.update(words)
        shown.set_classes(kind)


def _id(key: str) -> str:
    """The name of a field's widget."""
    return f"reading-{key.replace(' ', '-')}"
