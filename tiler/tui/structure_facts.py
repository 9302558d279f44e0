"""What the screen shows of the structure that was found on a flat. Pure."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from tiler.geometry import Point, Size

if TYPE_CHECKING:
    from tiler.load import Loaded
    from tiler.structure.lines import Candidate


@dataclass(frozen=True)
class Fold:
    """A line to draw on the picture."""

    points: tuple[Point, ...]
    """True-size flat millimetres."""
    is_cut: bool


@dataclass(frozen=True)
class StructureFacts:
    """Structure as the screen needs it, true-size flat millimetres."""

    lines: tuple[Fold, ...] = ()
    candidates: tuple[Candidate, ...] = ()
    """Layers and spot colours that may hold lines."""
    panels: int = 0
    creases: int = 0
    folded: tuple[float, ...] = ()
    """Length, width and depth of the folded box, mm; empty when not known."""


NO_STRUCTURE = StructureFacts()


def structure_facts(loaded: Loaded | None) -> StructureFacts:
    """What was found on a loaded flat."""
    if loaded is None:
        return NO_STRUCTURE
    found = loaded.structure
    return StructureFacts(
        lines=tuple(Fold(line.points, line.kind.is_cut) for line in found.lines),
        candidates=found.candidates,
        panels=len(found.panels),
        creases=len(found.creases),
        folded=tuple(found.folded) if found.folded else (),
    )


def inside(size: Size, place: Point) -> bool:
    """True when a place lies on the flat."""
    return 0 <= place.x <= size.width and 0 <= place.y <= size.height
