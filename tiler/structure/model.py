"""The structure of a flat as one value. Loading this loads no plane geometry: many flats tell of no lines."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from tiler.geometry import Point, Rect
from tiler.structure.kinds import Evidence
from tiler.structure.lines import Candidate, LayerRef, Line

if TYPE_CHECKING:
    from tiler.structure.creases import Crease
    from tiler.structure.folded import Folded
    from tiler.structure.panels import Panel


@dataclass(frozen=True)
class Structure:
    """What the lines of a flat make. All lengths mm, areas mm², places in flat coordinates."""

    lines: tuple[Line, ...] = ()
    """All lines found, as drawn; perforations and partial cuts too."""
    panels: tuple[Panel, ...] = ()
    """In reading order."""
    creases: tuple[Crease, ...] = ()
    holes: tuple[tuple[tuple[float, float], ...], ...] = ()
    """Outlines of hand holes, windows and other openings within the outline."""
    cuts: tuple[tuple[Point, ...], ...] = ()
    """Cut lines and curves from corner to corner, each once."""
    cut_length: float = 0.0
    """Each cut counted once however often it is drawn."""
    crease_length: float = 0.0
    outline_area: float = 0.0
    """All panels together, holes and windows not counted."""
    folded: Folded | None = None
    """None when the flat is not plainly that of a box."""
    evidence: tuple[Evidence, ...] = ()
    """How the lines are known, the most trusted first."""
    candidates: tuple[Candidate, ...] = ()
    layers: tuple[LayerRef, ...] = ()
    """Layers that hold structure, for switching off."""
    reports: tuple[str, ...] = ()
    """What is odd about the lines, a sentence each."""

    @property
    def extent(self) -> Rect | None:
        """The upright rectangle around all panels; none without panels."""
        if not self.panels:
            return None
        box = self.panels[0].box
        for panel in self.panels[1:]:
            box = box.union(panel.box)
        return box

    @property
    def polygons(self) -> tuple[tuple[tuple[float, float], ...], ...]:
        """Outlines of all panels together, holes filled: what a tiling has to cover, bleed not counted."""
        return outlines([panel.shape for panel in self.panels])

    @property
    def crease_segments(self) -> tuple[tuple[float, float, float, float], ...]:
        """x1, y1, x2, y2 of every straight piece of a crease: what seams should stay away from."""
        return tuple((*a, *b) for crease in self.creases for a, b in pairwise(crease.points))

    @property
    def evidence_words(self) -> tuple[str, ...]:
        """``processing steps``, ``spot colours`` …, for people and for JSON."""
        return tuple(evidence.plural for evidence in self.evidence)


def outlines(polygons: Sequence[Any]) -> tuple[tuple[tuple[float, float], ...], ...]:
    """Outer rings of shapely polygons joined, the first point not repeated."""
    if not polygons:
        return ()
    import shapely

    parts = shapely.get_parts(shapely.unary_union(polygons))
    rings = [shapely.get_coordinates(part.exterior)[:-1].tolist() for part in parts]
    return tuple(tuple((x, y) for x, y in ring) for ring in rings)
