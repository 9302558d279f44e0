"""Profiles survive the way to disk and back, and broken ones are told apart in one sentence."""

from __future__ import annotations

import os
from datetime import date
from pathlib import Path

import pytest

from tiler.errors import PrinterError
from tiler.geometry import Margins, Point
from tiler.printers.in_use import default_name, profiles_folder
from tiler.printers.profile import LoadedSheet, Profile
from tiler.printers.profile_files import (
    default_profile,
    list_profiles,
    load_profile,
    profile_path,
    save_profile,
    use_profile,
)
from tiler.printers.profile_text import read_profile, write_profile
from tiler.printers.sheets import find_sheet

FULL = Profile(
    name="Studio laser",
    sheets=(
        LoadedSheet(find_sheet("A4"), Margins(4.2, 4.2, 12.7, 4.2)),
        LoadedSheet(find_sheet("Letter"), Margins(4.2, 6.35, 12.7, 6.35)),
    ),
    scale_x=0.996831,
    scale_y=1.00121,
    skew=0.021,
    back=Point(0.4, -0.2),
    measured=date(2026, 9, 1),
    queue="studio_laser",
    note='rear tray, "heavy" paper\nsecond line \\ ümlaut',
)


@pytest.mark.parametrize("profile", [FULL, Profile("bare"), Profile("back", back=Point(0, 1.5))])
def test_a_profile_comes_back_as_it_was_written(profile: Profile, tmp_path: Path) -> None:
    save_profile(tmp_path, profile)
    assert load_profile(tmp_path, profile.name) == profile


def test_the_file_can_be_read_by_a_person() -> None:
    lines = write_profile(FULL).splitlines()
    assert lines[0].startswith("# Printer profile")
    assert "scale_x = 0.996831 # printed length / true length, across the upright sheet" in lines
    assert "margins = [4.2, 4.2, 12.7, 4.2] # top, right, bottom, left, mm" in lines


def test_hand_edits_are_taken() -> None:
    text = 'name = "mine"\n[[sheet]]\nname = "a3"\nmargins = [5, 5, 5, 5]  # whole numbers\n'
    assert read_profile(text, "x").margins_for(find_sheet("A3")) == Margins(5, 5, 5, 5)


def test_case_and_spaces_of_a_name_do_not_matter(tmp_path: Path) -> None:
    save_profile(tmp_path, FULL)
    assert load_profile(tmp_path, " studio  LASER ").name == "Studio laser"


def test_nothing_is_overwritten_without_being_asked(tmp_path: Path) -> None:
    path = save_profile(tmp_path, FULL)
    before = path.read_bytes()
    with pytest.raises(PrinterError, match="already a printer profile"):
        save_profile(tmp_path, Profile("studio LASER"))
    assert path.read_bytes() == before
    save_profile(tmp_path, Profile("Studio laser", note="new"), replace=True)
    assert load_profile(tmp_path, "Studio laser").note == "new"


