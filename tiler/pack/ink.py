"""Shapes onto PDF pages: the only place that knows reportlab.

The pages drawn here are an intermediate document. A page with artwork calls ``/Flat Do`` or ``/Inside Do``,
and whoever writes the pack adds to its resources form XObjects of these names whose space is PDF points,
y up, with the box ``[0 0 width height]`` of the flat at true size as a person sees it.
"""

from __future__ import annotations

import io
import itertools
from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache
from pathlib import Path
from typing import Any, cast

from reportlab import rl_config
from reportlab.lib.utils import ImageReader
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from tiler.geometry import IDENTITY, Affine, Point, Rect
from tiler.marks.shapes import Area, Artwork, Line, Page, Picture, Print, Ring, Shape, Words
from tiler.units import MM_PER_POINT, POINTS_PER_MM

FORM_NAMES: dict[Print, str] = {"outside": "/Flat", "inside": "/Inside"}
"""Names under which pages with artwork call the form XObjects of the job's prints."""

MISSING = "·"
"""Stands for a character that the type family does not have."""

_FONTS = Path(__file__).parent / "fonts"
_REGULAR = "SourceSansPro-Regular"
_SEMIBOLD = "SourceSansPro-Semibold"


@lru_cache(maxsize=1)
def _faces() -> dict[bool, Any]:
    """The two registered faces, keyed by bold."""
    rl_config.useA85 = 0  # plain Flate: a quarter smaller, and nobody mails packs through 7-bit lines
    for name in (_REGULAR, _SEMIBOLD):
        pdfmetrics.registerFont(TTFont(name, str(_FONTS / f"{name}.ttf")))
    return {False: pdfmetrics.getFont(_REGULAR), True: pdfmetrics.getFont(_SEMIBOLD)}


def load_fonts() -> None:
    """Read the type family, which the first words drawn or measured would wait for."""
    _faces()


def printable_text(text: str, bold: bool = False) -> str:
    """The text with every character that the face lacks replaced by a middle dot, and line ends by spaces."""
    glyphs = _faces()[bold].face.charToGlyph
    spaced = (" " if c.isspace() else c for c in text)
    return "".join(c if ord(c) in glyphs else MISSING for c in spaced)


def text_width(text: str, size: float, bold: bool = False) -> float:
    """Width of one line of text in mm, at ``size`` pt."""
    return _width_at_one_point(text, bold) * size


@lru_cache(maxsize=16_384)
def _width_at_one_point(text: str, bold: bool) -> float:
    """Width in mm at 1 pt; layouts try the same words at many widths, so it is remembered."""
    return float(sum(map(_advances(bold).__getitem__, text))) / 1000 * MM_PER_POINT


class _Advances(dict[str, float]):
    """Advance of each letter as it is printed, in thousandths of the type size; filled as letters come up."""

    def __init__(self, bold: bool) -> None:
        super().__init__()
        self._bold = bold

    def __missing__(self, letter: str) -> float:
        face = _faces()[self._bold].face
        shown = printable_text(letter, self._bold)
        self[letter] = width = float(face.charWidths.get(ord(shown), face.defaultWidth))
        return width


@lru_cache(maxsize=2)
def _advances(bold: bool) -> _Advances:
    """The advances of one face."""
    return _Advances(bold)


