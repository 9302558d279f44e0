"""The application: opens flats and tickets, keeps the theme, and leaves the terminal as it found it."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import ClassVar

from textual import events
from textual.app import App, SystemCommand
from textual.binding import Binding, BindingType
from textual.screen import Screen

from tiler.errors import TilerError
from tiler.job import Job
from tiler.parts import is_parts_ticket, load_parts
from tiler.printers.profile import Profile
from tiler.printers.sheets import default_sheet
from tiler.run import Outcome
from tiler.ticket import load_ticket
from tiler.tui.commands import COMMANDS
from tiler.tui.parts_state import PartsSession
from tiler.tui.pasted import is_ticket, pasted_path
from tiler.tui.recent import remember, state_folder
from tiler.tui.screens.dialogs import ConfirmScreen, Reply
from tiler.tui.screens.parts import PartsScreen
from tiler.tui.screens.plan import PlanScreen
from tiler.tui.screens.reading import help_screen
from tiler.tui.screens.start import StartScreen
from tiler.tui.screens.writing import WriteScreen
from tiler.tui.state import Session
from tiler.tui.themes import DARK, LIGHT, THEMES


@dataclass(frozen=True)
class Surroundings:
    """What the application takes from the system, so that a test can give its own."""

    state: Path
    """Folder for what is remembered between sessions."""
    folder: Path
    """Folder that is shown first."""
    environ: Mapping[str, str]
    profiles: tuple[Profile, ...] = ()
    printer: str | None = None
    """The printer in use, for a flat opened without a ticket."""
    sample: Path | None = None
    """A flat to try; None when it is not installed."""

    @property
    def is_plain(self) -> bool:
        """True when no colours are wanted (no-color.org: NO_COLOR set and not empty)."""
        return bool(self.environ.get("NO_COLOR"))


def surroundings() -> Surroundings:
    """The system as it is."""
    from tiler.printers.in_use import profiles_folder
    from tiler.printers.profile_files import list_profiles

    printers = list_profiles(profiles_folder())
    sample = Path(__file__).parents[2] / "sample_art" / "lid.pdf"
    return Surroundings(
        state=state_folder(),
        folder=Path.cwd(),
        environ=os.environ,
        profiles=printers.profiles,
        printer=printers.default,
        sample=sample if sample.is_file() else None,
    )


class TilerApp(App[None]):
    """Opens what it is given, else asks.

    Args:
        around: The system.
        job: A job to begin with.
        ticket: The ticket that the job was read from.
        path: A file to begin with; not together with ``job``.
    """

    TITLE = "tiler"
    CSS_PATH = "app.tcss"
    ENABLE_COMMAND_PALETTE = True
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+c", "interrupt", "Leave", show=False, priority=True),
        Binding("ctrl+q", "interrupt", "Leave", show=False),
    ]

    def __init__(
        self,
        around: Surroundings | None = None,
        job: Job | None = None,
        ticket: Path | None = None,
        path: Path | None = None,
    ) -> None:
        super().__init__()
        self.around = around or surroundings()
        self.written: Outcome | None = None
        """The pack that was written last."""
        self._job, self._ticket, self._path = job, ticket, path
        for theme in THEMES.values():
            self.register_theme(theme)
        self.theme = DARK

    def get_theme_variable_defaults(self) -> dict[str, str]:
        """Our own colour names, for a theme that lacks them."""
        return THEMES[DARK].variables

    def on_mount(self) -> None:
        """Open what was given, else ask."""
        if self._job is not None:
            self._begin(Session.of(self._job, self._ticket))
        elif self._path is not None:
            self.open_path(self._path)
        else:
            self.ask_for_file()

    # -- opening

    def ask_for_file(self) -> None:
        """Let the user choose a file."""
        around = self.around
        has_job = isinstance(self.screen, PlanScreen | PartsScreen)
        self.push_screen(StartScreen(around.folder, around.state, around.sample, has_job), self._chosen)

    def _chosen(self, path: Path | None) -> None:
        if path is not None:
            self.open_path(path)

    def open_path(self, path: Path) -> None:
        """Open a flat or a ticket, unless unsaved choices hold the user back."""
        try:
            begin = self._beginning(path)
        except TilerError as problem:
            self.notify(str(problem), title=path.name, severity="error", timeout=10, markup=False)
            if not isinstance(self.screen, PlanScreen | PartsScreen | StartScreen):
                self.ask_for_file()
            return
        self._guarded("Open another file?", begin)

    def _beginning(self, path: Path) -> Callable[[], None]:
        """What begins with a file.

        Raises:
            TilerError: The ticket cannot be read.
        """
        if is_ticket(path) and is_parts_ticket(path):
            return partial(self._begin_parts, PartsSession.of(load_parts(path), path))
        return partial(self._begin, self._session(path))

    def _session(self, path: Path) -> Session:
        """The session that a file begins.

        Raises:
            TilerError: The ticket cannot be read.
        """
        if is_ticket(path):
            return Session.of(load_ticket(path), path)
        return Session.of(Job(path, default_sheet(self.around.environ), printer=self.around.printer))

    def _begin(self, session: Session) -> None:
        remember(self.around.state, session.ticket or session.job.flat)
        self._show_alone(PlanScreen(session, self.around.profiles, self.around.is_plain))

    def _begin_parts(self, session: PartsSession) -> None:
        remember(self.around.state, session.ticket)
        self._show_alone(PartsScreen(session, self.around.profiles, self.around.is_plain))

    def _show_alone(self, screen: Screen[None]) -> None:
        while len(self.screen_stack) > 1:
            self.pop_screen()
        self.push_screen(screen)

    def on_paste(self, event: events.Paste) -> None:
        """A file dropped on the terminal arrives as pasted text."""
        path = pasted_path(event.text)
        if path is not None and path.is_file():
            event.stop()
            if isinstance(self.screen, StartScreen):
                self.screen.dismiss(path)
            elif isinstance(self.screen, PlanScreen | PartsScreen):
                self.screen.drop(path)

    # -- leaving

    def action_interrupt(self) -> None:
        """Leave, but not with unsaved choices; a second time leaves at once. Stops a pack being written."""
        if isinstance(self.screen, WriteScreen):
            self.screen.action_stop()
        elif isinstance(self.screen, ConfirmScreen):
            self.exit()
        else:
            self._guarded("Leave tiler?", self.exit)

    def _holder(self) -> PlanScreen | PartsScreen | None:
        """The screen that holds the choices: the list of the parts, if there is one, else the plan."""
        for screen in self.screen_stack:
            if isinstance(screen, PlanScreen | PartsScreen):
                return screen
        return None

    def _guarded(self, title: str, go_on: Callable[[], object]) -> None:
        """Go on at once, or ask first when choices are not saved."""
        holder = self._holder()
        if isinstance(holder, PartsScreen):
            opened = next((one for one in self.screen_stack if isinstance(one, PlanScreen)), None)
            if opened is not None:
                holder.take_part(opened.work.job)
        if holder is None or not holder.work.is_unsaved:
            go_on()
            return

        def reply(answer: str | None) -> None:
            if answer == "drop":
                go_on()
            elif answer == "save":
                holder.action_save()

        name = holder.work.ticket.name if isinstance(holder, PartsScreen) else holder.work.job.flat.name
        text = f"The choices for {name} stand in no ticket and in no pack yet."
        replies = (
            Reply("save", "Save ticket", is_main=True),
            Reply("drop", "Leave them"),
            Reply("stay", "Stay"),
        )
        self.push_screen(ConfirmScreen(title, text, replies), reply)

    # -- the rest

    def action_theme(self) -> None:
        """Between dark and light."""
        self.theme = LIGHT if self.theme == DARK else DARK

    def action_help(self) -> None:
        """All keys."""
        self.push_screen(help_screen())

    def get_system_commands(self, screen: Screen[object]) -> Iterable[SystemCommand]:
        """The palette: the commands of the plan screen where it shows, and those that always hold."""
        if isinstance(screen, PlanScreen):
            for command in COMMANDS:
                if command.is_listed and command.action != "leave":
                    yield SystemCommand(
                        command.label, command.help, partial(screen.run_action, command.action)
                    )
        else:
            yield SystemCommand("Light or dark", "Change between dark and light.", self.action_theme)
            yield SystemCommand("Help", "All keys.", self.action_help)
        yield SystemCommand("Quit", "Leave tiler.", self.action_interrupt)
