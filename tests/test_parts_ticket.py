"""A ticket with parts, written and read again."""

from __future__ import annotations

import tomllib
from dataclasses import replace
from pathlib import Path

import pytest

from tiler.errors import PackError, UsageError
from tiler.flat.read import Wanted
from tiler.geometry import Margins, Point
from tiler.job import CheckPoint, Job
from tiler.parts import Part, is_parts_ticket, load_parts
from tiler.parts_ticket import on_paper_of, parts_text, save_parts
from tiler.plan.request import Nudge, Pin
from tiler.printers.sheets import find_sheet


def lid_and_tray(folder: Path, **of_both: object) -> tuple[Part, Part]:
    """Two parts that differ in what can differ."""
    job = Job(folder / "lid.pdf", find_sheet("A3"), margins=Margins(5, 5, 5, 5), overlap=15.0)
    job = replace(job, **of_both)  # type: ignore[arg-type]
    tray = replace(
        job,
        flat=folder / "tray.pdf",
        wanted=Wanted(page=2, box="trim"),
        scale=0.5,
        layout="grid",
        pins=(Pin("x", 185.0, 30.0),),
        nudges=(Nudge("A1|A2", -2.0),),
        lighten=0.3,
        inside=folder / "tray_in.pdf",
        check_points=(CheckPoint("bar code", Point(10, 20)),),
    )
    return Part("lid", job), Part("tray", tray)


def test_a_ticket_with_parts_read_again_gives_the_same_jobs(tmp_path: Path) -> None:
    parts = lid_and_tray(tmp_path)
    save_parts(parts, tmp_path / "job.toml")
    assert is_parts_ticket(tmp_path / "job.toml")
    assert load_parts(tmp_path / "job.toml") == parts


def test_what_the_parts_share_stands_once(tmp_path: Path) -> None:
    lid, tray = lid_and_tray(tmp_path)
    values = tomllib.loads(parts_text((lid, tray), tmp_path))
    assert values["paper"]["sheet"] == lid.job.sheet.name
    assert "plan" not in values, "the parts differ in it"
    assert [part["name"] for part in values["part"]] == ["lid", "tray"]
    same = tomllib.loads(parts_text((lid, replace(lid, name="base")), tmp_path))
    assert same["plan"]["overlap"] == 15.0
    assert all(not isinstance(value, dict) for part in same["part"] for value in part.values())


def test_files_are_named_from_the_folder_of_the_ticket(tmp_path: Path) -> None:
    values = tomllib.loads(parts_text(lid_and_tray(tmp_path), tmp_path / "tickets"))
    assert [part["file"] for part in values["part"]] == ["../lid.pdf", "../tray.pdf"]


def test_parts_on_different_paper_are_refused_in_a_sentence(tmp_path: Path) -> None:
    lid, tray = lid_and_tray(tmp_path)
    other = replace(tray, job=replace(tray.job, sheet=find_sheet("A4")))
    with pytest.raises(UsageError, match="not for the same paper"):
        parts_text((lid, other), tmp_path)
    assert parts_text(on_paper_of((lid, other), other.job), tmp_path)


def test_two_parts_of_one_name_are_refused(tmp_path: Path) -> None:
    lid, tray = lid_and_tray(tmp_path)
    with pytest.raises(UsageError, match="two parts are called 'lid'"):
        parts_text((lid, replace(tray, name="lid")), tmp_path)


def test_a_flat_is_never_overwritten_by_a_ticket(tmp_path: Path) -> None:
    lid, tray = lid_and_tray(tmp_path)
    tray.job.flat.write_bytes(b"%PDF")
    with pytest.raises(PackError, match="would be overwritten"):
        save_parts((lid, tray), tray.job.flat)
    assert tray.job.flat.read_bytes() == b"%PDF"
