"""The window of cells onto a page."""

from __future__ import annotations

import pytest

from tiler.geometry import Point, Rect, Size
from tiler.tui.viewport import ZOOMS, Viewport

PAGE = Size(426, 346)
SIZES = [(46, 20), (78, 36), (146, 56), (10, 5), (1, 1)]


@pytest.mark.parametrize(("columns", "rows"), SIZES[:3])
def test_the_whole_page_is_in_sight_at_first(columns: int, rows: int) -> None:
    view = Viewport.whole(columns, rows, PAGE)
    assert view.window.holds(Rect(0, 0, *PAGE))


@pytest.mark.parametrize(("columns", "rows"), SIZES)
def test_a_millimetre_is_as_long_across_as_down(columns: int, rows: int) -> None:
    view = Viewport.whole(columns, rows, PAGE)
    (x1, y1), (x2, y2) = view.point(0, 0), view.point(10, 10)
    assert x2 - x1 == pytest.approx(y2 - y1)


def test_the_corner_of_the_page_is_the_corner_of_a_cell() -> None:
    for columns in range(30, 60):
        across, down = Viewport.whole(columns, 23, PAGE).point(0, 0)
        assert across == pytest.approx(round(across))
        assert down / 2 == pytest.approx(round(down / 2))


def test_a_cell_leads_back_to_its_place() -> None:
    view = Viewport.whole(78, 36, PAGE).zoomed(3).panned(5, -2)
    for row, column in ((0, 0), (20, 40), (35, 77)):
        assert view.cell(*view.place(column, row)) == (row, column)


def test_what_is_under_the_pointer_stays_there() -> None:
    view = Viewport.whole(78, 36, PAGE)
    at = Point(300, 100)
    near = view.zoomed(1, at).zoomed(1, at)
    before, after = view.cell(*at), near.cell(*at)
    assert abs(before[0] - after[0]) <= 1
    assert abs(before[1] - after[1]) <= 1


def test_zoom_ends_at_both_ends() -> None:
    view = Viewport.whole(78, 36, PAGE)
    assert view.zoomed(-3) == view
    assert view.zoomed(99).zoom == ZOOMS[-1]


def test_the_page_cannot_be_lost() -> None:
    view = Viewport.whole(78, 36, PAGE).zoomed(4).panned(10_000, 10_000)
    assert view.window.overlaps(Rect(0, 0, *PAGE))
    assert view.resized(20, 10).window.overlaps(Rect(0, 0, *PAGE))
