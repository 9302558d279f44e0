"""A printer profile as data: margins for each sheet, measured scale and skew, offset of the back. Pure."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date

from tiler.geometry import Affine, Margins, Point, Size
from tiler.plan.sheet import Sheet
from tiler.printers.calibration import Calibration

NO_SHIFT = Point(0, 0)
"""The back lies behind the front, or nobody has looked."""


@dataclass(frozen=True)
class LoadedSheet:
    """One sheet that the printer takes, with the edges it cannot print on."""

    sheet: Sheet
    margins: Margins
    """Of the upright sheet, mm."""


@dataclass(frozen=True)
class Profile:
    """All that is known of one printer."""

    name: str
    """What the user calls it."""
    sheets: tuple[LoadedSheet, ...] = ()
    """Sheets whose margins are known; the first is the usual one."""
    scale_x: float = 1.0
    """Printed length over true length, across the upright sheet."""
    scale_y: float = 1.0
    """The same along the upright sheet."""
    skew: float = 0.0
    """Degrees by which the y axis leans to the right on paper."""
    back: Point = NO_SHIFT
    """Mm to the right and down by which the back of an upright sheet must move to lie behind the front."""
    measured: date | None = None
    """Day of the readings; None when scale and skew were never measured."""
    queue: str = ""
    """The system's name of its print queue; empty for the system's default."""
    note: str = ""
    """Free words of the user."""

    def margins_for(self, sheet: Sheet) -> Margins | None:
        """The margins of this sheet, mm; None where they are not known."""
        short = sorted(sheet.size)
        for loaded in self.sheets:
            if all(abs(a - b) <= 0.5 for a, b in zip(sorted(loaded.sheet.size), short, strict=True)):
                return loaded.margins
        return None

    def with_sheet(self, sheet: Sheet, margins: Margins) -> Profile:
        """The profile with these margins for the sheet, in place of any it had."""
        known = [loaded.sheet.name for loaded in self.sheets]
        loaded = LoadedSheet(sheet, margins)
        if sheet.name not in known:
            return replace(self, sheets=(*self.sheets, loaded))
        return replace(
            self, sheets=tuple(loaded if old.sheet.name == sheet.name else old for old in self.sheets)
        )

    def with_calibration(self, found: Calibration, day: date) -> Profile:
        """The profile with newly measured scale and skew."""
        return replace(self, scale_x=found.scale_x, scale_y=found.scale_y, skew=found.skew, measured=day)


def correction(profile: Profile, page: Size) -> Affine:
    """The map of a page's drawing that makes it come out true on paper.

    It is the inverse of what the printer does, about the page's middle. A landscape page is printed on the
    same upright sheet, turned by a quarter; the printer's axes turn with it. Which way it is turned does not
    matter: half a turn leaves scale and skew as they are.

    Args:
        profile: Scale and skew of the printer.
        page: Size of the page as it is read, mm.
    """
    return _about_middle(printed(profile, page), page).inverse()


def back_correction(profile: Profile, page: Size) -> Affine:
    """The same for the back of a sheet that is turned over its long edge.

    The offset of the back is known for upright pages only, as the driver decides which way a landscape page
    is turned; the back of a landscape page gets the front's correction.
    """
    if page.width > page.height:
        return correction(profile, page)
    return Affine.shift(*profile.back).then(correction(profile, page))


def printed(profile: Profile, page: Size) -> Affine:
    """What the printer does to the axes of a page: a map without shift."""
    lean = Affine.turn(profile.skew)
    sx, sy = profile.scale_x, profile.scale_y
    upright = Affine(sx, 0, sy * lean.b, sy * lean.a, 0, 0)
    if page.width <= page.height:
        return upright
    a, b, c, d, _, _ = upright
    return Affine(d, -c, -b, a, 0, 0)  # turned by a quarter, mapped, turned back


def _about_middle(linear: Affine, page: Size) -> Affine:
    x, y = page.width / 2, page.height / 2
    return Affine.shift(-x, -y).then(linear).then(Affine.shift(x, y))
