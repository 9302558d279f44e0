"""The folded box as state: box, look and art, and how they come to the widgets."""

from __future__ import annotations

from collections.abc import Mapping

from rich.text import Text
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.timer import Timer
from textual.widgets import Footer, Static

from tiler.fold.box import FoldedBox
from tiler.fold.quick_view import FINER
from tiler.fold.verdict import Verdict
from tiler.load import Loaded
from tiler.tui.fold_look import Look, corner_words, shut_words
from tiler.tui.fold_picture import Drawn, Prints, Shot
from tiler.tui.fold_rows import MEETING, FoldKnown, fold_rows, is_odd
from tiler.tui.fold_words import fact_lines, fold_notes, odd_lines, size_words
from tiler.tui.screens.fold_work import Edges, FoldWish, FoldWork, ShotWish
from tiler.tui.screens.plan_base import HEIGHTS, WIDTHS
from tiler.tui.screens.plan_work import PlanWork
from tiler.tui.themes import palette_of, rgb
from tiler.tui.widgets.fold_list import FoldList
from tiler.tui.widgets.fold_view import FoldView
from tiler.tui.widgets.opening_bar import OpeningBar
from tiler.tui.words import told
from tiler.tui.work import Problem

REST = 0.3
"""Seconds without a change after which the corners are looked at."""
FINE_ENOUGH = 0.7
"""Finer art is rendered when what is there has less than this share of the pixels wanted."""


