"""Tiles and seams are picked, moved, pinned and let go."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from tests.sample_plans import columns, grid_2x3, mixed_strips, one_tile
from tiler.geometry import Point
from tiler.job import Job
from tiler.plan.request import Nudge
from tiler.printers.sheets import find_sheet
from tiler.tui.picking import (
    NOTHING,
    Picked,
    find_seam,
    is_nudged,
    next_seam,
    next_tile,
    nudge,
    pin_of,
    pinned,
    released,
    seam_at,
    seam_name,
    still_there,
    tile_at,
    toggled,
)

JOB = Job(Path("lid.pdf"), find_sheet("A4"))


@pytest.mark.parametrize(
    ("label", "way", "then"),
    [("A1", "right", "A2"), ("A2", "down", "B2"), ("B3", "up", "A3"), ("A1", "left", "A1"), ("", "up", "A1")],
)
def test_arrows_go_to_the_tile_that_way(label: str, way: str, then: str) -> None:
    assert next_tile(grid_2x3(), label, way) == then  # type: ignore[arg-type]


def test_every_tile_can_be_reached_by_arrows() -> None:
    for plan in (grid_2x3(), mixed_strips(), columns()):
        reached, todo = set(), [plan.tiles[0].label]
        while todo:
            label = todo.pop()
            reached.add(label)
            todo += [
                x for w in ("left", "right", "up", "down") if (x := next_tile(plan, label, w)) not in reached
            ]
        assert reached == {tile.label for tile in plan.tiles}


def test_a_press_finds_the_tile_and_near_a_seam_the_seam() -> None:
    plan = grid_2x3()
    assert tile_at(plan, Point(10, 10)) == "A1"
    assert tile_at(plan, Point(-5, 10)) == ""
    assert seam_at(plan, Point(169, 100), 2.0) == "A1|A2"
    assert seam_at(plan, Point(100, 100), 2.0) == ""


def test_seams_are_gone_through_in_both_directions() -> None:
    plan = grid_2x3()
    names = [seam_name(seam) for seam in plan.seams]
    walked, name = [], ""
    for _ in names:
        name = next_seam(plan, name)
        walked.append(name)
    assert walked == names
    assert next_seam(plan, names[0], -1) == names[-1]
    assert next_seam(one_tile(), "") == ""


def test_a_seam_moves_only_across_itself() -> None:
    seam = find_seam(grid_2x3(), "A1|A2")
    assert seam is not None
    assert nudge(JOB, seam, "up") is None
    moved = nudge(JOB, seam, "left")
    assert moved is not None
    assert moved.nudges == (Nudge("A1|A2", -1.0),)
    back = nudge(moved, seam, "right")
    assert back == JOB


def test_a_pin_takes_the_nudge_over_and_moves_with_the_arrows() -> None:
    seam = find_seam(grid_2x3(), "A1|A2")
    assert seam is not None
    job = pinned(replace(JOB, nudges=(Nudge("A1|A2", -1.0),)), seam)
    assert not is_nudged(job, seam)
    assert pin_of(job, seam) is not None
    assert (job.pins[0].axis, job.pins[0].at) == ("x", 168.0)
    assert pinned(job, seam) == job
    moved = nudge(job, seam, "right")
    assert moved is not None
    assert moved.pins[0].at == 169.0
    assert released(job, seam) == JOB


def test_a_pin_of_one_strip_does_not_hold_the_seam_of_another() -> None:
    plan = grid_2x3()
    upper, lower = find_seam(plan, "A1|A2"), find_seam(plan, "B1|B2")
    assert upper is not None
    assert lower is not None
    job = pinned(JOB, upper)
    assert pin_of(job, lower) is None


def test_tiles_are_left_out_and_taken_back() -> None:
    plan = grid_2x3()
    job = toggled(JOB, plan, "A2")
    assert job.tiles == ("A1", "A3", "B1", "B2", "B3")
    assert toggled(job, plan, "A2") == JOB
    assert toggled(replace(JOB, tiles=("A1",)), plan, "A1").tiles == ("A1",)


def test_a_pick_that_the_plan_has_no_more_is_let_go() -> None:
    assert still_there(one_tile(), Picked(tile="B3")) == NOTHING
    assert still_there(one_tile(), Picked(tile="A1")) == Picked(tile="A1")
