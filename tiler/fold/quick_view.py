"""A folded box drawn at once: nearness is compared point by point.

``scene`` cuts hidden parts away exactly, for print; this shows the same box while it is being turned, in a
time that hardly grows with the number of panels.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from PIL import Image, ImageDraw

from tiler.fold.box import FoldedBox
from tiler.fold.camera import Corner, projection
from tiler.fold.rigid import Array, Rigid
from tiler.fold.scene import brightness
from tiler.fold.view import BOARD, INK, PAPER, Colour, Textures, fitting
from tiler.geometry import Affine, Point, Rect
from tiler.marks.shapes import Print
from tiler.structure.panels import Panel

FINER = 2
"""Points are compared this many times as fine as the picture, across and down, unless told otherwise."""
_EDGE_ON = 1e-3
"""Share of its area below which a panel seen edge-on is not drawn."""
_LEAF = 0.01
"""Panels that lie on each other are told apart as if each were so thick, mm."""
_BACK = 0.3
"""The same for panels that lie back to back, mm."""
_SLACK = 1.0
"""A place is seen when nothing is nearer by more than this and a point and a half of the picture, mm."""


@dataclass(frozen=True, eq=False)
class QuickView:
    """A picture of a box, with what is seen where."""

    points: npt.NDArray[np.uint8]
    """Rows × columns × 3."""
    owner: npt.NDArray[np.int16]
    """``finer`` times as fine: the number of the panel in the tree that is seen, -1 for none."""
    near: Array
    """As fine: nearness to the viewer, mm."""
    finer: int
    to_points: Affine
    """From millimetres on the picture to its points."""
    matrix: Array
    """From space to the picture and nearness."""

    def seen(self, places: Array) -> npt.NDArray[np.bool_]:
        """Which places in space are in sight; n × 3 in, n out. Places beyond the picture are not."""
        found = self.pictured(places)
        columns, rows = (np.floor(self.finer * found[:, axis]).astype(int) for axis in (0, 1))
        height, width = self.near.shape
        within = (columns >= 0) & (columns < width) & (rows >= 0) & (rows < height)
        there = self.near[rows.clip(0, height - 1), columns.clip(0, width - 1)]
        slack = _SLACK + 1.5 / self.to_points.a
        result: npt.NDArray[np.bool_] = within & (there <= found[:, 2] + slack)
        return result

    def shows(self, number: int, places: Array) -> npt.NDArray[np.bool_]:
        """Which places in space have a panel beside them on the picture, as its number in the tree tells."""
        found = self.pictured(places)
        columns, rows = (np.floor(self.finer * found[:, axis]).astype(int) for axis in (0, 1))
        height, width = self.near.shape
        result = np.zeros(len(places), dtype=np.bool_)
        for down in (-1, 0, 1):
            for across in (-1, 0, 1):
                row, column = rows + down, columns + across
                within = (row >= 0) & (row < height) & (column >= 0) & (column < width)
                there = self.owner[row.clip(0, height - 1), column.clip(0, width - 1)]
                result |= within & (there == number)
        return result

    def pictured(self, places: Array) -> Array:
        """Column, row and nearness of places in space, n × 3; points of the picture and mm."""
        found = places @ self.matrix.T
        a, _, _, d, e, f = self.to_points
        result: Array = np.column_stack([a * found[:, 0] + e, d * found[:, 1] + f, found[:, 2]])
        return result


def quick_view(
    box: FoldedBox,
    places: Mapping[str, Rigid],
    corner: Corner,
    extent: Rect,
    textures: Textures,
    size: tuple[int, int],
    ground: Colour = PAPER,
    finer: int = FINER,
) -> QuickView:
    """Look at a box.

    Args:
        box: The folded flat.
        places: Where its panels lie.
        corner: From where it is seen.
        extent: The part of the picture that is shown, mm.
        textures: Its prints.
        size: Points of the picture, across and down.
        ground: Colour round the box.
        finer: Points are compared this many times as fine.
    """
    matrix = projection(box.standing, corner)
    large = (finer * size[0], finer * size[1])
    canvas = _Canvas(fitting(extent, large), textures, large, ground)
    panels = [node.panel for node in box.folding.tree.nodes]
    order = {panel.id: rank for rank, panel in enumerate(_inner_first(panels))}
    for number, panel in enumerate(panels):
        canvas.add(number, panel, places[panel.id], matrix, order[panel.id])
    points = np.asarray(Image.fromarray(canvas.points).reduce(finer)) if finer > 1 else canvas.points
    return QuickView(points, canvas.owner, canvas.near, finer, fitting(extent, size), matrix)


def _inner_first(panels: Sequence[Panel]) -> list[Panel]:
    """Of panels that lie on each other the largest is outside, as a wall over its glue flap; then by name."""
    by_name = sorted(panels, key=lambda panel: panel.id, reverse=True)
    return sorted(by_name, key=lambda panel: round(panel.area, 1))


class _Canvas:
    """Points, each of the nearest panel that has been added."""

    def __init__(self, to_points: Affine, textures: Textures, size: tuple[int, int], ground: Colour) -> None:
        width, height = size
        self._to_points, self._textures = to_points, textures
        self.points = np.empty((height, width, 3), dtype=np.uint8)
        self.points[:] = ground
        self.near = np.full((height, width), -np.inf)
        self.owner = np.full((height, width), -1, dtype=np.int16)

    def add(self, number: int, panel: Panel, place: Rigid, matrix: Array, rank: int) -> None:
        """Draw one panel where nothing is nearer."""
        plane, shift = matrix @ place.turn[:, :2], matrix @ place.shift
        (a, c), (b, d) = plane[0].tolist(), plane[1].tolist()
        if abs(a * d - b * c) < _EDGE_ON:
            return
        to_view = Affine(a, b, c, d, float(shift[0]), float(shift[1]))
        to_points = to_view.then(self._to_points)
        rings = [[to_points.apply(*p) for p in ring] for ring in (panel.polygon, *panel.holes)]
        field = self._field(rings[0])
        if field is None:
            return
        left, top, right, bottom = field
        facing = float(place.outside @ matrix[2])
        side: Print = "outside" if facing > 0 else "inside"
        lean = _BACK + _LEAF * rank if facing > 0 else -_LEAF * rank
        near = self._nearness(plane, float(shift[2]), to_points, field) + lean
        moved = [[(x - left, y - top) for x, y in ring] for ring in rings]
        light = brightness(place.outside, facing, matrix)
        art = self._art(side, to_points.then(Affine.shift(-left, -top)), (right - left, bottom - top), light)
        width = max(1, round(min(self.near.shape) / 550))
        pen = ImageDraw.Draw(art)
        for ring in moved:
            pen.line([*ring, ring[0]], INK, width)
        window = (slice(top, bottom), slice(left, right))
        shown = _mask(moved, art.size) & (near > self.near[window])
        self.points[window][shown] = np.asarray(art)[shown]
        self.near[window][shown] = near[shown]
        self.owner[window][shown] = number

    def _field(self, ring: Sequence[tuple[float, float]]) -> tuple[int, int, int, int] | None:
        """The whole points around an outline, within the picture; None when there are none."""
        xs, ys = [x for x, _ in ring], [y for _, y in ring]
        height, width = self.near.shape
        left, top = max(0, math.floor(min(xs))), max(0, math.floor(min(ys)))
        right, bottom = min(width, math.ceil(max(xs)) + 1), min(height, math.ceil(max(ys)) + 1)
        return (left, top, right, bottom) if right > left and bottom > top else None

    @staticmethod
    def _nearness(plane: Array, shift: float, to_points: Affine, field: tuple[int, int, int, int]) -> Array:
        """How near each point of a field is where a panel lies there, mm."""
        left, top, right, bottom = field
        a, b, c, d, e, f = to_points.inverse()
        along, down = plane[2].tolist()
        x, y = np.arange(left, right) + 0.5, np.arange(top, bottom) + 0.5
        across = (along * a + down * b) * x
        downwards = (along * c + down * d) * y + along * e + down * f + shift
        result: Array = downwards[:, None] + across[None, :]
        return result

    def _art(self, side: Print, to_field: Affine, size: tuple[int, int], light: float) -> Image.Image:
        """The print as it falls on a field, lit."""
        texture = self._textures.of(side)
        if texture is None:
            return Image.new("RGB", size, tuple(round(light * value) for value in BOARD))
        scale = texture.pixels_per_mm
        if side == "inside":
            to_field = Affine(-1, 0, 0, 1, texture.picture.width / scale, 0).then(to_field)
        a, b, c, d, e, f = to_field.inverse().then(Affine.stretch(scale, scale))
        art = texture.picture.transform(
            size, Image.Transform.AFFINE, (a, c, e, b, d, f), Image.Resampling.BILINEAR, fillcolor=PAPER
        )
        return art.point([round(value * light) for value in range(256)] * 3)


def _mask(rings: Sequence[Sequence[tuple[float, float]]], size: tuple[int, int]) -> npt.NDArray[np.bool_]:
    """Points within an outline and in none of its holes."""
    mask = Image.new("1", size)
    pen = ImageDraw.Draw(mask)
    for number, ring in enumerate(rings):
        pen.polygon([*ring], 1 if number == 0 else 0)
    return np.asarray(mask)


def middle_of(view: QuickView, number: int, cells: int) -> Point | None:
    """A place for the name of a panel: near the middle of what is seen of it.

    Args:
        view: The box.
        number: Of the panel in the tree.
        cells: Points of the picture that must be free in a row.

    Returns:
        Points of the picture; None when too little of the panel is seen.
    """
    rows, columns = np.nonzero(view.owner == number)
    finer = view.finer
    if len(rows) < finer * finer * 4 * cells:
        return None
    off = np.hypot(rows - rows.mean(), columns - columns.mean())
    best = int(off.argmin())
    row, column = int(rows[best]), int(columns[best])
    reach = finer * cells // 2
    around = view.owner[row, max(0, column - reach) : column + reach]
    if len(around) < 2 * reach or not (around == number).all():
        return None
    return Point(column / finer, row / finer)
