"""The folded box: turn it, open it, see where its art does not meet, and set how it folds."""

from __future__ import annotations

import time
from typing import ClassVar, Literal

from textual.binding import BindingType
from textual.timer import Timer

from tiler.job import Job
from tiler.tui.commands import bindings
from tiler.tui.fold_commands import FOLD_COMMANDS
from tiler.tui.fold_look import CLOSED, FLAT, Look
from tiler.tui.fold_rows import CREASE, MEETING, SMALL_STEP, meeting_words, turned_angle
from tiler.tui.fold_words import fold_notes
from tiler.tui.screens.dialogs import ChooseScreen
from tiler.tui.screens.fold_base import FoldBase
from tiler.tui.screens.fold_reading import fold_help, fold_notes_screen
from tiler.tui.screens.fold_work import FoldWork
from tiler.tui.screens.plan_work import PlanWork
from tiler.tui.widgets.choice_list import ChoiceList
from tiler.tui.widgets.fold_list import FoldList
from tiler.tui.widgets.fold_view import FoldView
from tiler.tui.widgets.opening_bar import OpeningBar

GLIDE = 0.6
"""Seconds from one corner to another, and from flat to closed."""
FRAMES = 24
"""Pictures a second on the way, at most."""
HURRY = 0.25
"""Looks that follow each other within this are those of a held key, a drag or a glide, seconds."""


