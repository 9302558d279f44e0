"""The letters of an open page, one by one, each with the style of its text object."""

from __future__ import annotations

import ctypes
import math
from dataclasses import dataclass
from typing import Any

import pypdfium2.raw as raw

from tiler.flat.objects import TEXT, Objects, address
from tiler.geometry import Affine, Point, Rect

UNREADABLE = "\ufffd"
"""Stands for a glyph whose letter the font does not tell."""

PAINTS_NOTHING = 3
"""Text rendering mode of text that is neither filled nor stroked (ISO 32000-2, table 104)."""

_LONGEST_NAME = 512
"""Bytes of a font's name that are read."""


@dataclass(frozen=True)
class Style:
    """What all letters of a text object share."""

    size: float
    """pt, at true size."""
    angle: float
    """Of the base line, degrees clockwise."""
    along: Point
    """Unit vector of the base line, flat millimetres."""
    font: str
    embedded: bool
    face: int
    """Tells fonts apart."""
    fill: tuple[int, int, int] | None
    mode: int
    mirrored: bool

    @property
    def key(self) -> tuple[object, ...]:
        """Equal for styles that look the same."""
        turn = round(self.angle, 1), self.mirrored
        return (round(self.size, 2), turn, self.face, self.fill, self.mode)


@dataclass(frozen=True)
class Letter:
    """One glyph, or a space or line break that PDFium has seen in the distances."""

    text: str
    box: Rect | None
    """Its ink, flat millimetres; None for white space."""
    origin: Point
    """On the base line, flat millimetres."""
    style: Style | None
    """None for white space that is not in the file."""


class Letters:
    """Reads the letters of one open page.

    Args:
        objects: The page.
    """

    def __init__(self, objects: Objects) -> None:
        self._page = raw.FPDFText_LoadPage(objects.page)
        self._to_flat = objects.to_flat
        self._visible: set[int] | None = None
        if objects.has_hidden:
            self._visible = {address(item.handle) for item in objects.drawn() if item.kind == TEXT}
        self._styles: dict[int, Style | None] = {}
        self._edges = tuple(ctypes.c_double() for _ in range(4))
        self._origin = (ctypes.c_double(), ctypes.c_double())
        self.fonts: dict[int, Any] = {}
        """PDFium's fonts by ``Style.face``."""

    def close(self) -> None:
        """Give the memory back."""
        raw.FPDFText_ClosePage(self._page)

    def read(self) -> list[Letter]:
        """All letters that print, in content order."""
        found = []
        for index in range(raw.FPDFText_CountChars(self._page)):
            letter = self._letter(index)
            if letter is not None:
                found.append(letter)
        return found

    def _letter(self, index: int) -> Letter | None:
        """One letter, None when it does not print."""
        text = _text(raw.FPDFText_GetUnicode(self._page, index))
        handle = raw.FPDFText_GetTextObject(self._page, index)
        number = address(handle)
        if not number or raw.FPDFText_IsGenerated(self._page, index) == 1:
            return Letter(text, None, Point(0, 0), None)
        if self._visible is not None and number not in self._visible:
            return None
        if number not in self._styles:
            self._styles[number] = self._style(handle, index)
        style = self._styles[number]
        if style is None:
            return None
        x, y = self._origin
        raw.FPDFText_GetCharOrigin(self._page, index, x, y)
        origin = self._to_flat.apply(x.value, y.value)
        return Letter(text, None if text.isspace() else self._box(index), origin, style)

    def _box(self, index: int) -> Rect | None:
        """A letter's ink; the page's points are upright, so its box stays a box in flat millimetres."""
        if not raw.FPDFText_GetCharBox(self._page, index, *self._edges):
            return None
        left, right, bottom, top = (edge.value for edge in self._edges)
        across, _, _, down, x, y = self._to_flat
        return Rect(left * across + x, top * down + y, (right - left) * across, (bottom - top) * down)

    def _style(self, handle: Any, index: int) -> Style | None:
        """The style of a text object, by one of its letters; None when it paints nothing."""
        mode = raw.FPDFTextObj_GetTextRenderMode(handle)
        matrix = raw.FS_MATRIX()
        if mode == PAINTS_NOTHING or not raw.FPDFText_GetMatrix(self._page, index, matrix):
            return None
        own = Affine(matrix.a, matrix.b, matrix.c, matrix.d, 0, 0).then(self._to_flat)
        advance = math.hypot(own.a, own.b)
        area = own.a * own.d - own.b * own.c
        if advance <= 0 or area == 0:
            return None
        font = raw.FPDFTextObj_GetFont(handle)
        self.fonts.setdefault(address(font), font)
        height = abs(area) / advance / math.hypot(self._to_flat.a, self._to_flat.b)
        return Style(
            size=abs(raw.FPDFText_GetFontSize(self._page, index)) * height,
            angle=_turned(own),
            along=Point(own.a / advance, own.b / advance),
            font=_font_name(font),
            embedded=raw.FPDFFont_GetIsEmbedded(font) == 1,
            face=address(font),
            fill=self._fill(index, mode),
            mode=mode,
            mirrored=area > 0,
        )

    def _fill(self, index: int, mode: int) -> tuple[int, int, int] | None:
        """The colour of a filled letter (modes 1, 5 and 7 do not fill)."""
        if mode in (1, 5, 7):
            return None
        red, green, blue, opacity = (ctypes.c_uint() for _ in range(4))
        if not raw.FPDFText_GetFillColor(self._page, index, red, green, blue, opacity):
            return None
        return red.value, green.value, blue.value


def _turned(own: Affine) -> float:
    """Direction of the base line, degrees clockwise; upside down is 180, never -180."""
    degrees = math.degrees(math.atan2(own.b, own.a))
    return 180.0 if degrees <= -180 + 1e-6 else degrees + 0.0


def _text(code: int) -> str:
    """The letter of a code point; PDFium gives 0 where the font does not tell, 2 for a line's last hyphen."""
    if code == 2:
        return "-"
    is_letter = 0 < code <= 0x10FFFF and not 0xD800 <= code <= 0xDFFF and code not in (0xFFFE, 0xFFFF)
    return chr(code) if is_letter else UNREADABLE


def _font_name(font: Any) -> str:
    """The font's name without its subset prefix (six capitals and a plus sign; ISO 32000-2, 9.9.2)."""
    buffer = ctypes.create_string_buffer(_LONGEST_NAME)
    raw.FPDFFont_GetBaseFontName(font, buffer, _LONGEST_NAME)
    name = buffer.value.decode("utf-8", "replace")
    head, plus, tail = name.partition("+")
    return tail if plus and len(head) == 6 and head.isalpha() and head.isupper() else name
