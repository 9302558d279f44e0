"""The folded box and the list of check points among the notes of the map page."""

from __future__ import annotations

from tiler.marks.box_picture import BoxPicture
from tiler.marks.facts import CheckSpot, Facts, FoldFacts
from tiler.marks.names import size_words
from tiler.marks.style import NEAR
from tiler.pack.corners_view import draw_box
from tiler.pack.layout import Block, Column
from tiler.plan.tile import Plan

HEIGHTS = ((4.0, 0.96), (3.0, 0.93))
"""Heights that the picture of the box has at least, in mm for each pt of type (less where its width allows no
more), and the share of the map's size that must be left beside it."""
TALLEST = 8.0
"""Height that it has at most, in mm for each pt of type."""
MOST_POINTS = 40
"""So many check points are listed on the map, more only where they are ticked."""


def fold_block(facts: Facts, fold: FoldFacts, picture: BoxPicture, height: float) -> Block:
    """The folded box with its size beneath.

    Args:
        facts: About the job.
        fold: About its box.
        picture: The box.
        height: Of the picture at most, mm.
    """

    def block(column: Column) -> None:
        column.heading("Folded")
        inside = facts.inside.size if facts.inside is not None else None
        tall = min(height, natural_height(picture, column.width - 2 * NEAR))
        column.picture(lambda place: draw_box(picture, place, facts.flat, column.measure, inside), tall)
        column.paragraph(size_words(*fold.size))

    return block


def natural_height(picture: BoxPicture, width: float) -> float:
    """Height of the picture when it is as wide as its place, or at its own size, mm."""
    return picture.extent.height * min(1.0, width / picture.extent.width)


def points_block(plan: Plan, facts: Facts) -> Block:
    """The check points with their tiles, run on; the assembly page has them to tick."""
    entries = [point_words(plan, spot) for spot in facts.check_points]
    text = "; ".join(entries[:MOST_POINTS])
    if len(entries) > MOST_POINTS:
        text += f"; and {len(entries) - MOST_POINTS} more"

    def block(column: Column) -> None:
        column.heading("Check points")
        column.paragraph(text)

    return block


def point_words(plan: Plan, spot: CheckSpot) -> str:
    """Letter, name and tile of a check point."""
    tile = next((tile.label for tile in plan.tiles if tile.face.contains(spot.at)), None)
    return f"({spot.sign}) {spot.name}, {tile or 'on no sheet'}"
