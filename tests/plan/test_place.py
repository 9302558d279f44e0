"""Seams go where they harm least: against trying every place, and in words."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tiler.errors import PlanError
from tiler.geometry import Margins, Rect, Size
from tiler.plan.chain import Fees, Rule
from tiler.plan.make import make_plan
from tiler.plan.penalties import EVEN, Hazards
from tiler.plan.place import Task, place
from tiler.plan.region import Region
from tiler.plan.request import Avoid, Forbidden, Nudge, Pin, PlanRequest
from tiler.plan.settle import settle
from tiler.plan.sheet import Sheet
from tiler.plan.space import Space
from tiler.plan.sweep import View, sweep
from tiler.plan.tile import Plan

A4 = Sheet("iso_a4_210x297mm", Size(210, 297))
FIVE = Margins(5, 5, 5, 5)


def text(x: float, y: float, width: float, height: float, name: str = "HERONWICK") -> Avoid:
    return Avoid("text", Rect(x, y, width, height), name)


def plan_of(size: Size, *avoid: Avoid, **choices: object) -> Plan:
    region = Region.whole(size)
    return make_plan(PlanRequest(size, region, A4, FIVE, avoid=avoid, **choices))  # type: ignore[arg-type]


@settings(max_examples=20, deadline=None)
@given(
    st.integers(330, 530),
    st.lists(st.tuples(st.integers(0, 500), st.integers(4, 60)), max_size=6),
    st.lists(st.integers(0, 500), max_size=4),
)
def test_no_other_whole_millimetres_make_a_better_chain(
    length: int, texts: list[tuple[int, int]], creases: list[int]
) -> None:
    """Two or three sheets of 200 mm: every pair of seams is tried with the penalties written out again."""
    avoid = [text(x, 10, width, 10) for x, width in texts]
    avoid += [Avoid("crease", Rect(x, 0, 0, 100)) for x in creases]
    hazards = Hazards.of(avoid, upright=True)
    active = hazards.active(0, 100)
    task = Task(((0.0, float(length)),), 200, Fees.of(12), Rule(), (30.0,))
    cost, faces = place(task, lambda places: hazards.at(places, active))

    def harm(x: int) -> float:
        crossed = sum(40 * max(0.0, 1 - max(a - x, x - a - w, 0)) for a, w in texts)
        return crossed + sum(30 * max(0.0, 1 - abs(x - c) / 8) for c in creases)

    def total(seams: tuple[int, ...]) -> float:
        edges = [0, *seams, length]
        sizes = [b - a for a, b in itertools.pairwise(edges)]
        limits = [188, *[185] * (len(sizes) - 2), 190]
        if any(not 0 < size <= limit for size, limit in zip(sizes, limits, strict=True)):
            return float("inf")
        narrow = sum(25 - 20 / 30 * size for size in sizes if size < 30)
        return sum(map(harm, seams)) + narrow + EVEN * sum((size / 200) ** 2 for size in sizes)

    count = 1 if length <= 378 else 2
    assert len(faces) == count + 1
    candidates = itertools.combinations(range(1, min(length, 380)), count)
    assert cost == pytest.approx(min(map(total, candidates)), abs=1e-6)


@settings(max_examples=15, deadline=None)
@given(st.lists(st.tuples(st.integers(0, 170), st.integers(0, 400), st.integers(5, 60)), max_size=8))
def test_no_other_whole_millimetre_makes_better_strips(spots: list[tuple[int, int, int]]) -> None:
    """Two strips of one tile each: every level seam is tried."""
    size = Size(180, 440)
    request = PlanRequest(
        size,
        Region.whole(size),
        A4,
        FIVE,
        orientation="portrait",
        avoid=tuple(text(x, y, 10, height) for x, y, height in spots),
    )
    space = Space.of(request, down=False)
    ahead, back = sweep(View.ahead(space)), sweep(View.back(space))
    assert ahead is not None
    assert back is not None
    settled = settle(space, ahead, back)
    assert settled.sheets == 2

    def harm(y: int) -> float:
        kept = [(a, h) for _, a, h in spots]
        crossed = sum(40 * max(0.0, 1 - max(a - y, y - a - h, 0)) for a, h in kept)
        return crossed + EVEN * ((y / 287) ** 2 + ((440 - y) / 287) ** 2)

    widths = 2 * EVEN * (180 / 200) ** 2
    best = min(harm(y) for y in range(440 - 277, 275 + 1))
    assert settled.cost - widths == pytest.approx(best, abs=1e-6)


def test_a_seam_leaves_a_crease_and_a_text_and_a_code() -> None:
    plan = plan_of(
        Size(300, 150),
        Avoid("crease", Rect(150, 0, 0, 150)),
        text(158, 20, 12, 10),
        Avoid("code", Rect(125, 80, 20, 20), "4006381333931"),
        orientation="portrait",
    )
    (seam,) = plan.seams
    assert seam.penalty == 0
    assert not 142 < seam.start.x < 158
    assert not 124 < seam.start.x < 146
    assert not 157 < seam.start.x < 171


def test_the_reason_says_how_far_the_crease_is() -> None:
    plan = plan_of(Size(300, 150), Avoid("crease", Rect(150, 0, 0, 150)), orientation="portrait")
    (seam,) = plan.seams
    assert seam.start.x in (142, 158)
    assert seam.why == "8 mm clear of the crease at x 150"


def test_a_text_that_fills_all_slack_is_crossed_and_named() -> None:
    plan = plan_of(Size(370, 150), text(100, 20, 170, 10), orientation="portrait")
    (seam,) = plan.seams
    assert seam.penalty == 40
    assert seam.why == "crosses the text 'HERONWICK' - no free place within 5 mm"


def test_a_crease_across_a_seam_does_no_harm() -> None:
    plan = plan_of(Size(300, 150), Avoid("crease", Rect(0, 75, 300, 0)), orientation="portrait")
    assert plan.seams[0].start.x == 150
    assert plan.seams[0].why == "clear of creases, texts and codes"


def test_things_outside_the_region_do_no_harm() -> None:
    region = Region.from_rects([Rect(0, 0, 300, 100)], Size(300, 200))
    request = PlanRequest(
        region.size, region, A4, FIVE, orientation="portrait", avoid=(text(145, 150, 10, 10),)
    )
    assert make_plan(request).seams[0].start.x == 150


def test_a_pin_is_kept_and_said() -> None:
    plan = plan_of(Size(300, 150), pins=(Pin("x", 133.25),))
    assert plan.seams[0].start.x == 133.25
    assert plan.seams[0].why == "pinned at x 133.2 mm"


def test_a_pin_through_a_point_binds_the_strip_there_and_no_other() -> None:
    region = Region.from_rects([Rect(113, 0, 280, 426), Rect(0, 113, 506, 200)], Size(506, 426))
    free = make_plan(PlanRequest(region.size, region, A4, FIVE))
    held = make_plan(PlanRequest(region.size, region, A4, FIVE, pins=(Pin("x", 240, through=60),)))
    assert len(held.tiles) == len(free.tiles) == 5
    assert [s.start.x for s in held.seams if s.is_upright and s.start.y < 60 < s.end.y] == [240]
    assert 240 not in [s.start.x for s in held.seams if s.is_upright and s.start.y < 300 < s.end.y]


def test_a_nudge_moves_one_seam_and_its_windows() -> None:
    plan = plan_of(Size(300, 150), orientation="portrait", nudges=(Nudge("A2|A1", -7.5),))
    assert plan.seams[0].start.x == 142.5
    assert plan.tile("A1").window.right == 154.5
    assert plan.tile("A2").window.x == 139.5


@pytest.mark.parametrize("layout", ["grid", "strips"])
def test_a_nudge_of_a_line_between_strips_moves_all_of_it(layout: str) -> None:
    before = plan_of(Size(350, 500), layout=layout)
    plan = plan_of(Size(350, 500), layout=layout, nudges=(Nudge("A1|B1", 2),))
    assert plan.tile("B1").face.y == before.tile("B1").face.y + 2
    assert plan.tile("B2").face.y == plan.tile("B1").face.y == plan.tile("A2").face.bottom


@pytest.mark.parametrize(
    ("choices", "words"),
    [
        ({"nudges": (Nudge("A1|A2", 60),)}, "tile A1 needs 222 mm where .* can print 200 mm"),
        ({"nudges": (Nudge("A1|C9", 1),)}, "no seam 'A1|C9'"),
        ({"nudges": (Nudge("A1|A2", -150),)}, "nothing would be left of tile A1"),
        ({"pins": (Pin("x", 900),)}, "outside the flat, which ends at 300 mm"),
        ({"pins": (Pin("x", 150),), "forbidden": (Forbidden("x", 140, 160),)}, "from 140 to 160 mm"),
        ({"forbidden": (Forbidden("x", 20, 290),)}, "270 mm, but the largest face with neighbours is 185 mm"),
        ({"forbidden": (Forbidden("x", 20, 10),)}, "has no length"),
    ],
)
@pytest.mark.parametrize("layout", ["grid", "strips"])
def test_what_cannot_be_respected_is_said_with_numbers(
    choices: dict[str, object], words: str, layout: str
) -> None:
    with pytest.raises(PlanError, match=words.replace("|", r"\|")) as caught:
        plan_of(Size(300, 150), orientation="portrait", layout=layout, **choices)
    assert caught.value.remedy


def test_a_pin_where_nothing_is_to_be_divided_is_refused() -> None:
    region = Region.from_rects([Rect(0, 0, 100, 100)], Size(300, 150))
    with pytest.raises(PlanError, match="no seam can lie at x 200 mm"):
        make_plan(PlanRequest(region.size, region, A4, FIVE, pins=(Pin("x", 200),)))


def test_a_slanting_crease_is_no_line_to_keep_away_from() -> None:
    hazards = Hazards.of([Avoid("crease", Rect(0, 0, 40, 60))], upright=True)
    assert np.all(hazards.at(np.arange(40.0), hazards.active(0, 60)) == 0)
