"""The tray's outside print: a reed frieze round the walls, the marsh photograph underneath."""

from __future__ import annotations

import random

from sample_art import band, label, marsh
from sample_art.art import Art
from sample_art.carton import BLEED, TRAY, Side
from sample_art.lid import CREASE_INK, CUT_INK, FLAP_ART
from sample_art.marsh import BRASS, BRASS_LIGHT, CREAM, DEEP, HERON, INKY, MIST, NIGHT, PEACH, ROSE
from sample_art.photo import marsh_photo

BAND_TOP, BAND_TALL = 64.0, 12.0
"""The feather band, mm below the tray's rim: in the 20 mm that the closed lid leaves in view."""
GROUND = 60.0
"""Where the reeds of the frieze stand, mm below the rim."""
HERONS: dict[Side, float] = {"front": 58.0, "back": 236.0}
"""Where a heron stands on a long wall, mm from the wall's left end; the reeds are short there."""


def draw_outside(art: Art) -> None:
    """Draw the tray's art, clipped to the outline and its bleed."""
    with art.clip(TRAY.bleed_outline(BLEED)):
        for side in ("front", "back", "right", "left"):
            _wall(art, side)
        _base(art)


def _wall(art: Art, side: Side) -> None:
    """Draw one wall in its upright frame: rim at v = 0, base crease at v = 80."""
    wall = TRAY.wall(side)
    reach = FLAP_ART if side in ("front", "back") else BLEED
    u0, u1, deep = -reach, wall.length + reach, TRAY.depth
    with art.frame(wall.origin, wall.right, wall.down):
        with art.clip_box(u0, -BLEED, u1 - u0, deep + BLEED):
            art.box(u0, -BLEED, u1 - u0, deep + BLEED, NIGHT)
            with art.clip_box(u0, -BLEED, u1 - u0, GROUND + BLEED):
                inks = [NIGHT, DEEP, HERON, MIST, ROSE, PEACH]
                art.linear((0, -BLEED), (0, GROUND), inks, [0, 0.3, 0.56, 0.78, 0.92, 1])
            _frieze(art, wall.start, (u0, u1))
            band.draw(art, TRAY, wall.start, (u0, u1), BAND_TOP, BAND_TALL)
        if side in ("front", "back"):
            words = "HERONWICK" if side == "front" else "MARSH  \u00b7  MERE  \u00b7  MOON"
            art.text((wall.length / 2, 19), words, "Serif", 26 if side == "front" else 17, CREAM, 0.5, 240)
            tag = "lift the lid, mind the glass" if side == "front" else "one lamp, one night at a time"
            art.text((wall.length / 2, 27), tag, "Serif-Italic", 12, BRASS_LIGHT, 0.5)
            marsh.heron(art, (HERONS[side], GROUND + 0.4), 46 if side == "front" else 40, INKY)
        else:
            words = "Carry with both hands under the tray."
            art.text((wall.length / 2, 22), words, "Serif-Italic", 13, CREAM, 0.5)


def _frieze(art: Art, start: float, span: tuple[float, float]) -> None:
    """Draw the reeds round the box; those at a corner appear on both walls and meet there."""
    dice = random.Random(41)
    way = 0.0
    while way < TRAY.girth:
        clump = 0.45 + 0.55 * abs(((way / 86.0) % 2) - 1)
        near = min(abs(way - TRAY.wall(side).start - u) for side, u in HERONS.items())
        clump *= 0.25 if near < 17 else 1.0
        tall = (7 + 24 * dice.random()) * clump
        lean, wide = dice.gauss(0.1, 0.14) * tall, 0.7 + dice.random() * 0.8
        head = dice.random() < 0.14 and near > 22
        for lap in (-TRAY.girth, 0.0, TRAY.girth):
            u = way + lap - start
            if span[0] - 14 < u < span[1] + 14:
                marsh.reed(art, (u, GROUND + 1), tall, lean, wide, INKY)
                if head:
                    marsh.bulrush(art, (u, GROUND + 1), min(tall + 6, 27), lean * 0.4, INKY)
        way += 0.9 + 2.6 * dice.random()
    art.box(span[0], GROUND, span[1] - span[0], 2.2, INKY)


def _base(art: Art) -> None:
    """Draw the base panel, seen from below."""
    x, y, w, h = TRAY.depth, TRAY.depth, TRAY.length, TRAY.width
    art.box(x, y, w, h, NIGHT)
    wide, tall = 240.0, 126.0
    left, top = x + (w - wide) / 2, y + 20
    art.picture(marsh_photo(2362, 1240), (left, top, wide, tall), 80)
    edge = [(left, top), (left + wide, top), (left + wide, top + tall), (left, top + tall)]
    art.stroke(art.path(edge), BRASS, 0.35)
    label.wordmark(art, (x + w / 2, y + 166), 22, CREAM)
    label.flourish(art, x + w / 2, y + 172, 46, BRASS_LIGHT)
    words = [
        "Tray of 350 g/m\u00b2 folding boxboard. Fold the walls back, glue the flaps behind the short walls.",
        "Heronwick Lampworks, The Old Eel House, Heronwick. heronwick.example",
    ]
    art.lines((x + w / 2, y + 180), words, "Sans", 7, CREAM, 1.4, 0.5)
    art.text(
        (x + w / 2, y + 189.5),
        "Art 417-T1  \u00b7  lot HW3-0326-B  \u00b7  this side down",
        "Sans",
        5,
        BRASS_LIGHT,
        0.5,
        60,
    )


def draw_structure(art: Art) -> None:
    """Stroke every cut and crease as a line of its own; creases dashed."""
    for piece in TRAY.cuts():
        art.structure([piece], "Cutting Line", CUT_INK)
    for piece in TRAY.creases():
        art.structure([piece], "Creasing Line", CREASE_INK, dash=True)
