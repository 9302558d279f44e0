"""The sleeve: a paper band round the closed box, as a plain 300 ppi picture (Pillow)."""

from __future__ import annotations

import math
from io import BytesIO

from PIL import Image, ImageDraw, ImageFont

from sample_art.art import face_path
from sample_art.carton import Point
from sample_art.marsh import HERON_BODY, HERON_LEGS

PPI = 300
FLAP, TOP, SIDE_TALL = 20.0, 223.0, 82.0
"""Glue flap, top or bottom panel, side panel, mm: the closed box is 222 mm wide and 82 mm high."""
GIRTH = 2 * (TOP + SIDE_TALL)
LENGTH, HEIGHT = FLAP + GIRTH, 120.0
"""Size of the flat, mm: 630 x 120."""
CREASES = (FLAP, FLAP + TOP, FLAP + TOP + SIDE_TALL, FLAP + 2 * TOP + SIDE_TALL)
"""Where the creases lie, mm from the left edge, top to bottom of the band."""
FINE = 3
"""Drawn this many times larger, then reduced, so that edges are smooth."""

CREAM, NIGHT, BLUE, BRASS, RUST = (
    (246, 238, 220), (16, 34, 56), (60, 98, 128), (176, 128, 48), (178, 62, 36)
)  # fmt: skip
Colour = tuple[int, int, int]


class Board:
    """A Pillow drawing in millimetres."""

    def __init__(self) -> None:
        """Start with cream board."""
        self.scale = PPI / 25.4 * FINE
        pixels = pixel_size()
        size = (pixels[0] * FINE, pixels[1] * FINE)
        self.image = Image.new("RGB", size, CREAM)
        self.draw = ImageDraw.Draw(self.image)

    def px(self, points: list[Point]) -> list[Point]:
        """Return points in pixels."""
        return [(x * self.scale, y * self.scale) for x, y in points]

    def chain(self, points: list[Point], colour: Colour, weight: float) -> None:
        """Stroke a chain of lines, weight in mm."""
        self.draw.line(self.px(points), colour, max(1, round(weight * self.scale)), joint="curve")

    def shape(self, points: list[Point], colour: Colour) -> None:
        """Fill a polygon."""
        self.draw.polygon(self.px(points), fill=colour)

    def text(self, at: Point, words: str, face: str, size: float, colour: Colour, track: float = 0) -> None:
        """Set a line centred on `at`, size in pt, track in 1/1000 em."""
        font = ImageFont.truetype(str(face_path(face)), round(size / 72 * 25.4 * self.scale))
        gap = track * font.size / 1000
        width = sum(font.getlength(c) for c in words) + gap * (len(words) - 1)
        if not track:
            width = font.getlength(words)
        x, y = at[0] * self.scale - width / 2, at[1] * self.scale
        if not track:
            self.draw.text((x, y), words, colour, font, anchor="ls")
            return
        for c in words:
            self.draw.text((x, y), c, colour, font, anchor="ls")
            x += font.getlength(c) + gap


def pixel_size() -> tuple[int, int]:
    """Return the picture's size: 630 x 120 mm at 300 ppi, to the nearest pixel."""
    return round(LENGTH / 25.4 * PPI), round(HEIGHT / 25.4 * PPI)


def smooth(points: tuple[Point, ...], closed: bool) -> list[Point]:
    """Return a Catmull-Rom curve through the points as short chords; doubled points stay sharp."""
    out: list[Point] = []
    n = len(points)
    for i in range(n if closed else n - 1):
        a, b = points[i], points[(i + 1) % n]
        if a == b:
            continue
        before = points[i - 1] if closed or i else a
        after = points[(i + 2) % n] if closed or i + 2 < n else b
        ta = (0.0, 0.0) if before == a else ((b[0] - before[0]) / 2, (b[1] - before[1]) / 2)
        tb = (0.0, 0.0) if after == b else ((after[0] - a[0]) / 2, (after[1] - a[1]) / 2)
        for step in range(12):
            t = step / 12
            h = (2 * t**3 - 3 * t**2 + 1, t**3 - 2 * t**2 + t, -2 * t**3 + 3 * t**2, t**3 - t**2)
            out.append(tuple(h[0] * a[j] + h[1] * ta[j] + h[2] * b[j] + h[3] * tb[j] for j in (0, 1)))  # type: ignore[arg-type]
    return out


