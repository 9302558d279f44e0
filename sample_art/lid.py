"""The lid's outside print: the marsh at dusk on top, walls with the feather band and small type."""

from __future__ import annotations

from dataclasses import dataclass

from shapely.geometry import box

from sample_art import band, label, marsh
from sample_art.art import Art, Ink, mirrored
from sample_art.carton import BLEED, LID, Carton, Side
from sample_art.marsh import BRASS, BRASS_LIGHT, CREAM, DEEP, HERON, INKY, NIGHT, RUST, WHITE
from sample_art.photo import marsh_photo

BAND_TOP, BAND_TALL = 4.0, 13.0
"""The feather band on a lid wall, mm below the crease."""
FLAP_ART = 5.0
"""How far the wall's art runs on to a glue flap, mm; the rest stays bare for the glue."""
CUT_INK: Ink = (0.0, 1.0, 0.6, 0.0)
CREASE_INK: Ink = (1.0, 0.0, 0.9, 0.0)


@dataclass(frozen=True)
class Edition:
    """What differs between revision 1 and revision 2 of the lid."""

    seal: Ink
    """Ground of the round decal on the top panel."""
    discs: tuple[Ink, Ink, Ink]
    """Grounds of the three pictograms on the front wall."""
    battery: str
    """The word on the back wall that revision 1 misspells."""


FIRST = Edition(BRASS, (BRASS, BRASS, BRASS), "Rechargable")
SECOND = Edition(RUST, (RUST, BRASS, HERON), "Rechargeable")


def draw_outside(art: Art, edition: Edition) -> None:
    """Draw the lid's printed art, clipped to the outline and its bleed."""
    with art.clip(LID.bleed_outline(BLEED)):
        for side in ("front", "back", "right", "left"):
            _wall(art, LID, side, edition)
        _top(art, edition)


def _wall(art: Art, carton: Carton, side: Side, edition: Edition) -> None:
    """Draw one wall in its upright frame."""
    wall = carton.wall(side)
    reach = FLAP_ART if side in ("front", "back") else BLEED
    u0, u1, deep = -reach, wall.length + reach, carton.depth + BLEED
    with art.frame(wall.origin, wall.right, wall.down):
        with art.clip_box(u0, 0, u1 - u0, deep):
            art.linear((0, 0), (0, deep), [NIGHT, DEEP])
            band.draw(art, carton, wall.start, (u0, u1), BAND_TOP, BAND_TALL)
            art.rule((u0, 57.2), (u1, 57.2), BRASS, 0.18)
        if side == "front":
            _front(art, wall.length, edition)
        elif side == "back":
            _back(art, wall.length, edition)
        elif side == "right":
            _right(art)
        else:
            _left(art, wall.length)


def _front(art: Art, length: float, edition: Edition) -> None:
    """Set the front wall: the name, and what the lamp does in three decals."""
    middle = length / 2
    label.wordmark(art, (middle, 38.5), 33, CREAM)
    art.text((middle, 47.5), "Field Lamp No. 3", "Serif-Italic", 15, BRASS_LIGHT, 0.5, 20)
    art.text((20, 33.5), "Carry it low.", "Serif-Italic", 13, CREAM)
    art.text((20, 39.6), "Let the dark stay dark.", "Serif-Italic", 13, CREAM)
    art.text((20, 46.2), "Warm light at 2200 K, thrown down and never up.", "Sans", 6, CREAM)
    for i, (kind, words) in enumerate((("sun", "11 hours"), ("drop", "rain-safe"), ("moon", "dims to 1 %"))):
        x = 231.5 + i * 23
        label.pictogram(art, (x, 33.6), 7.2, edition.discs[i], NIGHT, kind)
        art.text((x, 46.2), words, "Sans-Bold", 6.4, CREAM, 0.5, 20)


