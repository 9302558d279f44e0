"""A flat with one planted fault of each kind, and its clean twin: sides of the Heronwick field lamp box.

All places are millimetres from the top left; the page is 280 × 210, the blank x 40 to 240, y 30 to 180, its
creases at x = 100 and x = 180.
"""

from __future__ import annotations

import io
import zlib
from collections.abc import Collection
from pathlib import Path

import numpy as np
from PIL import Image
from pypdf import PdfReader, PdfWriter
from pypdf.generic import NameObject, NumberObject, StreamObject
from reportlab.graphics.barcode.eanbc import UPCA, Ean8BarcodeWidget, Ean13BarcodeWidget
from reportlab.graphics.shapes import Rect as BarShape
from reportlab.lib.colors import CMYKColor, CMYKColorSep
from reportlab.lib.utils import ImageReader
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from tests.flat.text_art import MM, SANS

HEIGHT = 210.0
CUT = CMYKColorSep(0, 1, 0, 0, spotName="Cut", density=1)
CREASE = CMYKColorSep(1, 0, 0, 0, spotName="Crease", density=1)
VARNISH = CMYKColorSep(0, 0, 0.4, 0, spotName="Heronwick Gold", density=1)
BLACK = CMYKColor(0, 0, 0, 1)
DARK = CMYKColor(0.8, 0.5, 0.3, 0.6)
WHITE = CMYKColor(0, 0, 0, 0)
GROUND = CMYKColor(0.05, 0.03, 0.15, 0)


class WrongCheckDigit(Ean8BarcodeWidget):  # type: ignore[misc]
    """EAN-8 whose last digit is wrong."""

    @classmethod
    def _checkdigit(cls, num: str) -> str:
        right: str = Ean8BarcodeWidget._checkdigit(num)
        return str((int(right) + 1) % 10)


class Sheet:
    """Draws in millimetres from the top left."""

    def __init__(self, canvas: Canvas) -> None:
        self.canvas = canvas

    def fill(self, x: float, y: float, width: float, height: float, colour: CMYKColor) -> None:
        """A filled rectangle."""
        self.canvas.setFillColor(colour)
        self.canvas.rect(x * MM, (HEIGHT - y - height) * MM, width * MM, height * MM, stroke=0, fill=1)

    def line(
        self, x1: float, y1: float, x2: float, y2: float, width: float, colour: CMYKColor = BLACK
    ) -> None:
        """A stroke of ``width`` points."""
        self.canvas.setStrokeColor(colour)
        self.canvas.setLineWidth(width)
        self.canvas.line(x1 * MM, (HEIGHT - y1) * MM, x2 * MM, (HEIGHT - y2) * MM)

    def words(
        self, text: str, x: float, y: float, size: float, colour: CMYKColor = BLACK, font: str = "Sans"
    ) -> None:
        """Words on a base line."""
        self.canvas.setFillColor(colour)
        self.canvas.setFont(font, size)
        self.canvas.drawString(x * MM, (HEIGHT - y) * MM, text)

    def picture(self, pixels: tuple[int, int], x: float, y: float) -> None:
        """A grey picture of 20 × 15 mm."""
        rng = np.random.default_rng(7)
        values = rng.integers(60, 200, (pixels[1], pixels[0]), dtype=np.uint8)
        image = Image.fromarray(values)
        box = (x * MM, (HEIGHT - y - 15) * MM, 20 * MM, 15 * MM)
        self.canvas.drawImage(ImageReader(image), *box)

    def code(
        self, kind: type, value: str, x: float, y: float, module: float = 0.33, height: float = 22.85
    ) -> None:
        """A bar code on white, its first bar at ``x``; quiet zones of 12 modules."""
        widget = kind(value, humanReadable=0, quiet=0, barWidth=module, barHeight=height)
        bars = [shape for shape in widget.draw().contents if isinstance(shape, BarShape) and shape.fillColor]
        right = max(bar.x + bar.width for bar in bars)
        self.fill(x - 12 * module, y - 1, right + 24 * module, height + 2, WHITE)
        for bar in bars:
            self.fill(x + bar.x, y, bar.width, bar.height, BLACK)


def planted(path: Path, faults: Collection[str]) -> Path:
    """Write the flat with these faults; without any it is the clean twin."""
    pdfmetrics.registerFont(TTFont("Sans", str(SANS)))
    out = io.BytesIO()
    canvas = Canvas(out, pagesize=(280 * MM, HEIGHT * MM), invariant=1)
    sheet = Sheet(canvas)
    sheet.fill(37, 27, (204.5 if "bleed" in faults else 206), 156, GROUND)
    _texts(sheet, faults)
    _pictures(sheet, faults)
    _lines(sheet, faults)
    _codes(sheet, faults)
    _colours(sheet, faults)
    _structure(sheet, faults)
    canvas.save()
    writer = PdfWriter(clone_from=PdfReader(out))
    _make_line_art(writer, (315, 236) if "line art" in faults else (984, 738))
    writer.write(path)
    return path