class FoldBase(FoldWork):
    """Follows the plan screen's job; every change made here is made there.

    Args:
        plan: The screen with the job and the loaded flat.
    """

    HORIZONTAL_BREAKPOINTS = WIDTHS
    VERTICAL_BREAKPOINTS = HEIGHTS

    def __init__(self, plan: PlanWork) -> None:
        super().__init__()
        self.plan, self.plain = plan, plan.plain
        self.box: FoldedBox | None = None
        self.problem: Problem | None = None
        self.look = Look()
        self.drawn: Drawn | None = None
        """What is on the screen."""
        self._prints = Prints()
        self._asked_density = 0.0
        self._seen: dict[Edges, Verdict] = {}
        self._rest: Timer | None = None

    @property
    def loaded(self) -> Loaded | None:
        """The flat."""
        return self.plan.loaded

    def compose(self) -> ComposeResult:
        """Title; picture, opening and words left; facts and rows right; keys."""
        yield Static(id="title", markup=False)
        with Horizontal(id="bench"):
            with Vertical(id="table"):
                yield FoldView(id="folded")
                yield OpeningBar(id="opening", plain=self.plain)
                yield Static(id="fold-caption", markup=False)
            with Vertical(id="side"):
                yield Static(id="fold-facts", markup=False)
                yield FoldList(id="choices")
        yield Footer(show_command_palette=False)

    def on_mount(self) -> None:
        """Begin to fold and to render."""
        self.query_one(FoldView).focus()
        self.watch(self.plan, "session", self._follow, init=False)
        self.watch(self.plan, "loaded", self._follow_flat, init=False)
        self._show()
        self._follow_flat()

    # -- following the job

    def _follow_flat(self) -> None:
        """Another flat, or other lines on it."""
        self._prints, self._asked_density, self._seen = Prints(), 0.0, {}
        if self.loaded is not None:
            self.render_prints(self.loaded, 0)
        self._follow()

    def _follow(self) -> None:
        """Fold as the job has it now."""
        self._show_title()
        if self.loaded is not None:
            self._foldings.want(FoldWish(self.loaded, self.plan.work.job.fold))

    def on_fold_work_folded(self, event: FoldWork.Folded) -> None:
        """Show the box, or why there is none."""
        event.stop()
        self._foldings.done()
        if event.wish.loaded is not self.loaded or event.wish.choices != self.plan.work.job.fold:
            return
        self.box, self.problem = event.box, event.problem
        self._show()
        self.redraw()
        if self._rest is not None:
            self._rest.stop()
        self._rest = self.set_timer(REST, self._look_at_meetings)

    def _look_at_meetings(self) -> None:
        """Look at the art along meetings that have not been seen yet."""
        if self.box is None or self.loaded is None:
            return
        wanted = tuple(one for one in self.box.meetings if (one.a, one.b) not in self._seen)
        if wanted:
            self.judge(self.loaded, self.box, wanted)

    def on_fold_work_judged(self, event: FoldWork.Judged) -> None:
        """Tell how the art meets."""
        event.stop()
        if event.loaded is self.loaded:
            self._seen.update(event.found)
            self._show()
            self.redraw()

    def on_fold_work_printed(self, event: FoldWork.Printed) -> None:
        """Lay the art on the box."""
        event.stop()
        if event.loaded is self.loaded:
            self._prints = event.prints
            self.redraw()

    def on_fold_work_work_failed(self, event: FoldWork.WorkFailed) -> None:
        """Tell; the box stays."""
        event.stop()
        self.notify(told(event.problem), severity="error", timeout=8, markup=False)

    # -- the picture

    def redraw(self, is_draft: bool = False) -> None:
        """Draw the box as it is looked at now, as soon as there is time.

        Args:
            is_draft: True takes few colours, for a picture that another will follow at once.
        """
        view = self.query_one(FoldView)
        columns, rows = view.size
        if self.box is None or columns < 4 or rows < 2:
            view.say(self._words_for_nothing())
            return
        colours = self.app.theme_variables
        odd = frozenset(name for name, verdict in self.verdicts.items() if is_odd(verdict))
        shot = Shot(
            self.box,
            self._prints,
            self.look,
            columns,
            rows,
            odd,
            ground=rgb(colours["mat"]),
            light=rgb(colours["picked-ground"]),
            plain=self.plain,
            is_draft=is_draft,
        )
        self._pictures.want(ShotWish(shot, palette_of(colours)))

    def _words_for_nothing(self) -> str:
        if self.problem is not None:
            return "This flat cannot be folded as it is." if self.size.width >= 90 else "It does not fold."
        return "folding …"

    def on_fold_work_pictured(self, event: FoldWork.Pictured) -> None:
        """Show a picture; ask for finer art when it is too coarse."""
        event.stop()
        if event.drawn is not None and self.box is not None:
            self.drawn = event.drawn
            self.query_one(FoldView).show(event.strips)
            self._show_caption()
            wanted = FINER * event.drawn.density
            if self._prints.density and self.loaded is not None and wanted > 1.1 * self._asked_density:
                is_coarse = self._prints.density < FINE_ENOUGH * wanted
                self._asked_density = wanted
                if is_coarse:
                    self.render_prints(self.loaded, wanted)
        elif event.problem is not None:
            self.query_one(FoldView).say(event.problem.sentence)
        self._pictures.done()

    # -- words

    @property
    def verdicts(self) -> Mapping[str, Verdict]:
        """Of the present box, as far as its meetings have been looked at."""
        if self.box is None:
            return {}
        edges = {one.id: (one.a, one.b) for one in self.box.meetings}
        return {name: self._seen[pair] for name, pair in edges.items() if pair in self._seen}

    def known(self) -> FoldKnown:
        """What the rows depend on."""
        panels = self.loaded.structure.panels if self.loaded is not None else ()
        return FoldKnown(tuple(panel.id for panel in panels), self.box, self.verdicts)

    def _show(self) -> None:
        """Title, facts, rows and words below the picture."""
        self._show_title()
        self.query_one("#fold-facts", Static).update(self._facts())
        self.query_one(FoldList).rows = fold_rows(self.plan.work.job, self.known())
        self.query_one(OpeningBar).shut = self.look.shut
        self._show_caption()

    def _show_title(self) -> None:
        text = Text(no_wrap=True, overflow="ellipsis")
        text.append("* " if self.plan.work.is_unsaved else "  ", style="bold")
        text.append(self.plan.work.job.flat.name, style="bold")
        if self.problem is None:
            text.append(f"  ·  {shut_words(self.look.shut)}, seen {corner_words(self.look.corner)}")
        if self.look.zoom > 1:
            text.append(f"  ·  × {self.look.zoom:g}")
        self.query_one("#title", Static).update(text, layout=False)

    def _facts(self) -> Text:
        """Folded size, what is up, and what asks for a look; or why nothing folds."""
        colours = self.app.theme_variables
        if self.problem is not None:
            return Text.assemble(("✕ Not folded. ", "bold"), told(self.problem), style=colours["error"])
        if self.box is None:
            return Text("… folding")
        text = Text(size_words(self.box), style="bold")
        for line in fact_lines(self.box):
            text.append(f"\n{line}", style="not bold")
        lines = list(odd_lines(self.box, self.verdicts))
        notes = len(fold_notes(self.box))
        if len(self.verdicts) < len(self.box.meetings):
            lines.append("… looking at the corners")
        elif notes:
            lines.append(f"{notes} note{'s' if notes != 1 else ''}, press n")
        for line in lines:
            sign = "" if line.startswith("…") else "! "
            text.append(f"\n{sign}{line}", style=f"not bold {colours['warning']}")
        return text

    def _show_caption(self) -> None:
        """Words on what the bar is on, or on the keys."""
        rows = self.query_one(FoldList)
        row = rows.row if rows.has_focus or self.look.picked else None
        if row is not None:
            hidden = self.drawn is not None and bool(self.look.picked) and not self.drawn.is_picked_seen
            turns = "; enter turns the box to it" if row.key.startswith(MEETING) else ""
            words = f"{row.help}{f' It is hidden from here{turns}.' if hidden else ''}"
        elif self.box is None:
            words = "esc goes back to the plan"
        elif self.query_one(OpeningBar).has_focus:
            words = "← → open, close · home flat · end closed"
        else:
            words = "← ↑ ↓ → turn it · , . open, close · tab to the choices"
        self.query_one("#fold-caption", Static).update(words, layout=False)

    def on_descendant_focus(self) -> None:
        """Tell what the keys do there."""
        self._show_caption()
