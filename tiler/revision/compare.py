"""Two drawings of the same place, and the pixels in which they really differ.

The same art saved by another program is never drawn quite alike: coordinates are rounded, and a glyph may
land one pixel aside. So a place counts as changed only when one drawing shows a value there that the other
does not show within one pixel, both blurred a little. What that cannot see, a slight change of colour in
textured art, shows as a difference of one sign all over a cell. Glyphs may be set up to one and a half
pixels aside, so two are forgiven where the file itself says that its text has not changed.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np

PIXELS_PER_MM = 10.0
"""Resolution of the comparison on paper: a shift of one pixel (0.1 mm) is forgiven, 0.2 mm is seen."""

LEVELS = 4
"""A place has changed when its mean of 3 × 3 pixels is off by more than this, of 255. Set by trial: it
forgives coordinates rounded to a thousandth of a point and sees 5 % of one ink over paper.
"""

UNEVEN = 0.1
"""Share of the contrast at a place that is forgiven besides: the edges of glyphs are darkened unevenly."""

TINT = 1.2
"""A cell has changed colour when the mean of one channel is off by this, of 255, wherever the old art is laid
within one pixel (set by trial: more than rounding gives).
"""

ONE_SIGN = 0.8
"""Share of the difference within a cell that must go the same way to be a change of colour."""

SPREAD = 0.75
"""Share of a cell's pixels that a change of colour reaches; drawing noise keeps to edges."""

CELL = 20
"""Pixels along a cell, 2 mm: so many that grain evens out."""

BLOCK = 10 * CELL
"""Pixels along a block; a block without any difference is passed over."""

EDGE = 3
"""Pixels beyond a block that are looked at: one for the blur, two for what may lie aside."""

Pixels = np.ndarray[Any, np.dtype[np.uint8]]
"""Rows × columns × three channels, 0 to 255."""

Levels = np.ndarray[Any, np.dtype[np.int16]]
Mask = np.ndarray[Any, np.dtype[np.bool_]]


def told_apart(old: Pixels, new: Pixels, loose: Mask | None = None) -> tuple[Mask, Mask]:
    """Where two drawings of equal size differ by more than the noise of drawing.

    Args:
        old: The drawing before.
        new: The drawing now.
        loose: Where two pixels instead of one are forgiven; None for nowhere.

    Returns:
        Rows × columns each: True where something shows that the other does not show nearby, and True where
        the colour of a whole place is another.
    """
    moved, recoloured = (np.zeros(old.shape[:2], dtype=bool) for _ in range(2))
    for top, left, bottom, right in _blocks_that_differ(old, new):
        first, second = (_piece(picture, top, left, bottom, right) for picture in (old, new))
        block = np.s_[top:bottom, left:right]
        forgiven = None if loose is None or not loose[block].any() else np.pad(loose[block], EDGE)
        moved[block] = _shown_nowhere_near(first, second, forgiven)[EDGE:-EDGE, EDGE:-EDGE]
        one_more = np.s_[EDGE - 1 : 1 - EDGE, EDGE - 1 : 1 - EDGE]
        recoloured[block] = _recoloured(first[one_more], second[one_more])
    return moved, recoloured


def _blocks_that_differ(old: Pixels, new: Pixels) -> Iterator[tuple[int, int, int, int]]:
    """Top, left, bottom and right of each block in which any pixel differs."""
    height, width = old.shape[:2]
    for top in range(0, height, BLOCK):
        bottom = min(top + BLOCK, height)
        if np.array_equal(old[top:bottom], new[top:bottom]):
            continue
        for left in range(0, width, BLOCK):
            right = min(left + BLOCK, width)
            if not np.array_equal(old[top:bottom, left:right], new[top:bottom, left:right]):
                yield top, left, bottom, right


def _piece(picture: Pixels, top: int, left: int, bottom: int, right: int) -> Levels:
    """The block with ``EDGE`` pixels more on every side; the picture's edge goes on where it ends."""
    height, width = picture.shape[:2]
    inner = picture[max(0, top - EDGE) : bottom + EDGE, max(0, left - EDGE) : right + EDGE].astype(np.int16)
    down = max(0, EDGE - top), max(0, bottom + EDGE - height)
    across = max(0, EDGE - left), max(0, right + EDGE - width)
    return np.pad(inner, (down, across, (0, 0)), mode="edge") if any((*down, *across)) else inner


def most_of(levels: Levels) -> Levels:
    """The largest of the three channels; much quicker than numpy's own way over so short an axis."""
    most: Levels = np.maximum(np.maximum(levels[:, :, 0], levels[:, :, 1]), levels[:, :, 2])
    return most


