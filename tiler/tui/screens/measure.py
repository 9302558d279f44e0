"""What can be done with readings: write the sheet to be read, choose printer and paper, keep the profile."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from textual import on
from textual.message import Message
from textual.widgets import Button

from tiler.errors import TilerError, UsageError
from tiler.job import Job
from tiler.printers.keeping import keep_readings, known_profile, write_calibration_sheet
from tiler.printers.profile_files import list_profiles, profile_path
from tiler.printers.sheets import sheet_label
from tiler.tui.beside import beside, folder_for
from tiler.tui.measure_rows import short_words
from tiler.tui.messages import Failed
from tiler.tui.paper_rows import sheet_row
from tiler.tui.row import Option, Row
from tiler.tui.screens.dialogs import AskScreen, ChooseScreen, ConfirmScreen, Question, Reply
from tiler.tui.screens.key_help import key_help
from tiler.tui.screens.measure_base import KEYS, MeasureBase
from tiler.tui.words import told
from tiler.tui.work import problem_of


class MeasureScreen(MeasureBase):
    """Takes keys and presses."""

    @dataclass
    class SheetWritten(Message):
        """The calibration sheet lies in its file."""

        path: Path

    # -- choices

    @on(Button.Pressed, "#printer")
    def action_choose_printer(self) -> None:
        """Choose a profile, or name a new one."""
        row = self._printer_row()
        self.app.push_screen(ChooseScreen(row, self._named(self.printer)), self._take_printer)

    def _named(self, name: str) -> Job:
        return replace(self.setting.job, printer=name or None)

    def _printer_row(self) -> Row:
        profiles = list_profiles(self.setting.folder).profiles
        return Row(
            "printer",
            "Which printer?",
            "Paper",
            self.printer,
            "One that was measured before, or the name of a new one.",
            tuple(Option(f"{one.name}  ·  {short_words(one)}", self._named(one.name)) for one in profiles),
            typed=lambda text: self._named(self._read_name(text)),
            hint="a name, such as Studio laser",
        )

    def _read_name(self, text: str) -> str:
        """A name for a profile.

        Raises:
            TilerError: There is none, or it cannot be used.
        """
        name = " ".join(text.split())
        if not name:
            raise UsageError("the printer has no name", "write one, such as Studio laser")
        profile_path(self.setting.folder, name)
        known = known_profile(self.setting.folder, name)
        return known.name if known is not None else name

    def _take_printer(self, job: Job | None) -> None:
        if job is not None:
            self.printer = job.printer or ""
            self.show_choices()

    @on(Button.Pressed, "#sheet-choice")
    def action_choose_sheet(self) -> None:
        """Choose the paper of the calibration sheet."""
        job = replace(self.setting.job, sheet=self.sheet)
        self.app.push_screen(ChooseScreen(sheet_row(job), job), self._take_sheet)

    def _take_sheet(self, job: Job | None) -> None:
        if job is not None:
            self.sheet = job.sheet
            self.show_choices()

    # -- the calibration sheet

    def action_write_sheet(self) -> None:
        """Ask where the calibration sheet goes, and write it."""
        at = self.sheet_path()
        text = f"Front and back for {sheet_label(self.sheet)}. Print both at actual size, with fitting off."
        question = Question("Write the calibration sheet", text, self.read_path, value=str(at))
        self.app.push_screen(AskScreen(question), self._ask_to_replace)

    def sheet_path(self) -> Path:
        """Where the calibration sheet goes unless the user says otherwise: beside the flat."""
        label = sheet_label(self.sheet).replace(" ", "")
        return beside(self.setting.job.flat.absolute(), f"calibration_{label}.pdf")

    def read_path(self, text: str) -> Path:
        """Where the calibration sheet goes, as it was typed.

        Raises:
            UsageError: Nothing is named.
        """
        if not text.strip():
            raise UsageError("no file is named", "write a path that ends with .pdf")
        path = Path(text.strip()).expanduser()
        path = path if path.is_absolute() else folder_for(self.setting.job.flat.absolute()) / path
        return path if path.suffix.lower() == ".pdf" else path.with_name(f"{path.name}.pdf")

    def _ask_to_replace(self, path: Path | None) -> None:
        if path is None:
            return
        if not path.exists():
            self._write_sheet(path)
            return
        self.app.push_screen(
            ConfirmScreen(
                "Replace the file?",
                f"{path} is already there.",
                (Reply("keep", "Keep it", is_main=True), Reply("replace", "Replace")),
            ),
            lambda reply: self._write_sheet(path) if reply == "replace" else None,
        )

    def _write_sheet(self, path: Path) -> None:
        sheet, inputs = self.sheet, self.setting.job.inputs

        def write() -> None:
            try:
                write_calibration_sheet(sheet, path, inputs)
            except Exception as error:  # whatever it is, the screen lives on
                self._post(Failed(None, problem_of(error, "writing the calibration sheet"), "write"))
                return
            self._post(self.SheetWritten(path))

        self.run_worker(write, thread=True, exclusive=True, group="sheet", exit_on_error=False)

    def _post(self, message: Message) -> None:
        """Report from a worker; a screen that has gone takes no reports."""
        if self.is_running:
            self.post_message(message)

    def on_measure_screen_sheet_written(self, event: SheetWritten) -> None:
        """Say what to do with it."""
        event.stop()
        self.notify(
            f"{event.path.name} is written. Print both pages at 100 %, let the sheet rest five minutes.",
            timeout=8,
            markup=False,
        )

    def on_failed(self, event: Failed) -> None:
        """Tell what went wrong."""
        event.stop()
        self.notify(told(event.problem), severity="error", timeout=8, markup=False)

    # -- keeping

    def action_save(self) -> None:
        """Keep the readings; ask for a name, and before a profile that is there is changed."""
        if not any(words.strip() for words in self.typed().values()):
            self.notify("There is no reading yet.", severity="warning", timeout=4)
        elif not self.printer:
            question = Question(
                "Name the printer",
                "The profile keeps its margins, scale and skew.",
                self._read_name,
                hint="Studio laser",
            )
            self.app.push_screen(AskScreen(question), self._save_as)
        elif profile_path(self.setting.folder, self.printer).exists():
            self._ask_how()
        else:
            self._keep(anew=False)

    def _save_as(self, name: str | None) -> None:
        if name is not None:
            self.printer = name
            self.show_choices()
            self.action_save()

    def _ask_how(self) -> None:
        known = self.known()
        words = short_words(known) if known is not None else "cannot be read"
        self.app.push_screen(
            ConfirmScreen(
                "The printer is known",
                f"{self.printer}: {words}.\n\nTake the new readings in and keep the rest, or begin anew?",
                (
                    Reply("add", "Take them in", is_main=True),
                    Reply("anew", "Begin anew"),
                    Reply("keep", "Leave it"),
                ),
            ),
            self._keep_as_told,
        )

    def _keep_as_told(self, reply: str | None) -> None:
        if reply in ("add", "anew"):
            self._keep(anew=reply == "anew")

    def _keep(self, anew: bool) -> None:
        try:
            kept = keep_readings(self.setting.folder, self.printer, self.readings(), date.today(), anew)
        except TilerError as error:
            self.work_out(patient=False)
            self.notify(told(problem_of(error, "saving")), severity="error", timeout=8, markup=False)
            return
        self.dismiss(kept)

    def action_help(self) -> None:
        """All keys."""
        self.app.push_screen(key_help("Help: printer readings", KEYS))

    def action_back(self) -> None:
        """Go back; nothing is kept."""
        if not any(words.strip() for words in self.typed().values()):
            self.dismiss(None)
            return
        self.app.push_screen(
            ConfirmScreen(
                "Leave the readings?",
                "They stand in no profile yet.",
                (Reply("stay", "Stay", is_main=True), Reply("drop", "Discard")),
            ),
            self._leave_as_told,
        )

    def _leave_as_told(self, reply: str | None) -> None:
        if reply == "drop":
            self.dismiss(None)
