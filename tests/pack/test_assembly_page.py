"""The assembly pages."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise

import pytest

from tests.outlines import colliding_words, covers, outline, rectangle
from tests.sample_plans import (
    ALL_PLANS,
    columns,
    facts_for,
    grid_2x3,
    many_tiles,
    mixed_strips,
    one_tile,
    strips_plan,
)
from tiler.geometry import Point
from tiler.marks.facts import GuideLine
from tiler.marks.names import listed
from tiler.marks.shapes import Words
from tiler.pack.assembly_page import assembly_pages
from tiler.pack.assembly_steps import Step, diagonals, steps, trim_groups
from tiler.pack.ink import text_width
from tiler.plan.tile import Plan

PLANS: dict[str, Callable[[], Plan]] = {
    **ALL_PLANS,
    "120 tiles": many_tiles,
    "one to eight": lambda: strips_plan([240.0] * 4, [[110.0]] * 4),
    "eight to one": lambda: strips_plan([110.0], [[150.0] * 5 + [130.0]]),
}
plans = pytest.mark.parametrize("name", PLANS)


def said(step: Step) -> str:
    return " ".join((step.title, step.text, *step.ticks, step.caution))


def everything(plan: Plan) -> str:
    return "\n".join(said(step) for step in steps(plan, facts_for(plan)))


@plans
def test_pages_stay_in_the_printable_area_of_the_jobs_own_sheet(name: str) -> None:
    plan = PLANS[name]()
    printable = rectangle(plan.sheet.printable(plan.margins, False).grown(1e-6))
    for page in assembly_pages(plan, facts_for(plan), text_width):
        assert page.size == plan.sheet.oriented(False)
        for shape in page.shapes:
            assert covers(printable, outline(shape, halo=False)), shape


@plans
def test_no_two_texts_are_written_over_each_other(name: str) -> None:
    plan = PLANS[name]()
    for page in assembly_pages(plan, facts_for(plan), text_width):
        assert colliding_words(page.shapes) == []


@plans
def test_every_step_is_printed_with_its_number_in_order(name: str) -> None:
    plan = PLANS[name]()
    pages = assembly_pages(plan, facts_for(plan), text_width)
    words = [s for page in pages for s in page.shapes if isinstance(s, Words)]
    titles = [step.title for step in steps(plan, facts_for(plan))]
    assert [w.text for w in words if w.text in titles and w.bold] == titles
    numbers = [int(w.text) for w in words if w.bold and w.text.isdigit()]
    assert numbers == list(range(1, len(titles) + 1))


@plans
def test_every_seam_is_trimmed_exactly_once(name: str) -> None:
    plan = PLANS[name]()
    edges = {"left edge": "L", "top edge": "T", "left and top edges": "LT"}
    trimmed = {label: edges[edge] for edge, labels in trim_groups(plan) for label in labels}
    expected = {
        tile.label: ("L" if tile.left else "") + ("T" if tile.above else "")
        for tile in plan.tiles
        if tile.left or tile.above
    }
    assert trimmed == expected


@plans
def test_every_joint_within_a_strip_is_told_once(name: str) -> None:
    plan = PLANS[name]()
    text = everything(plan)
    for strip in plan.strips:
        for lower, upper in pairwise(strip):
            assert len(re.findall(rf"\b{upper.label} over the tab of {lower.label}\b", text)) == 1


def test_strips_of_rows_are_joined_left_to_right_and_then_top_to_bottom() -> None:
    titles = [step.title for step in steps(grid_2x3(), facts_for(grid_2x3()))]
    assert "Join strip A, left to right" in titles
    assert titles.index("Join strip B, left to right") < titles.index("Join the strips, top to bottom")
    assert "Strip B over the bottom tabs of strip A" in everything(grid_2x3())


def test_strips_of_columns_change_the_words() -> None:
    titles = [step.title for step in steps(columns(), facts_for(columns()))]
    assert "Join strip 1, top to bottom" in titles
    assert "Join the strips, left to right" in titles
    assert "Strip 2 over the right tabs of strip 1" in everything(columns())


def test_a_strip_of_one_sheet_needs_no_joining_of_its_own() -> None:
    plan = mixed_strips()
    assert "Join strip A" not in everything(plan)
    assert "Portrait and landscape pages are meant to mix" in everything(plan)


def test_one_sheet_is_only_printed_measured_cut_and_folded() -> None:
    titles = [step.title for step in steps(one_tile(), facts_for(one_tile()))]
    assert titles == ["Print at true size", "Measure before cutting", "Cut out", "Score and fold"]
    assert "safety straightedge" in everything(one_tile())


def test_measuring_comes_before_any_blade() -> None:
    for make in PLANS.values():
        titles = [step.title for step in steps(make(), facts_for(make()))]
        blades = [titles.index(t) for t in ("Trim", "Snip", "Cut out") if t in titles]
        assert titles.index("Measure before cutting") < min(blades)


def test_the_diagonals_of_a_full_grid_are_those_of_the_flat() -> None:
    plan = grid_2x3()
    for _, length in diagonals(plan):
        assert length == pytest.approx(math.hypot(506, 426))
    assert "661.4 mm" in everything(plan)


def test_diagonals_of_a_cross_run_between_corners_that_exist() -> None:
    plan = mixed_strips()
    corners = {corner for tile in plan.tiles for corner in tile.face.corners}
    a1, c2 = plan.tile("A1").face, plan.tile("C2").face
    words, length = diagonals(plan)[0]
    assert words == "top left corner of A1 to bottom right corner of C2"
    assert length == pytest.approx(math.hypot(c2.right - a1.x, c2.bottom - a1.y))
    assert Point(a1.x, a1.y) in corners


def test_instructions_speak_only_of_marks_that_are_printed() -> None:
    plan = grid_2x3()
    facts = replace(facts_for(plan), marks="none")
    assert "registration" not in " ".join(said(step) for step in steps(plan, facts))
    assert "registration" in everything(plan)


def test_folding_follows_the_crease_guides_where_there_are_some() -> None:
    plan = one_tile()
    creased = replace(facts_for(plan), guides=(GuideLine(Point(0, 50), Point(100, 50)),))
    assert "every crease guide" in said(steps(plan, creased)[-1])
    assert "every crease guide" not in said(steps(plan, facts_for(plan))[-1])


def test_many_tiles_take_several_pages_each_with_its_own_name() -> None:
    plan = many_tiles()
    labels = [page.label for page in assembly_pages(plan, facts_for(plan), text_width)]
    assert labels[:2] == ["Assembly", "Assembly 2"]
    assert len(set(labels)) == len(labels) < 8


@pytest.mark.parametrize(
    ("labels", "words"), [(["A1"], "A1"), (["A1", "A2"], "A1 and A2"), (["A1", "A2", "B1"], "A1, A2 and B1")]
)
def test_labels_are_listed_as_in_prose(labels: list[str], words: str) -> None:
    assert listed(labels) == words
