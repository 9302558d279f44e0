"""Readings into a profile that is kept in the user's folder, and the calibration sheet into a file."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from tiler.errors import UsageError
from tiler.geometry import Point
from tiler.plan.sheet import Sheet
from tiler.printers.calibration import Calibration
from tiler.printers.in_use import default_name
from tiler.printers.measure import SheetReadings, measured_profile
from tiler.printers.profile import Profile
from tiler.printers.profile_files import load_profile, profile_path, save_profile, use_profile
from tiler.units import parse_length


@dataclass(frozen=True)
class Kept:
    """A profile that now holds the readings."""

    profile: Profile
    found: Calibration | None
    """What its scale comes from; None where no bar was read."""
    path: Path
    """Where it is kept."""
    is_first: bool
    """True when it has become the printer in use, as there was none."""


def known_profile(folder: Path, name: str) -> Profile | None:
    """The profile of that name; None when there is none yet.

    Raises:
        PrinterError: The name is not usable, or the profile cannot be read.
    """
    return load_profile(folder, name) if profile_path(folder, name).exists() else None


def keep_readings(
    folder: Path,
    name: str,
    readings: SheetReadings,
    day: date,
    anew: bool = False,
    queue: str | None = None,
    note: str | None = None,
) -> Kept:
    """Put readings into the profile of that name, or begin one with them.

    Args:
        folder: The user's folder.
        name: What the user calls the printer.
        readings: What was read off the calibration sheet.
        day: When it was read.
        anew: True forgets what the profile held before.
        queue: The system's print queue; None leaves it as it was.
        note: Words of the user; None leaves them as they were.

    Raises:
        PrinterError: A reading cannot be, the page was scaled, or the profile cannot be read or written.
    """
    known = None if anew else known_profile(folder, name)
    profile, found = measured_profile(known or Profile(name), readings, day)
    profile = replace(
        profile,
        queue=profile.queue if queue is None else queue,
        note=profile.note if note is None else note,
    )
    path = save_profile(folder, profile, replace=anew or known is not None)
    is_first = default_name(folder) is None
    if is_first:
        use_profile(folder, profile.name)
    return Kept(profile, found, path, is_first)


def write_calibration_sheet(sheet: Sheet, output: Path, inputs: Iterable[Path] = ()) -> None:
    """Write the calibration sheet, front and back.

    Args:
        sheet: What the printer is loaded with.
        output: Where to.
        inputs: Files that must not be written.

    Raises:
        TilerError: The sheet is too small, or the file cannot be written; no file has changed.
    """
    from tiler.pack.target import check_target, replaced
    from tiler.printers.calibration_pdf import calibration_pdf

    check_target(output, list(inputs))
    data = calibration_pdf(sheet)
    with replaced(output) as stream:
        stream.write(data)


def parse_offset(text: str) -> Point:
    """The offset of the back, right and down, mm.

    Raises:
        UsageError: It is not two lengths.

    >>> parse_offset("-0.5, 1")
    Point(x=-0.5, y=1.0)
    """
    parts = text.split(",")
    if len(parts) != 2:
        raise UsageError(f"'{text}' is not an offset", "write two lengths, right and down, as in -0.5,1")
    return Point(parse_length(parts[0]), parse_length(parts[1]))
