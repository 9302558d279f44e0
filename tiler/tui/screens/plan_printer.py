"""The plan screen's printer: its readings, and the profile that comes of them."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from tiler.printers import in_use
from tiler.tui.screens.plan_work import PlanWork

if TYPE_CHECKING:
    from tiler.printers.keeping import Kept


class PlanPrinter(PlanWork):
    """Opens the readings and takes the printer for the job."""

    def action_measure(self) -> None:
        """Measure a printer."""
        from tiler.tui.screens.measure import MeasureScreen
        from tiler.tui.screens.measure_base import Setting

        prepared = self.prepared
        tiles = prepared.plan.tiles if prepared is not None else ()
        setting = Setting(
            self.work.job,
            in_use.profiles_folder(),
            flat=prepared.plan.flat if prepared is not None else None,
            landscape=sum(tile.landscape for tile in tiles) * 2 > len(tiles),
            plain=self.plain,
        )
        self.app.push_screen(MeasureScreen(setting), self._take_kept)

    def _take_kept(self, kept: Kept | None) -> None:
        """Print this job on the printer that was measured."""
        if kept is None:
            return
        from tiler.printers.profile_files import list_profiles
        from tiler.printers.profile_words import profile_words

        self._profiles = list_profiles(in_use.profiles_folder()).profiles
        has_margins = kept.profile.margins_for(self.work.job.sheet) is not None
        margins = None if has_margins else self.work.job.margins
        job = replace(self.work.job, printer=kept.profile.name, margins=margins)
        if job == self.work.job and self.loaded is not None:
            self._show_rows()
            self.plan(job, self.loaded)  # the same name, but other margins and another correction
        else:
            self.take(job)
        words = f"{kept.profile.name} is kept and taken for this job: {profile_words(kept.profile)}."
        if kept.is_first:
            words += " It is the printer in use for new jobs too."
        self.notify(words, timeout=8, markup=False)
