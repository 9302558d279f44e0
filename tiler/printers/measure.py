"""From the numbers read off a calibration sheet to a printer profile. Pure."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date

from tiler.errors import PrinterError
from tiler.geometry import Margins, Point
from tiler.plan.sheet import Sheet
from tiler.printers.calibration import Calibration, calibrate
from tiler.printers.calibration_sheet import STEPS
from tiler.printers.profile import Profile
from tiler.printers.profile_text import LARGEST_BACK
from tiler.units import format_number


@dataclass(frozen=True)
class SheetReadings:
    """All that can be read off one printed calibration sheet."""

    sheet: Sheet
    lengths: Mapping[str, float]
    """Measured lengths by the bar's name, mm; empty leaves scale and skew as they were."""
    edges: Margins | None = None
    """First step seen at each edge, mm; None where nobody looked."""
    back: Point | None = None
    """Where the front's cross shows on the back's scales, mm right and down; None where nobody looked."""


def measured_profile(
    profile: Profile, readings: SheetReadings, day: date
) -> tuple[Profile, Calibration | None]:
    """The profile with what was read, and the calibration that its scale comes from.

    Args:
        profile: What was known before, ``Profile(name)`` for a new printer.
        readings: What was read off the sheet, which must have been printed without any correction.
        day: When it was read.

    Raises:
        PrinterError: Nothing was read, or a reading cannot be.
    """
    if not readings.lengths and readings.edges is None and readings.back is None:
        raise PrinterError("there is no reading", "type at least the bars top and left")
    if readings.edges is not None:
        _check_edges(readings.edges)
        profile = profile.with_sheet(readings.sheet, readings.edges)
    if readings.back is not None:
        if max(abs(readings.back.x), abs(readings.back.y)) > LARGEST_BACK:
            raise PrinterError(
                f"the back cannot be more than {format_number(LARGEST_BACK)} mm off",
                "read it on the scales in the middle of the back",
            )
        profile = replace(profile, back=readings.back)
    if not readings.lengths:
        return profile, None
    margins = readings.edges or profile.margins_for(readings.sheet)
    found = calibrate(readings.sheet, readings.lengths, margins)
    return profile.with_calibration(found, day), found


def _check_edges(edges: Margins) -> None:
    """The steps end somewhere, and a printer that prints step 0 has enlarged the page.

    Raises:
        PrinterError: A step that is not on the sheet, or 0.
    """
    for name, step in edges._asdict().items():
        if step <= 0:
            raise PrinterError(
                f"step {format_number(step)} at the {name} edge is the paper's edge itself",
                "turn borderless printing off, for it enlarges the page, and print the sheet again",
            )
        if step > 3 * STEPS:
            raise PrinterError(
                f"a margin of {format_number(step)} mm at the {name} edge is more than any printer has",
                "read the step again",
            )