def _heron(board: Board, feet: Point, tall: float, colour: Colour) -> None:
    """Draw the heron."""
    k = tall / 100

    def put(points: list[Point]) -> list[Point]:
        return [(feet[0] + (x - 38) * k, feet[1] + (y - 100) * k) for x, y in points]

    for leg in HERON_LEGS:
        board.chain(put(smooth(leg, closed=False)), colour, 1.15 * k)
    board.shape(put(smooth(HERON_BODY, closed=True)), colour)


def _edges(board: Board) -> None:
    """Draw the wave border along both long edges; it closes on itself round the box."""
    for sign, edge in ((1, 0.0), (-1, HEIGHT)):
        for strand in range(5):
            swing = 2.6 * (1 - strand / 2)
            points = []
            for i in range(int(LENGTH * 4) + 1):
                x = i / 4
                wave = math.sin(2 * math.pi * 24 * (x - FLAP + 5) / GIRTH)
                points.append((x, edge + sign * (7.5 + swing * wave)))
            board.chain(points, BRASS if strand in (0, 4) else BLUE, 0.4 if strand in (0, 4) else 0.14)
        for inset, weight in ((3.0, 0.5), (12.0, 0.5), (12.9, 0.15)):
            y = edge + sign * inset
            board.chain([(0, y), (LENGTH, y)], NIGHT, weight)


def _panels(board: Board) -> None:
    """Set the four panels: top, side, bottom, side."""
    top, side, bottom, last = (
        CREASES[0] + TOP / 2, CREASES[1] + SIDE_TALL / 2, CREASES[2] + TOP / 2, CREASES[3] + SIDE_TALL / 2
    )  # fmt: skip
    _heron(board, (top - 76, 98), 74, NIGHT)
    board.chain([(top - 100, 98), (top - 50, 98)], BRASS, 0.3)
    board.text((top + 29, 56), "HERONWICK", "Serif", 46, NIGHT, 150)
    board.text((top + 29, 71), "Field Lamp No. 3", "Serif-Italic", 23, RUST)
    board.text((top + 29, 86), "FOR NATURALISTS WHO STAY OUT LATE", "Sans-Bold", 9, BLUE, 190)
    for x, words, below in (
        (side, "Slide to open", "light inside"),
        (last, "Keep the right way up", "glass inside"),
    ):
        board.text((x, 58), words, "Serif-Italic", 19, NIGHT)
        board.text((x, 70), below.upper(), "Sans-Bold", 8, BRASS, 190)
    board.text((bottom, 40), "The marsh speaks softly. Bring a softer light.", "Serif-Italic", 24, NIGHT)
    lines = [
        "This sleeve slides round the closed box and holds lid and tray together in the post.",
        "Paper, one side printed. With waste paper where your local rules allow.",
        "Heronwick Lampworks, The Old Eel House, Heronwick   \u00b7   heronwick.example",
    ]
    for i, words in enumerate(lines):
        board.text((bottom, 56 + i * 6.4), words, "Sans", 9.5, NIGHT)
    board.text(
        (bottom, 84),
        "LOT HW3-0326-B   \u00b7   ART 417-S1   \u00b7   SLEEVE 630 \u00d7 120 MM",
        "Sans",
        5.5,
        BLUE,
        120,
    )
    board.shape([(0, 0), (FLAP - 3, 0), (FLAP - 3, HEIGHT), (0, HEIGHT)], (255, 255, 255))
    for x in CREASES:
        for y in (0.0, HEIGHT - 2.0):
            board.chain([(x, y), (x, y + 2.0)], NIGHT, 0.1)


def make_sleeve() -> bytes:
    """Return the sleeve as a JPEG whose density states its size."""
    board = Board()
    _edges(board)
    _panels(board)
    small = board.image.resize(pixel_size(), Image.Resampling.BOX)
    out = BytesIO()
    small.save(out, "JPEG", quality=84, dpi=(PPI, PPI), optimize=True)
    return out.getvalue()
