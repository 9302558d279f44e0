"""Whether a whole drawing has merely moved, found by phase correlation (Kuglin and Hines 1975)."""

from __future__ import annotations

from typing import Any

import numpy as np

BETTER = 0.35
"""A drawing has moved when moving it back leaves at most this share of the difference (set by trial)."""

FARTHEST = 0.2
"""Share of the drawing's sides up to which a shift is looked for."""

Greys = np.ndarray[Any, np.dtype[np.float64]]
"""Rows × columns."""


def whole_shift(old: Greys, new: Greys) -> tuple[int, int] | None:
    """How far everything has moved.

    Args:
        old: The drawing before.
        new: The drawing now, of the same shape.

    Returns:
        Pixels to the right and down; None when this is no mere shift.
    """
    height, width = old.shape
    spectrum = np.fft.rfft2(new - new.mean()) * np.conj(np.fft.rfft2(old - old.mean()))
    peaks = np.fft.irfft2(spectrum / np.maximum(np.abs(spectrum), 1e-9), s=old.shape)
    row, column = np.unravel_index(int(peaks.argmax()), peaks.shape)
    dy = int(row) - height * (row > height // 2)
    dx = int(column) - width * (column > width // 2)
    if (dx, dy) == (0, 0) or abs(dx) > FARTHEST * width or abs(dy) > FARTHEST * height:
        return None
    before = np.abs(_inner(old, dx, dy) - _inner(new, dx, dy)).mean()
    after = np.abs(_inner(old, -dx, -dy) - _inner(new, dx, dy)).mean()
    return (int(dx), int(dy)) if after <= BETTER * before else None


def _inner(picture: Greys, dx: int, dy: int) -> Greys:
    """The part of the picture that still shows the same when it has moved by ``dx``, ``dy``."""
    height, width = picture.shape
    return picture[max(0, dy) : height + min(0, dy), max(0, dx) : width + min(0, dx)]
