"""The scale bar: a ruler edge of known length, to be measured before anything is cut.

::

      |  100 mm  measure before cutting   |
      |||||||||.    .    .    .    .      |       end ticks are exactly 100 mm apart
      +-----------------------------------+
"""

from __future__ import annotations

from tiler.geometry import Affine, Point, Rect, Size
from tiler.marks.metrics import Measure
from tiler.marks.shapes import Line, Shape, Words
from tiler.marks.style import CLOSE, FINE, HAIR, NEAR, NOTE, QUIET

LENGTHS = (100.0, 50.0, 20.0)
"""Lengths to choose from, longest first, mm; the longer the bar, the finer the check."""
DEPTH = 4.2
"""Height of the end ticks, which is that of the whole bar, mm."""
CAPTION = "measure before cutting"
_CAPTION_BASE = 2.3
_TEN, _FIVE, _ONE = 1.5, 1.2, 0.8
"""Heights of the ticks every 10, 5 and 1 mm, mm; the last two only along the first 10 mm."""


def bar_size(length: float, upright: bool) -> Size:
    """The room a bar takes, its line width included, mm."""
    size = Size(length + FINE, DEPTH + FINE)
    return size.turned() if upright else size


def scale_bar(place: Rect, upright: bool, measure: Measure) -> tuple[Shape, ...]:
    """A bar filling a place of :func:`bar_size`; an upright one is read from the right."""
    if upright:
        length = place.height - FINE
        frame = Affine.turn(-90).then(Affine.shift(place.right - FINE / 2, place.bottom - FINE / 2))
    else:
        length = place.width - FINE
        frame = Affine.shift(place.x + FINE / 2, place.bottom - FINE / 2)
    return (*_ruler(length, frame), *_caption(length, frame, -90 if upright else 0, measure))


def _ruler(length: float, frame: Affine) -> tuple[Line, ...]:
    def line(x1: float, y1: float, x2: float, y2: float, width: float) -> Line:
        return Line((frame.apply(x1, -y1), frame.apply(x2, -y2)), width)

    ends = [line(x, -FINE / 2, x, DEPTH, FINE) for x in (0, length)]
    marks = [(float(x), _FIVE if x == 5 else _ONE) for x in range(1, 10)]
    marks += [(float(x), _TEN) for x in range(10, round(length), 10)]
    ticks = [line(x, 0, x, height, HAIR) for x, height in marks]
    return (line(0, 0, length, 0, FINE), *ticks, *ends)


def _caption(length: float, frame: Affine, turn: float, measure: Measure) -> tuple[Words, ...]:
    text = f"{length:.0f} mm"
    first = Words(frame.apply(NEAR, -_CAPTION_BASE), text, NOTE, bold=True, turn=turn)
    after = NEAR + measure(text, NOTE, True) + NEAR
    if after + measure(CAPTION, NOTE, False) > length - CLOSE:
        return (first,)
    at: Point = frame.apply(after, -_CAPTION_BASE)
    return (first, Words(at, CAPTION, NOTE, turn=turn, grey=QUIET))
