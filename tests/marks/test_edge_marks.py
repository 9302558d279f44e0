"""Names of meeting edges on the sheets."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.outlines import covers, rectangle, words_box
from tests.sample_plans import facts_for, grid_2x3
from tiler.geometry import Point, Rect
from tiler.marks.edge_marks import edge_signs, reading_turn
from tiler.marks.facts import Facts, FoldFacts, MeetingEdge
from tiler.marks.shapes import Words
from tiler.pack.ink import text_width
from tiler.plan.tile import Plan


def edge(start: tuple[float, float], end: tuple[float, float], *spots: Point) -> MeetingEdge:
    return MeetingEdge("m1", Point(*start), Point(*end), Point(0, -1), spots)


def facts(plan: Plan, *edges: MeetingEdge) -> Facts:
    return replace(facts_for(plan), fold=FoldFacts((300, 220, 60), edges=edges))


def names(plan: Plan, told: Facts, taken: tuple[Rect, ...] = ()) -> dict[str, list[Words]]:
    found = {}
    for tile in plan.tiles:
        signs = edge_signs(plan, tile, told, taken, text_width)
        found[tile.label] = [s for sign in signs for s in sign.shapes if isinstance(s, Words)]
    return found


def test_a_name_is_printed_once_on_the_tile_whose_face_has_its_best_spot() -> None:
    plan = grid_2x3()
    first, second = plan.tiles[0].face.centre, plan.tiles[1].face.centre
    found = names(plan, facts(plan, edge((0, 60), (60, 60), first, second)))
    assert [label for label, words in found.items() if words] == [plan.tiles[0].label]


def test_a_spot_across_a_seam_is_passed_over_for_the_next() -> None:
    plan = grid_2x3()
    one, other = plan.tiles[0], plan.tiles[1]
    on_seam = Point(one.face.right, one.face.centre.y)
    found = names(plan, facts(plan, edge((0, 60), (60, 60), on_seam, other.face.centre)))
    assert [label for label, words in found.items() if words] == [other.label]


def test_a_name_without_waste_beside_its_edge_is_on_no_sheet() -> None:
    plan = grid_2x3()
    assert not any(names(plan, facts(plan, edge((0, 60), (60, 60)))).values())


def test_a_name_takes_its_second_spot_when_a_mark_stands_at_the_first() -> None:
    plan = grid_2x3()
    tile = plan.tiles[0]
    first = tile.face.centre
    second = first.shifted(20, 0)
    told = facts(plan, edge((0, 60), (60, 60), first, second))
    taken = (Rect(*first.shifted(*tile.to_sheet), 0, 0).grown(3),)
    ((word,), *_) = names(plan, told, taken).values()
    assert words_box(word).centroid.x == pytest.approx(second.shifted(*tile.to_sheet).x, abs=0.1)


@pytest.mark.parametrize(
    ("start", "end", "turn"),
    [
        ((0, 0), (10, 0), 0),
        ((10, 0), (0, 0), 0),
        ((0, 10), (0, 0), -90),
        ((0, 0), (0, 10), -90),
        ((0, 0), (10, 10), 45),
        ((10, 10), (0, 0), 45),
        ((0, 10), (10, 0), -45),
    ],
)
def test_a_name_runs_along_its_edge_and_reads_from_below_or_from_the_right(
    start: tuple[float, float], end: tuple[float, float], turn: float
) -> None:
    assert reading_turn(edge(start, end)) == pytest.approx(turn)


@pytest.mark.parametrize("end", [(60, 60), (0, 120), (60, 120), (60, 0)])
def test_the_room_of_a_name_holds_its_letters_however_it_is_turned(end: tuple[float, float]) -> None:
    plan = grid_2x3()
    tile = plan.tiles[0]
    told = facts(plan, edge((0, 60), end, tile.face.centre))
    (sign,) = edge_signs(plan, tile, told, (), text_width)
    (word,) = sign.shapes
    assert isinstance(word, Words)
    assert covers(rectangle(sign.room), words_box(word))
