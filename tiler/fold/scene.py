"""What is seen of a folded box from one corner, as flat shapes: no pixels, no ink.

Every panel maps affinely onto the picture. What hides it is cut away exactly: where two panels overlap on the
picture, one is nearer on one side of the line where they would cut each other, so the hidden part of a panel
is a polygon. Panels that lie on each other (a flap under a wall) are ordered by which of them is outside.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely
from shapely.affinity import affine_transform
from shapely.geometry.base import BaseGeometry

from tiler.fold.box import FoldedBox
from tiler.fold.camera import Corner, projection
from tiler.fold.rigid import Array, Rigid
from tiler.geometry import Affine, Point, Rect
from tiler.marks.shapes import Print
from tiler.structure.panels import Panel

_EDGE_ON = 1e-4
"""Share of its area below which a panel seen edge-on is not drawn."""
_TOUCHING = 1.5
"""Parallel panels nearer to each other than this lie on each other, mm (common practice, no source)."""
_GRID = 1e-4
"""Shapes are cut on a grid of this step, mm; panels that share an edge would leave slivers of rounding."""
_SPECK = 0.02
"""Visible parts narrower than twice this are the width of a line and are not drawn, mm."""
_LIGHT = np.array([-0.36, -0.78, 0.51])
"""Where the light comes from on the picture: from the left, from above, from the viewer."""
_DIM, _BRIGHT = 0.70, 1.0
"""Brightness of a face turned from the light, and of one that faces it."""

Rings = tuple[tuple[Point, ...], ...]
"""Closed outlines, inside and outside told apart by the even-odd rule."""


@dataclass(frozen=True, eq=False)
class Facet:
    """The visible part of one panel."""

    panel: str
    side: Print
    """Which print is seen."""
    to_view: Affine
    """From the flat's outside view, mm, to the picture, mm."""
    shape: BaseGeometry
    """What is visible of it, on the picture."""
    light: float
    """Brightness, 0.7 to 1."""

    @property
    def rings(self) -> Rings:
        """The visible part as outlines."""
        found = []
        for part in shapely.get_parts(self.shape):
            for ring in (part.exterior, *part.interiors):
                found.append(tuple(Point(x, y) for x, y in shapely.get_coordinates(ring)[:-1].tolist()))
        return tuple(found)

    def art(self, flat_width: float) -> Affine:
        """From the print that is seen to the picture; the inside print is drawn as seen from inside.

        Args:
            flat_width: Width of the flat, mm.
        """
        if self.side == "outside":
            return self.to_view
        return Affine(-1, 0, 0, 1, flat_width, 0).then(self.to_view)


@dataclass(frozen=True, eq=False)
class Label:
    """The name of a meeting that can be seen."""

    text: str
    at: Point
    """The middle of the meeting on the picture, mm."""


@dataclass(frozen=True, eq=False)
class Scene:
    """A box from one corner; millimetres on the picture."""

    facets: tuple[Facet, ...]
    lines: tuple[tuple[Point, ...], ...]
    """Visible edges."""
    labels: tuple[Label, ...]
    """Visible meetings; none of an open box."""
    extent: Rect
    """Around all panels."""


@dataclass(frozen=True, eq=False)
class _Seen:
    """A panel as it falls on the picture, hidden or not."""

    panel: Panel
    to_view: Affine
    shape: BaseGeometry
    depth: Array
    """Nearness at x, y of the picture: d[0] x + d[1] y + d[2]."""
    facing: float
    """Cosine between the outside and the direction to the viewer."""
    outside: Array
    """Unit vector in space."""
    centre: Array
    """A point of the panel in space."""


def scene_of(box: FoldedBox, corner: Corner, opening: float = 0.0) -> Scene:
    """Look at a box.

    Args:
        box: The folded flat.
        corner: From where.
        opening: 0 is closed, 1 is flat.
    """
    matrix = projection(box.standing, corner)
    places = box.folding.places(opening)
    seen = [_seen(node.panel, places[node.panel.id], matrix) for node in box.folding.tree.nodes]
    upright = [each for each in seen if each is not None]
    facets, lines = [], []
    for one in upright:
        visible = _visible(one, upright)
        if not visible.is_empty:
            side: Print = "outside" if one.facing > 0 else "inside"
            light = brightness(one.outside, one.facing, matrix)
            facets.append(Facet(one.panel.id, side, one.to_view, visible, light))
            lines += _outline(one, visible)
    labels = _labels(box, places, matrix, facets) if opening < 1e-3 else ()
    return Scene(tuple(facets), tuple(lines), labels, _extent(upright))


def _seen(panel: Panel, place: Rigid, matrix: Array) -> _Seen | None:
    """One panel on the picture; None when it is seen edge-on."""
    plane, shift = matrix @ place.turn[:, :2], matrix @ place.shift
    (a, c), (b, d) = plane[0].tolist(), plane[1].tolist()
    if abs(a * d - b * c) < _EDGE_ON:
        return None
    to_view = Affine(a, b, c, d, float(shift[0]), float(shift[1]))
    slope = plane[2] @ np.linalg.inv(plane[:2])
    depth = np.array([slope[0], slope[1], shift[2] - slope @ shift[:2]])
    shape = affine_transform(panel.shape, [a, c, b, d, to_view.e, to_view.f])
    facing = float(place.outside @ matrix[2])
    return _Seen(panel, to_view, shape, depth, facing, place.outside, place.place([panel.centre])[0])