def _make_line_art(writer: PdfWriter, pixels: tuple[int, int]) -> None:
    """Make the grey picture of that size one of one bit a pixel, which the library cannot write."""
    for item in writer._objects:
        if isinstance(item, StreamObject) and (item.get("/Width"), item.get("/Height")) == pixels:
            grey = np.frombuffer(item.get_data(), dtype=np.uint8).reshape(pixels[::-1])
            item._data = zlib.compress(np.packbits(grey > 130, axis=1).tobytes())
            item[NameObject("/BitsPerComponent")] = NumberObject(1)
            item[NameObject("/Filter")] = NameObject("/FlateDecode")
            item.pop("/DecodeParms", None)


def _texts(sheet: Sheet, faults: Collection[str]) -> None:
    sheet.fill(105, 35, 70, 25, DARK)
    sheet.words("Warm light for night walks", 110, 45, 5 if "reversed" in faults else 12, WHITE)
    sheet.words("Brass, glass and beech", 110, 70, 4 if "size" in faults else 12)
    sheet.words("Lamp oil 500 g", 110, 82, 12 if "quantity" in faults else 20)
    sheet.words("Stored dry it lasts", 45, 120, 9 if "x height" in faults else 12)
    sheet.words("Hood", 41 if "near cut" in faults else 46, 130, 12)


def _pictures(sheet: Sheet, faults: Collection[str]) -> None:
    coarse, art = (157, 118) if "ppi" in faults else (276, 207), (984, 738)
    sheet.picture(coarse, 110, 90)
    sheet.picture((315, 236) if "line art" in faults else art, 140, 90)
    sheet.picture((276, 236) if "stretched" in faults else (276, 207), 110, 110)


def _lines(sheet: Sheet, faults: Collection[str]) -> None:
    sheet.line(50, 40, 90, 40, 0.1 if "thin" in faults else 0.5)
    sheet.line(50, 60, 90, 60, 0 if "hairline" in faults else 0.5)
    sheet.line(110, 55, 170, 55, 0.5 if "reversed line" in faults else 1, WHITE)


def _codes(sheet: Sheet, faults: Collection[str]) -> None:
    module = 0.25 if "module" in faults else 0.33
    sheet.code(Ean13BarcodeWidget, "290041700326", 190, 35, module, 22.85 * module / 0.33)
    sheet.code(UPCA, "02900417003", 190, 65, height=12 if "height" in faults else 22.85)
    sheet.code(Ean8BarcodeWidget, "2900417", 195, 95, height=18.23)
    if "quiet zone" in faults:
        sheet.fill(195 - 1.5 - 0.5, 94, 0.5, 20, BLACK)
    kind = WrongCheckDigit if "check digit" in faults else Ean8BarcodeWidget
    sheet.code(kind, "2912345", 195, 125, height=18.23)
    sheet.code(Ean8BarcodeWidget, "2954321", 168 if "crease" in faults else 120, 145, height=18.23)


def _colours(sheet: Sheet, faults: Collection[str]) -> None:
    if "rgb" in faults:
        sheet.canvas.setFillColorRGB(0.5, 0.4, 0.1)
        sheet.canvas.rect(50 * MM, 60 * MM, 5 * MM, 5 * MM, stroke=0, fill=1)
    if "spot" in faults:
        sheet.fill(60, 145, 5, 5, VARNISH)
    if "font" in faults:
        sheet.words("Lift here", 50, 160, 12, font="Helvetica")
    if "white overprint" in faults:
        sheet.canvas.saveState()
        sheet.canvas.setFillOverprint(True)
        sheet.fill(45, 70, 50, 12, DARK)
        sheet.words("Vanishes", 55, 78, 16, WHITE)
        sheet.canvas.restoreState()


def _structure(sheet: Sheet, faults: Collection[str]) -> None:
    right = 241.0 if "unequal" in faults else 240.0
    for x1, y1, x2, y2 in (
        (40, 30, right, 30),
        (right, 30, right, 180),
        (right, 180, 40, 180),
        (40, 180, 40, 30),
    ):
        sheet.line(x1, y1, x2, y2, 0.5, CUT)
    for x in (100, 180):
        sheet.line(x, 30, x, 180, 0.5, CREASE)
    if "double cut" in faults:
        sheet.line(60, 30, 90, 30, 0.5, CUT)
    if "loose crease" in faults:
        sheet.line(60, 180, 60, 170, 0.5, CREASE)
    if "open outline" in faults:  # a second part below the first
        for x1, y1, x2, y2 in (
            (40, 190, 80, 190),
            (80, 190, 80, 205),
            (80, 205, 40, 205),
            (40, 205, 40, 194),
        ):
            sheet.line(x1, y1, x2, y2, 0.5, CUT)
