"""What the application takes from the system. Nothing here loads the screen itself."""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from tiler.job import Job
from tiler.printers.profile import Profile
from tiler.printers.sheets import default_sheet
from tiler.tui.recent import state_folder


@dataclass(frozen=True)
class Surroundings:
    """What the application takes from the system, so that a test can give its own."""

    state: Path
    """Folder for what is remembered between sessions."""
    folder: Path
    """Folder that is shown first."""
    environ: Mapping[str, str]
    profiles: tuple[Profile, ...] = ()
    printer: str | None = None
    """The printer in use, for a flat opened without a ticket."""
    sample: Path | None = None
    """A flat to try; None when it is not installed."""

    @property
    def is_plain(self) -> bool:
        """True when no colours are wanted (no-color.org: NO_COLOR set and not empty)."""
        return bool(self.environ.get("NO_COLOR"))

    def job_for(self, flat: Path) -> Job:
        """The job that a flat without a ticket begins with."""
        return Job(flat, default_sheet(self.environ), printer=self.printer)


def surroundings() -> Surroundings:
    """The system as it is."""
    from tiler.printers.in_use import profiles_folder
    from tiler.printers.profile_files import list_profiles

    printers = list_profiles(profiles_folder())
    return Surroundings(
        state=state_folder(),
        folder=Path.cwd(),
        environ=os.environ,
        profiles=printers.profiles,
        printer=printers.default,
        sample=sample_flat(),
    )


def sample_flat() -> Path | None:
    """The flat to try: beside the program where it is installed, else at the top of its source."""
    package = Path(__file__).parents[1]
    places = (package / "samples" / "lid.pdf", package.parent / "sample_art" / "lid.pdf")
    return next((place for place in places if place.is_file()), None)
