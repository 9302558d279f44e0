"""Whether cuts and creases lie where they lay."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from tiler.structure.lines import Line

ASIDE = 0.2
"""A line this far from where it was has moved, mm."""

SHORTEST = 1.0
"""Less than this length of moved lines is drawing noise, mm (own choice, no source)."""


def moved_length(old: Sequence[Line], new: Sequence[Line]) -> float:
    """How much of the lines lies elsewhere than before, has come or has gone, mm; 0 for mere noise."""
    before, after = _drawn(old), _drawn(new)
    gone = before.difference(after.buffer(ASIDE)).length
    come = after.difference(before.buffer(ASIDE)).length
    moved = max(gone, come)
    return float(moved) if moved >= SHORTEST else 0.0


def _drawn(lines: Sequence[Line]) -> Any:
    """All lines as one geometry."""
    import shapely

    strings = [shapely.LineString(line.points) for line in lines if len(line.points) > 1]
    return shapely.union_all(strings)
