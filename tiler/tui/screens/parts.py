"""A job of several parts: what each comes to, one opened at a time, all of them written as one pack."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import ClassVar

from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal, Vertical
from textual.message import Message
from textual.widgets import Digits, Footer, OptionList, Static
from textual.widgets.option_list import Option as ListOption
from textual.worker import get_current_worker

from tiler.flat.raster import Preview
from tiler.geometry import Rect
from tiler.job import Job
from tiler.parts import Part
from tiler.printers.profile import Profile
from tiler.run import Prepared
from tiler.tui.messages import Failed
from tiler.tui.overlay import Scene
from tiler.tui.parts_state import PartsSession, part_line, summary
from tiler.tui.pixels import PixelStore
from tiler.tui.screens.key_help import key_help, told_key
from tiler.tui.screens.parts_revise import PartsRevise
from tiler.tui.screens.plan import PlanScreen
from tiler.tui.screens.plan_base import HEIGHTS, WIDTHS
from tiler.tui.state import Session
from tiler.tui.structure_facts import structure_facts
from tiler.tui.widgets.flat_view import FlatView
from tiler.tui.words import told
from tiler.tui.work import Problem, Stopped, load_flat, plan_flat, problem_of

KEYS: list[BindingType] = [
    told_key("enter", "open_part", "Open the part", "Plan the part under the bar; L there comes back."),
    told_key("w", "write", "Write", "Write one pack of all parts beside the ticket."),
    told_key("W", "write_as", "Write as", "Write the pack to a place of your choice.", show=False),
    told_key("s", "save", "Save", "Save all choices of all parts in the ticket."),
    told_key("S", "save_as", "Save as", "Save the ticket to a place of your choice.", show=False),
    told_key("N", "revise", "New revision", "Compare a later flat with the part under the bar."),
    told_key("o", "app.ask_for_file", "Open", "Open another flat or job ticket."),
    told_key("plus,equals_sign", "zoom(1)", "Nearer", "Enlarge the picture.", "+", show=False),
    told_key("minus", "zoom(-1)", "Farther", "See more of the flat.", "-", show=False),
    told_key("0", "zoom(0)", "Whole flat", "Show the whole flat.", show=False),
    told_key("t", "app.theme", "Light or dark", "Change between dark and light.", show=False),
    told_key("question_mark,f1", "help", "Help", "All keys.", "?"),
    told_key("q", "app.interrupt", "Quit", "Leave tiler."),
]


class PartsScreen(PartsRevise):
    """Plans every part in a worker; lists them, and shows the one under the bar.

    Args:
        session: The parts.
        profiles: Printer profiles for the choices of a part.
        plain: True for a terminal without colours.
    """

    BINDINGS: ClassVar[list[BindingType]] = KEYS
    HORIZONTAL_BREAKPOINTS = WIDTHS
    VERTICAL_BREAKPOINTS = HEIGHTS

    @dataclass
    class PartPlanned(Message):
        """What came of one part."""

        part: Part
        found: Prepared | Problem
        store: PixelStore | None

    def __init__(self, session: PartsSession, profiles: tuple[Profile, ...], plain: bool) -> None:
        super().__init__()
        self.set_reactive(PartsScreen.session, session)
        self._profiles, self._plain = profiles, plain
        self._stores: dict[str, PixelStore] = {}
        self._opened: int | None = None

    @property
    def work(self) -> PartsSession:
        """The session; there always is one on this screen."""
        assert self.session is not None
        return self.session

    def compose(self) -> ComposeResult:
        """Title; the part under the bar left, sum and list right; keys."""
        yield Static(id="title", markup=False)
        with Horizontal(id="bench"):
            with Vertical(id="table"):
                yield FlatView(id="flat", plain=self._plain)
                yield Static(id="caption", markup=False)
            with Vertical(id="side"):
                with Horizontal(id="answer-line"):
                    yield Digits("", id="count")
                    yield Static(id="words", markup=False)
                yield OptionList(id="parts")
        yield Footer(show_command_palette=True)

    def on_mount(self) -> None:
        """Begin to plan."""
        self._show()
        listed = self.query_one("#parts", OptionList)
        listed.highlighted = 0
        listed.focus()
        self._plan()

    # -- planning

    def _plan(self) -> None:
        """Plan all parts that have no plan yet, in a worker."""
        waiting = tuple(part for part in self.work.parts if not self._is_planned(part))
        self.run_worker(
            lambda: self._look(waiting), thread=True, exclusive=True, group="parts", exit_on_error=False
        )

    def _is_planned(self, part: Part) -> bool:
        found = self._found.get(part.name)
        return isinstance(found, Prepared) and found.job == part.job

    def _look(self, waiting: tuple[Part, ...]) -> None:
        """In the worker's thread."""
        worker = get_current_worker()

        def is_off() -> bool:
            return worker.is_cancelled or not self.is_running

        for part in waiting:
            store = None
            found: Prepared | Problem
            try:
                loaded = load_flat(part.job, lambda stage, share: None, is_off)
                store = PixelStore(Preview(loaded.flat).render, Rect(0, 0, *loaded.flat.size))
                found, _ = plan_flat(part.job, loaded)
            except Stopped:
                return
            except Exception as error:  # a part that cannot be read is no reason to end
                found = problem_of(error, "reading the flat")
            if is_off():
                return
            self.post_message(self.PartPlanned(part, found, store))

    @on(PartPlanned)
    def _take(self, event: PartPlanned) -> None:
        """Keep what came of a part, if it is still wanted."""
        event.stop()
        if event.part not in self.work.parts:
            return
        self._found[event.part.name] = event.found
        if event.store is not None:
            self._stores[event.part.name] = event.store
        self._show()

    def on_failed(self, event: Failed) -> None:
        """Say why a picture cannot be shown."""
        event.stop()
        self.notify(told(event.problem), severity="error", markup=False)

    # -- showing

    def watch_session(self) -> None:
        """Other parts."""
        if self.is_mounted:
            self._show()

    def _show(self) -> None:
        """Title, sum, list, picture."""
        session = self.work
        text = Text(no_wrap=True, overflow="ellipsis")
        text.append("* " if self.is_unsaved else "  ", style="bold")
        text.append(session.ticket.name, style="bold")
        text.append(f"  ·  ticket with {len(session.parts)} parts")
        self.query_one("#title", Static).update(text)
        number, words = summary(session.parts, self._found)
        count = self.query_one("#count", Digits)
        count.update(number)
        count.display = bool(number)
        self.query_one("#words", Static).update(words)
        listed = self.query_one("#parts", OptionList)
        at = listed.highlighted
        width = max(len(part.name) for part in session.parts)
        listed.clear_options()
        listed.add_options(
            [
                ListOption(Text(part_line(part, self._found.get(part.name), width), no_wrap=True))
                for part in session.parts
            ]
        )
        listed.highlighted = at
        self._show_part()

    @property
    def part(self) -> Part | None:
        """The part under the bar."""
        at = self.query_one("#parts", OptionList).highlighted
        return self.work.parts[at] if at is not None and at < len(self.work.parts) else None

    @on(OptionList.OptionHighlighted, "#parts")
    def _show_part(self) -> None:
        """The picture of the part under the bar."""
        part = self.part
        if part is None:
            return
        found, store, view = self._found.get(part.name), self._stores.get(part.name), self.query_one(FlatView)
        caption = self.query_one("#caption", Static)
        if isinstance(found, Problem):
            caption.update(f"✕ {told(found)}")
        elif found is None:
            caption.update("reading the flat …")
        else:
            words = f"{part.name}: {part.job.flat.name}\nenter opens it · + - nearer, farther"
            caption.update(words)
        if isinstance(found, Prepared) and store is not None:
            view.scene = _scene(found, self._plain)
            view.show_page(store, found.flat.size)
        else:
            view.show_page(None, view.view.page if view.view else view.scene.flat)

    def action_help(self) -> None:
        """All keys."""
        self.app.push_screen(key_help("Help: a job of several parts", KEYS))

    def action_zoom(self, steps: int) -> None:
        """Nearer, farther, or the whole flat."""
        self.query_one(FlatView).zoom(steps)

    # -- one part

    @on(OptionList.OptionSelected, "#parts")
    def _open_selected(self) -> None:
        self.action_open_part()

    def action_open_part(self) -> None:
        """Open the part under the bar on a plan screen of its own."""
        part = self.part
        if part is None:
            return
        self._opened = self.work.parts.index(part)
        screen = PlanScreen(Session.of(part.job), self._profiles, self._plain)
        screen.home, screen.part = self, part.name
        self.app.push_screen(screen)

    def take_part(self, job: Job) -> None:
        """The job of the opened part as it is now; its paper holds for all."""
        if self._opened is not None:
            self._put(self._opened, job)

    def put(self, part: Part, job: Job) -> None:
        """Another job for a part."""
        self._put(self.work.parts.index(part), job)

    def _put(self, at: int, job: Job) -> None:
        before = self.work
        self.session = before.changed(at, job)
        if self.work.parts != before.parts:
            self._plan()

    @property
    def is_unsaved(self) -> bool:
        """True when there are choices that stand in no ticket and no pack."""
        return self.work.is_unsaved

    @property
    def folder(self) -> Path:
        """Where the ticket lies."""
        return self.work.ticket.absolute().parent


def _scene(found: Prepared, plain: bool) -> Scene:
    """What the picture of a part shows."""
    return Scene(
        flat=found.flat.size,
        plan=found.plan,
        job=found.job,
        printed=frozenset(tile.label for tile in found.printed),
        folds=structure_facts(found.loaded).lines,
        plain=plain,
    )
