"""Make the sample art: `python -m sample_art.make_samples` from the project's root.

Needs reportlab, pypdf, Pillow, numpy and shapely, and two font packages that are not needed for
anything else: `pip install font-source-serif-pro font-source-sans-pro` (SIL Open Font License).
Every run writes the same bytes.
"""

from __future__ import annotations

import sys
from pathlib import Path

from reportlab import rl_config

from sample_art import band, label, lid, lid_inside, tray
from sample_art.art import Art, register_faces
from sample_art.carton import BLEED, LID, TRAY
from sample_art.finish import Boxes, Layer, finish
from sample_art.sleeve import make_sleeve

HERE = Path(__file__).parent
MARGIN = 15.0
"""Paper round every trim box, mm."""
LID_LAYERS = [
    Layer("Art", "Artwork"),
    Layer("Cut", "Knife", "Cutting"),
    Layer("Crease", "Rule", "Creasing"),
    Layer("Notes", "Notes to printer", on=False),
]
LID_BOXES = Boxes(*LID.size, margin=MARGIN, bleed=BLEED)


def make_lid(edition: lid.Edition) -> bytes:
    """Return the lid's flat: outside on page 1, inside on page 2."""
    art = Art(*LID.size, margin=MARGIN)
    with art.layer("Art"):
        lid.draw_outside(art, edition)
        label.slug(art, "lid", "outside")
    lid.draw_structure(art, "Cut", "Crease")
    with art.layer("Notes"):
        lid.draw_notes(art)
    art.next_page()
    with art.layer("Art"):
        lid_inside.draw_inside(art)
        label.slug(art, "lid", "inside")
    lid.draw_structure(art, "Cut", "Crease", flip=True)
    return finish(art.save(), LID_BOXES, LID_LAYERS, "Heronwick field lamp, lid")


def make_lid_lines() -> bytes:
    """Return the lid's structure alone, outside view, no layers."""
    art = Art(*LID.size, margin=MARGIN)
    art.structure(LID.cuts(), "Cut", lid.CUT_INK)
    art.structure(list(LID.creases()), "Crease", lid.CREASE_INK)
    return finish(art.save(), LID_BOXES, [], "Heronwick field lamp, lid, structure")


def make_tray() -> bytes:
    """Return the tray's flat; the origin of its user space is the trim box's corner."""
    art = Art(*TRAY.size, margin=MARGIN, at_trim=True)
    tray.draw_outside(art)
    label.slug(art, "tray", "outside")
    tray.draw_structure(art)
    boxes = Boxes(*TRAY.size, margin=MARGIN, bleed=BLEED, at_trim=True)
    return finish(art.save(), boxes, [], "Heronwick field lamp, tray")


def main() -> int:
    """Write every sample file beside this module."""
    rl_config.useA85 = 0
    register_faces()
    assert band.corners_meet(LID)
    assert band.corners_meet(TRAY)
    assert label.check_digit(label.EAN) == label.EAN[12]
    files = {
        "lid.pdf": make_lid(lid.FIRST),
        "lid_rev2.pdf": make_lid(lid.SECOND),
        "lid_lines.pdf": make_lid_lines(),
        "tray.pdf": make_tray(),
        "sleeve.jpg": make_sleeve(),
    }
    for name, data in files.items():
        (HERE / name).write_bytes(data)
        print(f"{name}: {len(data) / 1e6:.2f} MB", file=sys.stderr)
    return 0


if __name__ == "__main__":
    sys.exit(main())