def test_a_failed_write_leaves_the_old_file_and_no_litter(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = save_profile(tmp_path, FULL)

    def full_disk(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "replace", full_disk)
    with pytest.raises(PrinterError, match="No space left"):
        save_profile(tmp_path, Profile("Studio laser"), replace=True)
    assert os.listdir(path.parent) == [path.name]
    assert load_profile(tmp_path, "Studio laser") == FULL


def test_the_default_printer_is_remembered(tmp_path: Path) -> None:
    assert default_name(tmp_path) is None
    assert default_profile(tmp_path) is None
    save_profile(tmp_path, FULL)
    assert use_profile(tmp_path, "studio laser") == FULL
    assert default_profile(tmp_path) == FULL
    assert list_profiles(tmp_path).default == "Studio laser"


def test_a_default_that_is_gone_is_told(tmp_path: Path) -> None:
    path = save_profile(tmp_path, FULL)
    use_profile(tmp_path, FULL.name)
    path.unlink()
    with pytest.raises(PrinterError, match="no printer profile 'Studio laser'"):
        default_profile(tmp_path)


def test_one_broken_file_does_not_hide_the_others(tmp_path: Path) -> None:
    save_profile(tmp_path, FULL)
    (tmp_path / "printers" / "broken.toml").write_text("name = ")
    (tmp_path / "printers" / "binary.toml").write_bytes(b"\xff\xfe\x00")
    (tmp_path / "printers" / "long.toml").write_bytes(b"#" * 1_000_001)
    (tmp_path / "default.toml").write_text("printer = 3")
    listing = list_profiles(tmp_path)
    assert [profile.name for profile in listing.profiles] == ["Studio laser"]
    assert len(listing.problems) == 4
    assert listing.default is None


def test_an_empty_folder_lists_nothing(tmp_path: Path) -> None:
    assert list_profiles(tmp_path / "none").profiles == ()
    with pytest.raises(PrinterError, match="tiler printer calibrate"):
        load_profile(tmp_path / "none", "x")


@pytest.mark.parametrize(
    "name", ["", "  ", "../evil", "a/b", "a\\b", ".hidden", "-d", "con", "LPT1", "x" * 61]
)
def test_names_that_make_no_file_are_refused(name: str, tmp_path: Path) -> None:
    with pytest.raises(PrinterError, match="cannot be the name"):
        profile_path(tmp_path, name)


@pytest.mark.parametrize(
    ("text", "line", "said"),
    [
        ('name = "x"\nscale = = 2\n', 2, "invalid value"),
        ('name = "x"\nnote = "open\n', 2, ""),
        (
            'name = "x"\n[measured]\ndate = 2026-09-01\nscale_x = 0.5\n',
            4,
            "'scale_x' is not a number from 0.98",
        ),
        ('name = "x"\n[measured]\nscale_x = 1.0\n', 2, "'date' must be the day"),
        ('name = "x"\n[measured]\ndate = "yesterday"\n', 3, "'date' must be the day"),
        ('name = "x"\n[measured]\ndate = 2026-09-01\nscale_y = nan\n', 4, "'scale_y'"),
        ('name = "x"\n[measured]\ndate = 2026-09-01\nscale_y = true\n', 4, "'scale_y'"),
        ('name = "x"\nmeasured = 3\n', 2, "must be a table"),
        ('name = "x"\n[back]\nright = 40\n', 3, "'right' is not a number from -20 to 20"),
        ('name = "x"\nspeed = 3\n', 2, "'speed' means nothing here"),
        ("name = 3\n", 1, "'name' must be text"),
        ('name = "x"\nsheet = 3\n', 2, "'sheet' must be a list"),
        ('name = "x"\n[[sheet]]\nname = "A4"\nmargins = [1, 2]\n', 4, "not four lengths"),
        ('name = "x"\n[[sheet]]\nname = "A4"\nmargins = [1, 2, 3, 200]\n', 4, "leave room to print"),
        ('name = "x"\n[[sheet]]\nname = "A4"\nmargins = [1, 2, 3, -1]\n', 4, "leave room to print"),
        ('name = "x"\n[[sheet]]\nname = "B4"\nmargins = [1, 2, 3, 4]\n', 3, "names two sheets"),
    ],
)
def test_a_broken_profile_is_told_with_file_line_and_remedy(text: str, line: int, said: str) -> None:
    with pytest.raises(PrinterError) as caught:
        read_profile(text, "lab.toml")
    assert str(caught.value).startswith(f"lab.toml, line {line}: ")
    assert said in str(caught.value)
    assert caught.value.remedy


def test_a_profile_without_a_name_is_told() -> None:
    with pytest.raises(PrinterError, match=r"lab.toml: 'name' must be text"):
        read_profile("", "lab.toml")


def test_the_folder_is_the_systems(monkeypatch: pytest.MonkeyPatch) -> None:
    assert profiles_folder().name == "tiler"
