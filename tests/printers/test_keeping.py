"""Readings kept in the user's folder, and the calibration sheet in a file."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from pypdf import PdfReader

from tiler.errors import PackError, PrinterError, UsageError
from tiler.geometry import Margins, Point
from tiler.printers.calibration import calibrate
from tiler.printers.in_use import default_name
from tiler.printers.keeping import keep_readings, known_profile, parse_offset, write_calibration_sheet
from tiler.printers.measure import SheetReadings
from tiler.printers.profile_words import scale_words
from tiler.printers.sheets import find_sheet

A4, A3, DAY = find_sheet("A4"), find_sheet("A3"), date(2026, 9, 1)
LENGTHS = {"top": 174.5, "left": 260.5}


def test_the_first_printer_is_in_use_and_the_next_is_not(tmp_path: Path) -> None:
    assert known_profile(tmp_path, "Studio") is None
    assert keep_readings(tmp_path, "Studio", SheetReadings(A4, LENGTHS), DAY).is_first
    assert not keep_readings(tmp_path, "Office", SheetReadings(A4, LENGTHS), DAY).is_first
    assert default_name(tmp_path) == "Studio"


def test_new_readings_leave_what_was_not_read(tmp_path: Path) -> None:
    keep_readings(tmp_path, "Studio", SheetReadings(A3, {}, Margins(5, 5, 5, 5)), DAY, queue="laser_2")
    keep_readings(tmp_path, "studio", SheetReadings(A4, LENGTHS), DAY)
    kept = known_profile(tmp_path, "Studio")
    assert kept is not None
    assert kept.margins_for(A3) == Margins(5, 5, 5, 5)
    assert kept.queue == "laser_2"
    assert kept.scale_x == pytest.approx(174.5 / 175, abs=1e-6)


def test_a_profile_begun_anew_forgets_the_old_one(tmp_path: Path) -> None:
    keep_readings(tmp_path, "Studio", SheetReadings(A3, {}, Margins(5, 5, 5, 5)), DAY)
    kept = keep_readings(tmp_path, "Studio", SheetReadings(A4, LENGTHS), DAY, anew=True).profile
    assert kept.margins_for(A3) is None


def test_refused_readings_leave_the_profile_as_it_was(tmp_path: Path) -> None:
    keep_readings(tmp_path, "Studio", SheetReadings(A4, LENGTHS), DAY)
    before = known_profile(tmp_path, "Studio")
    with pytest.raises(PrinterError, match="is no length"):
        keep_readings(tmp_path, "Studio", SheetReadings(A4, {"top": 0, "left": 260}), DAY)
    assert known_profile(tmp_path, "Studio") == before


def test_the_sheet_is_written_but_never_over_an_input(tmp_path: Path) -> None:
    path = tmp_path / "sheet.pdf"
    write_calibration_sheet(A4, path)
    assert len(PdfReader(path).pages) == 2
    with pytest.raises(PackError):
        write_calibration_sheet(A3, path, [path])
    # ISO 216: A4 is 210 mm wide
    assert float(PdfReader(path).pages[0].mediabox.width) == pytest.approx(210 / 25.4 * 72, abs=0.01)


def test_an_offset_is_two_lengths() -> None:
    assert parse_offset("-0.5,1") == Point(-0.5, 1)
    with pytest.raises(UsageError, match="not an offset"):
        parse_offset("1")


def test_scales_are_told_with_twice_their_uncertainty() -> None:
    # one bar of 175 mm read to 0.25 mm: 0.25 / 175 = 0.143 %, doubled 0.29 %
    across, along, skew = scale_words(calibrate(A4, {"top": 175.0, "left": 260.0}))
    assert across == "100.00 % ± 0.29"
    assert along == "100.00 % ± 0.19"
    assert skew == "not known without a diagonal"
