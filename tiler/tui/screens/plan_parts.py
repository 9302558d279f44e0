"""The plan screen of one part among several: it saves with the others and goes back to their list."""

from __future__ import annotations

from typing import Protocol

from tiler.job import Job
from tiler.tui.screens.plan_files import PlanFiles


class Home(Protocol):
    """The list of the parts."""

    def take_part(self, job: Job) -> None:
        """The part's job as it is now."""

    def action_save(self) -> None:
        """Save the ticket of all parts."""

    def action_save_as(self) -> None:
        """Save the ticket of all parts to another place."""


class PlanParts(PlanFiles):
    """Gives its job to the list of the parts, where there is one."""

    home: Home | None = None
    """The list that the part was opened from; None for a job of one flat."""
    part = ""
    """Name of the part."""

    def on_mount(self) -> None:
        """Say how to go back."""
        if self.home is not None:
            self.notify(
                f"This is the part {self.part}. L goes back to the list of the parts.",
                timeout=6,
                markup=False,
            )

    def action_parts(self) -> None:
        """Go back to the list of the parts."""
        if self.home is None:
            self.notify("This job has one flat. A ticket with parts lists several.", timeout=4)
            return
        self.home.take_part(self.work.job)
        self.dismiss(None)

    def action_save(self) -> None:
        """Save the ticket: of all parts where there are several."""
        if self.home is None:
            super().action_save()
            return
        self.home.take_part(self.work.job)
        self.home.action_save()

    def action_save_as(self) -> None:
        """Ask where the ticket goes: of all parts where there are several."""
        if self.home is None:
            super().action_save_as()
            return
        self.home.take_part(self.work.job)
        self.home.action_save_as()
