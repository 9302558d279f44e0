"""Registration marks."""

from __future__ import annotations

import pytest

from tests.outlines import outline, rectangle, shared
from tiler.geometry import Point, Rect
from tiler.marks.registration import half_mark, mark_room, marks_on_seam, whole_mark
from tiler.plan.tile import Seam


def upright(length: float) -> Seam:
    return Seam(Point(100, 50), Point(100, 50 + length), "A2", "A1")


@pytest.mark.parametrize(
    ("length", "count"), [(7.9, 0), (8.0, 1), (13.0, 1), (14.0, 2), (60.0, 2), (251.0, 3)]
)
def test_a_seam_has_as_many_marks_as_it_can_hold(length: float, count: int) -> None:
    assert len(marks_on_seam(upright(length))) == count


@pytest.mark.parametrize("length", [60.0, 120.0, 240.0, 380.0])
def test_the_outer_marks_stand_12_to_15_per_cent_from_the_ends(length: float) -> None:
    spots = marks_on_seam(upright(length))
    for inset in (spots[0].y - 50, 50 + length - spots[-1].y):
        assert 0.12 * length <= inset <= 0.15 * length


def test_a_mark_moves_along_its_seam_off_a_crease() -> None:
    crease = Rect(0, 50 + 25.5, 200, 1)
    free, moved = marks_on_seam(upright(200)), marks_on_seam(upright(200), [crease])
    assert mark_room(free[0]).overlaps(crease)
    assert not mark_room(moved[0]).overlaps(crease)
    assert moved[0].x == free[0].x
    assert abs(moved[0].y - free[0].y) < 8
    assert moved[1] == free[1]


def test_a_mark_that_finds_no_clear_place_stays_where_it_would_be() -> None:
    everywhere = Rect(0, 0, 1000, 1000)
    assert marks_on_seam(upright(200), [everywhere]) == marks_on_seam(upright(200))


def test_a_mark_is_5_mm_from_point_to_point_and_centred_on_the_seam() -> None:
    diamond, across = whole_mark(Point(100, 80), upright=True)
    assert (min(p.x for p in diamond.points), max(p.x for p in diamond.points)) == (97.5, 102.5)
    assert (min(p.y for p in diamond.points), max(p.y for p in diamond.points)) == (77.5, 82.5)
    assert [p.y for p in across.points] == [80, 80]


@pytest.mark.parametrize("outwards", [1, -1])
@pytest.mark.parametrize("is_upright", [True, False])
def test_half_a_mark_keeps_even_its_white_edge_off_the_face(outwards: int, is_upright: bool) -> None:
    shapes = half_mark(Point(100, 100), is_upright, outwards)
    face = Rect(0, 0, 100, 200) if outwards == 1 else Rect(100, 0, 100, 200)
    if not is_upright:
        face = Rect(face.y, face.x, face.height, face.width)
    for shape in shapes:
        assert shared(outline(shape), rectangle(face)) < 1e-9


def test_only_what_comes_near_a_seam_is_looked_at_for_its_marks(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[Rect] = []
    overlaps = Rect.overlaps

    def counted(one: Rect, other: Rect) -> bool:
        asked.append(one)
        return overlaps(one, other)

    monkeypatch.setattr(Rect, "overlaps", counted)
    far = [Rect(300 + i, 50, 0.5, 200) for i in range(1000)]
    near = Rect(0, 50 + 25.5, 200, 1)
    assert marks_on_seam(upright(200), [*far, near]) == marks_on_seam(upright(200), [near])
    assert len(asked) < 1100
