"""How much room words take. The measuring itself is handed in, so that nothing here opens a font."""

from __future__ import annotations

from collections.abc import Callable

from tiler.marks.style import CAP_HEIGHT
from tiler.units import MM_PER_POINT

Measure = Callable[[str, float, bool], float]
"""Width in mm of a text at a size in pt, semibold or not."""


def cap_height(size: float) -> float:
    """Height of capitals and figures, mm, at ``size`` pt."""
    return CAP_HEIGHT * size * MM_PER_POINT


def em(size: float) -> float:
    """The type size in mm."""
    return size * MM_PER_POINT


def shorten(text: str, width: float, size: float, measure: Measure, bold: bool = False) -> str:
    """Cut the middle out of a text until it fits ``width`` mm; both its ends stay readable."""
    if measure(text, size, bold) <= width:
        return text
    for kept in range(len(text) - 1, 0, -1):
        head, tail = (kept + 1) // 2, kept // 2
        short = text[:head].rstrip() + "…" + (text[-tail:].lstrip() if tail else "")
        if measure(short, size, bold) <= width:
            return short
    return "…"


def wrap(text: str, width: float, size: float, measure: Measure, bold: bool = False) -> tuple[str, ...]:
    """Break a text into lines of at most ``width`` mm; one word longer than that is shortened."""
    lines: list[str] = []
    line = ""
    for word in text.split():
        longer = f"{line} {word}" if line else word
        if measure(longer, size, bold) <= width:
            line = longer
            continue
        if line:
            lines.append(line)
        line = shorten(word, width, size, measure, bold)
    return (*lines, line) if line else tuple(lines)
