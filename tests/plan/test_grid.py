"""The plain grid against sums done by hand."""

from __future__ import annotations

import pytest

from tiler.errors import PlanError
from tiler.geometry import Margins, Rect, Size
from tiler.plan.grid import even_lines, plan_grid
from tiler.plan.region import Region
from tiler.plan.request import PlanRequest
from tiler.plan.sheet import Sheet

A4 = Sheet("iso_a4_210x297mm", Size(210, 297))
FIVE = Margins(5, 5, 5, 5)


def request_for(region: Region, **choices: object) -> PlanRequest:
    return PlanRequest(region.size, region, A4, FIVE, layout="grid", **choices)  # type: ignore[arg-type]


def test_a_flat_that_fits_one_sheet_takes_one_without_any_tab() -> None:
    plan = plan_grid(request_for(Region.whole(Size(150, 200))))
    (tile,) = plan.tiles
    assert tile.label == "A1"
    assert tile.window == tile.face == Rect(0, 0, 150, 200)
    assert not plan.seams


def test_a_full_page_keeps_the_band_for_label_and_scale_bar() -> None:
    """200 mm are printable across A4 with 5 mm margins; 7 mm stay blank, so 193 mm fit and 194 do not."""
    assert len(plan_grid(request_for(Region.whole(Size(193, 280)), orientation="portrait")).tiles) == 1
    assert len(plan_grid(request_for(Region.whole(Size(194, 280)), orientation="portrait")).tiles) == 2


def test_the_largest_row_of_three_is_the_sum_of_its_limits() -> None:
    """200 - 12, 200 - 3 - 12 and 200 - 3 - 7 mm."""
    assert even_lines(0, 188 + 185 + 190, 200, 12) == pytest.approx((0, 188, 373, 563))
    assert len(even_lines(0, 563.1, 200, 12)) == 5


def test_faces_are_even_where_the_sheet_allows() -> None:
    assert even_lines(10, 370, 200, 12) == pytest.approx((10, 190, 370))


def test_windows_have_tabs_and_allowances_only_towards_neighbours() -> None:
    plan = plan_grid(request_for(Region.whole(Size(360, 520)), orientation="portrait"))
    assert [tile.label for tile in plan.tiles] == ["A1", "A2", "B1", "B2"]
    assert plan.tile("A1").window == Rect(0, 0, 192, 272)
    assert plan.tile("B2").window == Rect.between(177, 257, 360, 520)
    assert plan.tile("A1").right == ("A2",)
    assert plan.tile("A1").below == ("B1",)
    assert plan.tile("B2").left == ("B1",)
    assert plan.tile("B2").above == ("A2",)
    assert plan.tile("A1").place == (5, 5)
    assert [(seam.lower, seam.upper) for seam in plan.seams] == [
        ("A1", "A2"),
        ("A1", "B1"),
        ("A2", "B2"),
        ("B1", "B2"),
    ]


def test_a_blank_cell_is_left_out_and_is_no_neighbour() -> None:
    region = Region.from_rects([Rect(0, 0, 360, 200), Rect(200, 0, 160, 520)], Size(360, 520))
    plan = plan_grid(request_for(region, orientation="portrait"))
    assert [tile.label for tile in plan.tiles] == ["A1", "A2", "B2"]
    assert plan.tile("A1").below == ()
    assert plan.tile("A1").bottom_tab == 0
    assert plan.tile("B2").left_allowance == 0
    assert plan.tile("B2").order == 0


def test_a_tab_ends_where_the_tile_on_it_ends() -> None:
    """The last column is only 4 mm wide, so its neighbour's tab is too."""
    plan = plan_grid(request_for(Region.whole(Size(300, 100)), orientation="portrait"))
    assert plan.tile("A1").right_tab == 12
    short = plan_grid(request_for(Region.from_rects([Rect(0, 0, 300, 100)], Size(305, 100))))
    assert short.tiles[-1].window.right == 300


def test_auto_takes_the_way_with_fewer_sheets() -> None:
    assert plan_grid(request_for(Region.whole(Size(280, 190)))).tiles[0].landscape
    assert not plan_grid(request_for(Region.whole(Size(190, 280)))).tiles[0].landscape


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"overlap": 170.0}, "overlap of 170 mm leaves faces of 27 × 114 mm"),
        ({"overlap": 2.0}, "overlap of 2 mm"),
        ({"margins": Margins(90, 90, 90, 90)}, "margins leave 30 × 117 mm"),
        ({"margins": Margins(-1, 5, 5, 5)}, "below 0"),
        ({"region": Region.from_rects([], Size(300, 300))}, "nothing on this flat"),
        ({"flat": Size(0, 300)}, "no area"),
        ({"flat": Size(300, 310)}, "another size"),
        ({"overlap": float("nan")}, "not a number"),
    ],
)
def test_choices_that_leave_no_room_are_refused_in_words(changes: dict[str, object], words: str) -> None:
    base: dict[str, object] = {
        "flat": Size(300, 300),
        "region": Region.whole(Size(300, 300)),
        "sheet": A4,
        "margins": FIVE,
    }
    with pytest.raises(PlanError, match=words) as caught:
        plan_grid(PlanRequest(**{**base, **changes}))  # type: ignore[arg-type]
    assert caught.value.remedy