def _back(art: Art, length: float, edition: Edition) -> None:
    """Set the back wall: picture, contents, materials, makers' small type."""
    with art.clip_box(14, 21.5, 72, 33):
        art.picture(marsh_photo(850, 390, 5), (14, 21.5, 72, 33), 84)
    x = 94.0
    y = label.heading(art, (x, 25), "In the box", BRASS_LIGHT, 54)
    items = ["Field lamp in spun brass, 0.4 kg", "Spare glass chimney", "Red-light hood for night eyes"]
    art.lines(
        (x, y + 0.6), [*items, "Charging cable, 1.2 m", "Marsh log with pencil"], "Sans", 7.6, CREAM, 1.32
    )
    x = 158.0
    y = label.heading(art, (x, 25), "Materials", BRASS_LIGHT, 54)
    y = art.lines(
        (x, y + 0.6),
        ["Brass, lacquered with shellac", "Borosilicate glass", "Beech handle, oiled"],
        "Sans",
        7.6,
        CREAM,
        1.32,
    )
    words = [f"{edition.battery} cell, 3.6 V, 3.35 Ah", "Box: folding boxboard, water-based inks"]
    art.lines((x, y), words, "Sans", 7.6, CREAM, 1.32)
    x = 222.0
    y = label.heading(art, (x, 25), "Makers", BRASS_LIGHT, 64)
    words = ["Heronwick Lampworks", "The Old Eel House, Heronwick", "heronwick.example"]
    y = art.lines((x, y + 0.6), words, "Sans", 7.6, CREAM, 1.32)
    small = (
        "Model HW-3. Rated 5 V, 1 A in. Light output 4 to 180 lm, measured at the chimney. Run time at "
        "40 lm and 20 \u00b0C with a new cell. Heronwick is an invented place and this lamp is not for sale: "
        "the box is sample art, drawn to be printed, cut, folded and read."
    )
    art.lines((x, y + 0.8), label.wrapped(small, "Sans", 4.5, 64), "Sans", 4.5, WHITE, 1.28)


def _right(art: Art) -> None:
    """Set the right wall: bar code, lot, warnings; the thumb notch stays clear."""
    label.ean13(art, 13.5, 24.5)
    x = 60.0
    y = label.heading(art, (x, 25), "Lot", BRASS_LIGHT, 34)
    y = art.lines((x, y + 0.6), ["HW3-0326-B", "Best by lamplight"], "Sans", 7.6, CREAM, 1.32)
    art.lines((x, y + 1), ["Art 417-L1", "Board 350 g/m\u00b2", "Print CMYK, 2 lines"], "Sans", 5, WHITE, 1.3)
    x = 128.0
    label.warning_sign(art, (x, 22.6), 5.6, BRASS_LIGHT, NIGHT)
    art.text((x + 8.4, 27.2), "READ BEFORE FIRST LIGHT", "Sans-Bold", 7.2, BRASS_LIGHT, 0, 110)
    words = (
        "Lithium cell inside. Charge only with the cable supplied, indoors, on a surface that cannot "
        "burn. Do not open, crush or heat. Chimney is glass: let it cool, handle it by the rim. Small "
        "parts: keep from children under three. Do not look into the light. Hand in worn cells where "
        "your local rules say."
    )
    art.lines((x, 33), label.wrapped(words, "Sans", 6.2, 78), "Sans", 6.2, WHITE, 1.3)
    art.lines(
        (x, 52.4),
        ["Opening: lift at the thumb notch. Closed box 302 \u00d7 222 \u00d7 82 mm."],
        "Sans",
        4.5,
        WHITE,
    )


def _left(art: Art, length: float) -> None:
    """Set the left wall: the line the lamp is sold by."""
    middle = length / 2
    words = ["The marsh speaks softly.", "Bring a softer light."]
    art.lines((middle, 34), words, "Serif-Italic", 21, CREAM, 1.22, 0.5)
    label.flourish(art, middle, 47.2, 40, BRASS_LIGHT)
    for u, left in ((26.0, False), (length - 26, True)):
        marsh.heron(art, (u, 53.5), 31, BRASS, left)
        marsh.ripple(art, (u, 53.6), 9, 0.5, BRASS_LIGHT, 0.8)
    art.text((middle, 52.8), "heronwick.example", "Sans", 6.6, BRASS_LIGHT, 0.5, 160)


def _top(art: Art, edition: Edition) -> None:
    """Draw the top panel: a night-blue frame round the picture."""
    x, y, w, h = LID.depth, LID.depth, LID.length, LID.width
    art.box(x, y, w, h, NIGHT)
    inset = 10.0
    window = (x + inset, y + inset, w - 2 * inset, h - 2 * inset)
    with art.clip_box(*window):
        _scene(art, *window)
    for gap, weight in ((8.6, 0.4), (7.7, 0.14)):
        edge = [(x + gap, y + gap), (x + w - gap, y + gap)]
        edge += [(x + w - gap, y + h - gap), (x + gap, y + h - gap)]
        art.stroke(art.path(edge), BRASS, weight)
    _titles(art, x, y, w)
    label.decal(art, (x + 251, y + 41), 16, edition.seal, NIGHT, ["LIGHT", "No. 3", "2200 K"])


