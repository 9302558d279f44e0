"""What the corner pages show: strips of art as they meet, and verdicts on them."""

from __future__ import annotations

from dataclasses import dataclass

from tiler.geometry import Affine
from tiler.marks.box_picture import Rings

BAND = 15.0
"""Art shown on either side of an edge, mm of the flat."""


@dataclass(frozen=True)
class StripSide:
    """The art on one side of an edge.

    The strip's own frame: x along the edge from 0 to its length, y down; the first panel lies above the edge
    at y = 0, the second below it.
    """

    panel: str
    to_strip: Affine
    """From true-size flat millimetres to the strip's frame; a turn and a shift."""
    rings: Rings
    """The panel within ``BAND`` of the edge, in the strip's frame."""


@dataclass(frozen=True)
class CornerStrip:
    """Art from both sides of one edge, laid together."""

    name: str
    """``m3`` for a meeting; the two panels for a crease."""
    above: StripSide
    below: StripSide
    length: float
    """Along the edge, mm of the flat."""
    verdict: str
    """What was measured, as the end of a sentence; empty when nothing was."""
    stands_out: bool = False
    """True when the verdict asks for a look at it."""
    place: str = ""
    """Where the strip's left end is, such as ``upper end at the left``; empty when it needs no telling."""
