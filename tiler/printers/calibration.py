"""A printer's scale and skew from measured lengths, and the map that makes up for them. Pure.

The printer is taken for an affine map of the upright sheet. A rotation or shift of the whole page changes
no length and is of no matter to a tile, so three numbers remain::

    x' = sx·x + sy·sin(skew)·y        sx, sy  printed length over true length, across and along the sheet
    y' =        sy·cos(skew)·y        skew    how far the y axis leans to the right

A bar (dx, dy) then has the length m with ``m² = sx²·dx² + sy²·dy² + 2·sx·sy·sin(skew)·dx·dy``, which is
linear in ``sx²``, ``sy²`` and ``sx·sy·sin(skew)``: one weighted least-squares solution, no iteration.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from tiler.errors import PrinterError
from tiler.geometry import Margins, Size
from tiler.plan.sheet import Sheet
from tiler.printers.bars import Bar, calibration_bars
from tiler.printers.fit_factors import likely_fit
from tiler.printers.readings import check_readings
from tiler.units import format_number

READING_ERROR = 0.25
"""mm; standard uncertainty of one reading with a ruler divided into half millimetres (an assumption)."""

LOWEST, HIGHEST = 0.98, 1.02
"""Scales that may be the device's own; 2 % was once permissible for a laser engine. Beyond, scaling is on."""

LARGEST_SKEW = 0.5
"""Degrees; 2.6 mm over the length of A4, far beyond a sound printer: common practice, no source."""

_OUTLIER = 4 * READING_ERROR
"""mm; a reading further than this from what the others say is doubted."""


@dataclass(frozen=True)
class Calibration:
    """What the readings say about the printer."""

    scale_x: float
    """Printed length over true length, across the upright sheet."""
    scale_y: float
    """The same along the sheet."""
    skew: float
    """Degrees by which the y axis leans to the right; 0 where no diagonal was measured."""
    error_x: float
    """Standard uncertainty of ``scale_x``."""
    error_y: float
    """Standard uncertainty of ``scale_y``."""
    error_skew: float | None
    """Standard uncertainty of ``skew``, degrees; None where no diagonal was measured."""
    warnings: tuple[str, ...] = ()
    """Sentences on what looks doubtful, though it may be right."""


def calibrate(sheet: Sheet, readings: Mapping[str, float], margins: Margins | None = None) -> Calibration:
    """Work out scale and skew from what was measured on the calibration sheet.

    Args:
        sheet: The sheet it was printed on.
        readings: Measured lengths, mm, by the bar's name; at least one across and one along.
        margins: The printer's margins, mm, where known; they help to recognise a fitted page.

    Raises:
        PrinterError: A reading is missing or cannot be, or the page was scaled.
    """
    bars = calibration_bars(sheet)
    check_readings(bars, readings)
    measured = [(bar, readings[bar.name]) for bar in bars if bar.name in readings]
    if not _spans_both_axes(measured):
        raise PrinterError(
            "the readings do not cover both directions", "measure at least top or bottom and left or right"
        )
    solved = _solve(measured)
    _refuse_outlier(measured, solved)
    _refuse_scaled_page(sheet, solved, margins)
    return Calibration(*solved, warnings=_warnings(sheet, solved, margins))


def _spans_both_axes(measured: Sequence[tuple[Bar, float]]) -> bool:
    return any(bar.is_across for bar, _ in measured) and any(bar.is_down for bar, _ in measured)


_Solved = tuple[float, float, float, float, float, float | None]


def _solve(measured: Sequence[tuple[Bar, float]]) -> _Solved:
    """Scales, skew in degrees, and their standard uncertainties in the same order."""
    diagonals = any(not (bar.is_across or bar.is_down) for bar, _ in measured)
    columns = 3 if diagonals else 2
    rows = [(b.across**2, b.down**2, 2 * b.across * b.down)[:columns] for b, _ in measured]
    weights = np.array([1 / (2 * m * READING_ERROR) for _, m in measured])  # 1 over the error of m²
    design = np.array(rows) * weights[:, None]
    target = np.array([m * m for _, m in measured]) * weights
    found = np.linalg.lstsq(design, target, rcond=None)[0]
    errors = np.sqrt(np.diag(np.linalg.inv(design.T @ design)))
    sx, sy = math.sqrt(found[0]), math.sqrt(found[1])
    scale_errors = float(errors[0]) / (2 * sx), float(errors[1]) / (2 * sy)
    if not diagonals:
        return sx, sy, 0.0, *scale_errors, None
    skew = math.degrees(math.asin(max(-1.0, min(1.0, float(found[2]) / (sx * sy)))))
    return sx, sy, skew, *scale_errors, math.degrees(float(errors[2]) / (sx * sy))


