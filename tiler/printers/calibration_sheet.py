"""The calibration sheet as shapes: a front to be measured, and a back that shows how far it is off the front.

Front: a frame whose sides and diagonals are the bars, a square with the instructions, and at each edge a
flight of steps. Step 5 lies 5 mm from the page's edge, so the first step that is seen tells the margin::

    edge of the page --------------------------------
         0                                               not printed
            --1                                          not printed
               --2--                                     the first seen: the margin is 2 mm
                    --3--
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence

from tiler.geometry import Point, Rect, Size
from tiler.marks.metrics import Measure, cap_height, em, wrap
from tiler.marks.shapes import Align, Line, Page, Ring, Shape, Words
from tiler.marks.style import APART, CLOSE, FINE, FIRM, HAIR, NEAR, NOTE, QUIET, TINY, TITLE, WIDE
from tiler.plan.sheet import Sheet
from tiler.printers.bars import Bar, calibration_bars, frame_of_bars, square_of
from tiler.printers.sheets import sheet_label
from tiler.units import format_number

STEPS = 14
"""mm; the last step at each edge. The largest usual margin is 12.7 mm; a bar lies at 17 mm or more."""

_STEP_WIDTH = 3.6
_CROSS = 8.0
"""mm; reach of the scale in the middle of the back."""
_TICK = 3.0
"""mm by which the frame's lines run over its corners."""
_STUB = 16.0
"""mm of a diagonal that are drawn at each end; the ruler bridges the rest."""
_LEADING = 1.45
"""Distance of base lines, em."""
_ROW = 6.0
"""mm between two lines to write on."""
_LABEL = 24.0
"""mm from the start of a bar's name to the line for its reading."""

_FRONT = (
    "Print both pages at actual size (100 %), with fitting, shrinking and borderless printing off, on the "
    "two sides of one sheet if the printer can, turned over the long edge.",
    "Let the sheet lie for five minutes. Measure each length from the middle of one line to the middle of "
    "the other, to half a millimetre, with a steel rule.",
    "At each edge note the lowest step whose line is printed whole: so many mm are left blank there.",
    "Type the readings: tiler printer measure NAME",
)
_BACK = (
    "Turn the sheet over its long edge, so that its top stays at the top, and hold it against a bright "
    "window with this side towards you.",
    "Read where the cross of the front shows through on the scales below: to the right and down count as "
    "plus, to the left and up as minus.",
    "Type both with the other readings: tiler printer measure NAME --back RIGHT,DOWN",
)


def calibration_pages(sheet: Sheet, measure: Measure) -> tuple[Page, Page]:
    """Front and back of the calibration sheet, both exactly of the upright sheet's size.

    Args:
        sheet: What the printer is loaded with.
        measure: Measures text, for breaking lines.

    Raises:
        PrinterError: The sheet is too small to calibrate on.
    """
    page = sheet.oriented(landscape=False)
    bars = calibration_bars(sheet)
    square = square_of(sheet)
    title = f"{sheet_label(sheet)}, {format_number(page.width)} × {format_number(page.height)} mm"
    front = (
        *_edge_steps(page),
        *_frame(frame_of_bars(sheet)),
        *_square(square),
        *_bar_names(bars, frame_of_bars(sheet)),
        *_instructions("Calibration sheet: front", title, _FRONT, square, measure),
        *_front_cross(square.centre),
        *_readings(bars, square),
    )
    back = (
        *_edge_steps(page),
        *_instructions("Calibration sheet: back", title, _BACK, square, measure),
        *_back_scales(square.centre),
        *_fields(("right", "down"), _column(square), square.centre.y + 3 * WIDE, square),
    )
    return (
        Page(page, front, "Front", "Calibration sheet, front"),
        Page(page, back, "Back", "Calibration sheet, back"),
    )


def _frame(frame: Rect) -> Iterator[Shape]:
    """The four bars as one rectangle, run over at the corners, and the ends of the diagonals."""
    left, top, right, bottom = frame.x, frame.y, frame.right, frame.bottom
    for y in (top, bottom):
        yield Line((Point(left - _TICK, y), Point(right + _TICK, y)), FINE)
    for x in (left, right):
        yield Line((Point(x, top - _TICK), Point(x, bottom + _TICK)), FINE)
    for corner in frame.corners:
        inwards = math.atan2(frame.centre.y - corner.y, frame.centre.x - corner.x)
        end = corner.shifted(_STUB * math.cos(inwards), _STUB * math.sin(inwards))
        yield Line((corner, end), HAIR)


def _square(square: Rect) -> Iterator[Shape]:
    yield Line(square.corners, FINE, closed=True)


def _bar_names(bars: Sequence[Bar], frame: Rect) -> Iterator[Shape]:
    """Each bar's name and true length beside its line, inside the frame."""
    cap = cap_height(NOTE)
    diagonal = math.degrees(math.atan2(frame.height, frame.width))
    along = _STUB + NEAR
    for bar in bars:
        text = f"{bar.name} {format_number(bar.length)} mm"
        middle = Point((bar.start.x + bar.end.x) / 2, (bar.start.y + bar.end.y) / 2)
        aside = CLOSE if bar.name in ("bottom", "right") else -CLOSE - cap
        if bar.is_across:
            start = bar.start.x + _STUB if bar.name in ("top", "bottom") else middle.x
            align: Align = "left" if bar.name in ("top", "bottom") else "middle"
            yield Words(Point(start, bar.start.y - aside), text, NOTE, align=align)
        elif bar.is_down:
            place = Point(bar.start.x - aside, bar.end.y - _STUB)
            if bar.name == "square-down":
                yield Words(Point(place.x, middle.y), text, NOTE, align="middle", turn=-90)
            else:
                yield Words(place, text, NOTE, turn=-90)
        else:
            turn = diagonal if bar.name == "falling" else -diagonal
            away = Point(along * math.cos(math.radians(turn)), along * math.sin(math.radians(turn)))
            down = cap / 2  # centred on the diagonal, across its direction
            aside_x, aside_y = -down * math.sin(math.radians(turn)), down * math.cos(math.radians(turn))
            yield Words(bar.start.shifted(away.x + aside_x, away.y + aside_y), text, NOTE, turn=turn)


