"""Heights of letters from their outlines, as PDFium reads them from the font."""

from __future__ import annotations

import ctypes
from typing import Any

import pypdfium2.raw as raw

FLAT_SMALL = "xzvwyu"
"""Small letters without overshoot at their upper edge; Annex IV of Regulation (EU) 1169/2011 draws an x."""
ROUND_SMALL = "oecsa"
"""Small letters that overshoot as much above as below the base line, which gives the overshoot away."""
OTHER_SMALL = "nmr"
"""Taken when the flat has none of the others; with their overshoot they are 1 to 3 % too high."""
FLAT_CAPITALS = "HEIFLTKMNDBPRUVWXYZA"
ROUND_CAPITALS = "OCSG"
OTHER_CAPITALS = "QJ174253689"
"""Figures stand in for capitals when there are none."""


def x_height(font: Any, letters: set[str]) -> float | None:
    """Height of the small letters, em, from the outline of one that the flat uses; None without any.

    Args:
        font: PDFium's font.
        letters: What the flat sets in it; a subset may lack others, and PDFium would show another font's.
    """
    return _height(font, letters, FLAT_SMALL, ROUND_SMALL, OTHER_SMALL)


def cap_height(font: Any, letters: set[str]) -> float | None:
    """Height of the capitals or, without any, of the figures, em; None without either."""
    return _height(font, letters, FLAT_CAPITALS, ROUND_CAPITALS, OTHER_CAPITALS)


def _height(font: Any, letters: set[str], level: str, rounded: str, other: str) -> float | None:
    """The height of the first letter that the flat uses and that has an outline, em, without overshoot."""
    for letter in level + rounded + other:
        extent = outline_extent(font, letter) if letter in letters else None
        if extent is not None:
            bottom, top = extent
            return top + min(0.0, bottom) if letter in rounded else top
    return None


def outline_extent(font: Any, letter: str) -> tuple[float, float] | None:
    """Lowest and highest place of a letter's outline above its base line, em; None when it has no outline."""
    path = raw.FPDFFont_GetGlyphPath(font, ord(letter), 1.0)
    count = raw.FPDFGlyphPath_CountGlyphSegments(path) if path else 0
    heights = []
    x, y = ctypes.c_float(), ctypes.c_float()
    for index in range(count):
        segment = raw.FPDFGlyphPath_GetGlyphPathSegment(path, index)
        if raw.FPDFPathSegment_GetPoint(segment, x, y):
            heights.append(y.value)
    if not heights or max(heights) <= min(heights):
        return None
    return min(heights), max(heights)
