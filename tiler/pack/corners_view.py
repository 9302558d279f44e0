"""The folded box on a page: the flat itself, clipped and sheared, with shades, edges, names of meetings."""

from __future__ import annotations

from tiler.geometry import Affine, Point, Rect, Size
from tiler.marks.box_picture import BoxPicture, PicturedFace, Rings
from tiler.marks.metrics import Measure, cap_height
from tiler.marks.shapes import Area, Artwork, Line, Shape, Words
from tiler.marks.style import BLACK, HAIR, HALO, NOTE

BOARD = 0.94
"""Grey of a side without print."""
_APART = 1.0
"""Names of meetings keep this distance from each other, mm."""


def fitted(extent: Rect, place: Rect) -> Affine:
    """From the picture to the page: as large as the place allows, never enlarged, in its middle."""
    factor = min(place.width / extent.width, place.height / extent.height, 1.0)
    to_origin = Affine.shift(-extent.centre.x, -extent.centre.y)
    return to_origin.then(Affine.stretch(factor, factor)).then(Affine.shift(*place.centre))


def draw_box(
    picture: BoxPicture, place: Rect, flat: Size, measure: Measure, inside: Size | None = None
) -> tuple[Shape, ...]:
    """The folded box within a place.

    Args:
        picture: The box.
        place: Where it stands, sheet mm.
        flat: True size of the flat, mm.
        measure: Width of a text.
        inside: True size of the inside print, mm; None where it is that of the flat.
    """
    to_page = fitted(picture.extent, place)
    shapes: list[Shape] = []
    for face in picture.faces:
        shapes += _face(face, to_page, flat, inside or flat, picture.has_inside)
    for line in picture.lines:
        shapes.append(Line(tuple(to_page.apply(*point) for point in line), HAIR, BLACK))
    return (*shapes, *_names(picture, to_page, measure))


def _face(face: PicturedFace, to_page: Affine, flat: Size, inside: Size, has_inside: bool) -> list[Shape]:
    """One panel, with its shade."""
    rings = placed(face.rings, to_page)
    if not rings:
        return []
    if face.side == "inside" and not has_inside:
        return [Area(ring, grey=BOARD * (1 - face.shade)) for ring in rings]
    size, to_flat = flat, face.art
    if face.side == "inside":
        # The middles of both prints lie on each other, as on the backs of the tiles.
        size = inside
        to_flat = Affine.shift((flat.width - size.width) / 2, (flat.height - size.height) / 2).then(face.art)
    art = Artwork(around(rings), to_flat.then(to_page), size, side=face.side, rings=rings)
    if face.shade < 0.01:
        return [art]
    return [art, *(Area(ring, BLACK, face.shade) for ring in rings)]


def _names(picture: BoxPicture, to_page: Affine, measure: Measure) -> list[Words]:
    """Names of the meetings, those that would be written over another left out."""
    words: list[Words] = []
    taken: list[Rect] = []
    for text, at in picture.labels:
        x, y = to_page.apply(*at)
        width, height = measure(text, NOTE, True), cap_height(NOTE)
        room = Rect(x - width / 2, y - height / 2, width, height)
        if not any(room.grown(_APART).overlaps(other) for other in taken):
            taken.append(room)
            base = Point(x, y + height / 2)
            words.append(Words(base, text, NOTE, bold=True, align="middle", halo=2 * HALO))
    return words


def placed(rings: Rings, affine: Affine) -> Rings:
    """Outlines mapped."""
    return tuple(tuple(affine.apply(*point) for point in ring) for ring in rings)


def around(rings: Rings) -> Rect:
    """The upright rectangle around outlines."""
    points = [point for ring in rings for point in ring]
    xs, ys = [p.x for p in points], [p.y for p in points]
    return Rect.between(min(xs), min(ys), max(xs), max(ys))