def _edge_steps(page: Size) -> Iterator[Shape]:
    """The flights of steps at all four edges."""
    across = (page.width - (STEPS + 1) * _STEP_WIDTH) / 2
    along = (page.height - (STEPS + 1) * _STEP_WIDTH) / 2
    yield from _flight(lambda u, v: Point(across + u, v), "middle", 0.5 + cap_height(TINY))
    yield from _flight(lambda u, v: Point(across + u, page.height - v), "middle", 0.5)
    yield from _flight(lambda u, v: Point(v, along + u), "left", 0.5)
    yield from _flight(lambda u, v: Point(page.width - v, along + u), "right", 0.5)


def _flight(place: Callable[[float, float], Point], align: Align, gap: float) -> Iterator[Shape]:
    """Steps along one edge: ``place`` turns (mm along the edge, mm from the edge) into a point."""
    sunk = (
        0 if align == "middle" else cap_height(TINY) / 2
    )  # numbers beside an upright step stand on its middle
    for step in range(STEPS + 1):
        start, end = step * _STEP_WIDTH, (step + 1) * _STEP_WIDTH
        yield Line((place(start, step), place(end, step)), FIRM if step % 5 == 0 else FINE)
        at = place((start + end) / 2, step + gap)
        yield Words(at.shifted(0, sunk), str(step), TINY, align=align)


def _column(square: Rect) -> float:
    """Left edge of all text in the square."""
    return square.x + 8


def _instructions(
    title: str, under: str, steps: Sequence[str], square: Rect, measure: Measure
) -> Iterator[Shape]:
    left, y = _column(square), square.y + 11
    yield Words(Point(left, y), title, TITLE, bold=True)
    yield Words(Point(square.right - WIDE, y), under, NOTE, align="right", grey=QUIET)
    y += em(TITLE) + CLOSE
    for number, step in enumerate(steps, start=1):
        yield Words(Point(left, y), str(number), NOTE, bold=True)
        for line in wrap(step, square.right - WIDE - left - APART, NOTE, measure):
            yield Words(Point(left + APART, y), line, NOTE)
            y += em(NOTE) * _LEADING
        y += CLOSE / 2


def _front_cross(centre: Point) -> Iterator[Shape]:
    for dx, dy in ((4.0, 0.0), (0.0, 4.0)):
        yield Line((centre.shifted(-dx, -dy), centre.shifted(dx, dy)), FIRM)
    yield Ring(centre, 2.0, FIRM)


def _back_scales(centre: Point) -> Iterator[Shape]:
    """Two crossed scales; the front's cross is heavier than they are and shows through between the marks."""
    for across in (True, False):

        def place(u: float, v: float, across: bool = across) -> Point:
            return centre.shifted(u, v) if across else centre.shifted(v, u)

        yield Line((place(-_CROSS, 0), place(_CROSS, 0)), HAIR)
        for step in range(-int(_CROSS), int(_CROSS) + 1):
            half = 1.6 if step % 5 == 0 else 0.8
            yield Line((place(step, -half), place(step, half)), HAIR)
        for step in (-5, 5):
            words = Words(place(step, 2.0), f"{step:+d}".replace("-", "−"), TINY, align="middle")
            cap = cap_height(TINY)
            yield Words(
                words.at.shifted(0, cap) if across else words.at.shifted(0, cap / 2),
                words.text,
                TINY,
                align="middle" if across else "left",
            )


def _readings(bars: Sequence[Bar], square: Rect) -> Iterator[Shape]:
    """Lines to write the readings on: the bars in two columns, then the edges and the day."""
    left, top = _column(square), square.centre.y + 12
    wide = (square.right - WIDE - left - WIDE) / 2
    half = math.ceil(len(bars) / 2)
    for column, part in ((left, bars[:half]), (left + wide + WIDE, bars[half:])):
        for row, bar in enumerate(part):
            name = f"{bar.name}, {format_number(bar.length)}"
            yield from _field(name, column, top + row * _ROW, _LABEL, wide - _LABEL)
    below = top + half * _ROW
    yield from _fields(("step top", "right", "bottom", "left"), left, below, square)
    yield from _fields(("printer and paper", "date"), left, below + _ROW, square)


def _fields(names: Sequence[str], left: float, y: float, square: Rect) -> Iterator[Shape]:
    """A row of lines to write on, sharing the width evenly."""
    share = (square.right - WIDE - left + WIDE) / len(names)
    for index, name in enumerate(names):
        label = em(NOTE) * 0.5 * len(name) + NEAR
        yield from _field(name, left + index * share, y, label, share - label - WIDE)


def _field(name: str, x: float, y: float, label: float, width: float) -> Iterator[Shape]:
    yield Words(Point(x, y), name, NOTE, grey=QUIET)
    yield Line((Point(x + label, y + 0.6), Point(x + label + width, y + 0.6)), HAIR, grey=QUIET)
