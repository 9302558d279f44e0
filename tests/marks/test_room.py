"""Places for labels and bars."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from tiler.geometry import Point, Rect, Size
from tiler.marks.room import find_room

BAND = Rect(10, 20, 180, 12)
lengths = st.floats(0.5, 60).map(lambda value: round(value, 2))
rects = st.builds(Rect, st.floats(0, 200), st.floats(0, 40), lengths, lengths)


def test_a_thing_gets_the_place_it_wishes_when_that_is_free() -> None:
    assert find_room(Size(30, 5), BAND, [], Point(50, 22)) == Rect(50, 22, 30, 5)


def test_a_thing_moves_along_the_band_before_it_changes_its_row() -> None:
    taken = [Rect(45, 20, 10, 12)]
    assert find_room(Size(30, 5), BAND, taken, Point(50, 22)) == Rect(56, 22, 30, 5)


def test_a_thing_larger_than_its_band_finds_no_room() -> None:
    assert find_room(Size(200, 5), BAND, [], Point(10, 20)) is None
    assert find_room(Size(20, 13), BAND, [], Point(10, 20)) is None


@given(lengths, lengths, st.lists(rects, max_size=5))
def test_a_place_is_inside_the_band_and_clear_of_all_that_is_taken(
    width: float, height: float, taken: list[Rect]
) -> None:
    place = find_room(Size(width, height), BAND, taken, Point(100, 25), gap=1.0)
    if place is not None:
        assert BAND.holds(place)
        assert not any(place.overlaps(other.grown(1 - 1e-5)) for other in taken)