def draw_pages(pages: Sequence[Page], corrections: Sequence[Affine] = ()) -> bytes:
    """Draw pages as an intermediate PDF, the same bytes for the same pages.

    Args:
        pages: At least one; each gets exactly its size.
        corrections: One for each page, applied to its contents, in sheet mm; make up for a printer's scale
            and skew. Empty for none.
    """
    _faces()
    buffer = io.BytesIO()
    canvas = Canvas(buffer, pageCompression=1, invariant=1, initialFontName=_REGULAR)
    for page, correction in zip(pages, corrections or [IDENTITY] * len(pages), strict=True):
        canvas.setPageSize((page.size.width * POINTS_PER_MM, page.size.height * POINTS_PER_MM))
        pen = _Pen(canvas, page.size.height)
        if correction != IDENTITY:
            pen.operators(f"{_matrix(pen.to_points.inverse().then(correction).then(pen.to_points))} cm")
        for look, shapes in itertools.groupby(page.shapes, key=_plain_look):
            if look is None:
                for shape in shapes:
                    pen.draw(shape)
            else:
                pen.strokes(cast("Iterator[Line]", shapes), *look)
        canvas.showPage()
    canvas.save()
    return buffer.getvalue()


def _number(value: float, digits: int = 4) -> str:
    """A PDF number without needless zeros (ISO 32000-2, 7.3.3 allows no exponent)."""
    rounded = round(value, digits)
    if abs(rounded) < 1e-4 or abs(rounded) >= 1e15:
        text = f"{value:.{digits}f}".rstrip("0").rstrip(".")
        return "0" if text in ("-0", "") else text
    return repr(rounded).removesuffix(".0")


def _matrix(affine: Affine) -> str:
    """Six operands of ``cm``; scales get more digits, for they are multiplied by up to 1000 pt."""
    scales = [_number(value, 8) for value in affine[:4]]
    return " ".join([*scales, *(_number(value) for value in affine[4:])])


def _plain_look(shape: Shape) -> tuple[float, float] | None:
    """Width and grey of a plain stroke, many of which can be drawn as one path; None for anything else."""
    if isinstance(shape, Line) and not (shape.halo or shape.dash or shape.closed):
        return shape.width, shape.grey
    return None


