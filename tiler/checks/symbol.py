"""One bar code as it was found, however it was found."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from tiler.checks.decode import EAN_8_ELEMENTS, EAN_13_ELEMENTS, ITF_14_ELEMENTS, Decoded
from tiler.geometry import Rect

LENGTHS = (ITF_14_ELEMENTS, EAN_13_ELEMENTS, EAN_8_ELEMENTS)
"""Bars and spaces of the symbols that are looked for."""
MARGIN = 3.0
"""Added to a place on all sides for a close look, mm."""


@dataclass(frozen=True)
class Symbol:
    """One bar code."""

    kind: str
    """``EAN-13``, ``EAN-8``, ``UPC-A`` or ``ITF-14``."""
    digits: str
    box: Rect
    """Around its bars, flat millimetres."""
    module: float
    """Width of the narrow element, mm."""
    height: float
    """Of the shorter bars, mm."""
    is_upright: bool
    """True when the bars run across the flat, so that the symbol reads up or down."""
    is_backwards: bool
    """True when it reads right to left, or from below upwards."""
    has_right_check_digit: bool
    in_pixels: bool = False
    """True when it was found in pixels, whose measure is less exact."""

    @property
    def name(self) -> str:
        """What it is called in messages."""
        return f"{self.kind} {self.digits}"


def turned(box: Rect) -> Rect:
    """The box with its axes exchanged."""
    return Rect(box.y, box.x, box.height, box.width)


def widths_of(edges: Sequence[tuple[float, float]]) -> list[float]:
    """Widths of bars and spaces in turn, from the left and right edges of the bars."""
    flat = [edge for pair in edges for edge in pair]
    return [b - a for a, b in pairwise(flat)]


def symbol_of(found: Decoded, box: Rect, height: float, across: bool, in_pixels: bool) -> Symbol:
    """The symbol that widths have told."""
    return Symbol(
        kind=found.kind,
        digits=found.digits,
        box=box,
        module=found.module,
        height=height,
        is_upright=across,
        is_backwards=found.is_backwards,
        has_right_check_digit=found.has_right_check_digit,
        in_pixels=in_pixels,
    )
