"""Picture points and marks become lines of character cells.

A cell shows two points, one above the other: the upper half block in the colour of the upper point on the
colour of the lower. A mark takes the whole cell, on a ground mixed from what it covers.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from rich.color import Color
from rich.segment import Segment
from rich.style import Style
from textual.strip import Strip

from tiler.tui.pixels import Points
from tiler.tui.strokes import Glyph, Role

Rgb = tuple[int, int, int]

UPPER_HALF = "▀"

PLAIN = Style()
"""The terminal's own colours; a style all the same, as Textual's filters want one."""

BLACK, WHITE = (0, 0, 0), (255, 255, 255)

MIDDLE_GREY = 140
"""Luma (ITU-R BT.601) below which a part of the picture counts as dark."""

RAMP = " .:-=+*%#@"
"""Characters from bare paper to full ink, for a terminal without colours."""


@dataclass(frozen=True)
class Ink:
    """How the marks of one role look."""

    line: Rgb
    """Colour of the character."""
    ground: Rgb
    """Colour laid over the picture behind it."""
    cover: float
    """Share of ``ground`` over the picture, 0 to 1."""
    is_bold: bool = False
    light_line: Rgb | None = None
    """Colour of the character where the picture is dark; then ``ground`` is not used, but the picture made
    lighter or darker by ``cover``. None for a mark that brings its own ground."""


Palette = dict[Role, Ink]


@lru_cache(maxsize=1 << 16)
def _style(front: Rgb | None, back: Rgb, is_bold: bool) -> Style:
    """A style for two colours; kept, because making one is slow."""
    colour = None if front is None else Color.from_rgb(*front)
    return Style(color=colour, bgcolor=Color.from_rgb(*back), bold=is_bold)


def paint(points: Points, marks: dict[tuple[int, int], Glyph], palette: Palette) -> list[Strip]:
    """All lines of a picture.

    Args:
        points: Twice as many rows as there are lines.
        marks: Row and column of each mark.
        palette: How marks look.
    """
    coarse = points & 0xFC  # 64 steps a channel: no eye sees it, and styles repeat
    upper, lower = coarse[0::2].tolist(), coarse[1::2].tolist()
    by_row: dict[int, dict[int, Glyph]] = {}
    for (row, column), glyph in marks.items():
        by_row.setdefault(row, {})[column] = glyph
    return [
        _line(tops, bottoms, by_row.get(row, {}), palette)
        for row, (tops, bottoms) in enumerate(zip(upper, lower, strict=True))
    ]


def _line(
    tops: list[list[int]], bottoms: list[list[int]], marks: dict[int, Glyph], palette: Palette
) -> Strip:
    segments: list[Segment] = []
    text, style = "", None
    for column, (top, bottom) in enumerate(zip(tops, bottoms, strict=True)):
        glyph = marks.get(column)
        if glyph is not None:
            now = _marked(top, bottom, palette[glyph.role])
            character = glyph.text
        elif top == bottom:
            now, character = _style(None, tuple(top), False), " "
        else:
            now, character = _style(tuple(top), tuple(bottom), False), UPPER_HALF
        if now is style:
            text += character
            continue
        if text:
            segments.append(Segment(text, style))
        text, style = character, now
    if text:
        segments.append(Segment(text, style))
    return Strip(segments, len(tops))


def _marked(top: Sequence[int], bottom: Sequence[int], ink: Ink) -> Style:
    """A mark's two colours; one that lies on the picture itself takes the line that reads there."""
    middle = [(a + b) / 2 for a, b in zip(top, bottom, strict=True)]
    line, ground = ink.line, ink.ground
    if ink.light_line is not None:
        is_dark = 0.299 * middle[0] + 0.587 * middle[1] + 0.114 * middle[2] < MIDDLE_GREY
        line, ground = (ink.light_line, BLACK) if is_dark else (ink.line, WHITE)
    mixed = [int(a * (1 - ink.cover) + b * ink.cover) & 0xFC for a, b in zip(middle, ground, strict=True)]
    return _style(line, (mixed[0], mixed[1], mixed[2]), ink.is_bold)


def paint_plain(points: Points, marks: dict[tuple[int, int], Glyph]) -> list[Strip]:
    """The same in plain characters without a colour: darker parts take denser signs."""
    grey = points.mean(axis=2)
    cells = (grey[0::2] + grey[1::2]) / 2
    steps = ((255 - cells) / 256 * len(RAMP)).astype(int).clip(0, len(RAMP) - 1).tolist()
    lines = []
    for row, line in enumerate(steps):
        text = [RAMP[step] for step in line]
        for column in range(len(text)):
            glyph = marks.get((row, column))
            if glyph is not None:
                text[column] = glyph.text
        lines.append(Strip([Segment("".join(text), PLAIN)], len(text)))
    return lines
