"""The few shapes that every mark and page is made of, in sheet millimetres, origin top-left, y down.

A page is a list of shapes, drawn in order. Nothing here knows how it gets onto paper.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from tiler.geometry import Affine, Point, Rect, Size

Print = Literal["outside", "inside"]
"""Which print of the box an artwork is."""

Align = Literal["left", "middle", "right"]
"""Where a text stands relative to its point."""


@dataclass(frozen=True)
class Line:
    """A stroke through points, in grey, printable in one ink."""

    points: tuple[Point, ...]
    width: float = 0.12
    """Stroke width, mm."""
    grey: float = 0.0
    """0 is black, 1 is white."""
    dash: tuple[float, ...] = ()
    """Lengths of dashes and gaps in turn, mm; empty is a full line."""
    halo: float = 0.0
    """White edge on either side, mm, so that the line reads on dark art."""
    closed: bool = False
    """True joins the last point to the first."""


@dataclass(frozen=True)
class Area:
    """A filled polygon without outline."""

    points: tuple[Point, ...]
    grey: float = 0.0
    """0 is black, 1 is white."""
    opacity: float = 1.0
    """1 hides what lies below."""


@dataclass(frozen=True)
class Ring:
    """A circle, as line or, when ``filled``, as disc."""

    centre: Point
    radius: float
    """Mm to the middle of the line."""
    width: float = 0.12
    """Stroke width, mm; without meaning when filled."""
    grey: float = 0.0
    """0 is black, 1 is white."""
    halo: float = 0.0
    """White edge on either side, mm."""
    filled: bool = False


@dataclass(frozen=True)
class Words:
    """One line of text."""

    at: Point
    """On the base line."""
    text: str
    size: float = 8.0
    """Type size, pt."""
    bold: bool = False
    """True for the semibold face of the one type family."""
    align: Align = "left"
    turn: float = 0.0
    """Degrees clockwise about ``at``; -90 reads upwards."""
    grey: float = 0.0
    """0 is black, 1 is white."""
    halo: float = 0.0
    """White edge round the letters, mm."""


@dataclass(frozen=True)
class Artwork:
    """The flat itself, seen through a rectangle."""

    clip: Rect
    """What is shown, sheet coordinates."""
    to_sheet: Affine
    """From true-size flat millimetres (before the job's scale) to sheet millimetres."""
    flat: Size
    """True size of the tiled box, mm; the writer's form XObject has this box in points."""
    lighten: float = 0.0
    """Share of white laid over it, 0 to 0.9."""
    side: Print = "outside"
    """Which of the job's prints is shown."""
    rings: tuple[tuple[Point, ...], ...] = ()
    """Closed outlines within ``clip`` to which the view is narrowed, even-odd rule; empty shows all of it."""


@dataclass(frozen=True)
class Picture:
    """A small picture of its own, not the flat."""

    place: Rect
    """Sheet coordinates; the picture is stretched to fill it."""
    jpeg: bytes
    """A JPEG file."""


Shape = Line | Area | Ring | Words | Artwork | Picture


@dataclass(frozen=True)
class Page:
    """One page of the pack."""

    size: Size
    """Exactly the job's sheet, as it lies, mm."""
    shapes: tuple[Shape, ...]
    label: str
    """Page label, such as ``A1`` or ``Map``."""
    title: str
    """What the outline calls it."""
