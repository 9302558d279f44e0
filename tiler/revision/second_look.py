"""A closer look at thin differences, which drawing alone may have made.

At the resolution of the comparison an edge that falls a little differently between two pixels can look like
another edge. Drawn four times as large the same art shows the same edge again, a fraction of a tenth of a
millimetre aside; a real change stays one. Only places that are no solid change are looked at again.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np

from tiler.revision.compare import LEVELS, UNEVEN, Mask, Pixels, least_of, most_of, told_apart

CLOSER = 4
"""Times by which the drawings are enlarged."""

ASIDE = 5
"""Enlarged pixels by which the same may lie aside: 0.125 mm, so 0.1 mm is forgiven and 0.2 mm is seen."""

CORE = 2
"""A change is solid where all pixels this near, as a square, have changed: 0.5 mm across."""

NEAR = 5
"""Pixels around a solid or confirmed change that belong to it."""

BLOCK = 120
"""Pixels along a block that is looked at again at once; enlarged it has a quarter of a million."""

ROOM = 4
"""Pixels drawn beyond what is looked at, so that its edge is treated like its middle."""

ENOUGH = 20
"""Confirmed places of one drawing after which the rest is believed: so much has really changed."""

Look = Callable[[int, int, int, int], tuple[Pixels, Pixels]]
"""Draws top, left, bottom and right of the pixels, ``CLOSER`` times as large: before and now."""


def really_changed(old: Pixels, new: Pixels, loose: Mask | None, look: Look | None) -> Mask:
    """Where two drawings differ, thin differences confirmed by a closer look.

    Args:
        old: The drawing before.
        new: The drawing now, of the same shape.
        loose: Where two pixels instead of one are forgiven; None for nowhere.
        look: Draws a part larger; None where that would show nothing new.

    Returns:
        Rows × columns, True where something has changed.
    """
    moved, recoloured = told_apart(old, new, loose)
    changed: Mask = moved | recoloured
    if look is None or not moved.any():
        return changed
    sure = grown(recoloured | _solid(changed), NEAR)
    doubtful = moved & ~sure
    confirmed, count = np.zeros_like(changed), 0
    for top, left, bottom, right in _places(doubtful):
        if count == ENOUGH:
            return changed
        part = np.s_[top:bottom, left:right]
        found = _confirmed(*look(top, left, bottom, right))
        confirmed[part] |= found
        count += bool(found.any())
    return changed & (sure | grown(confirmed, NEAR))


def grown(mask: Mask, by: int) -> Mask:
    """The mask with all pixels within ``by``, as a square."""
    if not mask.any():
        return mask
    padded = np.pad(mask, by)
    height, width = mask.shape
    rows = padded[:height].copy()
    for step in range(1, 2 * by + 1):
        rows |= padded[step : step + height]
    result = rows[:, :width].copy()
    for step in range(1, 2 * by + 1):
        result |= rows[:, step : step + width]
    return result


def _solid(mask: Mask) -> Mask:
    """The middles of squares that have changed all over."""
    return ~grown(~mask, CORE) if mask.any() else mask


def _places(doubtful: Mask) -> Iterator[tuple[int, int, int, int]]:
    """Top, left, bottom and right around the doubtful pixels of each block, with room."""
    height, width = doubtful.shape
    for top in range(0, height, BLOCK):
        if not doubtful[top : top + BLOCK].any():
            continue
        for left in range(0, width, BLOCK):
            rows, columns = np.nonzero(doubtful[top : top + BLOCK, left : left + BLOCK])
            if len(rows):
                yield (
                    max(0, top + int(rows.min()) - ROOM),
                    max(0, left + int(columns.min()) - ROOM),
                    min(height, top + int(rows.max()) + 1 + ROOM),
                    min(width, left + int(columns.max()) + 1 + ROOM),
                )


def _confirmed(old: Pixels, new: Pixels) -> Mask:
    """Which pixels of the comparison hold enlarged ones that show nowhere near in the other drawing.

    One enlarged pixel alone, or a row of them, is no matter: such a thread of light comes and goes where two
    shapes meet, as wide as a pixel at whatever size it is drawn.
    """
    first, second = (picture.astype(np.int16) for picture in (old, new))
    off: Mask = np.zeros(old.shape[:2], dtype=bool)
    for a, b in ((first, second), (second, first)):
        low, high = least_of(a, ASIDE), -least_of(-a, ASIDE)
        slack = ((high - low) * UNEVEN).astype(np.int16)
        np.logical_or(off, most_of(np.maximum(b - high, low - b) - slack) > LEVELS, out=off)
    rim = ASIDE + 1  # near the edge what lies aside may not have been drawn
    off[:rim], off[-rim:], off[:, :rim], off[:, -rim:] = False, False, False, False
    thick = np.zeros_like(off)
    thick[:-1, :-1] = off[:-1, :-1] & off[1:, :-1] & off[:-1, 1:] & off[1:, 1:]
    height, width = (side // CLOSER for side in off.shape)
    cells = thick.reshape(height, CLOSER, width, CLOSER)
    found: Mask = np.logical_or.reduce(cells, axis=(1, 3))
    return found
