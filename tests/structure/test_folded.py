"""Folded sizes of plain boxes; none for what is no plain box.

FEFCO measures a blank from the centre of one crease to the centre of the next (FEFCO-ESBO International
Fibreboard Case Code, as quoted by kitepackaging.co.uk); the flats below are laid out by hand on that rule.
"""

from __future__ import annotations

import pytest

from tests.structure.cartons import box, down
from tests.structure.test_mend import CREASE, chain, read
from tiler.structure.lines import Line


def slotted_case(length: float, width: float, height: float, reach: float, last: float) -> list[Line]:
    """FEFCO 0201: joint 35, panels L, B, L, B (the last cut ``last`` short), flaps above and below."""
    xs = [35.0]
    for wide in (length, width, length, width - last):
        xs.append(xs[-1] + wide)
    top, low = reach, reach + height
    lines = [chain(*down(x, top, low), kind=CREASE) for x in xs[:-1]]
    lines += [chain((xs[0], y), (xs[-1], y), kind=CREASE) for y in (top, low)]
    lines.append(chain((xs[0], top), (0, top + 10), (0, low - 10), (xs[0], low)))
    lines.append(
        chain(
            (xs[0], top), (xs[0], 0), (xs[-1], 0), (xs[-1], low + reach), (xs[0], low + reach), (xs[0], low)
        )
    )
    for x in xs[1:-1]:
        lines += [chain(*down(x, 0, top)), chain(*down(x, low, low + reach))]
    return lines


def test_a_slotted_case_measures_from_crease_to_crease() -> None:
    """L 300, B 200, H 150 on a blank of 35 + 300 + 200 + 300 + 200 by 100 + 150 + 100."""
    structure = read(*slotted_case(300, 200, 150, 100, last=0))
    assert len(structure.panels) == 13
    assert structure.folded == pytest.approx((300, 200, 150), abs=0.05)
    extent = structure.extent
    assert extent is not None
    assert extent.size == pytest.approx((1035, 350), abs=0.05)


def test_a_last_panel_cut_a_little_short_changes_nothing() -> None:
    """The fourth panel is made a little narrower so that it does not stand out beyond the joint."""
    assert read(*slotted_case(300, 200, 150, 100, last=1.5)).folded == pytest.approx(
        (300, 200, 150), abs=0.05
    )


def test_full_overlap_flaps_on_all_panels_are_still_a_case() -> None:
    """FEFCO 0203: flaps as deep as the case is wide."""
    assert read(*slotted_case(300, 200, 150, 200, last=0)).folded == pytest.approx((300, 200, 150), abs=0.05)


def test_a_flat_that_lies_askew_folds_to_the_same_size() -> None:
    turned = [
        Line(
            tuple(type(p)(0.8 * p.x - 0.6 * p.y + 300, 0.6 * p.x + 0.8 * p.y) for p in line.points), line.kind
        )
        for line in slotted_case(300, 200, 150, 100, last=0)
    ]
    assert read(*turned).folded == pytest.approx((300, 200, 150), abs=0.1)


def walls(left: float, right: float, top: float, bottom: float) -> list[Line]:
    """A base 100 × 60 with walls of these depths."""
    x0, x1, y0, y1 = left, left + 100, top, top + 60
    outline = [(x0, 0), (x1, 0), (x1, y0), (x1 + right, y0), (x1 + right, y1), (x1, y1), (x1, y1 + bottom),
               (x0, y1 + bottom), (x0, y1), (0, y1), (0, y0), (x0, y0), (x0, 0)]  # fmt: skip
    return [chain(*outline), chain(*box(x0, y0, 100, 60), kind=CREASE)]


def test_walls_of_one_depth_make_a_tray_and_others_do_not() -> None:
    assert read(*walls(25, 25, 25, 25)).folded == pytest.approx((100, 60, 25), abs=0.05)
    assert read(*walls(25, 25.6, 25, 25)).folded == pytest.approx((100, 60, 25.6), abs=0.05)
    assert read(*walls(25, 25, 40, 40)).folded is None
    assert read(*walls(25, 40, 25, 25)).folded is None


def test_two_panels_are_no_box() -> None:
    outline = chain(*box(0, 0, 100, 50))
    assert read(outline, chain(*down(40, 0, 50), kind=CREASE)).folded is None
