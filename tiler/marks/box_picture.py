"""The folded box from one corner, as plain data for a page: faces that show the art, edges, names."""

from __future__ import annotations

from dataclasses import dataclass

from tiler.geometry import Affine, Point, Rect
from tiler.marks.shapes import Print

Rings = tuple[tuple[Point, ...], ...]
"""Closed outlines, even-odd rule."""


@dataclass(frozen=True)
class PicturedFace:
    """The visible part of a panel of the folded box."""

    side: Print
    art: Affine
    """From true-size millimetres of that side's flat to the picture, mm."""
    rings: Rings
    """Simple outlines, none within another, on the picture, mm."""
    shade: float
    """Share of black laid over it."""


@dataclass(frozen=True)
class BoxPicture:
    """The folded box from one corner, as data for a page."""

    faces: tuple[PicturedFace, ...]
    lines: tuple[tuple[Point, ...], ...]
    """Visible edges."""
    labels: tuple[tuple[str, Point], ...]
    """Names of meetings and where they are."""
    extent: Rect
    """Around it all, mm."""
    has_inside: bool = False
    """True when the job has an inside print to show."""