def _visible(one: _Seen, others: list[_Seen]) -> BaseGeometry:
    """What nothing nearer hides."""
    hidden = [
        part
        for other in others
        if other is not one and other.shape.intersects(one.shape)
        for part in _hidden_by(one, other)
    ]
    if not hidden:
        return one.shape
    left = shapely.difference(one.shape, shapely.union_all(hidden, grid_size=_GRID), grid_size=_GRID)
    left = left.buffer(-_SPECK, join_style="mitre").buffer(_SPECK, join_style="mitre")
    return shapely.MultiPolygon(_areas(left))


def _areas(shape: BaseGeometry) -> list[BaseGeometry]:
    """Its polygons; panels that touch on the picture share lines and points, which hide nothing."""
    return [part for part in shapely.get_parts(shape) if part.geom_type == "Polygon" and part.area > 0]


def _hidden_by(one: _Seen, other: _Seen) -> list[BaseGeometry]:
    """The parts of a panel that another covers on the picture."""
    common = _areas(shapely.intersection(one.shape, other.shape, grid_size=_GRID))
    alike = float(one.outside @ other.outside)
    if abs(alike) > 0.9995 and abs(float((other.centre - one.centre) @ one.outside)) < _TOUCHING:
        return common if _is_over(other, one, alike) else []
    nearer = other.depth - one.depth
    hidden = []
    for part in common:
        hidden += _areas(shapely.intersection(part, _half_plane(nearer, part.bounds), grid_size=_GRID))
    return hidden


def _is_over(upper: _Seen, lower: _Seen, alike: float) -> bool:
    """Tell which of two panels that lie on each other is seen.

    Of two that turn the same print outwards the larger is outside, as a wall over its glue flap; of two that
    lie back to back each is outside on its own side.
    """
    if alike < 0:
        return upper.facing > 0
    upper_is_outside = (round(upper.panel.area, 1), lower.panel.id) > (
        round(lower.panel.area, 1),
        upper.panel.id,
    )
    return upper_is_outside == (upper.facing > 0)


def _half_plane(value: Array, bounds: tuple[float, float, float, float]) -> BaseGeometry:
    """The part of an upright rectangle where value[0] x + value[1] y + value[2] is above 0."""
    left, top, right, bottom = bounds
    corners = [(left - 1, top - 1), (right + 1, top - 1), (right + 1, bottom + 1), (left - 1, bottom + 1)]
    heights = [value[0] * x + value[1] * y + value[2] for x, y in corners]
    kept = []
    for (p, h), (q, k) in pairwise([*zip(corners, heights, strict=True), (corners[0], heights[0])]):
        if h > 0:
            kept.append(p)
        if (h > 0) != (k > 0):
            share = h / (h - k)
            kept.append((p[0] + share * (q[0] - p[0]), p[1] + share * (q[1] - p[1])))
    return shapely.Polygon(kept) if len(kept) >= 3 else shapely.Polygon()


def brightness(outside: Array, facing: float, matrix: Array) -> float:
    """Brightness of the side of a panel that is seen, 0.7 to 1.

    Args:
        outside: Unit vector away from its printed outside, in space.
        facing: Above 0 when the outside is seen.
        matrix: The projection.
    """
    normal = matrix @ outside * (1 if facing > 0 else -1)
    return float(_DIM + (_BRIGHT - _DIM) * max(0.0, normal @ _LIGHT))


def _outline(one: _Seen, visible: BaseGeometry) -> list[tuple[Point, ...]]:
    """The panel's own edges as far as they are visible."""
    edges = shapely.intersection(one.shape.boundary, visible.buffer(2 * _SPECK))
    merged = shapely.line_merge(edges) if edges.geom_type == "MultiLineString" else edges
    return [
        tuple(Point(x, y) for x, y in shapely.get_coordinates(part).tolist())
        for part in shapely.get_parts(merged)
        if part.geom_type == "LineString" and part.length > 4 * _SPECK
    ]


def _labels(
    box: FoldedBox, places: dict[str, Rigid], matrix: Array, facets: list[Facet]
) -> tuple[Label, ...]:
    """Meetings whose middle lies at the edge of a visible part of one of their panels' outsides."""
    labels = []
    for meeting in box.meetings:
        a, b = meeting.a.start, meeting.a.end
        middle = places[meeting.a.panel].place([((a.x + b.x) / 2, (a.y + b.y) / 2)])[0]
        x, y = (matrix @ middle)[:2].tolist()
        spot = shapely.Point(x, y)
        if any(f.panel in meeting.panels and f.shape.distance(spot) < 1.0 for f in facets):
            labels.append(Label(meeting.id, Point(x, y)))
    return tuple(labels)


def _extent(seen: list[_Seen]) -> Rect:
    if not seen:
        return Rect(0, 0, 1, 1)
    left, top, right, bottom = shapely.total_bounds(np.array([each.shape for each in seen])).tolist()
    return Rect.between(left, top, right, bottom)
