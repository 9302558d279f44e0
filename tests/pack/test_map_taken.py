"""Taken places on the map: what a field holds is all that can be in the way."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from tiler.geometry import Rect
from tiler.pack.map_taken import FIELDS, Taken

WITHIN = Rect(20, 10, 160, 220)

places = st.builds(Rect, st.floats(-50, 250), st.floats(-50, 300), st.floats(0, 90), st.floats(0, 90))


@given(st.lists(places, max_size=12), places)
def test_everything_that_overlaps_an_area_is_found_and_once(taken: list[Rect], area: Rect) -> None:
    found = Taken(WITHIN, taken).near(area)
    assert {rect for rect in taken if rect.overlaps(area)} <= set(found)
    assert len(found) == len(set(found))


def test_what_is_far_away_is_not_looked_at() -> None:
    numbers = [Rect(20 + 2 * (i % 80), 10 + 2 * (i // 80), 1.5, 1.5) for i in range(8000)]
    field = max(WITHIN.width, WITHIN.height) / FIELDS
    assert 0 < len(Taken(WITHIN, numbers).near(Rect(100, 100, field, field))) < 50


def test_a_freed_place_is_free() -> None:
    taken = Taken(WITHIN, [Rect(30, 30, 9, 9), Rect(30, 30, 9, 9)])
    taken.remove(Rect(30, 30, 9, 9))
    assert taken.near(Rect(35, 35, 1, 1)) == (Rect(30, 30, 9, 9),)
    taken.remove(Rect(30, 30, 9, 9))
    assert taken.near(Rect(35, 35, 1, 1)) == ()
