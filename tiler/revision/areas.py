"""Changed pixels gathered into areas: places that a person would point at."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np

from tiler.geometry import Point, Rect, Size

APART = 3.0
"""Changes at least twice this far apart are never taken for one, mm (own choice, no source)."""

ROWS = 200
"""Rows that are looked at at once, so that memory stays low where everything has changed."""

Mask = np.ndarray[Any, np.dtype[np.bool_]]


@dataclass(frozen=True)
class Area:
    """One place where the art has changed."""

    rect: Rect
    """Around all changed pixels, millimetres on paper."""
    changed: float
    """What has changed within it, mm²."""
    inside: bool = False
    """True on the inside print; its place is the one on the outside that it lies behind."""


class Gathered:
    """Takes changed pixels piece by piece and tells the areas they make.

    Args:
        size: Of the plan, mm on paper.
        inside: True for the inside print.
    """

    def __init__(self, size: Size, inside: bool = False) -> None:
        self._inside = inside
        shape = math.ceil(size.height / APART) + 2, math.ceil(size.width / APART) + 2
        self._least = np.full((2, *shape), np.inf)
        self._most = np.full((2, *shape), -np.inf)
        self._changed = np.zeros(shape)

    def add(self, mask: Mask, corner: Point, pixel: float) -> float:
        """Take over the changed pixels of one piece.

        Args:
            mask: True where something has changed.
            corner: Its top-left corner on paper, mm.
            pixel: Side of a pixel, mm.

        Returns:
            How much has changed in it, mm².
        """
        for first in range(0, mask.shape[0], ROWS):
            self._take(mask[first : first + ROWS], corner.shifted(0, first * pixel), pixel)
        return float(np.count_nonzero(mask)) * pixel * pixel

    def _take(self, mask: Mask, corner: Point, pixel: float) -> None:
        """Take over some rows."""
        rows, columns = np.nonzero(mask)
        x, y = corner.x + columns * pixel, corner.y + rows * pixel
        row = np.clip(((y + pixel / 2) / APART).astype(np.int64), 0, self._changed.shape[0] - 1)
        column = np.clip(((x + pixel / 2) / APART).astype(np.int64), 0, self._changed.shape[1] - 1)
        for axis, values in enumerate((x, y)):
            np.minimum.at(self._least[axis], (row, column), values)
            np.maximum.at(self._most[axis], (row, column), values + pixel)
        np.add.at(self._changed, (row, column), pixel * pixel)

    def areas(self) -> tuple[Area, ...]:
        """The areas, from top to bottom and left to right."""
        found = []
        for cells in _groups(self._changed > 0):
            place = tuple(np.array(cells).T)
            left, top = (float(edges[place].min()) for edges in self._least)
            right, bottom = (float(edges[place].max()) for edges in self._most)
            rect = Rect.between(left, top, right, bottom)
            found.append(Area(rect, float(self._changed[place].sum()), self._inside))
        return tuple(sorted(found, key=lambda area: (area.rect.y, area.rect.x)))


def _groups(mask: Mask) -> Iterator[list[tuple[int, int]]]:
    """Cells that touch, corners included."""
    left = {(int(row), int(column)) for row, column in np.argwhere(mask)}
    while left:
        group = [left.pop()]
        for row, column in group:  # grows while it is walked
            for near in ((row + dy, column + dx) for dy in (-1, 0, 1) for dx in (-1, 0, 1)):
                if near in left:
                    left.remove(near)
                    group.append(near)
        yield group
