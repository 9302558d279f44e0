"""The factors by which "fit to page" shrinks a page, worked out from sheets and margins.

A page put into the printable area of its own sheet, or of the everyday sheet of another country, comes
out at a few well-known sizes. A reading close to one of them says that scaling was on.
"""

from __future__ import annotations

from dataclasses import dataclass

from tiler.geometry import Margins, Size
from tiler.plan.sheet import Sheet
from tiler.printers.sheets import find_sheet, sheet_label
from tiler.units import format_number

USUAL_MARGINS = (3.0, 25.4 / 6, 5.0, 6.35)
"""mm on all edges; 1/6 inch is reported by many printers, the others are common practice, no source."""

CLOSE = 0.004
"""A scale this near to a factor is taken for it: half a millimetre on a bar of 125 mm."""

_NO_MARGINS = Margins(0, 0, 0, 0)
_NEIGHBOURS = {"A4": "Letter", "Letter": "A4", "A3": "Tabloid", "Tabloid": "A3"}


@dataclass(frozen=True)
class FitFactor:
    """One way in which a page gets shrunk."""

    factor: float
    """Printed length over true length."""
    cause: str
    """What happened, as in ``A4 fitted into margins of 3 mm``."""


def fit_factor(page: Size, paper: Size, margins: Margins) -> float:
    """The factor that fits an upright page into the printable area of an upright paper, both mm."""
    return min(
        (paper.width - margins.left - margins.right) / page.width,
        (paper.height - margins.top - margins.bottom) / page.height,
    )


def fit_factors(sheet: Sheet, margins: Margins | None = None) -> tuple[FitFactor, ...]:
    """All likely factors for a page of this sheet.

    Args:
        sheet: The page that was sent to the printer.
        margins: The printer's own margins, mm, where they are known.
    """
    page, label = sheet.oriented(landscape=False), sheet_label(sheet)
    found = []
    if margins is not None and margins != _NO_MARGINS:
        cause = f"{label} fitted into this printer's margins"
        found.append(FitFactor(fit_factor(page, page, margins), cause))
    for edge in USUAL_MARGINS:
        cause = f"{label} fitted into margins of {format_number(edge, 2)} mm"
        found.append(FitFactor(fit_factor(page, page, Margins(*[edge] * 4)), cause))
    if label in _NEIGHBOURS:
        other = _NEIGHBOURS[label]
        paper = find_sheet(other).oriented(landscape=False)
        cause = f"a page of {label} fitted onto {other}"
        found.append(FitFactor(fit_factor(page, paper, _NO_MARGINS), cause))
        for edge in USUAL_MARGINS:
            with_edge = f"{cause} with margins of {format_number(edge, 2)} mm"
            found.append(FitFactor(fit_factor(page, paper, Margins(*[edge] * 4)), with_edge))
    return tuple(found)


def likely_fit(
    scale: float, sheet: Sheet, margins: Margins | None = None, within: float = CLOSE
) -> FitFactor | None:
    """The factor that a printed scale looks like; None where it is near none of them."""
    nearest = min(fit_factors(sheet, margins), key=lambda fit: abs(fit.factor - scale))
    return nearest if abs(nearest.factor - scale) <= within else None
