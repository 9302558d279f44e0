"""A picture flat as data: what the file says about itself, and the size it has on paper."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path
from typing import Literal, NamedTuple

from tiler.geometry import Size

Format = Literal["jpeg", "png", "tiff", "webp"]
"""The picture formats read, told by content."""


class Density(NamedTuple):
    """Pixels per inch along the stored rows and columns."""

    x: float
    """Pixels per inch along a row."""
    y: float
    """Pixels per inch down a column."""

    def turned(self) -> Density:
        """The same for a picture lying on its side."""
        return Density(self.y, self.x)


class Facts(NamedTuple):
    """What a picture file says about itself, before anything is decided about its size."""

    stored: tuple[int, int]
    """Columns and rows as they lie in the file."""
    pages: int
    """Frames in the file."""
    orientation: int
    """EXIF orientation 1 to 8 (Exif 2.32, tag 274)."""
    density: Density | None
    """The file's own resolution as stored, None when it has none that can be believed."""
    stretch: float
    """Width of a stored pixel over its height; 1 when square or not told."""
    warnings: tuple[str, ...]
    """What the user ought to know, sentences without the final full stop."""

    @property
    def lies(self) -> bool:
        """True when the stored picture is turned by a quarter to be seen."""
        return self.orientation >= 5


@dataclass(frozen=True)
class ImageFlat:
    """One frame of a picture file, at true size."""

    path: Path
    """Where it was read from, for messages only."""
    format: Format
    """What it is by content."""
    pages: int
    """Frames in the file."""
    page: int
    """This frame, from 1."""
    pixels: tuple[int, int]
    """Columns and rows as a person sees the picture."""
    size: Size
    """mm as a person sees the picture, scale not applied."""
    ppi: tuple[float, float]
    """Pixels per inch across and down as a person sees the picture."""
    orientation: int
    """EXIF orientation 1 to 8."""
    warnings: tuple[str, ...]
    """What the user ought to know, sentences without the final full stop."""
    data: bytes = field(repr=False)
    """The whole file: read once, so that a file changed meanwhile never gives half of each."""

    @property
    def stored(self) -> tuple[int, int]:
        """Columns and rows as they lie in the file."""
        across, down = self.pixels
        return (down, across) if self.orientation >= 5 else (across, down)
