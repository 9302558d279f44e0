"""Small printed matter of the box: the EAN-13 symbol, decals, pictograms, rules and paragraphs."""

from __future__ import annotations

from reportlab.graphics.barcode.eanbc import Ean13BarcodeWidget
from reportlab.graphics.shapes import Rect, String

from sample_art.art import MM, PT, Art, Ink, arc_points, text_width
from sample_art.carton import Point
from sample_art.marsh import NIGHT, WHITE

EAN = "2900417003268"
"""GS1 prefix 29: restricted circulation, so this number can belong to no product on sale."""
MODULE = 0.33
"""EAN-13 module at 100 %, mm (GS1 General Specifications)."""
BAR = 22.85
"""EAN-13 bar height at 100 %, mm (GS1 General Specifications)."""
BLACK: Ink = (0.0, 0.0, 0.0, 1.0)
SYMBOL_WIDTH = 113 * MODULE
"""Symbol with its quiet zones of 11 and 7 modules: 37.29 mm."""
SYMBOL_HEIGHT = 25.93
"""Bars and the digits below them, mm."""


def check_digit(digits: str) -> str:
    """Return the GS1 check digit of the first twelve digits of an EAN-13."""
    total = sum(int(d) * (3 if i % 2 else 1) for i, d in enumerate(digits[:12]))
    return str(-total % 10)


def ean13(art: Art, x: float, y: float) -> None:
    """Draw the symbol at 100 %; x, y is the top-left corner of its quiet zone, mm."""
    below = SYMBOL_HEIGHT - BAR
    art.box(x - 1.5, y - 2, SYMBOL_WIDTH + 3, SYMBOL_HEIGHT + 3, WHITE)
    widget = Ean13BarcodeWidget(
        EAN,
        fontName="Sans",
        fontSize=below * MM / 1.2,
        barWidth=MODULE * MM,
        barHeight=SYMBOL_HEIGHT * MM,
        x=11 * MODULE * MM,
        quiet=0,
    )
    for shape in widget.draw().contents:
        if isinstance(shape, Rect) and shape.fillColor is not None:
            # The guard bars end five modules below the others, not at the foot of the digits.
            low = max(shape.y * PT, below - 5 * MODULE)
            tall = SYMBOL_HEIGHT - low
            art.box(x + shape.x * PT, y, shape.width * PT, tall, BLACK)
        elif isinstance(shape, String):
            align = 0.5 if shape.textAnchor == "middle" else 0.0
            at = (x + shape.x * PT, y + SYMBOL_HEIGHT - shape.y * PT)
            art.text(at, shape.text, "Sans", shape.fontSize, BLACK, align, 60)


def decal(art: Art, at: Point, radius: float, ground: Ink, figure: Ink, words: list[str]) -> None:
    """Draw a round decal: a ground, two rings, a big word between two small ones."""
    x, y = at
    art.disc(x, y, radius, ground)
    art.ring(x, y, radius - 0.9, figure, 0.28)
    art.ring(x, y, radius - 1.7, figure, 0.1)
    k = radius / 17
    art.text((x, y - 5.6 * k), words[0], "Sans-Bold", 6.6 * k, figure, 0.5, 140)
    art.text((x, y + 3.4 * k), words[1], "Serif", 25 * k, figure, 0.5)
    art.text((x, y + 8.2 * k), words[2], "Sans-Bold", 6.6 * k, figure, 0.5, 140)


def pictogram(art: Art, at: Point, radius: float, ground: Ink, figure: Ink, kind: str) -> None:
    """Draw a disc with a sun, a drop or a moon."""
    x, y = at
    art.disc(x, y, radius, ground)
    r = radius * 0.5
    if kind == "sun":
        art.disc(x, y, r * 0.52, figure)
        for a, b in zip(
            arc_points(x, y, r * 0.82, 0, 315, 7), arc_points(x, y, r * 1.25, 0, 315, 7), strict=True
        ):
            art.rule(a, b, figure, radius * 0.09)
    elif kind == "drop":
        tip = (x, y - r * 1.2)
        drop = [tip, tip, (x + r * 0.72, y + r * 0.25), (x, y + r), (x - r * 0.72, y + r * 0.25)]
        art.fill(art.spline(drop), figure)
    else:
        # Both arcs end in the same two tips, 55 degrees off the axis of the outer circle.
        outer = arc_points(x, y, r, 55, 305)
        inner = arc_points(x + r * 0.62, y, r * 0.8205, 266.8, 93.2)
        art.fill(art.path(outer + inner), figure)


def wordmark(art: Art, at: Point, size: float, ink: Ink, track: float = 210) -> None:
    """Set the name, centred on `at`."""
    art.text(at, "HERONWICK", "Serif", size, ink, 0.5, track)


def flourish(art: Art, x: float, y: float, half: float, ink: Ink) -> None:
    """Draw a centred rule, tapered to both ends, with a small gem in the middle."""
    for sign in (-1, 1):
        tip, root = (x + sign * half, y), x + sign * 2.4
        art.fill(art.path([tip, (root, y - 0.16), (root, y + 0.16)]), ink)
    art.fill(art.path([(x, y - 1.1), (x + 0.8, y), (x, y + 1.1), (x - 0.8, y)]), ink)


def heading(art: Art, at: Point, words: str, ink: Ink, width: float, size: float = 6.4) -> float:
    """Set a small tracked heading over a hairline; return the y of the first line below, mm."""
    art.text(at, words.upper(), "Sans-Bold", size, ink, 0, 120)
    art.rule((at[0], at[1] + 1.5), (at[0] + width, at[1] + 1.5), ink, 0.12)
    return at[1] + 5.0


def warning_sign(art: Art, at: Point, tall: float, ink: Ink, ground: Ink) -> None:
    """Draw a general warning triangle, `tall` mm high, top-left at `at`."""
    x, y = at
    wide = tall * 1.12
    triangle = [(x + wide / 2, y), (x + wide, y + tall), (x, y + tall)]
    art.fill(art.path(triangle), ink)
    bar = [(x + wide * 0.46, y + tall * 0.38), (x + wide * 0.54, y + tall * 0.38)]
    art.fill(art.path([*bar, (x + wide * 0.52, y + tall * 0.7), (x + wide * 0.48, y + tall * 0.7)]), ground)
    art.disc(x + wide / 2, y + tall * 0.82, tall * 0.055, ground)


def wrapped(words: str, face: str, size: float, width: float) -> list[str]:
    """Break a paragraph into lines no wider than `width` mm."""
    lines, line = [], ""
    for word in words.split():
        trial = f"{line} {word}".strip()
        if line and text_width(trial, face, size) > width:
            lines.append(line)
            line = word
        else:
            line = trial
    return [*lines, line]


def slug(art: Art, name: str, side: str) -> None:
    """Print the job line and corner marks outside the bleed."""
    words = (
        f"Heronwick field lamp   \u00b7   {name}   \u00b7   {side}   \u00b7   100 %   \u00b7   all lengths mm"
    )
    art.text((4, art.height + 10.5), words, "Sans", 7, NIGHT, 0, 40)
    for x, dx in ((0.0, -1), (art.width, 1)):
        for y, dy in ((0.0, -1), (art.height, 1)):
            art.rule((x + 4.5 * dx, y), (x + 10.5 * dx, y), (0, 0, 0, 1), 0.09)
            art.rule((x, y + 4.5 * dy), (x, y + 10.5 * dy), (0, 0, 0, 1), 0.09)
