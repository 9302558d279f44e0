"""What was found on a flat, said in the words of the plan and of the marks.

Loaded things are at true size; plans and marks are on paper, after the job's scale.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

from tiler.geometry import Point, Rect
from tiler.job import Job
from tiler.load import Loaded
from tiler.marks.facts import GuideKind, GuideLine, PanelName

if TYPE_CHECKING:
    from tiler.plan.region import Region
    from tiler.plan.request import Avoid
    from tiler.structure.kinds import LineKind

BLEED = 3.0
"""Art that a tiling shows beyond the panels, mm (common practice, no source)."""

SQUARE = math.sin(math.radians(3))
"""A crease that leans by less than this counts as running across or down."""

SPOT = 10.0
"""Room that seams leave round a check point, mm."""


def region_of(job: Job, loaded: Loaded) -> Region:
    """What the sheets must cover: the panels with their bleed, else the ink."""
    from tiler.plan.region import Region

    size = loaded.flat.size.scaled(job.scale)
    rings = [[(x * job.scale, y * job.scale) for x, y in ring] for ring in loaded.structure.polygons]
    if rings:
        region = Region.from_polygons(rings, size, BLEED * job.scale)
        if not region.is_empty:
            return region
    return Region.from_mask(loaded.ink, size)


def avoided(job: Job, loaded: Loaded) -> tuple[Avoid, ...]:
    """What seams keep away from, on paper."""
    from tiler.plan.request import Avoid

    found = [
        Avoid("crease", box.scaled(job.scale), name, "across" if box.width > box.height else "down")
        for box, name in _square_creases(loaded)
    ]
    found += [Avoid("text", run.box.scaled(job.scale), run.text.strip()) for run in loaded.texts]
    found += [
        Avoid("check point", Rect(*point.at, 0, 0).grown(SPOT).scaled(job.scale), point.name)
        for point in job.check_points
    ]
    return tuple(found)


def keep_clear(job: Job, loaded: Loaded) -> tuple[Rect, ...]:
    """Where registration marks would stand in the way, on paper."""
    return tuple(item.rect for item in avoided(job, loaded))


def guide_lines(job: Job, loaded: Loaded) -> tuple[GuideLine, ...]:
    """The structure as guide lines, on paper; pieces of curves carry no ticks."""
    guides: list[GuideLine] = []
    rings = loaded.structure.polygons if loaded.structure.creases else ()
    for crease in loaded.structure.creases:
        ticks = crease.is_straight and _is_free_beyond(rings, crease.start, crease.end)
        guides += _pieces(crease.points, _guide_kind(crease.kind), ticks, job.scale)
    for cut in loaded.structure.cuts:
        guides += _pieces(cut, "cut", False, job.scale)
    for line in loaded.structure.lines:
        if not line.kind.is_border:
            guides += _pieces(line.points, _guide_kind(line.kind), False, job.scale)
    return tuple(guides)


def panel_names(job: Job, loaded: Loaded) -> tuple[PanelName, ...]:
    """Names of the panels with a place to write them, on paper."""
    return tuple(
        PanelName(panel.id, Point(panel.centre.x * job.scale, panel.centre.y * job.scale))
        for panel in loaded.structure.panels
    )


def folded_extent(job: Job, loaded: Loaded) -> tuple[float, float, float] | None:
    """Length, width and depth of the folded mock, mm; None when not known."""
    folded = loaded.structure.folded
    if folded is None:
        return None
    return folded.length * job.scale, folded.width * job.scale, folded.depth * job.scale


def structure_warnings(loaded: Loaded) -> tuple[str, ...]:
    """What is odd about the lines, or that there are none."""
    if not loaded.structure.lines:
        return (
            "no cuts or creases were found in the flat, so the mock shows none; name a layer or spot colour "
            "with --line-as, a line file with --lines, or a crease with --crease",
        )
    return loaded.structure.reports


def _square_creases(loaded: Loaded) -> list[tuple[Rect, str]]:
    """Creases that a seam could run along, as thin rectangles."""
    found = []
    for x1, y1, x2, y2 in loaded.structure.crease_segments:
        length = math.hypot(x2 - x1, y2 - y1)
        if length > 0 and min(abs(x2 - x1), abs(y2 - y1)) <= SQUARE * length:
            box = Rect.between(min(x1, x2), min(y1, y2), max(x1, x2), max(y1, y2))
            found.append((box, f"crease at {'y' if box.width > box.height else 'x'} {_middle(box):.0f}"))
    return found


def _middle(box: Rect) -> float:
    """Where a thin rectangle stands."""
    return box.centre.y if box.width > box.height else box.centre.x


def _pieces(points: tuple[Point, ...], kind: GuideKind, ticks: bool, scale: float) -> list[GuideLine]:
    """The straight pieces of a line, on paper."""
    return [
        GuideLine(Point(a.x * scale, a.y * scale), Point(b.x * scale, b.y * scale), kind, ticks)
        for a, b in pairwise(points)
    ]


def _guide_kind(kind: LineKind) -> GuideKind:
    """How a kind of line is shown."""
    words: dict[str, GuideKind] = {"perforation": "perforation", "partial cut": "partial cut"}
    return words.get(str(kind), "crease")


def _is_free_beyond(rings: Sequence[Sequence[tuple[float, float]]], start: Point, end: Point) -> bool:
    """True when waste lies beyond both ends of a crease, outside all rings, where ticks may stand."""
    length = math.hypot(end.x - start.x, end.y - start.y)
    if length <= 0:
        return False
    step = Point((end.x - start.x) / length, (end.y - start.y) / length)
    spots = [end.shifted(step.x * far, step.y * far) for far in (1.0, 4.0)]
    spots += [start.shifted(-step.x * far, -step.y * far) for far in (1.0, 4.0)]
    import shapely

    places = shapely.MultiPoint(spots)
    return all(shapely.Polygon(ring).distance(places) >= 0.3 for ring in rings)
