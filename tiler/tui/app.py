"""The application: opens flats and tickets, keeps the theme, and leaves the terminal as it found it."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from textual import events
from textual.app import App, SystemCommand
from textual.binding import Binding, BindingType
from textual.screen import Screen

from tiler.errors import TilerError
from tiler.tui.commands import COMMANDS
from tiler.tui.pasted import is_ticket, not_opened, pasted_path
from tiler.tui.recent import remember
from tiler.tui.screens.dialogs import ConfirmScreen, Reply
from tiler.tui.screens.plan import PlanScreen
from tiler.tui.state import Session
from tiler.tui.surroundings import Surroundings, surroundings
from tiler.tui.themes import DARK, LIGHT, THEMES

if TYPE_CHECKING:
    from tiler.job import Job
    from tiler.run import Outcome
    from tiler.tui.early import EarlyWork
    from tiler.tui.parts_state import PartsSession
    from tiler.tui.screens.parts import PartsScreen


class TilerApp(App[None]):
    """Opens what it is given, else asks.

    Args:
        around: The system.
        job: A job to begin with.
        ticket: The ticket that the job was read from.
        path: A file to begin with; not together with ``job``.
        early: Work on ``job`` that has begun already.
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
        early: EarlyWork | None = None,
    ) -> None:
        super().__init__()
        self.around = around or surroundings()
        self.written: Outcome | None = None
        """The pack that was written last."""
        self._job, self._ticket, self._path, self._early = job, ticket, path, early
        self._parts: PartsScreen | None = None
        """The list of the parts that is open."""
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
        from tiler.tui.screens.start import StartScreen

        around = self.around
        has_job = isinstance(self.screen, PlanScreen) or self.screen is self._parts
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
            if len(self.screen_stack) == 1:
                self.ask_for_file()
            return
        self._guarded("Open another file?", begin)

    def _beginning(self, path: Path) -> Callable[[], None]:
        """What begins with a file.

        Raises:
            TilerError: The ticket cannot be read.
        """
        if is_ticket(path):
            from tiler.parts import is_parts_ticket, load_parts

            if is_parts_ticket(path):
                from tiler.tui.parts_state import PartsSession

                return partial(self._begin_parts, PartsSession.of(load_parts(path), path))
        return partial(self._begin, self._session(path))

    def _session(self, path: Path) -> Session:
        """The session that a file begins.

        Raises:
            TilerError: The ticket cannot be read.
        """
        if is_ticket(path):
            from tiler.ticket import load_ticket

            return Session.of(load_ticket(path), path)
        return Session.of(self.around.job_for(path))

    def _begin(self, session: Session) -> None:
        remember(self.around.state, session.ticket or session.job.flat)
        early, self._early = self._early, None
        self._parts = None
        self._show_alone(PlanScreen(session, self.around.profiles, self.around.is_plain, early))

    def _begin_parts(self, session: PartsSession) -> None:
        remember(self.around.state, session.ticket)
        from tiler.tui.screens.parts import PartsScreen

        self._parts = PartsScreen(session, self.around.profiles, self.around.is_plain)
        self._show_alone(self._parts)

    def _show_alone(self, screen: Screen[None]) -> None:
        while len(self.screen_stack) > 1:
            self.pop_screen()
        self.push_screen(screen)

    def on_paste(self, event: events.Paste) -> None:
        """A file dropped on the terminal arrives as pasted text."""
        path = pasted_path(event.text)
        if path is None:
            return
        from tiler.tui.screens.start import StartScreen

        event.stop()
        if not path.is_file():
            self._tell_dropped(not_opened(path))
        elif isinstance(self.screen, StartScreen):
            self.screen.dismiss(path)
        elif isinstance(self.screen, PlanScreen):
            self.screen.drop(path)
        elif self._parts is not None and self.screen is self._parts:
            self._parts.drop(path)
        else:
            self._tell_dropped(f"{path.name} is not opened here: {self._way_back()}, and drop it there.")

    def _tell_dropped(self, words: str) -> None:
        """Say why a file that was dropped does not open."""
        if words:
            self.notify(words, severity="warning", timeout=6, markup=False)

    def _way_back(self) -> str:
        """Where a file can be dropped, seen from another screen."""
        if any(isinstance(screen, PlanScreen) for screen in self.screen_stack):
            return "go back to the plan with esc"
        return "go back to the list of the parts with esc" if self._parts is not None else "go back with esc"

    # -- leaving

    def action_interrupt(self) -> None:
        """Leave, but not with unsaved choices; a second time leaves at once. Stops a pack being written."""
        from tiler.tui.screens.writing import WriteScreen

        if isinstance(self.screen, WriteScreen):
            self.screen.action_stop()
        elif isinstance(self.screen, ConfirmScreen):
            self.exit()
        else:
            self._guarded("Leave tiler?", self.exit)

    def _holder(self) -> PlanScreen | PartsScreen | None:
        """The screen that holds the choices: the list of the parts, if there is one, else the plan."""
        if self._parts is not None:
            return self._parts
        return next((screen for screen in self.screen_stack if isinstance(screen, PlanScreen)), None)

    def _guarded(self, title: str, go_on: Callable[[], object]) -> None:
        """Go on at once, or ask first when choices are not saved."""
        holder = self._holder()
        if self._parts is not None:
            opened = next((one for one in self.screen_stack if isinstance(one, PlanScreen)), None)
            if opened is not None:
                self._parts.take_part(opened.work.job)
        if holder is None or not holder.work.is_unsaved:
            go_on()
            return

        def reply(answer: str | None) -> None:
            if answer == "drop":
                go_on()
            elif answer == "save":
                holder.action_save()

        name = holder.work.job.flat.name if isinstance(holder, PlanScreen) else holder.work.ticket.name
        text = f"The choices for {name} stand in no ticket and in no pack yet."
        replies = (
            Reply("save", "Save ticket", is_main=True),
            Reply("drop", "Discard"),
            Reply("stay", "Stay"),
        )
        self.push_screen(ConfirmScreen(title, text, replies), reply)

    # -- the rest

    def action_theme(self) -> None:
        """Between dark and light."""
        self.theme = LIGHT if self.theme == DARK else DARK

    def action_help(self) -> None:
        """All keys."""
        from tiler.tui.screens.reading import help_screen

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
