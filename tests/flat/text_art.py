"""Pages with known words, at known sizes, nested and turned in known ways."""

from __future__ import annotations

import io
from collections.abc import Callable
from pathlib import Path

from pypdf import PdfReader, PdfWriter
from pypdf.generic import FloatObject, NameObject, NumberObject
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

FONTS = Path(__file__).parents[2] / "tiler" / "pack" / "fonts"
SANS = FONTS / "SourceSansPro-Regular.ttf"
MM = 72 / 25.4


def page(
    path: Path,
    draw: Callable[[Canvas], None],
    size: tuple[float, float] = (200, 120),
    rotate: int = 0,
    user_unit: float = 1.0,
    change: Callable[[PdfWriter], None] | None = None,
) -> Path:
    """Write a page of ``size`` millimetres (before turn and UserUnit), drawn in points, y up.

    Args:
        path: Where it goes.
        draw: Draws it; the font ``Sans`` is there.
        size: mm.
        rotate: /Rotate.
        user_unit: UserUnit.
        change: Called with the writer before it writes.
    """
    pdfmetrics.registerFont(TTFont("Sans", str(SANS)))
    out = io.BytesIO()
    canvas = Canvas(out, pagesize=(size[0] * MM, size[1] * MM), invariant=1)
    draw(canvas)
    canvas.save()
    writer = PdfWriter(clone_from=PdfReader(out))
    first = writer.pages[0]
    if rotate:
        first[NameObject("/Rotate")] = NumberObject(rotate)
    if user_unit != 1.0:
        first[NameObject("/UserUnit")] = FloatObject(user_unit)
    if change:
        change(writer)
    writer.write(path)
    return path


def words(canvas: Canvas, text: str, x: float, y: float, size: float, font: str = "Sans") -> None:
    """Set words on a base line at ``x``, ``y`` mm from the bottom left."""
    canvas.setFont(font, size)
    canvas.drawString(x * MM, y * MM, text)


def nested(
    canvas: Canvas, draw: Callable[[Canvas], None], scales: tuple[float, ...], turn: float = 0
) -> None:
    """Draw within forms within each other, each scaled by its factor; the innermost is turned as well.

    The innermost form's origin comes to lie 60 mm from the left and 40 mm from the bottom.
    """
    names = [f"form{level}" for level in range(len(scales))]
    for level in reversed(range(len(scales))):
        canvas.beginForm(names[level], -1000, -1000, 2000, 2000)
        if level == len(scales) - 1:
            canvas.rotate(turn)
            draw(canvas)
        else:
            canvas.scale(scales[level + 1], scales[level + 1])
            canvas.doForm(names[level + 1])
        canvas.endForm()
    canvas.saveState()
    canvas.translate(60 * MM, 40 * MM)
    canvas.scale(scales[0], scales[0])
    canvas.doForm(names[0])
    canvas.restoreState()
