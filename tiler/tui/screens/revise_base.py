"""A late change: what a new revision of the flat changes on the sheets, and which of them to print again."""

from __future__ import annotations

from typing import ClassVar

from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal, Vertical
from textual.widgets import Footer, OptionList, ProgressBar, Static
from textual.widgets.option_list import Option as ListOption

from tiler.geometry import Point, Rect
from tiler.tui.overlay import Scene
from tiler.tui.picking import Picked, find_tile, tile_at, tile_words
from tiler.tui.revision_rows import Line, is_same, lines, spots, verdict
from tiler.tui.screens.key_help import told_key
from tiler.tui.screens.plan_base import HEIGHTS, WIDTHS
from tiler.tui.screens.revise_work import RevisionWork
from tiler.tui.structure_facts import structure_facts
from tiler.tui.widgets.picture import PictureView
from tiler.tui.widgets.revision_view import RevisionView

KEYS: list[BindingType] = [
    told_key("w", "write", "Write", "Write the chosen sheets beside the later flat."),
    told_key("space", "choose", "Print or not", "Print the sheet under the bar, or leave it out."),
    told_key("v", "sheet", "Sheet", "See the new sheet as it will print."),
    told_key("b", "swap", "Before", "See the earlier flat, or the later one again."),
    told_key("g", "go_on", "Go on", "Go on with the later flat in this job, on the seams you have."),
    told_key("W", "whole", "Whole pack", "Write the whole pack of the later flat."),
    told_key("plus,equals_sign", "zoom(1)", "Nearer", "Enlarge the picture.", "+", show=False),
    told_key("minus", "zoom(-1)", "Farther", "See more of the flat.", "-", show=False),
    told_key("0", "zoom(0)", "Whole flat", "Show the whole flat.", show=False),
    told_key("t", "app.theme", "Light or dark", "Change between dark and light.", show=False),
    told_key("escape,q", "back", "Back", "Go back; the job stays as it was.", "esc"),
    told_key("question_mark,f1", "help", "Help", "All keys.", "?"),
]

SIGNS = (
    ("╔═╗", "a changed place, with its number in the list"),
    ("off", "a sheet that is not printed again, dim"),
    ("━ ┃", "face of the sheet under the bar"),
)
"""What the marks over the picture mean."""


class RevisionBase(RevisionWork):
    """Compares as soon as it opens; then shows what has changed."""

    BINDINGS: ClassVar[list[BindingType]] = KEYS
    HORIZONTAL_BREAKPOINTS = WIDTHS
    VERTICAL_BREAKPOINTS = HEIGHTS

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

    @on(RevisionWork.Compared)
    def _show(self, event: RevisionWork.Compared) -> None:
        """Show what has changed."""
        event.stop()
        self._stores = event.stores
        self.revised = event.revised
        changes = event.revised.changes
        self.set_reactive(RevisionWork.chosen, frozenset(changes.tiles))
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
            keys = f"space {'leaves it out' if is_printed else 'prints it'} · v shows the sheet"
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