def _scene(art: Art, x: float, y: float, w: float, h: float) -> None:
    """Paint the marsh: dusk, far trees, water, heron, lamp and reeds."""
    shore = y + h * 0.665
    marsh.sky(art, x, y, w, shore, box(x + 8, y + 14, x + 176, y + 68))
    marsh.water(art, x, shore, w, y + h - shore)
    art.canvas.beginForm("FarShore", x, y, x + w, y + h)
    for rise, ink, seed in (
        (26, (0.3, 0.16, 0.1, 0), 3),
        (16, (0.46, 0.26, 0.16, 0.04), 5),
        (8, (0.6, 0.4, 0.3, 0.2), 8),
    ):
        art.fill(art.path(marsh.treeline(x, w, shore, rise, seed)), ink)
    art.canvas.endForm()
    with art.state():
        art.canvas.setBlendMode("Multiply")
        art.canvas.setFillAlpha(0.9)
        art.canvas.doForm("FarShore")
    for dy, half, alpha in ((0.4, 150, 0.3), (2.6, 110, 0.16), (-3, 120, 0.16)):
        marsh.ripple(art, (x + w * 0.55, shore + dy), half, 3.4, CREAM, alpha)
    marsh.ripple(art, (x + 84, y + 173.5), 24, 4, INKY, 0.55)
    marsh.heron(art, (x + 82, y + 173), 92, INKY)
    foot = y + 171.0
    lamp_x = x + 186
    marsh.glow(art, lamp_x, foot - 26, 125)
    _stump(art, lamp_x, foot, y + h)
    for i in range(9):
        at = (lamp_x + (-1) ** i * (1.5 + i % 3), shore + 2.2 + i * 2.7)
        marsh.ripple(art, at, 22 - i * 1.4, 0.9 + 0.1 * i, BRASS_LIGHT, 0.5 - 0.035 * i)
    marsh.lamp(art, lamp_x, foot, 64)
    marsh.reeds(art, (x - 4, x + 64), y + h + 4, 86, 3)
    marsh.reeds(art, (x + w + 4, x + w - 58), y + h + 4, 98, 14)
    marsh.reeds(art, (x + 150, x + 60), y + h + 4, 24, 23)


def _stump(art: Art, x: float, top: float, foot: float) -> None:
    """Draw the sawn post the lamp stands on, warm where the light falls."""
    body = [(x - 17, top), (x + 17, top), (x + 19, foot), (x - 19, foot)]
    with art.clip(body):
        art.linear((0, top), (0, foot), [(0.3, 0.62, 0.85, 0.5), (0.7, 0.75, 0.7, 0.72), INKY], [0, 0.4, 1])
    for dx, end in ((-12.5, 24), (-8, 12), (-3, 30), (2.4, 16), (7.5, 34), (12.6, 20)):
        art.rule((x + dx, top + 2.5), (x + dx * 1.08, top + end), INKY, 0.35, 0.8)
    art.fill(
        art.spline([(x - 17, top), (x, top - 2.6), (x + 17, top), (x, top + 2.6)]), (0.12, 0.42, 0.7, 0.28)
    )
    art.stroke(art.spline([(x - 12, top), (x, top - 1.7), (x + 12, top), (x, top + 1.7)]), BRASS, 0.2)


def _titles(art: Art, x: float, y: float, w: float) -> None:
    """Set the title block, left-aligned in the sky."""
    left = x + 24
    art.text((left, y + 33), "FOR NATURALISTS WHO STAY OUT LATE", "Sans-Bold", 8.4, BRASS_LIGHT, 0, 190)
    art.text((left - 1.2, y + 57.5), "HERONWICK", "Serif", 64, CREAM, 0, 90)
    art.text((left, y + 71.5), "Field Lamp", "Serif-Italic", 31, BRASS_LIGHT)
    art.text((left + 61, y + 71.5), "brass & glass hand lamp, warm light", "Serif-Italic", 12.5, CREAM)


def draw_structure(art: Art, cut: str, crease: str, flip: bool = False) -> None:
    """Stroke the lid's cuts and creases in two spot colours; `flip` for the inside view."""
    cuts, creases = LID.cuts(), list(LID.creases())
    with art.layer("Cut"):
        art.structure(mirrored(cuts, LID.size[0]) if flip else cuts, cut, CUT_INK)
    with art.layer("Crease"):
        turned = mirrored(creases, LID.size[0]) if flip else creases
        art.structure(turned, crease, CREASE_INK)


def draw_notes(art: Art) -> None:
    """Write the notes to the printer, on the layer that is off."""
    at = (LID.depth + 24, LID.depth + 110)
    words = [
        "Notes to the printer:",
        "varnish free on all four glue flaps;",
        "proof on the production board, please.",
    ]
    art.lines(at, words, "Sans-Bold", 22, (0, 1, 0, 0), 1.3)
