"""A folded box as a drawing in SVG 1.1: each print embedded once, clipped and sheared for every panel."""

from __future__ import annotations

import base64
import io
from collections.abc import Sequence

from tiler.fold.scene import Facet, Rings, Scene
from tiler.fold.view import BOARD, INK, Colour, Texture, Textures
from tiler.geometry import Point, Rect
from tiler.marks.shapes import Print

_EDGE = 0.3
"""Width of the panels' edges, mm."""
_ROOM = 6.0
"""Round the box, for the names of meetings, mm."""
_QUALITY = 88
"""Of the embedded JPEG pictures."""


def svg_of(scene: Scene, textures: Textures) -> str:
    """The drawing, in millimetres at true size.

    Args:
        scene: The box from one corner.
        textures: Its prints.
    """
    room = scene.extent.grown(_ROOM)
    sides: tuple[Print, ...] = ("outside", "inside")
    used = {facet.side for facet in scene.facets}
    prints = [
        _print(side, texture) for side in sides if side in used and (texture := textures.of(side)) is not None
    ]
    faces = [_face(number, facet, textures) for number, facet in enumerate(scene.facets)]
    paths = " ".join(_open(line) for line in scene.lines)
    edges = (
        f'<path d="{paths}" fill="none" stroke="{_hex(INK)}" stroke-width="{_EDGE}" stroke-linejoin="round"/>'
    )
    names = [
        f'<text x="{label.at.x:.2f}" y="{label.at.y:.2f}" class="name">{label.text}</text>'
        for label in scene.labels
    ]
    style = (
        "<style>.name{font:600 4px sans-serif;text-anchor:middle;paint-order:stroke;stroke:#fff;"
        "stroke-width:1.2px;fill:#000}</style>"
    )
    return "\n".join(
        [_opening(room), style, "<defs>", *prints, "</defs>", *faces, edges, *names, "</svg>", ""]
    )


def _opening(room: Rect) -> str:
    x, y, width, height = (f"{value:.2f}" for value in room)
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" '
        f'width="{width}mm" height="{height}mm" viewBox="{x} {y} {width} {height}">'
    )


def _print(side: Print, texture: Texture) -> str:
    """One print as a picture of flat millimetres."""
    file = io.BytesIO()
    texture.picture.convert("RGB").save(file, "JPEG", quality=_QUALITY)
    data = base64.b64encode(file.getvalue()).decode("ascii")
    width = texture.picture.width / texture.pixels_per_mm
    height = texture.picture.height / texture.pixels_per_mm
    return (
        f'<image id="{side}" width="{width:.3f}" height="{height:.3f}" preserveAspectRatio="none" '
        f'xlink:href="data:image/jpeg;base64,{data}"/>'
    )


def _face(number: int, facet: Facet, textures: Textures) -> str:
    """The visible part of one panel."""
    outline, texture = _closed(facet.rings), textures.of(facet.side)
    shade = f'<path d="{outline}" fill-rule="evenodd" fill="#000" fill-opacity="{1 - facet.light:.3f}"/>'
    if texture is None:
        return f'<path d="{outline}" fill-rule="evenodd" fill="{_hex(BOARD)}"/>{shade}'
    matrix = " ".join(f"{v:.6f}" for v in facet.art(texture.picture.width / texture.pixels_per_mm))
    return (
        f'<clipPath id="c{number}"><path d="{outline}" clip-rule="evenodd"/></clipPath>'
        f'<g clip-path="url(#c{number})"><use xlink:href="#{facet.side}" transform="matrix({matrix})"/></g>'
        f"{shade}"
    )


def _closed(rings: Rings) -> str:
    return " ".join(f"{_open(ring)} Z" for ring in rings)


def _open(points: Sequence[Point]) -> str:
    return "M " + " L ".join(f"{x:.3f} {y:.3f}" for x, y in points)


def _hex(colour: Colour) -> str:
    return "#{:02x}{:02x}{:02x}".format(*colour)
