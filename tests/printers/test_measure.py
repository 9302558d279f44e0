"""From readings to a profile."""

from __future__ import annotations

from datetime import date

import pytest

from tiler.errors import PrinterError
from tiler.geometry import Margins, Point
from tiler.printers.measure import SheetReadings, measured_profile
from tiler.printers.profile import Profile
from tiler.printers.sheets import find_sheet

A4 = find_sheet("A4")
DAY = date(2026, 9, 1)
EDGES = Margins(4, 5, 12, 4)


def test_all_readings_of_a_sheet_go_into_the_profile() -> None:
    readings = SheetReadings(A4, {"top": 174.5, "left": 260.5}, EDGES, Point(0.5, -1))
    profile, found = measured_profile(Profile("new"), readings, DAY)
    assert found is not None
    assert (profile.scale_x, profile.scale_y) == pytest.approx((174.5 / 175, 260.5 / 260))
    assert profile.margins_for(A4) == EDGES
    assert profile.back == Point(0.5, -1)
    assert profile.measured == DAY


def test_margins_alone_leave_the_scale_as_it_was() -> None:
    before, _ = measured_profile(Profile("p"), SheetReadings(A4, {"top": 174.5, "left": 260.5}), DAY)
    after, found = measured_profile(before, SheetReadings(A4, {}, EDGES), date(2026, 9, 2))
    assert found is None
    assert (after.scale_x, after.measured) == (before.scale_x, DAY)


def test_a_sheet_measured_again_replaces_its_margins() -> None:
    profile = Profile("p").with_sheet(A4, EDGES).with_sheet(find_sheet("A3"), EDGES)
    again = profile.with_sheet(A4, Margins(6, 6, 6, 6))
    assert [loaded.sheet.name for loaded in again.sheets] == [A4.name, "iso_a3_297x420mm"]
    assert again.margins_for(A4) == Margins(6, 6, 6, 6)
    assert again.margins_for(find_sheet("custom_tray_209.8x297mm")) == Margins(6, 6, 6, 6)
    assert again.margins_for(find_sheet("Letter")) is None


def test_the_margins_just_read_help_to_recognise_a_fitted_page() -> None:
    lengths = {"top": 175 * 196 / 210, "left": 260 * 196 / 210}
    with pytest.raises(PrinterError, match="this printer's margins"):
        measured_profile(Profile("p"), SheetReadings(A4, lengths, Margins(7, 7, 7, 7)), DAY)


@pytest.mark.parametrize(
    ("readings", "said"),
    [
        (SheetReadings(A4, {}), "no reading"),
        (SheetReadings(A4, {}, Margins(0, 4, 4, 4)), "borderless"),
        (SheetReadings(A4, {}, Margins(4, 4, 60, 4)), "at the bottom edge"),
        (SheetReadings(A4, {}, None, Point(0, 25)), "the back cannot be"),
    ],
)
def test_readings_that_cannot_be_are_refused(readings: SheetReadings, said: str) -> None:
    with pytest.raises(PrinterError, match=said):
        measured_profile(Profile("p"), readings, DAY)
