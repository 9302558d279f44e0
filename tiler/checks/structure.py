"""Structure: outlines left open, cuts drawn twice, creases that end nowhere, panels that should be equal."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Sequence
from itertools import combinations
from typing import Any

import numpy as np
import numpy.typing as npt
import shapely

from tiler.checks.finding import Finding
from tiler.checks.group import around, grouped
from tiler.checks.limits import Limits
from tiler.checks.sight import Sight
from tiler.geometry import Point, Rect
from tiler.structure.creases import Crease
from tiler.structure.lines import Line
from tiler.structure.loose import loose_ends, patches_for
from tiler.structure.mend import mended
from tiler.structure.network import SNAP, Segments, aligned, network_of, segments_of
from tiler.structure.panels import Panel
from tiler.units import format_number

SAME_PLACE = 0.05
"""Cuts this near each other all along are one cut drawn twice, mm."""
MOST_DIFFERENCE = 2.0
"""Panels that differ by more are meant to differ, mm (common practice, no source)."""
ROUND_A_GAP = 25.0
"""Two open ends of the outline this near each other are one gap, mm."""
FARTHEST = 10_000.0
"""Beyond any flat, mm."""
MOST_PIECES = 20_000
"""More straight pieces of cuts than this are not searched for doubles."""
_PARALLEL = math.cos(math.radians(3))

Floats = npt.NDArray[np.float64]


def structure_findings(sight: Sight, limits: Limits) -> Iterator[Finding]:
    """All findings on cuts, creases and panels."""
    borders = [line for line in sight.structure.lines if line.kind.is_border]
    if not borders:
        return
    if limits["double_cut"].severity is not None:
        yield from _double_cuts([line for line in borders if line.kind.is_cut], limits)
    yield from _loose(sight, borders, limits)
    if limits["unequal_panels"].severity is not None:
        yield from _unequal(sight.structure.panels, sight.structure.creases, limits)


def _double_cuts(cuts: Sequence[Line], limits: Limits) -> Iterator[Finding]:
    """Stretches in which two cuts lie on each other."""
    segments = segments_of(cuts)
    if not 2 <= len(segments.ends) <= MOST_PIECES:
        return
    limit = limits["double_cut"]
    shared = [item for item in _shared(segments) if item[1] > 0.01]
    for same in grouped(shared, lambda item: item[0], lambda item: 0, 0.2):
        length = sum(item[1] for item in same)
        if length >= limit.value:
            box = around([item[0] for item in same]).grown(0.5)
            message = f"Two cuts lie on each other along {format_number(length, 2)} mm; keep one"
            yield limit.finding("structure.double_cut", box, message, length)


def _shared(segments: Segments) -> Iterator[tuple[Rect, float]]:
    """Where two segments run on each other, and along how much, mm."""
    geometries = segments.geometries
    first, second = shapely.STRtree(geometries).query(geometries, predicate="dwithin", distance=SAME_PLACE)
    keep = first < second
    for a, b in zip(first[keep].tolist(), second[keep].tolist(), strict=True):
        start, end = segments.ends[a, :2], segments.ends[a, 2:]
        length = float(np.hypot(*(end - start)))
        along = (end - start) / length
        places, off = [], []
        for columns in (slice(0, 2), slice(2, 4)):
            delta = segments.ends[b, columns] - start
            places.append(float(delta @ along))
            off.append(abs(float(along[0] * delta[1] - along[1] * delta[0])))
        low, high = max(0.0, min(places)), min(length, max(places))
        if max(off) <= SAME_PLACE and high - low > 0:
            corners = (start + along * low, start + along * high)
            xs, ys = sorted(float(c[0]) for c in corners), sorted(float(c[1]) for c in corners)
            yield Rect.between(xs[0], ys[0], xs[1], ys[1]), high - low


def _loose(sight: Sight, borders: Sequence[Line], limits: Limits) -> Iterator[Finding]:
    """Ends of cuts and creases that meet nothing, and gaps that had to be closed to find the panels."""
    rough = network_of(aligned(segments_of(borders)), borders)
    outline, crease = limits["open_outline"], limits["loose_crease"]
    if outline.severity is not None:
        for patch in patches_for(rough, borders):
            if not patch.is_crease and patch.length > SNAP + 0.02:
                yield _gap(limits, Point(*patch.ends[:2]), Point(*patch.ends[2:]))
    joined = mended(borders)
    if not len(joined.network.edges):
        return
    ends = loose_ends(joined.network)
    is_fold = np.array([joined.lines[o].kind.is_fold for o in joined.network.owner[ends.edge]], dtype=bool)
    whole = shapely.linestrings(joined.network.ends.reshape(-1, 2, 2))
    if crease.severity is not None:
        for index in np.flatnonzero(is_fold).tolist():
            others = np.delete(whole, ends.edge[index])
            yield _loose_crease(limits, ends.place[index], ends.ahead[index], others)
    if outline.severity is not None:
        yield from _open_ends(sight, ends.place[~is_fold], limits)


def _loose_crease(limits: Limits, place: Floats, ahead: Floats, others: Any) -> Finding:
    """A crease whose end meets nothing, and how far on the next line is."""
    far = place + ahead * FARTHEST
    met = shapely.intersection(shapely.linestrings([place, far]), shapely.multilinestrings(others))
    box = Rect(float(place[0]), float(place[1]), 0, 0).grown(1)
    if shapely.is_empty(met):
        return limits["loose_crease"].finding(
            "structure.loose_crease", box, "A crease ends with no line ahead of it"
        )
    short = float(shapely.distance(met, shapely.points(place)))
    message = f"A crease ends {format_number(short, 2)} mm short of the next line ahead"
    return limits["loose_crease"].finding("structure.loose_crease", box, message, short)


def _open_ends(sight: Sight, places: Floats, limits: Limits) -> Iterator[Finding]:
    """Gaps of the outline; ends within a panel are slits and meant."""
    free = [Point(*place) for place in places.tolist() if not _is_within(sight.blank, place)]
    pairs = sorted(combinations(free, 2), key=lambda pair: math.dist(*pair)) if len(free) <= 400 else []
    told: set[Point] = set()
    for a, b in pairs:
        if math.dist(a, b) <= ROUND_A_GAP and not told.intersection((a, b)):
            told.update((a, b))
            yield _gap(limits, a, b)
    limit = limits["open_outline"]
    for place in free:
        if place not in told:
            message = "A cut ends where no other line begins, so the outline is open here"
            yield limit.finding("structure.open_outline", Rect(*place, 0, 0).grown(1), message)


def _is_within(blank: Any, place: Sequence[float]) -> bool:
    """True for a place inside the blank, clear of its edge."""
    if blank is None:
        return False
    point = shapely.points(place)
    return bool(shapely.contains(blank, point)) and float(shapely.distance(blank.boundary, point)) > SNAP


def _gap(limits: Limits, a: Point, b: Point) -> Finding:
    """A gap between two ends of the outline."""
    gap = math.dist(a, b)
    box = Rect.between(min(a.x, b.x), min(a.y, b.y), max(a.x, b.x), max(a.y, b.y)).grown(0.5)
    message = f"The outline is open: a gap of {format_number(gap, 2)} mm in the cut"
    return limits["open_outline"].finding("structure.open_outline", box, message, gap)


def _unequal(panels: Sequence[Panel], creases: Sequence[Crease], limits: Limits) -> Iterator[Finding]:
    """Panels that face each other across a third and differ by little."""
    limit = limits["unequal_panels"]
    by_name = {panel.id: panel for panel in panels}
    told: set[frozenset[str]] = set()
    for walls in _walls(by_name, creases).values():
        for (a, deep_a, side_a, long_a), (b, deep_b, side_b, long_b) in combinations(walls, 2):
            difference = abs(deep_a - deep_b)
            is_pair = float(side_a @ side_b) < -_PARALLEL and abs(long_a - long_b) <= MOST_DIFFERENCE
            pair = frozenset((a, b))
            if not is_pair or pair in told or not limit.value < difference <= MOST_DIFFERENCE:
                continue
            told.add(pair)
            box = by_name[a].box.union(by_name[b].box)
            message = (
                f"Panels {a} and {b} face each other but are {format_number(deep_a, 2)} and "
                f"{format_number(deep_b, 2)} mm deep; meant as an allowance for the board?"
            )
            yield limit.finding("structure.unequal_panels", box, message, difference)


def _walls(
    panels: dict[str, Panel], creases: Sequence[Crease]
) -> dict[str, list[tuple[str, float, Floats, float]]]:
    """Panel name to its neighbours: name, depth from the crease, direction, length of the crease."""
    walls: dict[str, list[tuple[str, float, Floats, float]]] = defaultdict(list)
    for crease in creases:
        if not crease.is_straight or len(set(crease.panels)) != 2:
            continue
        start, end = np.array(crease.start), np.array(crease.end)
        along = (end - start) / crease.length
        normal = np.array([-along[1], along[0]])
        for home, other in (crease.panels, crease.panels[::-1]):
            reach = (np.array(panels[other].polygon) - start) @ normal
            sign = 1.0 if reach.max() >= -reach.min() else -1.0
            walls[home].append((other, float((sign * reach).max()), sign * normal, crease.length))
    return walls
