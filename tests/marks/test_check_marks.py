"""Check points on the sheets: off the faces, and in the row and the column of the spot."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.outlines import colliding_words, covers, outline, rectangle, shared
from tests.sample_plans import ALL_PLANS, facts_for, grid_2x3
from tiler.geometry import Point, Rect
from tiler.marks.check_marks import check_signs
from tiler.marks.facts import CheckSpot, MarkOptions
from tiler.marks.shapes import Area, Ring, Shape, Words
from tiler.marks.sheet import tile_page
from tiler.pack.ink import text_width
from tiler.plan.tile import Plan, Tile

plans = pytest.mark.parametrize("name", ALL_PLANS)


def spots_over(plan: Plan) -> tuple[CheckSpot, ...]:
    """A net of spots over the whole flat, tabs and seams included."""
    points = [
        Point(plan.flat.width * (x + 0.37) / 7, plan.flat.height * (y + 0.61) / 6)
        for x in range(7)
        for y in range(6)
    ]
    letters = "abcdefghjkmnpqrstuvwxyz"
    return tuple(CheckSpot(letters[i % 23] * (1 + i // 23), f"Spot {i}", at) for i, at in enumerate(points))


def drawn(plan: Plan, tile: Tile, *spots: CheckSpot) -> list[Shape]:
    signs = check_signs(tile, replace(facts_for(plan), check_points=spots), (), text_width)
    return [shape for sign in signs for shape in sign.shapes]


@plans
def test_nothing_of_a_check_point_stands_on_a_face_or_beyond_the_printable_area(name: str) -> None:
    plan = ALL_PLANS[name]()
    for tile in plan.tiles:
        face = rectangle(tile.on_sheet(tile.face))
        paper = rectangle(tile.printable.grown(1e-6))
        for shape in drawn(plan, tile, *spots_over(plan)):
            assert shared(face, outline(shape)) == 0, shape
            assert covers(paper, outline(shape)), shape


@plans
def test_signs_leave_every_other_word_of_the_sheet_readable(name: str) -> None:
    plan = ALL_PLANS[name]()
    facts = replace(facts_for(plan), check_points=spots_over(plan))
    for tile in plan.tiles:
        page = tile_page(plan, tile, facts, MarkOptions(), text_width)
        assert colliding_words(page.shapes) == []


def test_arrows_stand_in_the_row_and_the_column_of_their_spot_and_point_to_it() -> None:
    plan = grid_2x3()
    tile = plan.tiles[0]
    spot = CheckSpot("a", "Hinge", tile.face.centre)
    at = spot.at.shifted(*tile.to_sheet)
    heads = [shape for shape in drawn(plan, tile, spot) if isinstance(shape, Area)]
    assert len(heads) >= 2
    face = tile.on_sheet(tile.face)
    for head in heads:
        tip = min(head.points, key=lambda p: abs(p.x - at.x) + abs(p.y - at.y))
        assert tip == head.points[0]
        in_row, in_column = tip.y == pytest.approx(at.y), tip.x == pytest.approx(at.x)
        assert in_row != in_column
        off = max(face.x - tip.x, tip.x - face.right) if in_row else max(face.y - tip.y, tip.y - face.bottom)
        assert 1.0 <= off < 2.0


def test_a_spot_on_a_tab_has_a_ring_where_it_is() -> None:
    plan = grid_2x3()
    tile = plan.tiles[0]
    at = Point(tile.face.right + tile.right_tab / 2, tile.face.centre.y)
    (ring, letter) = drawn(plan, tile, CheckSpot("b", "Tip", at))
    assert isinstance(ring, Ring)
    assert isinstance(letter, Words)
    assert ring.centre == at.shifted(*tile.to_sheet)
    assert letter.text == "b"


def test_a_spot_in_the_waste_has_a_ring_where_it_is_even_within_the_face() -> None:
    plan = grid_2x3()
    tile = plan.tiles[0]
    at = tile.face.centre
    (ring, _) = drawn(plan, tile, CheckSpot("c", "Colour bar", at, in_waste=True))
    assert isinstance(ring, Ring)
    assert ring.centre == at.shifted(*tile.to_sheet)


def test_a_spot_that_the_sheet_does_not_print_leaves_no_sign() -> None:
    plan = grid_2x3()
    assert drawn(plan, plan.tiles[0], CheckSpot("d", "Elsewhere", plan.tiles[-1].face.centre)) == []


def test_signs_keep_off_places_that_are_taken_and_off_each_other() -> None:
    plan = grid_2x3()
    tile = plan.tiles[0]
    facts = replace(facts_for(plan), check_points=spots_over(plan))
    taken = [tile.on_sheet(Rect(tile.face.right, 0, tile.right_tab, tile.face.height / 2))]
    rooms = [sign.room for sign in check_signs(tile, facts, taken, text_width)]
    assert rooms
    for index, room in enumerate(rooms):
        assert not any(room.overlaps(other) for other in [*taken, *rooms[index + 1 :]])
