"""What can be done with a late change: choose sheets, see them, write them, go on with the later flat."""

from __future__ import annotations

from pathlib import Path

from textual.worker import get_current_worker

from tiler.run import Prepared
from tiler.tui.beside import default_output
from tiler.tui.messages import Failed
from tiler.tui.revising import reprint_path, whole_pack
from tiler.tui.screens.key_help import key_help
from tiler.tui.screens.reprint import ReprintScreen, ReprintSheets
from tiler.tui.screens.revise_base import KEYS, SIGNS, RevisionBase
from tiler.tui.screens.revise_work import PlannedAnew
from tiler.tui.screens.writing import WriteScreen
from tiler.tui.widgets.flat_view import FlatView
from tiler.tui.widgets.revision_view import RevisionView
from tiler.tui.work import problem_of


class RevisionScreen(RevisionBase):
    """Takes keys and presses."""

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Keys that would do nothing are not offered."""
        changes = self.revised.changes if self.revised is not None else None
        if action in ("choose", "sheet", "write"):
            return changes is not None and bool(changes.tiles) and not changes.resized
        if action == "whole":
            return changes is not None and bool(changes.moved)
        if action in ("swap", "go_on"):
            return changes is not None
        return True

    @property
    def _labels(self) -> tuple[str, ...]:
        """Sheets to print, in printing order."""
        assert self.revised is not None, "keys are offered when there is a comparison"
        tiles = self.revised.changes.plan.tiles
        return tuple(tile.label for tile in tiles if tile.label in self.chosen)

    def action_choose(self) -> None:
        """Print the sheet under the bar, or leave it out."""
        label = self.line.tile if self.line is not None else ""
        if not label:
            self.notify("Go to a sheet in the list first.", timeout=3)
            return
        self.chosen = self.chosen ^ {label}

    def action_sheet(self) -> None:
        """See the new sheets as they will print."""
        if self.revised is None:
            return
        label = self.line.tile if self.line is not None else ""
        labels = self._labels if label in self.chosen or not label else (label,)
        if not labels:
            self.notify("No sheet is chosen: space on a sheet chooses it.", timeout=4)
            return
        self.app.push_screen(ReprintSheets(self.revised.changes, labels, label, self._plain))

    def action_swap(self) -> None:
        """Show the earlier flat, or the later one."""
        self.is_before = not self.is_before
        self.notify("Before" if self.is_before else "After", timeout=1.5)

    def action_zoom(self, steps: int) -> None:
        """Nearer, farther, or the whole flat."""
        view = self.query_one(RevisionView)
        line = self.line
        around = None
        if line is not None and line.rect is not None and steps > 0:
            around = self._on_flat(line.rect).centre
            if view.view is not None and view.view.zoom == 1:
                view.zoom(steps, around)
                view.look(view.view.centred(around))
                return
        view.zoom(steps, around)

    def on_flat_view_going(self, event: FlatView.Going) -> None:
        """Arrows over the picture move the window."""
        steps = {"left": (-8, 0), "right": (8, 0), "up": (0, -4), "down": (0, 4)}
        self.query_one(RevisionView).action_pan(*steps[event.way])

    # -- writing

    def action_write(self) -> None:
        """Write the chosen sheets beside the later flat."""
        if self.revised is None:
            return
        if not self._labels:
            self.notify("No sheet is chosen: space on a sheet chooses it.", timeout=4)
            return
        output = reprint_path(self._path)
        self._ask_to_replace(output, lambda: self._write(output))

    def _write(self, output: Path) -> None:
        assert self.revised is not None, "keys are offered when there is a comparison"
        self.app.push_screen(ReprintScreen(self.revised.changes, self._labels, output))

    def action_whole(self) -> None:
        """Plan the later flat by itself, then write its whole pack."""
        self.run_worker(self._plan_whole, thread=True, exclusive=True, group="whole", exit_on_error=False)

    def _plan_whole(self) -> None:
        """In the worker's thread."""
        worker = get_current_worker()
        assert self.revised is not None, "keys are offered when there is a comparison"
        try:
            prepared = whole_pack(self.revised)
        except Exception as error:  # whatever it is, the screen lives on
            self._post(Failed(None, problem_of(error, "planning the sheets"), "picture"))
            return
        if not worker.is_cancelled:
            self._post(PlannedAnew(prepared))

    def on_planned_anew(self, event: PlannedAnew) -> None:
        """Write the pack."""
        event.stop()
        prepared: Prepared = event.prepared
        output = default_output(prepared.job)
        self._ask_to_replace(output, lambda: self.app.push_screen(WriteScreen(prepared, output)))

    # -- the rest

    def action_help(self) -> None:
        """All keys."""
        self.app.push_screen(key_help("Help: a new revision", KEYS, SIGNS))

    def action_go_on(self) -> None:
        """Go on with the later flat in this job."""
        if self.revised is not None:
            if not self.revised.keeps_seams:
                self.notify("The later flat has seams of its own: the old sheets go with none.", timeout=8)
            self.dismiss(self.revised.job)

    def action_back(self) -> None:
        """Stop comparing and go back; the job is as it was."""
        if self._work is not None:
            self._work.cancel()
        self.dismiss(None)
