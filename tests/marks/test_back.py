"""The back of a tile: where inside art lies, what else may stand there, and what the front then says."""

from __future__ import annotations

import pytest
import shapely

from tests.outlines import colliding_words, covers, outline, rectangle, shared
from tests.sample_plans import ALL_PLANS, facts_for
from tiler.geometry import Affine, Point, Rect, Size
from tiler.marks.back import (
    BLEED,
    back_page,
    back_window,
    falling_away,
    inside_to_flat,
    moved,
    to_back,
    turns_sideways,
)
from tiler.marks.back_trims import WORDS, tab_trims, with_tab_trims
from tiler.marks.facts import Flip, InsidePrint, MarkOptions
from tiler.marks.shapes import Artwork, Page, Words
from tiler.marks.sheet import tile_page
from tiler.marks.style import FINE
from tiler.pack.ink import text_width
from tiler.plan.tile import Plan, Tile

plans = pytest.mark.parametrize("name", ALL_PLANS)
flips = pytest.mark.parametrize("flip", ["long", "short"])
UPRIGHT, LYING = Size(210, 297), Size(297, 210)


def backs(plan: Plan, flip: Flip, scale: float = 1.0) -> list[tuple[Tile, Page]]:
    facts = facts_for(plan, scale)
    inside = InsidePrint("heronwick-lid.pdf, page 2", facts.flat, flip)
    return [(tile, back_page(tile, facts, inside, 0.0, text_width)) for tile in plan.tiles]


@pytest.mark.parametrize(
    ("page", "flip", "behind"),
    [
        (UPRIGHT, "long", Point(200, 20)),
        (UPRIGHT, "short", Point(10, 277)),
        (LYING, "long", Point(10, 190)),
        (LYING, "short", Point(287, 20)),
    ],
)
def test_a_sheet_turns_about_the_edge_that_is_meant(page: Size, flip: Flip, behind: Point) -> None:
    # RFC 8011, 5.2.8: two-sided-long-edge is imposed as for binding on the long edge of the medium, so a
    # portrait page turns like the leaf of a book and a landscape page like that of a wall calendar.
    assert to_back(page, flip).apply(10, 20) == behind
    assert turns_sideways(page, flip) == (behind.y == 20)


@plans
@flips
@pytest.mark.parametrize("scale", [1.0, 0.5])
def test_every_point_of_the_inside_art_lies_behind_the_same_point_of_the_flat(
    name: str, flip: Flip, scale: float
) -> None:
    plan = ALL_PLANS[name]()
    for tile, page in backs(plan, flip, scale):
        art = page.shapes[0]
        assert isinstance(art, Artwork)
        for x, y in ((0.0, 0.0), (17.0, 3.0), (40.0, 99.0)):
            front = Point(x * scale, y * scale).shifted(*tile.to_sheet)
            # Drawn as seen from the inside: left and right of the flat are exchanged (sample_art/README.md).
            behind = art.to_sheet.apply(art.flat.width - x, y)
            assert behind == pytest.approx(to_back(page.size, flip).apply(*front), abs=1e-9)


@plans
@flips
def test_the_art_on_the_back_is_turned_at_most_and_never_mirrored(name: str, flip: Flip) -> None:
    for _, page in backs(ALL_PLANS[name](), flip):
        art = page.shapes[0]
        assert isinstance(art, Artwork)
        a, b, c, d, _, _ = art.to_sheet
        assert (a, b, c, d) in ((1, 0, 0, 1), (-1, 0, 0, -1))


def test_a_slightly_smaller_inside_is_laid_middle_on_middle() -> None:
    placed = inside_to_flat(Size(100, 80), Size(99.6, 79.8))
    assert placed.apply(49.8, 39.9) == pytest.approx((50, 40))


@plans
@flips
def test_art_covers_all_that_is_seen_from_behind_and_a_bleed_beyond_the_tabs(name: str, flip: Flip) -> None:
    plan = ALL_PLANS[name]()
    for tile, page in backs(plan, flip):
        art = page.shapes[0]
        assert isinstance(art, Artwork)
        shown = moved(art.clip, to_back(page.size, flip))
        kept = Rect.between(tile.face.x, tile.face.y, tile.window.right, tile.window.bottom)
        assert shown.holds(tile.on_sheet(kept))
        right, below = tile.on_sheet(tile.window).right, tile.on_sheet(tile.window).bottom
        assert shown.right == pytest.approx(right + (BLEED if tile.right else 0))
        assert shown.bottom == pytest.approx(below + (BLEED if tile.below else 0))


@plans
@flips
def test_nothing_but_art_stands_where_the_mock_is_seen_from_inside(name: str, flip: Flip) -> None:
    labels = 0
    for tile, page in backs(ALL_PLANS[name](), flip):
        parts = [moved(room, to_back(page.size, flip)) for room in falling_away(tile) if not room.is_empty]
        falls = shapely.union_all([rectangle(part) for part in parts])
        for shape in page.shapes[1:]:
            assert isinstance(shape, Words)
            assert shape.text == f"{tile.label} back"
            assert covers(falls.buffer(1e-6), outline(shape, halo=False))
            labels += 1
        kept = Rect.between(tile.face.x, tile.face.y, tile.window.right, tile.window.bottom)
        seen = rectangle(moved(tile.on_sheet(kept), to_back(page.size, flip)))
        assert all(shared(outline(shape), seen) < 1e-6 for shape in page.shapes[1:])
    assert labels > 0


@plans
def test_the_front_marks_the_outer_edge_of_each_tab_for_trimming(name: str) -> None:
    for tile in ALL_PLANS[name]().tiles:
        lines, window = tab_trims(tile), tile.on_sheet(tile.window)
        assert len(lines) == bool(tile.right) + bool(tile.below)
        for line in lines:
            strip = outline(line)
            assert shared(strip, rectangle(window)) < 1e-9
            assert strip.distance(rectangle(window)) < 1e-9
            assert covers(rectangle(back_window(tile)).buffer(1e-9), strip)


@plans
def test_the_words_at_the_tabs_edges_stand_on_the_tabs_and_collide_with_nothing(name: str) -> None:
    plan = ALL_PLANS[name]()
    facts = facts_for(plan)
    said = 0
    for tile in plan.tiles:
        plain = tile_page(plan, tile, facts, MarkOptions(), text_width)
        page = with_tab_trims(plain, tile, text_width)
        before = colliding_words(plain.shapes)
        assert colliding_words(page.shapes) == before
        words = [shape for shape in page.shapes if isinstance(shape, Words) and shape.text in WORDS]
        said += len(words)
        face, window = rectangle(tile.on_sheet(tile.face)), rectangle(tile.on_sheet(tile.window))
        for shape in words:
            assert covers(window, outline(shape))
            assert shared(outline(shape), face) < 1e-9
    assert said or name in ("one tile", "narrow tabs")


def test_a_bleed_is_wider_than_the_line_beside_it() -> None:
    assert BLEED > FINE
    assert Affine(1, 0, 0, 1, 0, 0) == to_back(UPRIGHT, "long").then(to_back(UPRIGHT, "long"))
