"""The label of a tile with what the sheet is, in one small block, and the words that tell what goes where."""

from __future__ import annotations

from dataclasses import dataclass

from tiler.geometry import Point, Rect, Size
from tiler.marks.arrow import arrow
from tiler.marks.facts import Facts, scale_words
from tiler.marks.metrics import Measure, cap_height, em, shorten
from tiler.marks.shapes import Shape, Words
from tiler.marks.style import CLOSE, DESCENT, GIANT, HALO, NEAR, NOTE, QUIET, TITLE
from tiler.plan.tile import Plan, Tile

_LONGEST_NAME = 38.0
"""A file name is shortened to this width, mm."""
_WITH_TAIL, _TAIL = 18.0, 0.18
"""Type size of a label with a Q, pt, and the depth of its tail, em (measured); so it keeps to the row."""
_ARROW_OVER = 1.2
"""How much longer an arrow is than the capitals beside it, mm."""


@dataclass(frozen=True)
class LabelBlock:
    """A block of words ready to be placed."""

    label: str
    type_size: float
    """Of the label, pt."""
    notes: tuple[str, ...]
    """At most two lines beside the label."""
    size: Size
    """Mm."""
    notes_at: float
    """From the left edge to the notes, mm."""

    def draw(self, place: Rect) -> tuple[Shape, ...]:
        """The block with its top-left corner at that of ``place``."""
        base = place.y + cap_height(self.type_size)
        label = Words(Point(place.x, base), self.label, self.type_size, bold=True)
        bases = (place.y + cap_height(NOTE), base)
        notes = [
            Words(Point(place.x + self.notes_at, y), text, NOTE, grey=QUIET if index else 0.0)
            for index, (y, text) in enumerate(zip(bases, self.notes, strict=False))
        ]
        return (label, *notes)


def label_blocks(plan: Plan, tile: Tile, facts: Facts, measure: Measure) -> tuple[LabelBlock, ...]:
    """The block in full, and narrower forms for sheets with little room, best first."""
    number = [t.label for t in plan.tiles].index(tile.label) + 1
    name = shorten(facts.file_name, _LONGEST_NAME, NOTE, measure)
    count = f"sheet {number} of {facts.sheet_count}"
    full = (f"{count}, {scale_words(facts.scale)}", f"{name}, rev. {facts.revision}")
    short = (count, f"rev. {facts.revision}")
    if facts.replaces:
        full = (f"replaces {tile.label} of revision {facts.replaces}", full[1])
        short = (f"replaces {tile.label}", f"of rev. {facts.replaces}")
    label = f"{facts.part} {tile.label}" if facts.part else tile.label
    large = _WITH_TAIL if _depth(label) else GIANT
    forms = ((full, large), (short, large), ((), large), ((), large / 2))
    blocks = tuple(_block(label, notes, size, measure) for notes, size in forms)
    if not facts.part:
        return blocks
    small = tuple(_block(label, notes, TITLE, measure) for notes in (full, short, ()))
    return (*blocks[:2], *small, *blocks[2:], _block(tile.label, (), large / 2, measure))


def _depth(label: str) -> float:
    """How far a label reaches below its base line, em."""
    if set(label) & set("gjpqy"):
        return DESCENT
    return _TAIL if "Q" in label else 0.0


def _block(label: str, notes: tuple[str, ...], type_size: float, measure: Measure) -> LabelBlock:
    tail = _depth(label) * em(type_size)
    notes_at = measure(label, type_size, True) + NEAR
    width = notes_at + max((measure(note, NOTE, False) for note in notes), default=-NEAR)
    height = cap_height(type_size) + max(DESCENT * em(NOTE), tail)
    return LabelBlock(label, type_size, notes, Size(width, height), notes_at)


@dataclass(frozen=True)
class Direction:
    """``A2 goes here``, with an arrow towards that tile."""

    text: str
    type_size: float
    """Pt."""
    upright: bool
    """True on a right tab: read from the right."""
    size: Size
    """Mm."""

    def draw(self, place: Rect) -> tuple[Shape, ...]:
        """Arrow and words in a place of the right size."""
        lift = (min(place.size) - cap_height(self.type_size)) / 2
        if self.upright:
            y = place.bottom - CLOSE
            pointer = arrow(Point(place.x, y), Point(place.right, y), halo=HALO)
            base = Point(place.right - lift, place.bottom - NEAR - CLOSE)
            turn = -90.0
        else:
            x = place.x + CLOSE
            pointer = arrow(Point(x, place.y), Point(x, place.bottom), halo=HALO)
            base = Point(place.x + NEAR + CLOSE, place.bottom - lift)
            turn = 0.0
        return (*pointer, Words(base, self.text, self.type_size, bold=True, turn=turn, halo=2 * HALO))


def directions(
    neighbour: str, upright: bool, sizes: tuple[float, ...], measure: Measure
) -> tuple[Direction, ...]:
    """The words in full at each type size, then the bare label, best first."""
    wishes = [(f"{neighbour} goes here", size) for size in sizes] + [(neighbour, sizes[-1])]
    return tuple(_direction(text, size, upright, measure) for text, size in wishes)


def _direction(text: str, type_size: float, upright: bool, measure: Measure) -> Direction:
    length = measure(text, type_size, True) + NEAR + CLOSE
    size = Size(length, cap_height(type_size) + _ARROW_OVER)
    return Direction(text, type_size, upright, size.turned() if upright else size)
