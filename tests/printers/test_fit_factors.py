"""The factors of "fit to page", by hand: (side - margins) / side, the smaller of both sides."""

from __future__ import annotations

import pytest

from tiler.geometry import Margins
from tiler.printers.fit_factors import fit_factor, fit_factors, likely_fit
from tiler.printers.sheets import find_sheet


@pytest.mark.parametrize(
    ("page", "paper", "margins", "percent"),
    [
        ("A4", "A4", Margins(3, 3, 3, 3), 97.1),  # 204 / 210
        ("A4", "A4", Margins(4.23, 4.23, 4.23, 4.23), 96.0),  # 201.54 / 210
        ("A4", "A4", Margins(1.02, 3.4, 11.68, 3.4), 95.7),  # 284.3 / 297
        ("A4", "A4", Margins(5, 5, 5, 5), 95.2),  # 200 / 210
        ("A4", "A4", Margins(6.35, 6.35, 6.35, 6.35), 94.0),  # 197.3 / 210
        ("Letter", "Letter", Margins(6.35, 6.35, 6.35, 6.35), 94.1),  # 203.2 / 215.9
        ("Letter", "Letter", Margins(4.23, 4.23, 4.23, 4.23), 96.1),  # 207.44 / 215.9
        ("Letter", "Letter", Margins(3, 3, 3, 3), 97.2),  # 209.9 / 215.9
        ("A4", "Letter", Margins(0, 0, 0, 0), 94.1),  # 279.4 / 297
        ("Letter", "A4", Margins(0, 0, 0, 0), 97.3),  # 210 / 215.9
        ("A4", "Letter", Margins(6.35, 6.35, 6.35, 6.35), 89.8),  # 266.7 / 297
        ("A3", "A3", Margins(3, 3, 3, 3), 98.0),  # 291 / 297
    ],
)
def test_fit_factors_follow_from_sheet_and_margins(
    page: str, paper: str, margins: Margins, percent: float
) -> None:
    factor = fit_factor(find_sheet(page).size, find_sheet(paper).size, margins)
    assert round(100 * factor, 1) == percent


def test_the_printers_own_margins_come_first() -> None:
    found = fit_factors(find_sheet("A4"), Margins(7, 7, 7, 7))
    assert found[0].factor == pytest.approx(196 / 210)
    assert "this printer's margins" in found[0].cause


def test_a_scale_far_from_all_factors_is_no_fit() -> None:
    assert likely_fit(0.985, find_sheet("A4")) is None
    assert likely_fit(0.9714, find_sheet("A4")) is not None
