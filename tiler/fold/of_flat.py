"""Fold a loaded flat, with what needs its pixels: prints for views, verdicts on its corners, corner pages."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tiler.fold.box import FoldedBox, fold_flat
from tiler.fold.camera import CORNERS, Corner
from tiler.fold.choices import DEFAULTS, FoldChoices
from tiler.fold.sampling import sampled
from tiler.fold.scene import scene_of
from tiler.fold.verdict import Verdict, judge
from tiler.fold.view import Texture, Textures
from tiler.geometry import Rect
from tiler.load import Loaded

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Iterable

    from tiler.flat.layers import Key
    from tiler.flat.read import Flat
    from tiler.fold.meetings import Meeting
    from tiler.geometry import Margins
    from tiler.marks.facts import Facts
    from tiler.marks.shapes import Page
    from tiler.plan.sheet import Sheet

_FINE = 1.2
"""Pixels of a print for each pixel of the view that it falls on at its largest."""
_MOST = 12.0
"""Pixels for each mm of a print, at most."""

LINES_SHOWN = (
    "The file draws its cuts and creases in spot colours without layers of their own, so they are in the "
    "strips too; colours are measured without them."
)
"""What is said where a strip holds the flat's own lines."""


def fold_loaded(loaded: Loaded, choices: FoldChoices = DEFAULTS) -> FoldedBox:
    """Fold a flat with what was found on it.

    Raises:
        StructureError: It has no panels.
        UsageError: A named panel or crease does not exist.
    """
    return fold_flat(loaded.structure, loaded.texts, choices)


def textures_of(loaded: Loaded, inside: Flat | None, size: tuple[int, int]) -> Textures:
    """The prints of a box, rendered for views of a size.

    Args:
        loaded: The outside.
        inside: The inside print; None without one.
        size: Width and height of the views, pixels.
    """
    outside = _texture(loaded.flat, loaded.structure_layers, line_spots(loaded), size)
    if inside is None:
        return Textures(outside)
    return Textures(outside, _texture(inside, (), (), size))


def line_spots(loaded: Loaded) -> frozenset[str]:
    """Names of the spot colours that draw cuts and creases."""
    candidates = loaded.structure.candidates
    return frozenset(
        one.name for one in candidates if one.source == "spot colour" and one.kind is not None and one.count
    )


def _texture(flat: Flat, hidden: Collection[Key], spots: Collection[str], size: tuple[int, int]) -> Texture:
    """One print, without the structure lines where they have layers or spot colours of their own."""
    from tiler.flat.raster import Preview

    scale = min(_MOST, _FINE * max(size) / max(flat.size))
    picture = Preview(flat, hidden, spots).render(Rect(0, 0, *flat.size), scale)
    return Texture(picture, picture.width / flat.size.width)


def verdicts_of(
    loaded: Loaded,
    box: FoldedBox,
    wanted: Iterable[Meeting] | None = None,
    is_off: Callable[[], bool] = lambda: False,
) -> dict[str, Verdict]:
    """Look at the art along meetings.

    Args:
        loaded: The flat.
        box: It, folded.
        wanted: The meetings to look at; None looks at all.
        is_off: True when the work is no longer wanted; what has been seen by then is returned.

    Raises:
        FlatError: The flat cannot be drawn.
    """
    from tiler.flat.raster import Preview

    hidden = loaded.structure_layers
    painter = Preview(loaded.flat, hidden, line_spots(loaded))
    found: dict[str, Verdict] = {}
    with painter.kept_open():
        for meeting in box.meetings if wanted is None else wanted:
            if is_off():
                break
            found[meeting.id] = judge(sampled(meeting, painter, bool(hidden)))
    return found


def corner_pages_of(
    loaded: Loaded,
    box: FoldedBox,
    facts: Facts,
    sheet: Sheet,
    margins: Margins,
    verdicts: dict[str, Verdict] | None = None,
    creases: bool = False,
    corner: Corner = CORNERS["front-right"],
) -> tuple[Page, ...]:
    """The corner pages of a job; none when no art meets anywhere.

    Args:
        loaded: The flat.
        box: It, folded.
        facts: About the job.
        sheet: Its paper.
        margins: Unprintable edges of the upright sheet, mm.
        verdicts: What ``verdicts_of`` gave; None looks now.
        creases: True adds a strip for every crease.
        corner: From where the box is shown.

    Raises:
        PackError: The sheet is too small.
        FlatError: The flat cannot be drawn.
    """
    from tiler.fold.strips import crease_strips, meeting_strips, picture_of
    from tiler.pack.corners_page import corner_pages
    from tiler.pack.ink import text_width

    if verdicts is None:
        verdicts = verdicts_of(loaded, box)
    strips = (*meeting_strips(box, verdicts), *(crease_strips(box) if creases else ()))
    picture = picture_of(scene_of(box, corner), loaded.flat.size.width)
    note = LINES_SHOWN if line_spots(loaded) and not loaded.structure_layers else ""
    return corner_pages(strips, facts, sheet, margins, text_width, picture, note)
