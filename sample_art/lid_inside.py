"""The lid's inside print: how to light, carry and look after the lamp, and a log to fill in.

Seen from the inside: the blank's left and right are exchanged against the outside print.
"""

from __future__ import annotations

import math

from sample_art import label, marsh
from sample_art.art import Art, Ink
from sample_art.carton import LID
from sample_art.marsh import BRASS, HERON, NIGHT, RUST

PAPER: Ink = (0.0, 0.015, 0.07, 0.0)
WASH: Ink = (0.2, 0.09, 0.06, 0.0)
GLUE_END = 24.0
"""Bare end of a short wall, mm, where the long wall's flap is glued."""


def draw_inside(art: Art) -> None:
    """Draw the inside print; the walls carry waves, the top panel the instructions."""
    x, y, w, h = LID.depth, LID.depth, LID.length, LID.width
    art.box(x, y, w, h, PAPER)
    for top in (0.0, y + h):
        _waves(art, (x + 6, top + 6, w - 12, LID.depth - 12))
    for left in (0.0, x + w):
        _waves(art, (left + 16, y + GLUE_END, LID.depth - 22, h - 2 * GLUE_END))
    for gap, weight in ((8.6, 0.4), (7.7, 0.14)):
        edge = [(x + gap, y + gap), (x + w - gap, y + gap)]
        edge += [(x + w - gap, y + h - gap), (x + gap, y + h - gap)]
        art.stroke(art.path(edge), NIGHT, weight)
    art.text((x + w / 2, y + 31), "Go slowly. Look twice.", "Serif-Light", 32, NIGHT, 0.5)
    label.flourish(art, x + w / 2, y + 39.5, 60, BRASS)
    _steps(art, x + 22, y + 55)
    _log(art, x + 22, y + 122, 154, 83)
    _care(art, x + 194, y + 122, 84)


def _waves(art: Art, box: tuple[float, float, float, float]) -> None:
    """Fill a wall with quiet rows of waves."""
    x, y, w, h = box
    with art.clip_box(*box):
        row = 0
        while row * 5.0 + 4 < h:
            middle = y + 2 + row * 5.0
            points = [(x + i, middle + 1.5 * math.sin(i / 4.5 + row * 1.9)) for i in range(-2, int(w) + 3, 2)]
            art.stroke(art.spline(points, closed=False), WASH, 0.3)
            row += 1


def _steps(art: Art, x: float, y: float) -> None:
    """Set the three steps, each with a numeral, a drawing and a few lines."""
    steps = [
        ("Charge", "Turn the foot a quarter left and lift it off. Plug in the cable. The ring in the "
         "handle goes dark when the cell is full, after about three hours."),
        ("Light", "Turn the foot right until it clicks. A second click gives the red hood's light, which "
         "leaves your eyes used to the dark. Turn on to dim."),
        ("Carry", "Hold it by the ring, below the knee. Set it down on something level. Put it out and "
         "wait two minutes: the marsh will start again without you."),
    ]  # fmt: skip
    for i, (name, words) in enumerate(steps):
        left = x + i * 88
        art.disc(left + 16, y + 19, 16, WASH)
        _drawing(art, left + 16, y + 19, i)
        art.text((left + 37, y + 9), str(i + 1), "Serif-Light", 30, BRASS)
        art.text((left + 45.5, y + 9), name, "Serif-Italic", 19, NIGHT)
        art.lines((left + 37, y + 17), label.wrapped(words, "Sans", 8.6, 43), "Sans", 8.6, NIGHT, 1.32)


def _drawing(art: Art, x: float, y: float, step: int) -> None:
    """Draw the lamp small, doing what the step says."""
    if step == 1:
        for i in range(12):
            a = math.radians(i * 30 + 15)
            if abs(math.cos(a)) < 0.5:
                continue  # the lamp's own ring and foot are here
            start = (x + 10.2 * math.cos(a), y + 2 + 10.2 * math.sin(a))
            art.rule(start, (x + 12.6 * math.cos(a), y + 2 + 12.6 * math.sin(a)), BRASS, 0.5)
    marsh.lamp(art, x, y + (11.5 if step != 2 else 9.5), 23)
    if step == 0:
        cable = [(x + 3, y + 11), (x + 8, y + 11), (x + 10, y + 7), (x + 12, y + 7)]
        art.stroke(art.spline(cable, closed=False), NIGHT, 0.7)
        art.box(x + 11.6, y + 5.6, 3.0, 2.8, NIGHT)
    if step == 2:
        grass = [(x - 11 + i * 2.0, y + 14.5 - 2.2 * abs(math.sin(i * 2.1))) for i in range(12)]
        for point in grass:
            marsh.reed(art, (point[0], y + 12.2), 5 + (point[0] * 7 % 3), 0.8, 0.7, HERON)


def _log(art: Art, x: float, y: float, w: float, h: float) -> None:
    """Set the marsh log, a table to fill in with pencil."""
    top = label.heading(art, (x, y), "Marsh log", NIGHT, w, 7)
    columns = ((0.0, "date"), (26.0, "wind"), (46.0, "heard"), (100.0, "seen"))
    for dx, words in columns:
        art.text((x + dx, top + 0.8), words, "Serif-Italic", 10, HERON)
    rows = 8
    for i in range(rows):
        line = top + 9 + i * (h - 17) / rows
        art.rule((x, line), (x + w, line), HERON, 0.12)
    for dx, _ in columns[1:]:
        art.rule((x + dx - 3, top - 2.4), (x + dx - 3, top + 9 + (rows - 1) * (h - 17) / rows), WASH, 0.2)


def _care(art: Art, x: float, y: float, w: float) -> None:
    """Set care, caution and what to do with the box."""
    top = label.heading(art, (x, y), "Care", NIGHT, w, 7)
    care = (
        "Wipe the brass with a dry cloth and leave it to darken. Wash the chimney in warm water, "
        "never while it is hot."
    )
    top = art.lines((x, top + 0.4), label.wrapped(care, "Sans", 8.4, w), "Sans", 8.4, NIGHT, 1.34)
    label.warning_sign(art, (x, top + 0.9), 4.8, RUST, PAPER)
    art.text((x + 7.4, top + 4.9), "CAUTION", "Sans-Bold", 7, RUST, 0, 120)
    caution = (
        "Glass can break and cut. Lithium cell: do not open, crush, wet or heat. A cell that swells or "
        "smells must not be charged again; put it outdoors on stone and ask your waste service."
    )
    top = art.lines((x, top + 9.4), label.wrapped(caution, "Sans", 8.4, w), "Sans", 8.4, NIGHT, 1.34)
    top = label.heading(art, (x, top + 3.0), "The box", NIGHT, w, 7)
    box = (
        "Lid, tray and sleeve are board and go with waste paper where your local rules allow. "
        "Or keep it: it holds about forty marsh logs."
    )
    top = art.lines((x, top + 0.4), label.wrapped(box, "Sans", 8.4, w), "Sans", 8.4, NIGHT, 1.34)
    small = "HW-3 inside lid. Text 8.4 pt, this line 4.5 pt. heronwick.example"
    art.text((x, top + 2.2), small, "Sans", 4.5, HERON)
