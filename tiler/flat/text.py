"""The text of a flat: every run that prints, where it stands and how large it is on paper.

PDFium reads the letters; sizes and places are those after every transform, at true size. Text in hidden
layers is left out, and so is text that paints nothing.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from tiler.geometry import Point, Rect
from tiler.units import MM_PER_POINT

if TYPE_CHECKING:
    from tiler.flat.layers import Key
    from tiler.flat.objects import Objects
    from tiler.flat.read import Flat
    from tiler.flat.text_letters import Letter, Style

WIDEST_GAP = 1.2
"""White space within a run, em; more than a word space, less than a tab (own choice, no source)."""

BACKWARDS = 0.6
"""A letter may begin this far before the end of the one before it, em: kerning, accents, overprinting."""

OFF_LINE = 0.15
"""Distance from the base line from which a letter begins a run of its own, em."""


@dataclass(frozen=True)
class TextRun:
    """Letters of one style in a row."""

    text: str
    """As read; U+FFFD stands for a glyph whose letter the font does not tell."""
    box: Rect
    """Around the ink, flat millimetres as a person sees the flat."""
    size: float
    """Type size at true size after all transforms, pt."""
    angle: float
    """Direction of the base line, degrees clockwise from left-to-right, above -180 up to 180."""
    font: str
    """Name of the font, without its subset prefix."""
    embedded: bool
    """True when the letters' shapes are in the file."""
    fill: tuple[int, int, int] | None
    """Red, green, blue of 0 to 255 as on a screen; None when the letters are not filled."""
    mode: int
    """Text rendering mode, 0 to 7 (ISO 32000-2, table 104)."""
    origin: Point
    """Start of the base line, flat millimetres."""
    mirrored: bool = False
    """True when the letters read backwards."""
    x_height: float | None = None
    """Height of the font's small x at this size, mm, from its outlines; None when it cannot be known."""
    cap_height: float | None = None
    """Height of its capitals or, if the flat has none, of its figures, mm; None when it cannot be known."""


def text_runs(flat: Flat, hidden: Collection[Key] = ()) -> tuple[TextRun, ...]:
    """All text of a flat that prints, in content order; none for a picture.

    Args:
        flat: The flat.
        hidden: Layers taken for hidden beside those that the flat itself hides.

    Raises:
        FlatError: The page cannot be read.
    """
    from tiler.flat.pdf import PdfFlat

    if not isinstance(flat.source, PdfFlat):
        return ()
    from tiler.flat.objects import opened

    with opened(flat, hidden) as objects:
        return runs_of(objects)


def runs_of(objects: Objects) -> tuple[TextRun, ...]:
    """The text runs of a page that is open."""
    from tiler.flat.text_glyphs import cap_height, x_height
    from tiler.flat.text_letters import Letters

    source = Letters(objects)
    try:
        letters = source.read()
        used: dict[int, set[str]] = {}
        for letter in letters:
            if letter.style is not None:
                used.setdefault(letter.style.face, set()).add(letter.text)
        heights = {
            face: (x_height(source.fonts[face], found), cap_height(source.fonts[face], found))
            for face, found in used.items()
        }
    finally:
        source.close()
    runs = (_run(part, *heights[part[0][1].face]) for part in _parts(letters))
    return tuple(run for run in runs if run is not None and run.box.overlaps(objects.area))


def _parts(letters: Iterable[Letter]) -> Iterator[list[tuple[Letter, Style]]]:
    """Letters that belong together; white space that is not in the file goes with what is before it."""
    part: list[tuple[Letter, Style]] = []
    for letter in letters:
        style = letter.style
        if style is None:
            if part and letter.text == " ":
                part.append((letter, part[-1][1]))
            continue
        if part and not _continues(part, letter, style):
            yield part
            part = []
        part.append((letter, style))
    if part:
        yield part


def _continues(part: list[tuple[Letter, Style]], letter: Letter, style: Style) -> bool:
    """True when a letter goes on with the line that a part has begun."""
    before, first = next(
        ((old, old.style) for old, _ in reversed(part) if old.style is not None and old.box is not None),
        (part[0][0], part[0][1]),
    )
    if first is not style and first.key != style.key:
        return False
    em = style.size * MM_PER_POINT
    end = _end(before, style)
    dx, dy = letter.origin.x - before.origin.x, letter.origin.y - before.origin.y
    off = abs(dy * style.along.x - dx * style.along.y)
    gap = dx * style.along.x + dy * style.along.y - end
    return off <= OFF_LINE * em and -BACKWARDS * em <= gap <= WIDEST_GAP * em


def _end(letter: Letter, style: Style) -> float:
    """Where a letter's ink ends along the base line, from its origin, mm; right for upright boxes only.

    A slanted base line makes the upright box longer than the ink, which only widens the gap that is allowed.
    """
    if letter.box is None:
        return 0.0
    along, (x, y) = style.along, letter.box.centre
    middle = (x - letter.origin.x) * along.x + (y - letter.origin.y) * along.y
    return middle + (abs(along.x) * letter.box.width + abs(along.y) * letter.box.height) / 2


def _run(
    part: list[tuple[Letter, Style]], x_height: float | None, cap_height: float | None
) -> TextRun | None:
    """The run that a part makes; None when it has no ink."""
    boxes = [letter.box for letter, _ in part if letter.box is not None]
    text = " ".join("".join(letter.text for letter, _ in part).split())
    if not boxes or not text:
        return None
    left, top = min(box.x for box in boxes), min(box.y for box in boxes)
    box = Rect.between(left, top, max(box.right for box in boxes), max(box.bottom for box in boxes))
    first, style = part[0]
    em = style.size * MM_PER_POINT
    return TextRun(
        text=text,
        box=box,
        size=style.size,
        angle=style.angle,
        font=style.font,
        embedded=style.embedded,
        fill=style.fill,
        mode=style.mode,
        origin=first.origin,
        mirrored=style.mirrored,
        x_height=None if x_height is None else x_height * em,
        cap_height=None if cap_height is None else cap_height * em,
    )
