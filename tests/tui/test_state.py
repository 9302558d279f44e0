"""A session keeps its past and knows what is not saved."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from tiler.flat.read import Wanted
from tiler.geometry import Point
from tiler.job import Job
from tiler.printers.sheets import find_sheet
from tiler.tui.beside import default_output, default_ticket
from tiler.tui.state import Session, needs_another_look, needs_loading

JOB = Job(Path("jobs/lid.pdf"), find_sheet("A4"))
WIDER = replace(JOB, overlap=15.0)


def test_changes_are_taken_back_and_made_again() -> None:
    session = Session.of(JOB).changed(WIDER).changed(replace(WIDER, lighten=0.2))
    assert session.undone().job == WIDER
    assert session.undone().undone().job == JOB
    assert session.undone().undone().undone().job == JOB
    assert session.undone().redone() == session
    assert session.undone().changed(JOB).future == ()


def test_a_choice_is_unsaved_until_it_stands_in_a_ticket_or_a_pack() -> None:
    session = Session.of(JOB)
    assert not session.is_unsaved
    changed = session.changed(WIDER)
    assert changed.is_unsaved
    assert not changed.undone().is_unsaved
    assert not changed.saved(Path("job.toml")).is_unsaved
    assert not changed.written(Path("pack.pdf"), WIDER).is_unsaved
    assert changed.written(Path("pack.pdf"), JOB).is_unsaved


def test_a_password_is_no_choice_to_be_saved() -> None:
    session = Session.of(JOB)
    assert not replace(session, job=replace(JOB, wanted=Wanted(password="heron"))).is_unsaved


def test_only_changes_of_the_flat_read_it_anew() -> None:
    assert needs_loading(JOB, replace(JOB, wanted=Wanted(page=2)))
    assert not needs_loading(JOB, WIDER)
    assert needs_another_look(JOB, replace(JOB, creases=((Point(0, 0), Point(9, 0)),)))
    assert not needs_another_look(JOB, WIDER)


def test_files_go_beside_the_flat() -> None:
    assert default_output(JOB) == Path("jobs/lid_pack.pdf")
    assert default_ticket(JOB) == Path("jobs/lid_job.toml")
