"""How tiles hold together."""

from __future__ import annotations

from tiler.geometry import Margins, Point, Rect, Size
from tiler.plan.build import Face, build_plan
from tiler.plan.joints import crosses, groups, joint, joint_warnings
from tiler.plan.region import Region
from tiler.plan.request import PlanRequest
from tiler.plan.sheet import Sheet
from tiler.plan.tile import Plan

A4 = Sheet("iso_a4_210x297mm", Size(210, 297))


def plan_of(*rects: Rect) -> Plan:
    size = Size(400, 400)
    request = PlanRequest(size, Region.whole(size), A4, Margins(5, 5, 5, 5))
    names = ("A1", "A2", "B1", "B2")
    faces = [Face(n, n > "B", int(n[1]) - 1, r, False) for n, r in zip(names, rects, strict=False)]
    return build_plan(request, faces, "strips", "across", len(faces))


def test_four_tiles_at_one_point_make_a_cross() -> None:
    plan = plan_of(
        Rect(0, 0, 100, 100), Rect(100, 0, 100, 100), Rect(0, 100, 100, 100), Rect(100, 100, 100, 100)
    )
    assert crosses(plan) == (("A1", Point(100, 100)),)


def test_seams_nearer_than_a_tab_make_a_cross_and_farther_ones_none() -> None:
    """With 12 mm tabs the lower seam may pass 12 mm beside the corner, not 11."""
    for beside, expected in ((11, 1), (-11, 1), (12, 0), (-12, 0)):
        middle = 100 + beside
        plan = plan_of(
            Rect(0, 0, 100, 100),
            Rect(100, 0, 100, 100),
            Rect(0, 100, middle, 100),
            Rect(middle, 100, 200 - middle, 100),
        )
        assert len(crosses(plan)) == expected


def test_three_tiles_make_no_cross() -> None:
    plan = plan_of(Rect(0, 0, 100, 100), Rect(100, 0, 100, 100), Rect(0, 100, 180, 100))
    assert crosses(plan) == ()


def test_a_joint_is_the_longest_single_tab() -> None:
    plan = plan_of(Rect(0, 0, 100, 100), Rect(100, 0, 100, 100), Rect(80, 100, 45, 100))
    assert joint(plan, "A1") == 100
    assert joint(plan, "B1") == 25
    assert joint_warnings(plan) == (
        "Tile B1 is joined only by 25 mm of glue tab: back it with a piece of card.",
    )


def test_tiles_that_touch_at_a_corner_alone_are_two_pieces() -> None:
    plan = plan_of(Rect(0, 0, 100, 100), Rect(150, 0, 100, 100), Rect(100, 100, 40, 100))
    assert groups(plan) == (("A1",), ("A2",), ("B1",))
    assert not plan.tile("A1").right_tab


def test_one_tile_alone_needs_no_joint() -> None:
    assert joint_warnings(plan_of(Rect(0, 0, 100, 100))) == ()
