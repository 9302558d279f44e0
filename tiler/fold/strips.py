"""Strips of art for the corner pages: both sides of an edge turned to lie as they meet."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING

import numpy as np
import shapely
from shapely.affinity import affine_transform
from shapely.geometry.base import BaseGeometry

from tiler.fold.box import FoldedBox
from tiler.fold.hinges import Hinge
from tiler.fold.meetings import Meeting, Side
from tiler.fold.scene import Scene
from tiler.geometry import Affine, Point
from tiler.marks.box_picture import BoxPicture, PicturedFace, Rings
from tiler.pack.corners_facts import BAND, CornerStrip, StripSide
from tiler.structure.panels import Panel

if TYPE_CHECKING:
    from tiler.fold.verdict import Verdict

_NEAR = 0.7
"""Cosine of 45 degrees."""


def meeting_strips(box: FoldedBox, verdicts: Mapping[str, Verdict]) -> tuple[CornerStrip, ...]:
    """A strip for every meeting that has art.

    Args:
        box: The folded flat.
        verdicts: What was measured, by meeting; meetings left out or without art get no strip.
    """
    strips = []
    for meeting in box.meetings:
        verdict = verdicts.get(meeting.id)
        if verdict is None or verdict.kind == "no art":
            continue
        words = verdict.words(*meeting.panels, step_words(box, meeting))
        above, below = (
            _side(_panel(box, s.panel), s, up) for s, up in ((meeting.a, True), (meeting.b, False))
        )
        odd = verdict.kind in ("steps", "one side")
        strips.append(CornerStrip(meeting.id, above, below, meeting.length, words, odd))
    return tuple(strips)


def crease_strips(box: FoldedBox) -> tuple[CornerStrip, ...]:
    """A strip for every crease: what runs over it, as it lies in the flat."""
    return tuple(_crease_strip(box, hinge) for _, hinge in box.folding.tree.hinged())


def step_words(box: FoldedBox, meeting: Meeting) -> tuple[str, str]:
    """What a step towards the end of a meeting is called before the standing box, and a step back."""
    place, standing = box.folding.closed[meeting.a.panel], box.standing
    other = box.folding.closed[meeting.b.panel]
    along = place.direct(*meeting.a.along)
    rise = float(along @ standing.up)
    if abs(rise) >= _NEAR:
        return ("up", "down") if rise > 0 else ("down", "up")
    outwards = place.outside + other.outside
    level = outwards - (outwards @ standing.up) * standing.up
    if float(np.linalg.norm(level)) < 0.1:
        return "towards its end", "towards its start"
    right = float(along @ np.cross(standing.up, level))
    return ("to the right", "to the left") if right > 0 else ("to the left", "to the right")


def _panel(box: FoldedBox, name: str) -> Panel:
    return box.folding.tree.node(name).panel


def _side(panel: Panel, side: Side, above: bool) -> StripSide:
    """One side, turned so that the panel lies above or below the edge."""
    wanted = Point(0, -1 if above else 1)
    turn = math.degrees(math.atan2(wanted.y, wanted.x) - math.atan2(side.inward.y, side.inward.x))
    turned = Affine.turn(turn)
    ends = [turned.apply(*place) for place in (side.start, side.end)]
    to_strip = turned.then(Affine.shift(-min(end.x for end in ends), -ends[0].y))
    return StripSide(panel.id, to_strip, _band(panel, to_strip, side.length, above))


def _band(panel: Panel, to_strip: Affine, length: float, above: bool) -> Rings:
    """The panel within the band, in the strip's frame."""
    a, b, c, d, e, f = to_strip
    lying = affine_transform(panel.shape, [a, c, b, d, e, f])
    band = shapely.box(0, -BAND, length, 0) if above else shapely.box(0, 0, length, BAND)
    return rings_of(shapely.intersection(lying, band))


def rings_of(shape: BaseGeometry) -> Rings:
    """Outlines of a shape, without holes: a shape round a hole is cut in two through its middle."""
    found: list[tuple[Point, ...]] = []
    for part in shapely.get_parts(shape):
        if part.geom_type != "Polygon" or part.area < 1e-3:
            continue
        if len(part.interiors):
            left, top, right, bottom = part.bounds
            x = part.interiors[0].centroid.x
            halves = (shapely.box(left, top, x, bottom), shapely.box(x, top, right, bottom))
            found += [ring for half in halves for ring in rings_of(shapely.intersection(part, half))]
        else:
            found.append(tuple(Point(*p) for p in shapely.get_coordinates(part.exterior)[:-1].tolist()))
    return tuple(found)


def _crease_strip(box: FoldedBox, hinge: Hinge) -> CornerStrip:
    """Both sides of a crease."""
    inward = Point(-hinge.side.x, -hinge.side.y)
    first = Side(hinge.first, hinge.start, hinge.end, inward)
    second = Side(hinge.second, hinge.start, hinge.end, hinge.side)
    above = _side(_panel(box, hinge.first), first, True)
    below = _side(_panel(box, hinge.second), second, False)
    return CornerStrip(f"{hinge.first} | {hinge.second}", above, below, hinge.length, "")


def picture_of(scene: Scene, flat_width: float, has_inside: bool = False) -> BoxPicture:
    """A scene as data for a page.

    Args:
        scene: The box from one corner.
        flat_width: Width of the flat, mm.
        has_inside: True when there is an inside print.
    """
    faces = [
        PicturedFace(facet.side, facet.art(flat_width), rings_of(facet.shape), 1 - facet.light)
        for facet in scene.facets
    ]
    labels = tuple((label.text, label.at) for label in scene.labels)
    return BoxPicture(tuple(faces), scene.lines, labels, scene.extent, has_inside)


def odd_ones(strips: Iterable[CornerStrip]) -> tuple[str, ...]:
    """Sentences on the meetings that ask for a look, such as ``m3: artwork steps 1.8 mm down …``."""
    return tuple(f"{strip.name}: {strip.verdict}" for strip in strips if strip.stands_out)
