"""What stands on a tile's sheet, and where."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.outlines import colliding_words, covers, outline, rectangle, shared
from tests.sample_plans import ALL_PLANS, facts_for, grid_2x3, mixed_strips, one_tile, seam_pairs
from tiler.geometry import Point, Rect
from tiler.marks.facts import GuideLine, MarkOptions, Show
from tiler.marks.registration import REACH
from tiler.marks.shapes import Artwork, Line, Page, Shape, Words
from tiler.marks.sheet import tile_page
from tiler.pack.ink import text_width
from tiler.plan.tile import Plan, Tile

plans = pytest.mark.parametrize("name", ALL_PLANS)
modes = pytest.mark.parametrize("marks", ["full", "tabs", "none"])


def pages(plan: Plan, marks: Show = "full") -> list[tuple[Tile, Page]]:
    facts, options = facts_for(plan), MarkOptions(marks=marks)
    return [(tile, tile_page(plan, tile, facts, options, text_width)) for tile in plan.tiles]


def own(page: Page) -> list[Shape]:
    return [shape for shape in page.shapes if not isinstance(shape, Artwork)]


def diamonds(page: Page, tile: Tile) -> set[tuple[float, float]]:
    """Middles of the whole registration marks, in plan coordinates."""
    found = set()
    for shape in page.shapes:
        if isinstance(shape, Line) and shape.closed and len(shape.points) == 4:
            x = sum(p.x for p in shape.points) / 4 - tile.to_sheet.x
            y = sum(p.y for p in shape.points) / 4 - tile.to_sheet.y
            found.add((round(x, 6), round(y, 6)))
    return found


@plans
@modes
def test_everything_drawn_stays_in_the_printable_area(name: str, marks: Show) -> None:
    for tile, page in pages(ALL_PLANS[name](), marks):
        printable = rectangle(tile.printable.grown(1e-6))
        for shape in page.shapes:
            assert covers(printable, outline(shape, halo=False)), (tile.label, shape)


@plans
@pytest.mark.parametrize("marks", ["tabs", "none"])
def test_a_face_stays_clean_without_its_own_marks(name: str, marks: Show) -> None:
    for tile, page in pages(ALL_PLANS[name](), marks):
        face = rectangle(tile.on_sheet(tile.face))
        for shape in own(page):
            assert shared(outline(shape), face) < 1e-6, (tile.label, shape)


@plans
def test_on_a_face_stand_only_halves_of_registration_marks(name: str) -> None:
    for tile, page in pages(ALL_PLANS[name](), "full"):
        face = rectangle(tile.on_sheet(tile.face))
        spots = [Point(*spot).shifted(*tile.to_sheet) for spot in diamonds(page, tile)]
        near = [rectangle(Rect(*spot, 0, 0).grown(REACH + 0.5)) for spot in spots]
        for shape in own(page):
            if shared(outline(shape), face) > 1e-6:
                assert isinstance(shape, Line)
                assert any(covers(room, outline(shape)) for room in near), (tile.label, shape)


@plans
def test_both_tiles_of_a_seam_carry_its_marks_at_the_same_place_of_the_flat(name: str) -> None:
    plan = ALL_PLANS[name]()
    by_label = {tile.label: diamonds(page, tile) for tile, page in pages(plan)}
    for seam, lower, upper in seam_pairs(plan):
        line = rectangle(Rect.between(*seam.start, *seam.end).grown(1e-3))
        ours, theirs = (
            {spot for spot in by_label[label] if covers(line, rectangle(Rect(*spot, 0, 0)))}
            for label in (lower.label, upper.label)
        )
        assert ours == theirs
        assert len(ours) >= 2
        along = sorted(y if seam.is_upright else x for x, y in ours)
        assert along[-1] - along[0] > 0.5 * seam.length


@plans
def test_no_mark_is_drawn_when_none_is_wanted(name: str) -> None:
    for tile, page in pages(ALL_PLANS[name](), "none"):
        assert not diamonds(page, tile)


@plans
@modes
def test_no_two_texts_are_written_over_each_other(name: str, marks: Show) -> None:
    for _, page in pages(ALL_PLANS[name](), marks):
        assert colliding_words(page.shapes) == []


@plans
def test_every_sheet_has_a_bar_each_way_and_its_label(name: str) -> None:
    for tile, page in pages(ALL_PLANS[name]()):
        words = [shape for shape in page.shapes if isinstance(shape, Words)]
        bars = [word for word in words if word.text in ("100 mm", "50 mm")]
        assert sorted(word.turn for word in bars) == [-90, 0]
        assert any(word.text == tile.label and word.size == 22 for word in words)


@plans
def test_every_tab_says_which_tile_goes_there(name: str) -> None:
    plan = ALL_PLANS[name]()
    by_label = {tile.label: page for tile, page in pages(plan)}
    for seam, lower, upper in seam_pairs(plan):
        texts = [shape.text for shape in by_label[lower.label].shapes if isinstance(shape, Words)]
        assert f"{upper.label} goes here" in texts or upper.label in texts, seam


def test_a_large_sheet_carries_100_mm_bars() -> None:
    for _, page in pages(grid_2x3()):
        texts = [shape.text for shape in page.shapes if isinstance(shape, Words)]
        assert texts.count("100 mm") == 2


def test_the_label_block_names_sheet_file_revision_and_scale() -> None:
    (_, page), *_ = pages(grid_2x3())
    text = " ".join(shape.text for shape in page.shapes if isinstance(shape, Words))
    for part in ("sheet 1 of 6", "heronwick-lid.pdf", "7c1f03ab", "true size"):
        assert part in text


def test_artwork_is_scaled_and_clipped_to_the_window() -> None:
    plan = grid_2x3()
    facts = facts_for(plan, scale=0.5)
    tile = plan.tile("B2")
    art = tile_page(plan, tile, facts, MarkOptions(lighten=0.3), text_width).shapes[0]
    assert isinstance(art, Artwork)
    assert art.clip == tile.on_sheet(tile.window)
    assert art.flat.width == pytest.approx(2 * plan.flat.width)
    assert art.lighten == 0.3
    middle = tile.face.centre
    assert art.to_sheet.apply(2 * middle.x, 2 * middle.y) == pytest.approx(middle.shifted(*tile.to_sheet))


def test_a_page_is_exactly_the_sheet_as_it_lies() -> None:
    for tile, page in pages(mixed_strips()):
        assert page.size == tile.sheet
        assert page.label == tile.label


def test_crease_guides_keep_their_own_switch() -> None:
    plan = one_tile()
    facts = replace(facts_for(plan), guides=(GuideLine(Point(20, 30), Point(120, 30)),))
    tile = plan.tiles[0]
    counts = {}
    for mode in ("full", "ticks", "none"):
        options = MarkOptions(guides=mode)
        lines = [s for s in tile_page(plan, tile, facts, options, text_width).shapes if isinstance(s, Line)]
        on_face = rectangle(tile.on_sheet(tile.face))
        counts[mode] = sum(1 for line in lines if shared(outline(line), on_face) > 1e-6)
    assert counts == {"full": 3, "ticks": 2, "none": 0}


@plans
def test_bars_and_words_stand_clear_of_crease_ticks(name: str) -> None:
    """A crease that ends at the edge of the flat has its tick where labels like to stand."""
    plan = ALL_PLANS[name]()
    guides = tuple(GuideLine(Point(x, 0), Point(x, plan.flat.height)) for x in (15.0, 25.0, 60.0))
    facts = replace(facts_for(plan), guides=guides)
    for tile in plan.tiles:
        shapes = tile_page(plan, tile, facts, MarkOptions(guides="ticks"), text_width).shapes
        ticks = [
            outline(s)
            for s in shapes
            if isinstance(s, Line) and s.halo and len(s.points) == 2 and s.width > 0.15
            and any(abs(s.points[0].x - tile.to_sheet.x - g.start.x) < 1e-6 for g in guides)
        ]  # fmt: skip
        words = [outline(s, halo=False) for s in shapes if isinstance(s, Words)]
        assert not [word for word in words for tick in ticks if shared(word, tick)]


def test_a_label_with_a_tail_still_keeps_to_the_printable_area() -> None:
    plan = ALL_PLANS["filled to the last tenth"]()
    tile = replace(plan.tile("A2"), label="Q12")
    seams = tuple(
        replace(
            s,
            upper="Q12" if s.upper == "A2" else s.upper,
            lower="Q12" if s.lower == "A2" else s.lower,
        )
        for s in plan.seams
    )
    tiles = tuple(tile if t.label == "A2" else t for t in plan.tiles)
    plan = replace(plan, tiles=tiles, seams=seams)
    page = tile_page(plan, tile, facts_for(plan), MarkOptions(), text_width)
    (label,) = (s for s in page.shapes if isinstance(s, Words) and s.text == "Q12")
    assert covers(rectangle(tile.printable), outline(label))
