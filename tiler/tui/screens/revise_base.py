"""A late change: what a new revision of the flat changes on the sheets, and which of them to print again."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import ClassVar

from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical
from textual.message import Message
from textual.reactive import reactive
from textual.widgets import Footer, OptionList, ProgressBar, Static
from textual.widgets.option_list import Option as ListOption
from textual.worker import Worker, get_current_worker

from tiler.flat.raster import Preview
from tiler.geometry import Point, Rect
from tiler.job import Job
from tiler.run import Prepared
from tiler.tui.messages import Failed, Progressed
from tiler.tui.overlay import Scene
from tiler.tui.picking import Picked, find_tile, tile_at, tile_words
from tiler.tui.pixels import PixelStore
from tiler.tui.revising import Revised, compare_revision
from tiler.tui.revision_rows import Line, is_same, lines, spots, verdict
from tiler.tui.screens.dialogs import AskScreen, ConfirmScreen, Question, Reply
from tiler.tui.screens.plan_base import HEIGHTS, WIDTHS
from tiler.tui.screens.rendering import RenderingScreen
from tiler.tui.structure_facts import structure_facts
from tiler.tui.widgets.picture import PictureView
from tiler.tui.widgets.revision_view import RevisionView
from tiler.tui.words import capital, told
from tiler.tui.work import Stopped, problem_of


@dataclass
class PlannedAnew(Message):
    """The later flat has a plan of its own."""

    prepared: Prepared


KEYS: list[BindingType] = [
    Binding("w", "write", "Write", key_display="w"),
    Binding("space", "choose", "Print or not", key_display="space"),
    Binding("v", "sheet", "Sheet", key_display="v"),
    Binding("b", "swap", "Before", key_display="b"),
    Binding("g", "go_on", "Go on", key_display="g"),
    Binding("W", "whole", "Whole pack", key_display="W"),
    Binding("plus,equals_sign", "zoom(1)", "Nearer", show=False),
    Binding("minus", "zoom(-1)", "Farther", show=False),
    Binding("0", "zoom(0)", "Whole flat", show=False),
    Binding("t", "app.theme", "Light or dark", show=False),
    Binding("escape,q", "back", "Back", key_display="esc"),
    Binding("question_mark,f1", "app.help", "Help", key_display="?"),
]


class RevisionBase(RenderingScreen[Job | None]):
    """Compares as soon as it opens; then shows what has changed. Ends with the job to go on with.

    Args:
        old: The job as it was planned and printed.
        path: The later flat.
        plain: True for a terminal without colours.
    """

    BINDINGS: ClassVar[list[BindingType]] = KEYS
    HORIZONTAL_BREAKPOINTS = WIDTHS
    VERTICAL_BREAKPOINTS = HEIGHTS

    revised: reactive[Revised | None] = reactive(None)
    chosen: reactive[frozenset[str]] = reactive(frozenset())
    """Labels of the sheets to print."""
    is_before: reactive[bool] = reactive(False)
    """True while the picture shows the earlier flat."""

    @dataclass
    class Compared(Message):
        """The comparison is done."""

        revised: Revised
        stores: tuple[PixelStore, PixelStore]
        """Pictures of the earlier and of the later flat."""

    def __init__(self, old: Prepared, path: Path, plain: bool) -> None:
        super().__init__()
        self._old, self._path, self._plain = old, path, plain
        self._stores: tuple[PixelStore, PixelStore] | None = None
        self._work: Worker[None] | None = None
        self._lines: tuple[Line, ...] = ()

    def compose(self) -> ComposeResult:
        """Title; picture left, verdict and list right; keys."""
        yield Static(id="title", markup=False)
        with Horizontal(id="bench"):
            with Vertical(id="table"):
                yield RevisionView(id="flat", plain=self._plain)
                yield Static(id="caption", markup=False)
            with Vertical(id="side"):
                yield Static(id="verdict", markup=False)
                yield ProgressBar(total=1.0, show_eta=False, id="bar")
                yield OptionList(id="changes")
        yield Footer(show_command_palette=False)

    def on_mount(self) -> None:
        """Begin to compare."""
        title = Text(no_wrap=True, overflow="ellipsis")
        title.append("  New revision  ", style="bold")
        title.append(f"{self._old.flat.path.name}  →  {self._path.name}")
        self.query_one("#title", Static).update(title)
        self.query_one("#changes").display = False
        self._compare(None)

    def _compare(self, password: str | None) -> None:
        self._say("Comparing; esc stops.")
        self._work = self.run_worker(
            lambda: self._look(password), thread=True, exclusive=True, group="revision", exit_on_error=False
        )

    def _look(self, password: str | None) -> None:
        """In the worker's thread."""
        worker = get_current_worker()

        def is_off() -> bool:
            return worker.is_cancelled or not self.is_running

        try:
            revised = compare_revision(
                self._old,
                self._path,
                password,
                lambda stage, share: self._post(Progressed(stage, share)),
                is_off,
            )
            flats = revised.changes.old.flat, revised.changes.new.flat
            before, after = (PixelStore(Preview(one).render, Rect(0, 0, *one.size)) for one in flats)
        except Stopped:
            return
        except Exception as error:  # whatever it is, the screen lives on
            self._post(Failed(self._old.job, problem_of(error, "comparing"), "load"))
            return
        if not is_off():
            self._post(self.Compared(revised, (before, after)))

    def _post(self, message: Message) -> None:
        """Report from a worker; a screen that has gone takes no reports."""
        if self.is_running:
            self.post_message(message)

    def on_progressed(self, event: Progressed) -> None:
        """Move the bar."""
        event.stop()
        if self.revised is None:
            self.query_one("#bar", ProgressBar).update(progress=event.share)
            self._say(f"{capital(event.stage)} … esc stops.")

    def on_failed(self, event: Failed) -> None:
        """Tell what went wrong; a locked flat is asked for its password."""
        event.stop()
        if event.stage == "picture":
            self.notify(told(event.problem), severity="error", markup=False)
            return
        self.query_one("#bar").display = False
        self._say(f"✕ {told(event.problem)}")
        if event.problem.needs_password:
            text = f"{capital(event.problem.sentence)}. It is not kept anywhere."
            self.app.push_screen(
                AskScreen(Question("Password", text, str, is_secret=True)), self._take_password
            )

    def _take_password(self, word: str | None) -> None:
        if word is not None:
            self._compare(word)

    def _say(self, words: str) -> None:
        self.query_one("#verdict", Static).update(words)

    @on(Compared)
    def _show(self, event: Compared) -> None:
        """Show what has changed."""
        event.stop()
        self._stores = event.stores
        self.revised = event.revised
        changes = event.revised.changes
        self.set_reactive(RevisionBase.chosen, frozenset(changes.tiles))
        self._fill()
        self.query_one("#bar").display = False
        self._show_picture()
        self.query_one(RevisionView).spots = spots(changes)
        listed = self.query_one("#changes", OptionList)
        listed.display = not is_same(changes) and not changes.resized
        if listed.display:
            listed.focus()
        else:
            self.query_one(RevisionView).focus()
        first = next((i for i, line in enumerate(self._lines) if line.tile in changes.tiles), None)
        listed.highlighted = first
        self.refresh_bindings()

    def _show_picture(self) -> None:
        """The earlier or the later flat."""
        if self.revised is None or self._stores is None:
            return
        changes = self.revised.changes
        flat = changes.old.flat if self.is_before else changes.new.flat
        view = self.query_one(RevisionView)
        view.scene = self._scene()
        view.show_page(self._stores[0 if self.is_before else 1], flat.size)
        if not changes.resized:
            return
        width, height = flat.size
        self.query_one("#caption", Static).update(f"{flat.path.name}: {width:.1f} × {height:.1f} mm")

    def _scene(self) -> Scene:
        assert self.revised is not None, "there is a comparison"
        changes = self.revised.changes
        loaded = changes.old.loaded if self.is_before else changes.new
        is_fit = not changes.resized or self.is_before
        return Scene(
            flat=loaded.flat.size,
            plan=changes.plan if is_fit else None,
            job=changes.old.job if is_fit else None,
            printed=self.chosen,
            picked=self._picked(),
            folds=structure_facts(loaded).lines,
            plain=self._plain,
        )

    def _ask_to_replace(self, output: Path, go_on: Callable[[], object]) -> None:
        """Go on at once, or ask first where a file of that name is already there."""
        if not output.exists():
            go_on()
            return

        def replied(reply: str | None) -> None:
            if reply == "replace":
                go_on()

        self.app.push_screen(
            ConfirmScreen(
                "Replace the file?",
                f"{output} is already there.",
                (Reply("replace", "Replace", is_main=True), Reply("keep", "Keep it")),
            ),
            replied,
        )

    # -- the list

    @property
    def line(self) -> Line | None:
        """The line under the bar."""
        at = self.query_one("#changes", OptionList).highlighted
        return self._lines[at] if at is not None and at < len(self._lines) else None

    def _picked(self) -> Picked:
        line = self.line
        return Picked(tile=line.tile) if line is not None and line.key.startswith("tile ") else Picked()

    def watch_chosen(self) -> None:
        """Other sheets to print."""
        self._fill()

    def _fill(self) -> None:
        """Write verdict and list."""
        if self.revised is None:
            return
        changes = self.revised.changes
        listed = self.query_one("#changes", OptionList)
        at, self._lines = listed.highlighted, lines(changes, self.chosen)
        listed.clear_options()
        listed.add_options(
            [
                ListOption(Text(line.text, no_wrap=True, overflow="ellipsis"), disabled=line.is_heading)
                for line in self._lines
            ]
        )
        listed.highlighted = at
        self._say(verdict(changes, self.chosen))
        self.query_one(RevisionView).scene = self._scene()

    @on(OptionList.OptionHighlighted, "#changes")
    def _point(self) -> None:
        """Point at what the line is about, and bring it into sight."""
        line = self.line
        if line is None or self.revised is None:
            return
        view, changes = self.query_one(RevisionView), self.revised.changes
        view.picked_spot = line.area
        view.scene = self._scene()
        tile = find_tile(changes.plan, line.tile)
        if line.key.startswith("tile ") and tile is not None:
            is_printed = line.tile in self.chosen
            keys = f"space {'leaves it out' if is_printed else 'prints it'} · v shows the new sheet"
            words = f"{tile_words(tile, is_printed)}\n{keys}"
        else:
            words = f"{line.text.strip()}\nb shows it before and after · + - nearer, farther"
        self.query_one("#caption", Static).update(words)
        if view.view is not None and view.view.zoom > 1 and line.rect is not None:
            view.look(view.view.centred(self._on_flat(line.rect).centre))

    def _on_flat(self, rect: Rect) -> Rect:
        return rect.scaled(1 / self._old.job.scale)

    def watch_is_before(self) -> None:
        """The other flat."""
        self._show_picture()

    def on_picture_view_pressed(self, event: PictureView.Pressed) -> None:
        """Go to the line of the tile under the pointer."""
        if self.revised is None:
            return
        scale = self._old.job.scale
        label = tile_at(self.revised.changes.plan, Point(event.at.x * scale, event.at.y * scale))
        self._go_to(f"tile {label}")

    def _go_to(self, key: str) -> None:
        at = next((i for i, line in enumerate(self._lines) if line.key == key), None)
        if at is not None:
            self.query_one("#changes", OptionList).highlighted = at