def _printed(bar: Bar, solved: _Solved) -> float:
    """The bar's length on paper, mm."""
    sx, sy, skew = solved[:3]
    lean = 2 * sx * sy * math.sin(math.radians(skew)) * bar.across * bar.down
    return math.sqrt((sx * bar.across) ** 2 + (sy * bar.down) ** 2 + lean)


def _refuse_outlier(measured: Sequence[tuple[Bar, float]], solved: _Solved) -> None:
    """Name the one reading that, left out, lets the others agree best."""
    misfits = [abs(m - _printed(bar, solved)) for bar, m in measured]
    if max(misfits) <= _OUTLIER:
        return

    def misfit_without(left_out: tuple[Bar, float]) -> float:
        rest = [pair for pair in measured if pair is not left_out]
        if not _spans_both_axes(rest):
            return math.inf
        others = _solve(rest)
        return sum((m - _printed(bar, others)) ** 2 for bar, m in rest)

    bar, length = min(measured, key=misfit_without)
    raise PrinterError(
        f"the reading '{bar.name}' ({format_number(length, 2)} mm) does not go with the others",
        "did you read the wrong line? measure it again",
    )


def _refuse_scaled_page(sheet: Sheet, solved: _Solved, margins: Margins | None) -> None:
    sx, sy, skew = solved[:3]
    across, along = (f"{format_number(100 * scale)} %" for scale in (sx, sy))
    if min(sx, sy) >= LOWEST and max(sx, sy) <= HIGHEST:
        if abs(skew) > LARGEST_SKEW:
            raise PrinterError(
                f"the page is skewed by {format_number(abs(skew), 2)}°, more than any sound printer",
                "did you swap the two diagonals or did the sheet feed askew? print the sheet again",
            )
        return
    found = f"the page came out at {across} across and {along} along the sheet"
    if abs(sx - sy) > 2 * math.hypot(solved[3], solved[4]):
        raise PrinterError(
            found,
            "no print dialogue scales one direction alone: measure again, then have the printer looked at",
        )
    fit = likely_fit((sx + sy) / 2, sheet, margins)
    looks = f", which looks like {fit.cause} ({format_number(100 * fit.factor)} %)" if fit else ""
    raise PrinterError(
        f"{found}{looks}",
        "print the calibration sheet again at actual size (100 %), with fitting, shrinking and scaling off",
    )


def _warnings(sheet: Sheet, solved: _Solved, margins: Margins | None) -> tuple[str, ...]:
    sx, sy = solved[:2]
    fit = likely_fit((sx + sy) / 2, sheet, margins, within=0.0015)
    if fit is None or abs(sx - sy) > 0.0015:
        return ()
    return (
        f"both directions came out at {format_number(50 * (sx + sy))} %, just as {fit.cause} would; "
        "make sure that scaling was off",
    )


def error_in_words(calibration: Calibration, flat: Size, part: str = "flat") -> str:
    """What the correction is worth over a flat: its error without and with it, in one sentence.

    Args:
        calibration: What was measured.
        flat: The flat's size in the direction in which its tiles lie upright, mm.
        part: What the user calls it, such as ``lid``.
    """
    size = f"{format_number(flat.width)} × {format_number(flat.height)} mm {part}"
    wide = (calibration.scale_x - 1) * flat.width
    long = (calibration.scale_y - 1) * flat.height
    left_wide = 2 * calibration.error_x * flat.width
    left_long = 2 * calibration.error_y * flat.height
    remaining = f"within {format_number(left_wide)} and {format_number(left_long)} mm"
    if abs(wide) <= max(left_wide, 0.05) and abs(long) <= max(left_long, 0.05):
        return f"over your {size} the printer is true as far as the readings can tell, {remaining}"
    both = [_off(wide, "wide", "narrow"), _off(long, "long", "short")]
    before = " and ".join(words for words in both if words)
    return f"over your {size} this is {before}; corrected it comes out true {remaining}"


def _off(error: float, more: str, less: str) -> str:
    amount = format_number(abs(error))
    return "" if amount == "0" else f"{amount} mm too {more if error > 0 else less}"
