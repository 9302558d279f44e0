"""The plan screen's parts and the state behind them. Nothing is worked out here: it composes and binds."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from rich.text import Text
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.reactive import reactive
from textual.widgets import Footer, Static

from tiler.flat.pdf import PdfFlat
from tiler.load import Loaded
from tiler.printers.profile import Profile
from tiler.run import Prepared
from tiler.tui.answer import answer_of, notes_of
from tiler.tui.overlay import Scene
from tiler.tui.picking import NOTHING, Picked, find_seam, find_tile, seam_words, sheet_words, tile_words
from tiler.tui.pixels import PixelStore
from tiler.tui.row import Known
from tiler.tui.rows import rows_for
from tiler.tui.screens.rendering import RenderingScreen
from tiler.tui.state import Session
from tiler.tui.structure_facts import structure_facts
from tiler.tui.widgets.answer_panel import AnswerPanel
from tiler.tui.widgets.choice_list import ChoiceList
from tiler.tui.widgets.flat_view import FlatView
from tiler.tui.widgets.reading_sign import ReadingSign
from tiler.tui.work import Problem

if TYPE_CHECKING:
    from tiler.tui.early import EarlyWork

WIDTHS = [(0, "-narrow"), (100, "-normal"), (160, "-wide")]
"""Class of the screen from so many columns up."""

HEIGHTS = [(0, "-low"), (32, "-high")]
"""Class of the screen from so many rows up."""


class PlanBase(RenderingScreen[None]):
    """The flat with its tiles, the answer, and the choices that matter."""

    HORIZONTAL_BREAKPOINTS = WIDTHS
    VERTICAL_BREAKPOINTS = HEIGHTS

    session: reactive[Session | None] = reactive(None)
    loaded: reactive[Loaded | None] = reactive(None)
    prepared: reactive[Prepared | None] = reactive(None)
    problem: reactive[Problem | None] = reactive(None)
    busy: reactive[str] = reactive("")
    picked: reactive[Picked] = reactive(NOTHING)

    def __init__(
        self,
        session: Session,
        profiles: tuple[Profile, ...] = (),
        plain: bool = False,
        early: EarlyWork | None = None,
    ) -> None:
        super().__init__()
        self.early = early
        """Reading and planning that were begun before the screen was there."""
        self._profiles, self.plain = profiles, plain
        self.set_reactive(PlanBase.session, session)
        self.store: PixelStore | None = None

    @property
    def work(self) -> Session:
        """The session; there always is one on this screen."""
        assert self.session is not None
        return self.session

    def compose(self) -> ComposeResult:
        """Title; picture and words below it left, answer and choices right; keys."""
        yield Static(id="title", markup=False)
        with Horizontal(id="bench"):
            with Vertical(id="table"):
                yield FlatView(id="flat", plain=self.plain)
                yield ReadingSign(id="reading")
                yield Static(id="caption", markup=False)
            with Vertical(id="side"):
                yield AnswerPanel(id="answer")
                yield ChoiceList(id="choices")
        yield Footer(show_command_palette=True)

    def watch_session(self) -> None:
        """Other choices: title, rows and picture."""
        self._show_title()
        self._show_rows()
        self._show_caption()

    def watch_loaded(self) -> None:
        """Another flat."""
        self._show_reading()
        self._show_title()
        self._show_rows()
        self._show_scene()

    def watch_prepared(self) -> None:
        """Another plan."""
        self._show_answer()
        self._show_rows()
        self._show_scene()
        self._show_caption()

    def watch_problem(self) -> None:
        """Something went wrong, or is right again."""
        self._show_reading()
        self.query_one(AnswerPanel).problem = self.problem
        self._show_scene()

    def watch_busy(self) -> None:
        """Something is being done."""
        self.query_one(AnswerPanel).busy = self.busy
        self._show_reading()

    def watch_picked(self) -> None:
        """Another tile or seam."""
        self._show_scene()
        self._show_caption()

    def _show_reading(self) -> None:
        """While the first flat is being read its name stands where its picture will be."""
        is_reading = bool(self.busy) and self.loaded is None and self.problem is None
        self.query_one(ReadingSign).flat = self.work.job.flat.name if is_reading else ""

    def _show_title(self) -> None:
        """File, page, box and size; a star where choices are not saved."""
        if not self.is_mounted:
            return
        job = self.work.job
        text = Text(no_wrap=True, overflow="ellipsis")
        text.append("* " if self.work.is_unsaved else "  ", style="bold")
        text.append(job.flat.name, style="bold")
        if self.loaded is not None:
            flat = self.loaded.flat
            if flat.pages > 1:
                text.append(f"  ·  page {flat.page} of {flat.pages}")
            text.append("" if self.known().is_picture else f"  ·  {flat.box} box")
            text.append(f"  ·  revision {flat.revision}")
        if self.work.ticket is not None:
            text.append(f"  ·  ticket {self.work.ticket.name}")
        self.query_one("#title", Static).update(text, layout=False)

    def _show_rows(self) -> None:
        if self.is_mounted:
            self.query_one(ChoiceList).rows = rows_for(self.work.job, self.known())

    def known(self) -> Known:
        """What is known of the flat and the plan."""
        if self.loaded is None:
            return Known(profiles=self._profiles)
        flat = self.loaded.flat
        return Known(
            pages=flat.pages,
            is_picture=not isinstance(flat.source, PdfFlat),
            box=flat.box,
            sheets=len(self.prepared.plan.tiles) if self.prepared else 0,
            profiles=self._profiles,
            structure=structure_facts(self.loaded),
        )

    def _show_scene(self) -> None:
        """Give the picture what it draws; a plan that does not hold is not drawn."""
        if not self.is_mounted or self.loaded is None:
            return
        flat, prepared = self.loaded.flat, self.prepared if self.problem is None else None
        self.query_one(FlatView).scene = Scene(
            flat=flat.size,
            plan=prepared.plan if prepared else None,
            job=prepared.job if prepared else None,
            printed=frozenset(tile.label for tile in prepared.printed) if prepared else frozenset(),
            picked=self.picked,
            folds=structure_facts(self.loaded).lines,
            plain=self.plain,
        )

    def _show_answer(self) -> None:
        panel = self.query_one(AnswerPanel)
        if self.prepared is None:
            panel.answer, panel.notes = None, 0
            return
        panel.answer = answer_of(self.prepared, structure_facts(self.loaded))
        panel.notes = len(notes_of(self.prepared))

    def _show_caption(self, words: str = "") -> None:
        """One line about what is picked, or about the row under the bar."""
        if self.is_mounted:
            self.query_one("#caption", Static).update(words or self._picked_words(), layout=False)

    def _picked_words(self) -> str:
        if self.prepared is None:
            return ""
        plan = self.prepared.plan
        seam = find_seam(plan, self.picked.seam)
        if seam is not None:
            keys = "← ↑ ↓ → move it 1 mm · p pin · r release · esc let go"
            return f"{seam_words(self.prepared.job, seam)}\n{keys}"
        tile = find_tile(plan, self.picked.tile)
        if tile is not None:
            is_printed = tile in self.prepared.printed
            keys = f"v shows its sheet · space {'leaves it out' if is_printed else 'prints it'}"
            return f"{tile_words(tile, is_printed)}\n{keys}"
        return f"{sheet_words(plan)}\n← ↑ ↓ → pick a tile · e a seam · + - nearer, farther"

    @property
    def folder(self) -> Path:
        """Where the flat lies."""
        return self.work.job.flat.absolute().parent
