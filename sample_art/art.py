"""A reportlab canvas that thinks in millimetres, y down, with layers, spot lines and CMYK."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from importlib.util import find_spec
from io import BytesIO
from pathlib import Path

from PIL import Image
from reportlab.lib.colors import CMYKColor, CMYKColorSep
from reportlab.lib.utils import ImageReader
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas
from reportlab.pdfgen.pathobject import PDFPathObject

from sample_art.carton import Curve, Line, Piece, Point

MM = 72 / 25.4
"""PDF points in a millimetre."""
PT = 25.4 / 72
"""Millimetres in a point."""
Ink = tuple[float, float, float, float]
"""Cyan, magenta, yellow, black, each 0 to 1."""

FACES = {
    "Serif": "SourceSerifPro-Regular",
    "Serif-Light": "SourceSerifPro-Light",
    "Serif-Italic": "SourceSerifPro-LightIt",
    "Serif-Bold": "SourceSerifPro-Semibold",
    "Sans": "SourceSansPro-Regular",
    "Sans-Bold": "SourceSansPro-Semibold",
}


def face_path(face: str) -> Path:
    """Return the TrueType file of one of our faces.

    Raises:
        SystemExit: if the two font packages are not installed.
    """
    stem = FACES[face]
    package = "font_source_serif_pro" if "Serif" in stem else "font_source_sans_pro"
    spec = find_spec(package)
    if spec is None or spec.origin is None:
        raise SystemExit(
            "The sample art needs two font packages: pip install font-source-serif-pro font-source-sans-pro"
        )
    return Path(spec.origin).parent / "files" / f"{stem}.ttf"


def register_faces() -> None:
    """Make our faces known to reportlab."""
    for face in FACES:
        pdfmetrics.registerFont(TTFont(face, str(face_path(face))))


def text_width(text: str, face: str, size: float, track: float = 0.0) -> float:
    """Return the set width in mm of `text` at `size` pt, tracked by `track` 1/1000 em."""
    width: float = pdfmetrics.stringWidth(text, face, size)
    return (width + max(len(text) - 1, 0) * track * size / 1000) * PT


class Art:
    """One PDF in the making; every coordinate is mm from the top-left of the trimmed blank."""

    def __init__(self, width: float, height: float, margin: float, at_trim: bool = False) -> None:
        """Start a page of trim size `width` x `height` mm with `margin` mm of paper round it.

        `at_trim` puts the PDF's own origin on the trim box's corner instead of the paper's.
        """
        self.at_trim = at_trim
        self.width, self.height, self.margin = width, height, margin
        self.buffer = BytesIO()
        page = ((width + 2 * margin) * MM, (height + 2 * margin) * MM)
        self.canvas = Canvas(self.buffer, pagesize=page, invariant=1, initialFontName="Sans")
        self._place()

    def _place(self) -> None:
        """Put the origin at the top-left of the trim box, in mm, y down."""
        low = 0.0 if self.at_trim else self.margin
        self.canvas.transform(MM, 0, 0, -MM, low * MM, (self.height + low) * MM)

    def next_page(self) -> None:
        """Start another page of the same size."""
        self.canvas.showPage()
        self._place()

    def save(self) -> bytes:
        """Close the file and return its bytes."""
        self.canvas.showPage()
        self.canvas.save()
        return self.buffer.getvalue()

    @contextmanager
    def state(self) -> Iterator[None]:
        """Keep every change of the graphics state inside this block."""
        self.canvas.saveState()
        yield
        self.canvas.restoreState()

    @contextmanager
    def layer(self, key: str) -> Iterator[None]:
        """Put what is drawn in this block on the layer with property name `key`."""
        self.canvas._code.append(f"/OC /{key} BDC")
        yield
        self.canvas._code.append("EMC")

    @contextmanager
    def frame(self, origin: Point, right: Point, down: Point) -> Iterator[None]:
        """Draw this block in a turned frame (see `carton.WallFrame`)."""
        with self.state():
            self.canvas.transform(*right, *down, *origin)
            yield

    @contextmanager
    def clip(self, points: Sequence[Point]) -> Iterator[None]:
        """Clip this block to a polygon."""
        with self.state():
            self.canvas.clipPath(self.path(points), stroke=0, fill=0)
            yield

    @contextmanager
    def clip_box(self, x: float, y: float, w: float, h: float) -> Iterator[None]:
        """Clip this block to a rectangle."""
        with self.clip([(x, y), (x + w, y), (x + w, y + h), (x, y + h)]):
            yield

    def path(self, points: Sequence[Point], closed: bool = True) -> PDFPathObject:
        """Return a polygon or a chain of lines."""
        path = self.canvas.beginPath()
        path.moveTo(*points[0])
        for point in points[1:]:
            path.lineTo(*point)
        if closed:
            path.close()
        return path

    def spline(self, points: Sequence[Point], closed: bool = True) -> PDFPathObject:
        """Return a smooth curve through the points (Catmull-Rom); a point given twice is sharp."""
        path, n = self.canvas.beginPath(), len(points)
        path.moveTo(*points[0])
        for i in range(n if closed else n - 1):
            a, b = points[i], points[(i + 1) % n]
            if a == b:
                continue
            before = points[i - 1] if closed or i else a
            after = points[(i + 2) % n] if closed or i + 2 < n else b
            path.curveTo(
                a[0] + (b[0] - before[0]) / 6 * (before != a),
                a[1] + (b[1] - before[1]) / 6 * (before != a),
                b[0] - (after[0] - a[0]) / 6 * (after != b),
                b[1] - (after[1] - a[1]) / 6 * (after != b),
                *b,
            )
        if closed:
            path.close()
        return path

    def fill(self, path: PDFPathObject, ink: Ink, alpha: float = 1.0) -> None:
        """Fill a path with a flat ink."""
        with self.state():
            self.canvas.setFillColor(CMYKColor(*ink))
            if alpha < 1:
                self.canvas.setFillAlpha(alpha)
            self.canvas.drawPath(path, stroke=0, fill=1)

    def stroke(self, path: PDFPathObject, ink: Ink, weight: float, alpha: float = 1.0) -> None:
        """Stroke a path, `weight` in mm, with round ends and joins."""
        with self.state():
            self.canvas.setStrokeColor(CMYKColor(*ink))
            self.canvas.setLineWidth(weight)
            self.canvas.setLineCap(1)
            self.canvas.setLineJoin(1)
            if alpha < 1:
                self.canvas.setStrokeAlpha(alpha)
            self.canvas.drawPath(path, stroke=1, fill=0)

    def box(self, x: float, y: float, w: float, h: float, ink: Ink, alpha: float = 1.0) -> None:
        """Fill a rectangle."""
        self.fill(self.path([(x, y), (x + w, y), (x + w, y + h), (x, y + h)]), ink, alpha)

    def rule(self, a: Point, b: Point, ink: Ink, weight: float, alpha: float = 1.0) -> None:
        """Draw a straight rule, `weight` in mm."""
        self.stroke(self.path([a, b], closed=False), ink, weight, alpha)

    def disc(self, x: float, y: float, r: float, ink: Ink, alpha: float = 1.0) -> None:
        """Fill a circle."""
        path = self.canvas.beginPath()
        path.circle(x, y, r)
        self.fill(path, ink, alpha)

    def ring(self, x: float, y: float, r: float, ink: Ink, weight: float) -> None:
        """Stroke a circle."""
        path = self.canvas.beginPath()
        path.circle(x, y, r)
        self.stroke(path, ink, weight)

    def linear(self, a: Point, b: Point, inks: Sequence[Ink], stops: Sequence[float] | None = None) -> None:
        """Paint the current clip with a gradient from a to b."""
        colours = [CMYKColor(*ink) for ink in inks]
        self.canvas.linearGradient(*a, *b, colours, list(stops) if stops else None)

    def radial(self, x: float, y: float, r: float, inks: Sequence[Ink], stops: Sequence[float]) -> None:
        """Paint the current clip with a gradient from the centre out to radius r."""
        self.canvas.radialGradient(x, y, r, [CMYKColor(*ink) for ink in inks], list(stops))

    def text(
        self,
        at: Point,
        text: str,
        face: str,
        size: float,
        ink: Ink,
        align: float = 0.0,
        track: float = 0.0,
    ) -> None:
        """Set one line on the baseline point `at`; align 0 left, 0.5 centre, 1 right."""
        x = at[0] - align * text_width(text, face, size, track)
        with self.state():
            self.canvas.transform(PT, 0, 0, -PT, x, at[1])
            self.canvas.setFillColor(CMYKColor(*ink))
            self.canvas.setFont(face, size)
            self.canvas.drawString(0, 0, text, charSpace=track * size / 1000)

    def lines(
        self,
        at: Point,
        lines: Sequence[str],
        face: str,
        size: float,
        ink: Ink,
        lead: float = 1.3,
        align: float = 0.0,
    ) -> float:
        """Set lines under each other and return the y of the next baseline, mm."""
        x, y = at
        for line in lines:
            self.text((x, y), line, face, size, ink, align)
            y += size * lead * PT
        return y

    def picture(self, image: Image.Image, box: tuple[float, float, float, float], q: int) -> None:
        """Place a raster as a JPEG of quality `q` into x, y, width, height (mm)."""
        data, (x, y, w, h) = BytesIO(), box
        image.save(data, "JPEG", quality=q, optimize=True)
        data.seek(0)
        with self.state():
            self.canvas.transform(1, 0, 0, -1, x, y + h)
            self.canvas.drawImage(ImageReader(data), 0, 0, w, h)

    def structure(self, pieces: Sequence[Piece], spot: str, ink: Ink, dash: bool = False) -> None:
        """Stroke structure lines in an overprinting spot colour; touching pieces form one path."""
        path = self.canvas.beginPath()
        last: Point | None = None
        for piece in pieces:
            if piece.start != last:
                path.moveTo(*piece.start)
            if isinstance(piece, Line):
                path.lineTo(*piece.end)
            else:
                path.curveTo(*piece.control1, *piece.control2, *piece.end)
            last = piece.end
        if last == pieces[0].start and len(pieces) > 4:
            path.close()
        with self.state():
            self.canvas.setStrokeColor(CMYKColorSep(*ink, spotName=spot))
            self.canvas.setStrokeOverprint(True)
            self.canvas.setOverprintMask(1)
            self.canvas.setLineWidth(0.25)
            if dash:
                self.canvas.setDash([3, 1.5])
            self.canvas.drawPath(path, stroke=1, fill=0)


def mirrored(pieces: Sequence[Piece], width: float) -> list[Piece]:
    """Return the pieces as seen from the other side of a blank `width` mm wide."""

    def turn(point: Point) -> Point:
        return (width - point[0], point[1])

    turned: list[Piece] = []
    for piece in pieces:
        if isinstance(piece, Line):
            turned.append(Line(turn(piece.start), turn(piece.end)))
        else:
            controls = turn(piece.control1), turn(piece.control2)
            turned.append(Curve(turn(piece.start), *controls, turn(piece.end)))
    return turned


def arc_points(x: float, y: float, r: float, a0: float, a1: float, n: int = 24) -> list[Point]:
    """Return n + 1 points of an arc from angle a0 to a1 (degrees, clockwise, 0 = right)."""
    steps = [math.radians(a0 + (a1 - a0) * i / n) for i in range(n + 1)]
    return [(x + r * math.cos(a), y + r * math.sin(a)) for a in steps]