class _Pen:
    """Draws shapes on the current page of one canvas."""

    def __init__(self, canvas: Any, height: float) -> None:
        self._canvas = canvas
        self.to_points = Affine(POINTS_PER_MM, 0, 0, -POINTS_PER_MM, 0, height * POINTS_PER_MM)
        """From sheet mm, y down, to page points, y up."""

    def operators(self, text: str) -> None:
        """Write raw content stream operators (ISO 32000-2, annex A)."""
        self._canvas.addLiteral(text)

    def draw(self, shape: Shape) -> None:
        """Draw any shape."""
        match shape:
            case Line():
                self._line(shape)
            case Area():
                self._area(shape)
            case Ring():
                self._ring(shape)
            case Words():
                self._words(shape)
            case Artwork():
                self._artwork(shape)
            case Picture():
                image = ImageReader(io.BytesIO(shape.jpeg))
                self._canvas.drawImage(image, *self._points(shape.place))

    def _path(self, points: Sequence[Point]) -> str:
        height = self.to_points.f
        pairs = [f"{x * POINTS_PER_MM:.3f} {height - y * POINTS_PER_MM:.3f}" for x, y in points]
        return f"{pairs[0]} m" + "".join(f" {pair} l" for pair in pairs[1:])

    def strokes(self, lines: Iterable[Line], width: float, grey: float) -> None:
        """Draw plain strokes of one look."""
        paths = " ".join(self._path(line.points) for line in lines)
        self.operators(f"q {_number(grey)} G {_number(width * POINTS_PER_MM)} w {paths} S Q")

    def _line(self, line: Line) -> None:
        path = self._path(line.points)
        end = "s" if line.closed else "S"
        dash = " ".join(_number(length * POINTS_PER_MM) for length in line.dash)
        if line.halo > 0:
            width = _number((line.width + 2 * line.halo) * POINTS_PER_MM)
            # Projecting caps carry the white edge round the ends of every dash.
            self.operators(f"q 1 G {width} w 2 J 1 j [{dash}] 0 d {path} {end} Q")
        width = _number(line.width * POINTS_PER_MM)
        self.operators(f"q {_number(line.grey)} G {width} w [{dash}] 0 d {path} {end} Q")

    def _area(self, area: Area) -> None:
        self._canvas.saveState()
        if area.opacity < 1:
            self._canvas.setFillAlpha(area.opacity)
        self.operators(f"{_number(area.grey)} g {self._path(area.points)} f")
        self._canvas.restoreState()

    def _ring(self, ring: Ring) -> None:
        x, y = self.to_points.apply(*ring.centre)
        canvas = self._canvas
        canvas.saveState()
        outer = ring.radius + (0 if ring.filled else ring.width / 2)
        if ring.halo > 0 and ring.filled:
            canvas.setFillGray(1)
            canvas.circle(x, y, (outer + ring.halo) * POINTS_PER_MM, stroke=0, fill=1)
        elif ring.halo > 0:
            canvas.setStrokeGray(1)
            canvas.setLineWidth((ring.width + 2 * ring.halo) * POINTS_PER_MM)
            canvas.circle(x, y, ring.radius * POINTS_PER_MM)
        canvas.setFillGray(ring.grey)
        canvas.setStrokeGray(ring.grey)
        canvas.setLineWidth(ring.width * POINTS_PER_MM)
        canvas.circle(x, y, ring.radius * POINTS_PER_MM, stroke=int(not ring.filled), fill=int(ring.filled))
        canvas.restoreState()

    def _words(self, words: Words) -> None:
        if words.halo > 0:
            self._text(words, 1)
        self._text(words, 0)

    def _text(self, words: Words, mode: int) -> None:
        """Show text filled (mode 0) or as its white edge (mode 1); ISO 32000-2, table 104."""
        text = printable_text(words.text, words.bold)
        back = {"left": 0.0, "middle": 0.5, "right": 1.0}[words.align]
        shift = Affine.shift(-back * text_width(text, words.size, words.bold), 0)
        # Text space runs y up, so it is mirrored before it is turned on the y-down sheet.
        to_page = (
            Affine.stretch(MM_PER_POINT, -MM_PER_POINT)
            .then(shift)
            .then(Affine.turn(words.turn))
            .then(Affine.shift(*words.at))
            .then(self.to_points)
        )
        look = f"{_number(words.grey)} g"
        if mode:
            look = f"1 G 1 j {_number(2 * words.halo * POINTS_PER_MM)} w"
        self.operators(f"q {look} BT {_matrix(to_page)} Tm {mode} Tr {self._shown(text, words)} ET Q")

    def _shown(self, text: str, words: Words) -> str:
        """The operators that show a text, in each subset of its face that it needs."""
        face, document = _faces()[words.bold], self._canvas._doc
        return " ".join(
            f"{face.getSubsetInternalName(subset, document)} {_number(words.size)} Tf "
            f"({self._canvas._escape(letters)}) Tj"
            for subset, letters in face.splitString(text, document)
        )

    def _artwork(self, art: Artwork) -> None:
        flat_points = Affine(MM_PER_POINT, 0, 0, -MM_PER_POINT, 0, art.flat.height)
        matrix = flat_points.then(art.to_sheet).then(self.to_points)
        clip = f"{self._rectangle(art.clip)} re W n"
        if art.rings:
            clip += " " + " ".join(f"{self._path(ring)} h" for ring in art.rings) + " W* n"
        self.operators(f"q {clip} {_matrix(matrix)} cm {FORM_NAMES[art.side]} Do Q")
        if art.lighten > 0:
            for outline in art.rings or (art.clip.corners,):
                self._area(Area(outline, grey=1, opacity=art.lighten))

    def _rectangle(self, rect: Rect) -> str:
        return " ".join(_number(value) for value in self._points(rect))

    def _points(self, rect: Rect) -> tuple[float, float, float, float]:
        """Left, bottom, width and height in page points."""
        x, y = self.to_points.apply(rect.x, rect.bottom)
        return x, y, rect.width * POINTS_PER_MM, rect.height * POINTS_PER_MM
