"""What the pages of a reprint say: which sheets replace which, where the art has changed, and how."""

from __future__ import annotations

from dataclasses import dataclass

from tiler.geometry import Rect
from tiler.units import format_number


@dataclass(frozen=True)
class ChangedPlace:
    """One place where the art has changed."""

    number: int
    """Its number on the map, counted from 1."""
    rect: Rect
    """Around what has changed, plan coordinates, mm."""
    labels: tuple[str, ...]
    """The tiles it lies on."""
    inside: bool = False
    """True on the inside print, behind this place of the outside."""

    @property
    def words(self) -> str:
        """Size and place in words."""
        width, height = (format_number(max(side, 0.1)) for side in self.rect.size)
        x, y = (format_number(value) for value in (self.rect.x, self.rect.y))
        where = ", ".join([*self.labels, *(["inside"] if self.inside else [])])
        return f"{width} × {height} mm at {x}, {y} mm ({where})"


@dataclass(frozen=True)
class BeforeAfter:
    """Two pictures of one place."""

    place: ChangedPlace
    frame: Rect
    """Where the change lies in both, as shares of the pictures' width and height."""
    before: bytes
    """JPEG."""
    after: bytes
    """JPEG."""


@dataclass(frozen=True)
class Reprint:
    """A later revision against the one whose sheets are there."""

    old_name: str
    """File name of the earlier revision."""
    old_revision: str
    """First 8 hex digits of its fingerprint."""
    printed: tuple[str, ...]
    """Labels of the sheets in this reprint."""
    left_out: tuple[str, ...]
    """Labels of changed sheets that were not asked for."""
    places: tuple[ChangedPlace, ...]
    """From top to bottom."""
    words: tuple[str, ...]
    """Changes of text, one line each."""
    pictures: tuple[BeforeAfter, ...] = ()
    """Of the largest places, by number."""
