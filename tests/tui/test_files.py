"""Pasted paths and recent files."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.tui.piloting import small_job
from tiler.parts import Part
from tiler.parts_ticket import save_parts
from tiler.ticket import save_ticket
from tiler.tui.pasted import is_opened, is_ticket, not_opened, pasted_path
from tiler.tui.recent import KEPT, recent_files, remember


@pytest.mark.parametrize(
    ("text", "path"),
    [
        ("/jobs/lid.pdf", "/jobs/lid.pdf"),
        ("'/jobs/my lid.pdf' ", "/jobs/my lid.pdf"),
        ('"/jobs/my lid.pdf"', "/jobs/my lid.pdf"),
        (r"/jobs/my\ lid\(2\).pdf", "/jobs/my lid(2).pdf"),
        ("file:///jobs/my%20lid.pdf", "/jobs/my lid.pdf"),
        ("lid.pdf\n", "lid.pdf"),
    ],
)
def test_what_terminals_paste_for_a_file_is_understood(text: str, path: str) -> None:
    assert pasted_path(text) == Path(path)


@pytest.mark.parametrize("text", ["", "hello", "two\nlines.pdf", "x" * 5000, "\0.pdf"])
def test_other_text_is_no_path(text: str) -> None:
    assert pasted_path(text) is None


def test_what_is_no_file_is_told_and_other_words_are_not(tmp_path: Path) -> None:
    assert "is a folder: drop a flat" in not_opened(tmp_path)
    assert not_opened(tmp_path / "gone") == f"There is no file {tmp_path / 'gone'} on this computer."
    assert "There is no file lid.pdf" in not_opened(Path("lid.pdf"))
    assert not_opened(Path("lid and/or tray")) == ""


def test_flats_and_tickets_are_told_by_their_endings() -> None:
    assert is_opened(Path("Lid.PDF"))
    assert not is_opened(Path("notes.docx"))
    assert not is_opened(Path(".hidden.pdf"))
    assert is_ticket(Path("job.toml"))


def test_of_toml_files_only_job_tickets_are_offered(tmp_path: Path) -> None:
    one, several = tmp_path / "one.toml", tmp_path / "several.toml"
    save_ticket(small_job(tmp_path), one)
    save_parts((Part("lid", small_job(tmp_path)),), several)
    other = tmp_path / "pyproject.toml"
    other.write_text('[project]\nname = "x"\nversion = "1"\n', "utf-8")
    (tmp_path / "empty.toml").touch()
    assert is_opened(one)
    assert is_opened(several)
    assert not is_opened(other)
    assert not is_opened(tmp_path / "empty.toml")
    assert not is_opened(tmp_path / "missing.toml")


def test_the_latest_file_comes_first_and_missing_ones_are_left_out(tmp_path: Path) -> None:
    files = [tmp_path / f"flat{number}.pdf" for number in range(KEPT + 3)]
    for file in files:
        file.touch()
        remember(tmp_path / "state", file)
    remember(tmp_path / "state", files[5])
    files[-1].unlink()
    found = recent_files(tmp_path / "state")
    assert found[:2] == (files[5], files[-2])
    assert len(found) <= KEPT


def test_a_broken_list_is_no_matter(tmp_path: Path) -> None:
    (tmp_path / "recent.json").write_text("{", "utf-8")
    assert recent_files(tmp_path) == ()
    (tmp_path / "recent.json").write_text("3", "utf-8")
    assert recent_files(tmp_path) == ()
    (tmp_path / "file").touch()
    remember(tmp_path / "file" / "no folder", tmp_path / "file")
