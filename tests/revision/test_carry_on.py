"""Going on with a later flat: on the same faces wherever its art would let the seams lie."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from tests.revision.art import PLAIN, altered, draw, job_for
from tiler.job import Job
from tiler.load import load
from tiler.plan.request import Nudge
from tiler.revision.carry_on import carried_on, has_same_faces
from tiler.revision.changes import find_changes
from tiler.revision.reprint import later_job
from tiler.run import plan_sheets, prepare


def strips(path: Path) -> Job:
    """The sleeve on small sheets with seams that keep off type."""
    return replace(job_for(path), layout="strips")


def test_type_that_now_lies_across_a_seam_does_not_move_it(tmp_path: Path) -> None:
    job = strips(draw(PLAIN, tmp_path / "old.pdf"))
    before = prepare(job)
    seam = next(seam for seam in before.plan.seams if seam.is_upright and seam.start.y < 50)
    new = draw(altered(word_at=(seam.start.x - 15, 62.0)), tmp_path / "new.pdf")
    later = later_job(job, new)
    changes = find_changes(before, load(later))
    assert not has_same_faces(plan_sheets(later, changes.new).plan, before.plan), "it would move by itself"
    kept = carried_on(later, changes)
    assert kept is not None
    assert kept.flat == new
    assert has_same_faces(plan_sheets(kept, changes.new).plan, before.plan)


def test_no_pin_is_set_where_the_later_flat_is_planned_alike_anyway(tmp_path: Path) -> None:
    job = strips(draw(PLAIN, tmp_path / "old.pdf"))
    later = later_job(job, draw(altered(decal=(0.8, 0.1, 0, 0)), tmp_path / "new.pdf"))
    assert carried_on(later, find_changes(prepare(job), load(later))) == later


def test_seams_that_were_moved_by_hand_stay_where_they_were_moved(tmp_path: Path) -> None:
    job = strips(draw(PLAIN, tmp_path / "old.pdf"))
    seam = prepare(job).plan.seams[0]
    job = replace(job, nudges=(Nudge(f"{seam.lower}|{seam.upper}", -2.0),))
    before = prepare(job)
    later = later_job(job, draw(altered(word="hood"), tmp_path / "new.pdf"))
    changes = find_changes(before, load(later))
    kept = carried_on(later, changes)
    assert kept is not None
    assert has_same_faces(plan_sheets(kept, changes.new).plan, before.plan)


def test_other_faces_are_told_apart(tmp_path: Path) -> None:
    job = strips(draw(PLAIN, tmp_path / "old.pdf"))
    plan = prepare(job).plan
    seam = plan.seams[0]
    moved = replace(job, nudges=(Nudge(f"{seam.lower}|{seam.upper}", -2.0),))
    assert has_same_faces(plan, plan)
    assert not has_same_faces(plan, prepare(moved).plan)