class FoldedScreen(FoldBase):
    """Takes keys and the mouse, and turns them into another look or a changed job."""

    BINDINGS: ClassVar[list[BindingType]] = [*bindings(FOLD_COMMANDS)]

    def __init__(self, plan: PlanWork) -> None:
        super().__init__(plan)
        self._way: tuple[Look, Look, float] | None = None
        """From where, where to, and when the way began, while the box glides."""
        self._clock: Timer | None = None
        self._turned_at = 0.0
        self._sharp: Timer | None = None

    # -- the look

    def see(self, look: Look) -> None:
        """Look at the box so, at once."""
        self._halt()
        self._see(look)

    def _see(self, look: Look) -> None:
        if look != self.look:
            self.look = look
            self.query_one(OpeningBar).shut = look.shut
            self._show_title()
            self._redraw_soon()

    def _redraw_soon(self) -> None:
        """Draw now; in few colours while one look follows another, and once more when that has ended."""
        now = time.monotonic()
        is_hurried, self._turned_at = now - self._turned_at < HURRY, now
        if self._sharp is not None:
            self._sharp.stop()
        self.redraw(is_hurried)
        if is_hurried:
            self._sharp = self.set_timer(HURRY, self.redraw)

    @property
    def goal(self) -> Look:
        """How the box is looked at, or will be when it has come to rest."""
        return self._way[1] if self._way is not None else self.look

    def glide(self, goal: Look) -> None:
        """Turn and fold on to another look, where the terminal wants motion."""
        if self.plain or self.app.animation_level == "none":
            self.see(goal)
            return
        self._halt()
        self._way = (self.look, goal, time.monotonic())
        self._clock = self.set_interval(1 / FRAMES, self._step)

    def _step(self) -> None:
        """The next picture on the way."""
        if self._way is None:
            return
        start, goal, begin = self._way
        share = (time.monotonic() - begin) / GLIDE
        if share >= 1:
            self._halt()
        self._see(start.towards(goal, share))

    def _halt(self) -> None:
        """Stop where the box is."""
        self._way = None
        if self._clock is not None:
            self._clock.stop()
            self._clock = None

    def on_fold_view_turned(self, event: FoldView.Turned) -> None:
        """Turn and tilt."""
        self.see(self.look.turned(event.azimuth, event.elevation))

    def on_fold_view_zoomed(self, event: FoldView.Zoomed) -> None:
        """Nearer or farther."""
        self.see(self.look.zoomed(event.steps))

    def on_fold_view_resized(self) -> None:
        """Draw for the new size."""
        self.redraw()

    def on_opening_bar_moved(self, event: OpeningBar.Moved) -> None:
        """Open or close."""
        self.see(self.look.closed_to(event.shut))

    def action_close_by(self, steps: int) -> None:
        """Open or close by a few per cent."""
        self.see(self.look.closed_by(steps))

    def action_swing(self) -> None:
        """Fold it, or unfold what is mostly closed."""
        self.glide(self.goal.closed_to(FLAT if self.goal.shut > CLOSED / 2 else CLOSED))

    def action_corner(self, steps: int) -> None:
        """From the next corner."""
        self.glide(self.goal.next_corner(steps))

    def action_behind(self) -> None:
        """From the other side."""
        self.glide(self.goal.opposite())

    def action_zoom(self, steps: int) -> None:
        """Nearer, farther, or all of it."""
        self.see(self.look.zoomed(steps))

    def action_names(self) -> None:
        """Write the names of panels, or not."""
        self.see(self.look.named(not self.look.has_names))

    # -- rows

    def on_choice_list_entered(self, event: ChoiceList.Entered) -> None:
        """Show on the picture what the bar is on."""
        key = event.row.key
        name = next((key.removeprefix(kind) for kind in (CREASE, MEETING) if key.startswith(kind)), "")
        if self.query_one(FoldList).has_focus or name == self.look.picked:
            self._see(self.look.picking(name))
        self._show_caption()

    def on_choice_list_stepped(self, event: ChoiceList.Stepped) -> None:
        """Take the next value of a row, or the next whole step of an angle."""
        row, job = event.row, self.plan.work.job
        if row.key.startswith(CREASE) and self.box is not None:
            name = row.key.removeprefix(CREASE)
            self.take(turned_angle(job, self.box, name, event.steps * SMALL_STEP))
        elif row.options:
            self.take(row.stepped(job, 1 if event.steps > 0 else -1))

    def on_choice_list_opened(self, event: ChoiceList.Opened) -> None:
        """Offer all values of a row; turn the box to a meeting."""
        if event.row.key.startswith(MEETING):
            self._turn_to(event.row.key.removeprefix(MEETING))
        else:
            self.app.push_screen(ChooseScreen(event.row, self.plan.work.job), self._take_if_given)

    def _take_if_given(self, job: Job | None) -> None:
        if job is not None:
            self.take(job)

    def take(self, job: Job) -> None:
        """Make a change; the plan follows it too."""
        self.plan.take(job)

    def _turn_to(self, name: str) -> None:
        """Turn the box so that a meeting is seen."""
        if self.box is not None:
            self.find_corner(self.box, name, self.goal.opening, self.goal.corner)

    def on_fold_work_corner_found(self, event: FoldWork.CornerFound) -> None:
        """Turn the box there."""
        event.stop()
        self.glide(self.goal.picking(event.name).seen_from(event.corner))

    def action_meeting(self, steps: int) -> None:
        """Go to the next meeting, and turn the box to it."""
        names = [one.id for one in self.box.meetings] if self.box is not None else []
        if not names:
            self.notify("No edges meet on this box.", timeout=4)
            return
        at = names.index(self.look.picked) if self.look.picked in names else (-1 if steps > 0 else 0)
        name = names[(at + steps) % len(names)]
        self._see(self.look.picking(name))
        self.query_one(FoldList).pick(f"{MEETING}{name}")
        self._turn_to(name)

    # -- the job

    def action_undo(self) -> None:
        """Take the last change back, if it was one of folding."""
        self._turn_back("undo")

    def action_redo(self) -> None:
        """Make it again, if it was one of folding."""
        self._turn_back("redo")

    def _turn_back(self, way: Literal["undo", "redo"]) -> None:
        work = self.plan.work
        other = work.undone().job if way == "undo" else work.redone().job
        if other == work.job:
            self.notify("Nothing to take back." if way == "undo" else "Nothing to make again.", timeout=3)
        elif other.fold == work.job.fold:
            self.notify("The last change was made on the plan: go back to it with esc.", timeout=4)
        elif way == "undo":
            self.plan.action_undo()  # type: ignore[attr-defined]
        else:
            self.plan.action_redo()  # type: ignore[attr-defined]

    def action_save(self) -> None:
        """Save the ticket."""
        self.plan.action_save()  # type: ignore[attr-defined]

    # -- the screen

    def action_notes(self) -> None:
        """Read the notes and every meeting in full."""
        if self.box is not None:
            meetings = tuple(
                meeting_words(self.box, one, self.verdicts.get(one.id)) for one in self.box.meetings
            )
            self.app.push_screen(fold_notes_screen(fold_notes(self.box), meetings))

    def action_help(self) -> None:
        """All keys."""
        self.app.push_screen(fold_help())

    def action_theme(self) -> None:
        """Between dark and light."""
        self.app.action_theme()  # type: ignore[attr-defined]
        self.call_after_refresh(self._recolour)

    def _recolour(self) -> None:
        """Draw in the colours of the other theme."""
        self._show()
        self.redraw()

    def action_close(self) -> None:
        """Go back to the plan."""
        self.dismiss(None)
