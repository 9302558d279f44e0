"""What map, assembly and the backs of both say of an inside print."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.outlines import colliding_words, covers, outline, rectangle
from tests.sample_plans import ALL_PLANS, facts_for, grid_2x3, mixed_strips, one_tile
from tiler.marks.back import to_back
from tiler.marks.facts import Facts, Flip, InsidePrint
from tiler.marks.shapes import Line, Page, Words
from tiler.pack.assembly_steps import steps
from tiler.pack.back_covers import map_back, plain_back
from tiler.pack.ink import text_width
from tiler.pack.inside_notes import tab_trim_groups
from tiler.pack.map_page import bar_length, map_pages, set_square
from tiler.plan.tile import Plan

plans = pytest.mark.parametrize("name", ALL_PLANS)
flips = pytest.mark.parametrize("flip", ["long", "short"])


def with_inside(plan: Plan, flip: Flip = "long") -> Facts:
    facts = facts_for(plan)
    return replace(facts, inside=InsidePrint("heronwick-lid.pdf, page 2", facts.flat, flip))


def words_on(*pages: Page) -> str:
    return " ".join(shape.text for page in pages for shape in page.shapes if isinstance(shape, Words))


def test_the_map_says_that_the_backs_carry_the_inside_print_and_how_to_test_one_sheet() -> None:
    said = words_on(*map_pages(grid_2x3(), with_inside(grid_2x3(), "short"), text_width))
    assert "heronwick-lid.pdf, page 2, on the backs" in said
    assert "turned over the short edge" in said
    assert "tile sheet to the light before" in said
    assert "to the light" not in words_on(*map_pages(grid_2x3(), facts_for(grid_2x3()), text_width))


@plans
def test_a_map_with_an_inside_print_keeps_the_rules_of_the_page(name: str) -> None:
    plan = ALL_PLANS[name]()
    for page in map_pages(plan, with_inside(plan), text_width):
        printable = rectangle(plan.sheet.printable(plan.margins, page.size.width > page.size.height))
        for shape in page.shapes:
            assert covers(printable.buffer(1e-6), outline(shape, halo=False)), shape
        assert not colliding_words(page.shapes)


@plans
@flips
def test_the_back_of_the_map_repeats_its_bars_exactly_behind_them(name: str, flip: Flip) -> None:
    plan = ALL_PLANS[name]()
    facts = with_inside(plan, flip)
    assert facts.inside is not None
    front = map_pages(plan, facts, text_width)[0]
    back = map_back(front, plan, facts.inside, text_width)
    behind = to_back(front.size, flip)
    paper = plan.sheet.printable(plan.margins, front.size.width > front.size.height)
    bars = [s for s in set_square(paper, bar_length(plan), text_width) if isinstance(s, Line)]
    on_front = {shape.points for shape in front.shapes if isinstance(shape, Line)}
    assert all(bar.points in on_front for bar in bars)
    mirrored = {tuple(behind.apply(*point) for point in bar.points) for bar in bars}
    drawn = {shape.points for shape in back.shapes if isinstance(shape, Line) and shape.width < 0.2}
    assert mirrored <= drawn
    assert back.size == front.size
    assert back.label == "Map back"


@plans
@flips
def test_the_backs_of_map_and_assembly_have_room_for_their_words(name: str, flip: Flip) -> None:
    plan = ALL_PLANS[name]()
    facts = with_inside(plan, flip)
    assert facts.inside is not None
    for index, front in enumerate(map_pages(plan, facts, text_width)):
        back = (plain_back if index else map_back)(front, plan, facts.inside, text_width)
        page = rectangle(plan.sheet.printable(plan.margins, front.size.width > front.size.height).grown(0.2))
        words = [shape for shape in back.shapes if isinstance(shape, Words)]
        assert words
        for word in words:
            assert covers(page, outline(word)), word
            bars = [s for s in back.shapes if isinstance(s, Line) and s.width < 0.12]
            assert not any(outline(bar).intersects(outline(word).buffer(-0.05)) for bar in bars), word


def test_the_steps_trim_every_tab_and_print_on_both_sides() -> None:
    plan = grid_2x3()
    told = steps(plan, with_inside(plan))
    assert "on both sides, turned over the long edge" in told[0].text
    trims = next(step for step in told if step.title == "Trim the tabs")
    assert "tape would be seen" in trims.text
    assert set(trims.ticks) == {
        "Trim the outer edge of the right tab of B1 and B2",
        "Trim the outer edge of the bottom tab of A3",
        "Trim the outer edges of the right and bottom tabs of A1 and A2",
    }
    assert not any("keep their paper" in step.text for step in told)
    assert any("keep their paper" in step.text for step in steps(plan, facts_for(plan)))


@plans
def test_every_tile_with_a_tab_is_named_once_for_trimming_it(name: str) -> None:
    plan = ALL_PLANS[name]()
    named = [label for _, labels in tab_trim_groups(plan) for label in labels]
    assert sorted(named) == sorted(tile.label for tile in plan.tiles if tile.right or tile.below)


def test_mixed_sheets_are_tested_both_ways_and_a_single_sheet_needs_no_trimming() -> None:
    assert "one portrait and one landscape" in steps(mixed_strips(), with_inside(mixed_strips()))[0].text
    assert not any(step.title == "Trim the tabs" for step in steps(one_tile(), with_inside(one_tile())))