def _shown_nowhere_near(old: Levels, new: Levels, loose: Mask | None) -> Mask:
    """True where one drawing shows what the other does not show within one pixel, for two pixels at least.

    Means of 3 × 3 pixels are compared, for a hairline between two pixels is paler than one upon a pixel.

    Args:
        old: The drawing before.
        new: The drawing now.
        loose: Where it may be two pixels aside; None for nowhere.
    """
    off = np.zeros(old.shape[:2], dtype=np.int16)
    first, second = _sums(old), _sums(new)
    for a, b in ((first, second), (second, first)):
        low, high = least_of(a), -least_of(-a)
        if loose is not None:
            low = np.where(loose[:, :, None], least_of(low), low)
            high = np.where(loose[:, :, None], -least_of(-high), high)
        slack = ((high - low) * UNEVEN).astype(np.int16)
        np.maximum(off, most_of(np.maximum(b - high, low - b) - slack), out=off)
    strong = (off > 9 * LEVELS) & (most_of(np.abs(new - old)) > LEVELS // 2)
    padded = np.pad(strong, 1).astype(np.int8)
    rows = padded[:-2] + padded[1:-1] + padded[2:]
    near = rows[:, :-2] + rows[:, 1:-1] + rows[:, 2:]
    paired: Mask = strong & (near >= 2)
    return paired


def _sums(picture: Levels) -> Levels:
    """The sum of each channel over 3 × 3 pixels, at most 2,295."""
    padded = np.pad(picture, ((1, 1), (1, 1), (0, 0)), mode="edge")
    rows = padded[:-2] + padded[1:-1] + padded[2:]
    total: Levels = rows[:, :-2] + rows[:, 1:-1] + rows[:, 2:]
    return total


def least_of(picture: Levels, aside: int = 1) -> Levels:
    """The least value of each channel within some pixels."""
    least = np.pad(picture, ((aside, aside), (aside, aside), (0, 0)), mode="edge")
    height, width = picture.shape[:2]
    rows = least[:height]
    for step in range(1, 2 * aside + 1):
        rows = np.minimum(rows, least[step : step + height])
    result = rows[:, :width]
    for step in range(1, 2 * aside + 1):
        result = np.minimum(result, rows[:, step : step + width])
    return result


def _recoloured(old: Levels, new: Levels) -> Mask:
    """True for the differing pixels of each cell whose colour has changed as a whole.

    Args:
        old: With one pixel more on every side.
        new: Of the same shape.
    """
    height, width = old.shape[0] - 2, old.shape[1] - 2
    gap = (new - old)[1:-1, 1:-1]
    count = _totals(np.ones((height, width, 1), dtype=np.int16))
    net, gross = np.abs(_totals(gap)), _totals(np.abs(gap))
    differs = most_of(np.abs(gap)) > 0
    spread = _totals(differs[:, :, None].astype(np.int16)) / count
    likely = (net >= TINT * count) & (net >= ONE_SIGN * gross) & (spread >= SPREAD / 2)
    if not (likely & (spread >= SPREAD)).any():
        return np.zeros((height, width), dtype=bool)
    near = [_totals(old[dy : dy + height, dx : dx + width]) for dy in range(3) for dx in range(3)]
    now = _totals(new[1:-1, 1:-1])
    off = np.maximum(now - np.max(near, axis=0), np.min(near, axis=0) - now)
    sure = (likely & (off >= TINT * count) & (spread >= SPREAD)).any(axis=2)
    cells = likely.any(axis=2) & _beside(sure)  # at an edge colour and place cannot be told apart
    whole = np.repeat(np.repeat(cells, CELL, axis=0), CELL, axis=1)[:height, :width]
    recoloured: Mask = whole & differs
    return recoloured


def _beside(cells: Mask) -> Mask:
    """The cells, and those that touch one."""
    padded = np.pad(cells, 1)
    rows = padded[:-2] | padded[1:-1] | padded[2:]
    beside: Mask = rows[:, :-2] | rows[:, 1:-1] | rows[:, 2:]
    return beside


def _totals(values: Levels) -> np.ndarray[Any, np.dtype[np.int64]]:
    """The sum over each cell."""
    rows, columns = (np.arange(0, side, CELL) for side in values.shape[:2])
    down = np.add.reduceat(values, rows, axis=0, dtype=np.int64)
    return np.add.reduceat(down, columns, axis=1, dtype=np.int64)
