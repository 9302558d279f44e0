"""Lines on a grid of cells: strokes that meet become one box-drawing character."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

Weight = Literal["light", "heavy", "double", "dashed"]
Role = Literal["seam", "picked", "crease", "label", "quiet", "mark", "tab"]
"""What a mark is for; the theme gives each role its colours."""

NORTH, EAST, SOUTH, WEST = 1, 2, 4, 8

_LIGHT = " ╵╶└╷│┌├╴┘─┴┐┤┬┼"
_HEAVY = " ╹╺┗╻┃┏┣╸┛━┻┓┫┳╋"
_DOUBLE = " ║═╚║║╔╠═╝═╩╗╣╦╬"
_DASHED = " ╎╌└╎╎┌├╌┘╌┴┐┤┬┼"
_SETS: dict[Weight, str] = {"light": _LIGHT, "heavy": _HEAVY, "double": _DOUBLE, "dashed": _DASHED}
"""Characters by the sum of the directions that leave the cell."""

_PLAIN = {
    "light": ("-", "|", "+"),
    "heavy": ("=", "#", "*"),
    "double": ("=", "#", "*"),
    "dashed": ("~", ":", "+"),
}
"""Level, upright and crossing, where only plain characters are wanted."""


@dataclass(frozen=True)
class Glyph:
    """One character over the picture."""

    text: str
    """A single character, one cell wide."""
    role: Role


@dataclass
class Strokes:
    """Collects lines and words; later ones lie on top.

    Args:
        rows: Height of the grid in cells.
        columns: Width of the grid in cells.
        plain: True uses characters of ASCII alone for lines.
    """

    rows: int
    columns: int
    plain: bool = False
    _lines: dict[tuple[int, int], tuple[int, Weight, Role]] = field(default_factory=dict)
    _words: dict[tuple[int, int], Glyph] = field(default_factory=dict)

    def level(self, row: int, start: int, end: int, weight: Weight, role: Role) -> None:
        """A line along a row, from column ``start`` to ``end``, both drawn."""
        if 0 <= row < self.rows:
            for column in range(max(start, -1), min(end, self.columns) + 1):
                arms = (EAST if column < end else 0) | (WEST if column > start else 0)
                self._add(row, column, arms, weight, role)

    def upright(self, column: int, start: int, end: int, weight: Weight, role: Role) -> None:
        """A line along a column, from row ``start`` to ``end``, both drawn."""
        if 0 <= column < self.columns:
            for row in range(max(start, -1), min(end, self.rows) + 1):
                arms = (SOUTH if row < end else 0) | (NORTH if row > start else 0)
                self._add(row, column, arms, weight, role)

    def box(self, top: int, left: int, bottom: int, right: int, weight: Weight, role: Role) -> None:
        """Four lines round a field."""
        self.level(top, left, right, weight, role)
        self.level(bottom, left, right, weight, role)
        self.upright(left, top, bottom, weight, role)
        self.upright(right, top, bottom, weight, role)

    def word(self, row: int, column: int, text: str, role: Role) -> None:
        """Characters from a cell to the right."""
        for offset, character in enumerate(text):
            self.put(row, column + offset, character, role)

    def put(self, row: int, column: int, character: str, role: Role) -> None:
        """One character."""
        if 0 <= row < self.rows and 0 <= column < self.columns:
            self._words[row, column] = Glyph(character, role)

    def is_free(self, row: int, column: int, length: int) -> bool:
        """True when no word stands in these cells yet, nor just beside them."""
        return all((row, at) not in self._words for at in range(column - 1, column + length + 1))

    def glyphs(self) -> dict[tuple[int, int], Glyph]:
        """Row and column of each mark with its character."""
        found = {at: Glyph(self._character(*line), line[2]) for at, line in self._lines.items()}
        found.update(self._words)
        return found

    def _add(self, row: int, column: int, arms: int, weight: Weight, role: Role) -> None:
        if not (0 <= row < self.rows and 0 <= column < self.columns):
            return
        old = self._lines.get((row, column))
        joined = arms | old[0] if old is not None and old[1] == weight else arms
        self._lines[row, column] = (joined, weight, role)

    def _character(self, arms: int, weight: Weight, role: Role) -> str:
        if not self.plain:
            return _SETS[weight][arms]
        level, upright, crossing = _PLAIN[weight]
        if arms & (EAST | WEST) and arms & (NORTH | SOUTH):
            return crossing
        return level if arms & (EAST | WEST) else upright
