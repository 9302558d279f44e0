"""A folded box as a picture: panels textured with their art, drawn with Pillow alone."""

from __future__ import annotations

import math
from dataclasses import dataclass

from PIL import Image, ImageDraw

from tiler.fold.box import FoldedBox
from tiler.fold.camera import Corner
from tiler.fold.scene import Facet, Scene, scene_of
from tiler.geometry import Affine, Point, Rect
from tiler.marks.shapes import Print

Colour = tuple[int, int, int]

BOARD: Colour = (238, 234, 226)
"""A side without print: white board, slightly warm."""
PAPER: Colour = (255, 255, 255)
INK: Colour = (70, 70, 70)
"""Edges of the panels."""
FINER = 2
"""The picture is drawn this many times larger and then reduced, so that edges are smooth."""
MARGIN = 0.04
"""White round the box, share of the picture's shorter side."""


@dataclass(frozen=True)
class Texture:
    """The print of one side, seen from that side."""

    picture: Image.Image
    """RGB, the whole flat."""
    pixels_per_mm: float


@dataclass(frozen=True)
class Textures:
    """The prints of a box."""

    outside: Texture | None = None
    """None shows plain board."""
    inside: Texture | None = None
    """As the file has it, seen from inside; None shows plain board."""

    def of(self, side: Print) -> Texture | None:
        """The print of one side."""
        return self.outside if side == "outside" else self.inside


def view(
    box: FoldedBox,
    textures: Textures,
    corner: Corner,
    opening: float = 0.0,
    size: tuple[int, int] = (900, 700),
    ground: Colour = PAPER,
) -> Image.Image:
    """A folded box from a corner, as large as it fits.

    Args:
        box: The folded flat.
        textures: Its prints.
        corner: From where it is seen.
        opening: 0 is closed, 0.5 half open, 1 flat.
        size: Width and height of the picture, pixels.
        ground: Colour round the box.
    """
    return paint(scene_of(box, corner, opening), textures, size, ground)


def fitting(extent: Rect, size: tuple[int, int], margin: float = MARGIN) -> Affine:
    """The map from millimetres on the picture to its pixels: as large as it fits, in the middle."""
    room = margin * min(size)
    factor = min((size[0] - 2 * room) / extent.width, (size[1] - 2 * room) / extent.height)
    middle = Affine.shift(-extent.centre.x, -extent.centre.y)
    return middle.then(Affine.stretch(factor, factor)).then(Affine.shift(size[0] / 2, size[1] / 2))


def paint(scene: Scene, textures: Textures, size: tuple[int, int], ground: Colour = PAPER) -> Image.Image:
    """Draw a scene."""
    large = (size[0] * FINER, size[1] * FINER)
    to_pixels = fitting(scene.extent, large)
    canvas = Image.new("RGB", large, ground)
    for facet in scene.facets:
        _paint_facet(canvas, facet, textures, to_pixels)
    pen = ImageDraw.Draw(canvas)
    width = max(1, round(min(large) / 550))
    for line in scene.lines:
        pen.line([to_pixels.apply(*point) for point in line], INK, width, joint="curve")
    return canvas.reduce(FINER)


def _paint_facet(canvas: Image.Image, facet: Facet, textures: Textures, to_pixels: Affine) -> None:
    """Lay the visible part of one panel onto the canvas."""
    rings = [[to_pixels.apply(*point) for point in ring] for ring in facet.rings]
    box = _pixel_box([point for ring in rings for point in ring], canvas.size)
    if box is None:
        return
    left, top, right, bottom = box
    size = (right - left, bottom - top)
    mask = Image.new("1", size)
    for ring in rings:
        part = Image.new("1", size)
        ImageDraw.Draw(part).polygon([(x - left, y - top) for x, y in ring], 1)
        mask = _flipped(mask, part)
    texture = textures.of(facet.side)
    if texture is None:
        art = Image.new("RGB", size, BOARD)
    else:
        art = _art(texture, facet, to_pixels.then(Affine.shift(-left, -top)), size)
    light = facet.light
    canvas.paste(art.point(lambda value: round(value * light)), (left, top), mask)


def _flipped(mask: Image.Image, part: Image.Image) -> Image.Image:
    """Even-odd: what lies in one of both, but not in both."""
    from PIL import ImageChops

    return ImageChops.logical_xor(mask, part)


def _pixel_box(points: list[Point], size: tuple[int, int]) -> tuple[int, int, int, int] | None:
    """The whole pixels around points, within the picture; None when there are none."""
    if not points:
        return None
    left, top = (max(0, math.floor(min(values))) for values in zip(*points, strict=True))
    right, bottom = (
        min(limit, math.ceil(max(values)) + 1)
        for values, limit in zip(zip(*points, strict=True), size, strict=True)
    )
    return (left, top, right, bottom) if right > left and bottom > top else None


def _art(texture: Texture, facet: Facet, to_pixels: Affine, size: tuple[int, int]) -> Image.Image:
    """The print as it falls on the picture."""
    scale = texture.pixels_per_mm
    width = texture.picture.width / scale
    to_texture = facet.art(width).then(to_pixels).inverse().then(Affine.stretch(scale, scale))
    a, b, c, d, e, f = to_texture
    return texture.picture.transform(
        size, Image.Transform.AFFINE, (a, c, e, b, d, f), Image.Resampling.BILINEAR, fillcolor=PAPER
    )
