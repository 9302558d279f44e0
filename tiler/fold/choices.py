"""What the user may choose about folding, with defaults; both front ends and the ticket take it from here."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from typing import Literal, get_args

from tiler.errors import UsageError

Stands = Literal["auto", "root", "rim", "bottom", "top", "left", "right"]
"""What is below when the box stands: its root panel, its rim (the root is on top, as on a lid), or that edge
of the flat, with the root panel upright."""

STANDS: tuple[str, ...] = get_args(Stands)


@dataclass(frozen=True)
class FoldChoices:
    """How a flat is folded."""

    root: str | None = None
    """Name of the panel that stays where it is; None takes the largest."""
    angles: tuple[tuple[str, str, float], ...] = ()
    """Two panels and the angle by which the crease between them is folded when closed, degrees; positive
    folds away from the printed side, negative towards it, 0 leaves it flat."""
    stands: Stands = "auto"
    caliper: float | None = None
    """Thickness of the production board, mm; None when not known."""

    def told(self, first: str, second: str) -> float | None:
        """The angle told for a crease, degrees; the last word counts."""
        for one, other, angle in reversed(self.angles):
            if {one, other} == {first, second}:
                return angle
        return None

    def with_angle(self, first: str, second: str, angle: float) -> FoldChoices:
        """The same with one crease folded by another angle."""
        kept = tuple(told for told in self.angles if {told[0], told[1]} != {first, second})
        return replace(self, angles=(*kept, (first, second, angle)))


DEFAULTS = FoldChoices()
"""Nothing told."""


def parse_fold(text: str) -> tuple[str, str, float]:
    """Turn ``P2/P5=120`` into two panels and degrees.

    Raises:
        UsageError: It is something else, or the angle is beyond 180 degrees.

    >>> parse_fold("p2/P5=-90")
    ('P2', 'P5', -90.0)
    """
    match = re.fullmatch(r"\s*(P\d+)\s*/\s*(P\d+)\s*=\s*([+-]?\d+(?:\.\d+)?)\s*°?\s*", text, re.IGNORECASE)
    if match is None or abs(float(match[3])) > 180 or match[1].upper() == match[2].upper():
        raise UsageError(
            f"'{text}' is no fold", "write two panels and degrees from -180 to 180, as in --fold P2/P5=90"
        )
    return match[1].upper(), match[2].upper(), float(match[3])
