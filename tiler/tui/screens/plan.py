"""The plan screen's commands."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import ClassVar, Literal

from textual.binding import BindingType

from tiler.errors import UsageError
from tiler.geometry import Point
from tiler.job import CheckPoint, Job
from tiler.tui.answer import notes_of
from tiler.tui.commands import bindings
from tiler.tui.picking import (
    NEAR_CELLS,
    Picked,
    find_seam,
    find_tile,
    next_seam,
    next_tile,
    nudge,
    pinned,
    released,
    seam_at,
    seam_words,
    tile_at,
    toggled,
)
from tiler.tui.screens.dialogs import AskScreen, ChooseScreen, Question
from tiler.tui.screens.plan_checks import PlanChecks
from tiler.tui.screens.plan_parts import PlanParts
from tiler.tui.screens.plan_printer import PlanPrinter
from tiler.tui.screens.plan_revise import PlanRevise
from tiler.tui.structure_facts import inside
from tiler.tui.typed import parse_places
from tiler.tui.widgets.choice_list import ChoiceList
from tiler.tui.widgets.flat_view import FlatView
from tiler.tui.widgets.picture import PictureView
from tiler.units import format_number


class PlanScreen(PlanParts, PlanRevise, PlanChecks, PlanPrinter):
    """Takes keys and presses and turns them into a changed job."""

    BINDINGS: ClassVar[list[BindingType]] = [*bindings()]

    # -- choices

    def on_choice_list_stepped(self, event: ChoiceList.Stepped) -> None:
        """Take the next value of a row."""
        self.take(event.row.stepped(self.work.job, event.steps))

    def on_choice_list_opened(self, event: ChoiceList.Opened) -> None:
        """Offer all values of a row."""
        if event.row.key == "page":
            self.action_pages()
            return
        self.app.push_screen(ChooseScreen(event.row, self.work.job), self._take_if_given)

    def on_choice_list_entered(self, event: ChoiceList.Entered) -> None:
        """Explain the row."""
        if self.query_one(ChoiceList).has_focus:
            self._show_caption(f"{event.row.help}\n← → change it · enter shows all values")

    def _take_if_given(self, job: Job | None) -> None:
        if job is not None:
            self.take(job)

    # -- the picture

    def on_picture_view_pressed(self, event: PictureView.Pressed) -> None:
        """Pick the seam or the tile under the pointer."""
        if self.prepared is None:
            return
        view = self.query_one(FlatView)
        view.focus()
        scale = self.prepared.job.scale
        at = Point(event.at.x * scale, event.at.y * scale)
        reach = NEAR_CELLS / view.view.density * scale if view.view else 0.0
        seam = seam_at(self.prepared.plan, at, reach)
        self.picked = Picked(seam=seam) if seam else Picked(tile=tile_at(self.prepared.plan, at))

    def on_flat_view_going(self, event: FlatView.Going) -> None:
        """Move the picked seam, or pick the tile that way."""
        if self.prepared is None:
            return
        seam = find_seam(self.prepared.plan, self.picked.seam)
        if seam is None:
            self.picked = Picked(tile=next_tile(self.prepared.plan, self.picked.tile, event.way))
            return
        job = nudge(self.work.job, seam, event.way)
        if job is not None:
            self.take(job)

    def action_zoom(self, steps: int) -> None:
        """Nearer, farther, or the whole flat."""
        view = self.query_one(FlatView)
        around = None
        if self.prepared is not None and steps > 0:
            tile = find_tile(self.prepared.plan, self.picked.tile)
            if tile is not None and view.view is not None and view.view.zoom == 1:
                around = tile.face.scaled(1 / self.prepared.job.scale).centre
        view.zoom(steps, around)

    def action_let_go(self) -> None:
        """Pick nothing."""
        self.picked = Picked()

    def action_sheet(self) -> None:
        """See the picked sheet, or the map when none is picked."""
        if self.prepared is not None and self.problem is None:
            from tiler.tui.screens.sheet import SheetScreen

            screen = SheetScreen(self.prepared, self.picked.tile, self.plain)
            self.app.push_screen(screen, self._pick_tile)

    def _pick_tile(self, label: str | None) -> None:
        if label and self.prepared is not None and find_tile(self.prepared.plan, label):
            self.picked = Picked(tile=label)

    def action_toggle_tile(self) -> None:
        """Print the picked tile, or leave it out."""
        if self.prepared is None or not self.picked.tile:
            self.notify("Pick a tile first: tab to the picture, then an arrow.", timeout=4)
            return
        self.take(toggled(self.work.job, self.prepared.plan, self.picked.tile))

    # -- seams

    def action_next_seam(self, steps: int) -> None:
        """Pick the next seam."""
        if self.prepared is None:
            return
        name = next_seam(self.prepared.plan, self.picked.seam, steps)
        if not name:
            self.notify("All of it lies on one sheet: there is no seam.", timeout=4)
            return
        self.query_one(FlatView).focus()
        self.picked = Picked(seam=name)

    def action_pin(self) -> None:
        """Hold the picked seam."""
        self._with_seam(pinned)

    def action_release(self) -> None:
        """Let the picked seam go."""
        self._with_seam(released)

    def _with_seam(self, change: Callable[..., Job]) -> None:
        seam = find_seam(self.prepared.plan, self.picked.seam) if self.prepared else None
        if seam is None:
            self.notify("Pick a seam first: press e.", timeout=4)
        else:
            self.take(change(self.work.job, seam))

    # -- lines and points by position

    def action_add_crease(self) -> None:
        """Ask where a crease lies."""
        text = "From x, y to x, y in mm of the flat, from its top left corner."
        question = Question("Add a crease", text, self._read_crease, hint="x1, y1, x2, y2")
        self.app.push_screen(AskScreen(question), self._take_if_given)

    def _read_crease(self, text: str) -> Job:
        start, end = self._places(text, 2)
        if start == end:
            raise UsageError("the crease has no length", "give two different places")
        return replace(self.work.job, creases=(*self.work.job.creases, (start, end)))

    def action_add_check_point(self) -> None:
        """Ask for a spot to inspect."""
        middle = ""
        tile = find_tile(self.prepared.plan, self.picked.tile) if self.prepared else None
        if tile is not None and self.prepared is not None:
            centre = tile.face.scaled(1 / self.prepared.job.scale).centre
            middle = f"{format_number(centre.x, 0)}, {format_number(centre.y, 0)}, "
        text = "Mm from the left and the top of the flat, then a name. Seams keep away from it."
        question = Question(
            "Add a check point", text, self._read_check_point, value=middle, hint="x, y, bar code"
        )
        self.app.push_screen(AskScreen(question), self._take_if_given)

    def _read_check_point(self, text: str) -> Job:
        parts = [part.strip() for part in text.split(",", 2)]
        (place,) = self._places(", ".join(parts[:2]), 1)
        points = self.work.job.check_points
        name = parts[2] if len(parts) == 3 and parts[2] else f"point {len(points) + 1}"
        return replace(self.work.job, check_points=(*points, CheckPoint(name, place)))

    def _places(self, text: str, count: int) -> tuple[Point, ...]:
        places = parse_places(text, count)
        size = self.loaded.flat.size if self.loaded else None
        outside = [place for place in places if size is not None and not inside(size, place)]
        if outside and size is not None:
            ends = f"{format_number(size.width)}, {format_number(size.height)}"
            raise UsageError(
                f"{format_number(outside[0].x)}, {format_number(outside[0].y)} lies outside the flat",
                f"its lower right corner is {ends}",
            )
        return places

    # -- the job

    def action_undo(self) -> None:
        """Take the last change back."""
        self._turn_back(self.work.undone().job == self.work.job, "Nothing to take back.", "undone")

    def action_redo(self) -> None:
        """Make it again."""
        self._turn_back(self.work.redone().job == self.work.job, "Nothing to make again.", "redone")

    def _turn_back(self, is_idle: bool, words: str, way: Literal["undone", "redone"]) -> None:
        if is_idle:
            self.notify(words, timeout=3)
            return
        before = self.work.job
        self.session = self.work.undone() if way == "undone" else self.work.redone()
        self.follow(before)

    def action_pages(self) -> None:
        """Choose the page of a file with several."""
        if self.loaded is None or self.loaded.flat.pages < 2:
            self.notify("This file has one page.", timeout=3)
            return
        from tiler.tui.screens.pages import PagesScreen

        self.app.push_screen(
            PagesScreen(self.work.job, self.loaded.flat.pages, self.plain), self._take_if_given
        )

    def action_notes(self) -> None:
        """Read the notes."""
        if self.prepared is None:
            return
        from tiler.tui.screens.reading import notes_screen

        job, plan = self.prepared.job, self.prepared.plan
        seams = tuple(seam_words(job, seam) for seam in plan.seams)
        self.app.push_screen(notes_screen(notes_of(self.prepared), seams))

    def action_help(self) -> None:
        """All keys."""
        from tiler.tui.screens.reading import help_screen

        self.app.push_screen(help_screen())

    def action_theme(self) -> None:
        """Between dark and light."""
        self.app.action_theme()  # type: ignore[attr-defined]

    def action_leave(self) -> None:
        """Leave tiler."""
        self.app.action_interrupt()  # type: ignore[attr-defined]

    def action_open(self) -> None:
        """Open another file."""
        self.app.ask_for_file()  # type: ignore[attr-defined]
