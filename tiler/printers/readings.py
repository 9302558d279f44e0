"""Readings as people type them, checked for the usual slips before anything is worked out from them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from tiler.errors import PrinterError
from tiler.printers.bars import Bar
from tiler.units import MM_PER_INCH, format_number

SLIP = 0.15
"""A reading further off its bar than this share is a slip of the pen or a badly scaled page."""

_ALIKE = 0.03
"""A reading this near (as a share) to a likely mistake is taken for it."""


def check_readings(bars: Sequence[Bar], readings: Mapping[str, float]) -> None:
    """Refuse readings that cannot be, with the likeliest slip put as a question.

    Args:
        bars: All lengths of the calibration sheet.
        readings: Measured lengths by the bar's name, mm; bars may be left out.

    Raises:
        PrinterError: An unknown name, a length of nothing, inches or centimetres, swapped bars, a wild one.
    """
    named = {bar.name: bar for bar in bars}
    for name, measured in readings.items():
        if name not in named:
            raise PrinterError(
                f"the calibration sheet has no bar called '{name}'", f"its bars are {', '.join(named)}"
            )
        if not 0 < measured < 1e5:
            raise PrinterError(
                f"{_reading(name, measured)} is no length",
                "measure the bar again, from the middle of one line to the middle of the other",
            )
    given = [(named[name], measured) for name, measured in readings.items()]
    _refuse_swapped_axes(bars, given)
    for bar, measured in given:
        if abs(measured / bar.length - 1) > SLIP:
            raise _slip(bars, bar, measured)


def _refuse_swapped_axes(bars: Sequence[Bar], given: Sequence[tuple[Bar, float]]) -> None:
    """One reading like another bar's length may be a slip; a whole axis like the other one is a swap."""
    width, height = (max(sides) for sides in ([b.across for b in bars], [b.down for b in bars]))
    swapped = [
        _like(measured, height if bar.is_across else width) and not _like(measured, bar.length)
        for bar, measured in given
        if (bar.is_across and bar.across == width) or (bar.is_down and bar.down == height)
    ]
    if len(swapped) > 1 and all(swapped):
        raise PrinterError(
            "the readings across look like those along the sheet and the other way round",
            "did you swap them? top and bottom run across the upright sheet, left and right along it",
        )


def _slip(bars: Sequence[Bar], bar: Bar, measured: float) -> PrinterError:
    reading = f"{_reading(bar.name, measured)} for a bar of {format_number(bar.length)} mm"
    if _like(measured * MM_PER_INCH, bar.length):
        return PrinterError(reading, f"did you measure in inches? write {format_number(measured, 4)}in")
    if _like(measured * 10, bar.length):
        return PrinterError(reading, f"did you measure in centimetres? write {format_number(measured, 4)}cm")
    twin = next((other for other in bars if other is not bar and _like(measured, other.length)), None)
    if twin is not None:
        return PrinterError(reading, f"is that the bar '{twin.name}'?")
    share = format_number(100 * measured / bar.length)
    return PrinterError(
        reading,
        f"is that a slip of the pen? if not, it is {share} %, and scaling was on when the sheet was printed",
    )


def _like(measured: float, length: float) -> bool:
    return abs(measured / length - 1) <= _ALIKE


def _reading(name: str, measured: float) -> str:
    return f"the reading '{name}' is {format_number(measured, 2)} mm"
