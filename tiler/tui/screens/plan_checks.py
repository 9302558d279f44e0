"""The plan screen's findings and its seam-free stretches."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from tiler.errors import UsageError
from tiler.job import Job
from tiler.plan.request import Forbidden
from tiler.tui.picking import Picked, find_seam
from tiler.tui.print_rows import stretch_words
from tiler.tui.screens.dialogs import AskScreen, Question
from tiler.tui.screens.plan_work import PlanWork
from tiler.tui.typed import parse_stretch
from tiler.tui.viewport import looking_at
from tiler.tui.widgets.flat_view import FlatView
from tiler.units import format_number

if TYPE_CHECKING:
    from tiler.tui.checking import Checked
    from tiler.tui.findings_rows import Entry

AROUND = 15.0
"""mm to both sides of a picked seam that are offered first."""


class PlanChecks(PlanWork):
    """Opens the findings and goes to their places; asks where no seam may lie."""

    _checked: Checked | None = None
    """What the checks have said last."""

    # -- findings

    def action_findings(self) -> None:
        """See what the checks find."""
        prepared = self.prepared
        if prepared is None or self.problem is not None or prepared.job != self.work.job:
            self.notify("There is no plan to check yet.", severity="warning", timeout=4)
            return
        from tiler.tui.screens.findings import FindingsScreen

        known = self._checked if self._checked and self._checked.holds_for(prepared) else None
        screen = FindingsScreen(prepared, self.store, known, self._keep_checked, self.take, self.plain)
        self.app.push_screen(screen, self._go_to)

    def _keep_checked(self, checked: Checked) -> None:
        self._checked = checked

    def _go_to(self, entry: Entry | None) -> None:
        """Pick the tile of a finding and look at its place."""
        if entry is None or entry.rect is None:
            return
        self.picked = Picked(tile=entry.tile)
        view = self.query_one(FlatView)
        self.call_after_refresh(view.focus)
        if view.view is not None:
            view.look(looking_at(view.view, entry.rect))
        self._show_caption(f"{entry.text}\ni goes back to the findings · 0 whole flat")

    # -- stretches without seams

    def action_forbid(self) -> None:
        """Ask for a stretch without seams."""
        text = "Upright seams keep out of x from … to …, level ones out of y; in mm on paper."
        question = Question(
            "No seam here", text, self._read_stretch, value=self._offered_stretch(), hint="x 100, 180"
        )
        self.app.push_screen(AskScreen(question), self._follow_stretch)

    def _follow_stretch(self, job: Job | None) -> None:
        if job is not None:
            self.take(job)

    def _offered_stretch(self) -> str:
        """The stretch round the picked seam; empty when none is picked."""
        plan = self.prepared.plan if self.prepared is not None else None
        seam = find_seam(plan, self.picked.seam) if plan is not None else None
        if plan is None or seam is None:
            return ""
        at, most = (seam.start.x, plan.flat.width) if seam.is_upright else (seam.start.y, plan.flat.height)
        ends = max(0.0, at - AROUND), min(most, at + AROUND)
        low, high = (format_number(end, 0) for end in ends)
        return f"{'x' if seam.is_upright else 'y'} {low}, {high}"

    def _read_stretch(self, text: str) -> Job:
        """The job with the stretch that was typed.

        Raises:
            UsageError: It is none, lies outside the flat, or is there already.
        """
        stretch = parse_stretch(text)
        job = self.work.job
        if self.loaded is not None:
            self._refuse_outside(stretch, job)
        if stretch in job.forbidden:
            raise UsageError(f"{stretch_words(stretch)} is free of seams already", "give another stretch")
        return replace(job, forbidden=(*job.forbidden, stretch))

    def _refuse_outside(self, stretch: Forbidden, job: Job) -> None:
        assert self.loaded is not None, "asked for a loaded flat"
        paper = self.loaded.flat.size.scaled(job.scale)
        most = paper.width if stretch.axis == "x" else paper.height
        if stretch.start < 0 or stretch.end > most:
            raise UsageError(
                f"{stretch_words(stretch)} reaches beyond the flat",
                f"{stretch.axis} runs from 0 to {format_number(most)}",
            )
