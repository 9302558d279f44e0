"""Calibration against synthetic printers whose scale, skew and offset are known."""

from __future__ import annotations

import itertools
import math
import random
from dataclasses import dataclass, replace
from datetime import date

import pytest

from tiler.errors import PrinterError
from tiler.geometry import Affine, Margins, Point, Rect, Size
from tiler.printers.bars import calibration_bars
from tiler.printers.calibration import READING_ERROR, calibrate, error_in_words
from tiler.printers.profile import Profile, back_correction, correction
from tiler.printers.sheets import find_sheet

A4 = find_sheet("A4")
A3 = find_sheet("A3")


@dataclass(frozen=True)
class SyntheticPrinter:
    """Prints a page as an affine map: what the model claims, and a shift and turn that it must ignore."""

    scale_x: float
    scale_y: float
    skew: float
    turn: float = 0.0
    shift: tuple[float, float] = (0.0, 0.0)

    def prints(self) -> Affine:
        lean = math.radians(self.skew)
        shape = Affine(self.scale_x, 0, self.scale_y * math.sin(lean), self.scale_y * math.cos(lean), 0, 0)
        return shape.then(Affine.turn(self.turn)).then(Affine.shift(*self.shift))

    def prints_landscape(self, page: Size) -> Affine:
        """A landscape page, turned a quarter onto the upright sheet and looked at turned back."""
        onto = Affine.turn(90).then(Affine.shift(page.height, 0))
        return onto.then(self.prints()).then(onto.inverse())

    def readings(self, name: str, step: float = 0.0) -> dict[str, float]:
        """What a person reads on the printed sheet, rounded to ``step`` mm."""
        found = {}
        for bar in calibration_bars(find_sheet(name)):
            length = math.dist(self.prints().apply(*bar.start), self.prints().apply(*bar.end))
            found[bar.name] = round(length / step) * step if step else length
        return found


def random_printers(count: int) -> list[SyntheticPrinter]:
    dice = random.Random(20260901)
    return [
        SyntheticPrinter(
            scale_x=dice.uniform(0.985, 1.015),
            scale_y=dice.uniform(0.985, 1.015),
            skew=dice.uniform(-0.2, 0.2),
            turn=dice.uniform(-1, 1),
            shift=(dice.uniform(-3, 3), dice.uniform(-3, 3)),
        )
        for _ in range(count)
    ]


@pytest.mark.parametrize("sheet", ["A5", "A4", "Letter", "A3", "Tabloid"])
def test_exact_readings_give_the_printer_back_exactly(sheet: str) -> None:
    for printer in random_printers(20):
        found = calibrate(find_sheet(sheet), printer.readings(sheet))
        assert found.scale_x == pytest.approx(printer.scale_x, abs=1e-9)
        assert found.scale_y == pytest.approx(printer.scale_y, abs=1e-9)
        assert found.skew == pytest.approx(printer.skew, abs=1e-6)


def test_readings_to_half_a_millimetre_recover_the_printer_within_the_stated_uncertainty() -> None:
    misses = []
    for printer in random_printers(300):
        found = calibrate(A4, printer.readings("A4", step=0.5))
        assert found.error_skew is not None
        misses += [
            abs(found.scale_x - printer.scale_x) / found.error_x,
            abs(found.scale_y - printer.scale_y) / found.error_y,
            abs(found.skew - printer.skew) / found.error_skew,
        ]
    assert max(misses) <= 3
    assert sum(miss <= 2 for miss in misses) / len(misses) > 0.95
    assert max(misses) > 0.5  # the uncertainty is no empty promise either


def test_the_uncertainty_is_that_of_the_mean_of_two_bars_when_only_they_are_read() -> None:
    # GUM (JCGM 100:2008, 5.1.2): the mean of two like readings has 1/√2 of the uncertainty of one.
    readings = {"top": 175.0, "bottom": 175.0, "left": 260.0}
    found = calibrate(A4, readings)
    assert found.error_x == pytest.approx(READING_ERROR / 175 / math.sqrt(2), rel=1e-3)
    assert found.error_y == pytest.approx(READING_ERROR / 260, rel=1e-3)
    assert found.error_skew is None


def test_two_bars_alone_give_both_scales_and_leave_the_skew_open() -> None:
    found = calibrate(A4, {"top": 174.5, "left": 260.5})
    assert (found.scale_x, found.scale_y) == pytest.approx((174.5 / 175, 260.5 / 260))
    assert found.skew == 0
    assert found.error_skew is None


def profile_of(printer: SyntheticPrinter) -> Profile:
    found = calibrate(A3, printer.readings("A3"))
    return Profile("synthetic").with_calibration(found, date(2026, 9, 1))


def grid(page: Size) -> list[Point]:
    return [Point(x * page.width / 6, y * page.height / 6) for x in range(7) for y in range(7)]


@pytest.mark.parametrize("landscape", [False, True])
def test_corrected_pages_come_out_true_over_a3(landscape: bool) -> None:
    page = A3.oriented(landscape)
    for printer in random_printers(25):
        prints = printer.prints_landscape(page) if landscape else printer.prints()
        through = correction(profile_of(printer), page).then(prints)
        for one, other in itertools.combinations(grid(page), 2):
            on_paper = math.dist(through.apply(*one), through.apply(*other))
            assert abs(on_paper - math.dist(one, other)) < 0.1


@pytest.mark.parametrize("landscape", [False, True])
def test_the_same_pages_are_not_true_without_correction(landscape: bool) -> None:
    page = A3.oriented(landscape)
    printer = SyntheticPrinter(0.995, 1.004, 0.05)
    prints = printer.prints_landscape(page) if landscape else printer.prints()
    off = [
        abs(math.dist(prints.apply(*a), prints.apply(*b)) - math.dist(a, b))
        for a, b in itertools.combinations(grid(page), 2)
    ]
    assert max(off) > 1


def test_the_correction_keeps_the_middle_of_the_page() -> None:
    for page in (A4.oriented(False), A4.oriented(True)):
        profile = profile_of(SyntheticPrinter(0.99, 1.01, 0.1))
        middle = Rect(0, 0, *page).centre
        assert correction(profile, page).apply(*middle) == pytest.approx(middle)


def test_an_unmeasured_printer_is_left_alone() -> None:
    assert correction(Profile("new"), A4.size) == pytest.approx(Affine(1, 0, 0, 1, 0, 0))


def test_the_back_lands_behind_the_front() -> None:
    # The sheet is turned over its long edge, so right on the front is left on the back.
    page = A4.oriented(False)
    front, back = Point(0.7, -0.3), Point(-0.4, 0.9)
    seen_from_back = Point(page.width / 2 - front.x, page.height / 2 + front.y)
    cross_on_back = Point(page.width / 2 + back.x, page.height / 2 + back.y)
    reading = Point(seen_from_back.x - cross_on_back.x, seen_from_back.y - cross_on_back.y)
    moved = back_correction(replace(Profile("duplex"), back=reading), page)
    middle = moved.apply(page.width / 2, page.height / 2).shifted(*back)
    assert middle == pytest.approx(seen_from_back)


def scaled(sheet: str, across: float, along: float | None = None) -> dict[str, float]:
    return SyntheticPrinter(across, across if along is None else along, 0).readings(sheet, step=0.5)


@pytest.mark.parametrize(
    ("sheet", "scale", "margins", "said"),
    [
        ("A4", 0.971, None, "A4 fitted into margins of 3 mm (97.1 %)"),
        ("A4", 0.957, Margins(1.02, 3.4, 11.68, 3.4), "A4 fitted into this printer's margins (95.7 %)"),
        ("A4", 0.952, None, "A4 fitted into margins of 5 mm (95.2 %)"),
        ("Letter", 0.973, None, "a page of Letter fitted onto A4 (97.3 %)"),
        ("A3", 0.9798, None, "A3 fitted into margins of 3 mm (98 %)"),
        ("A4", 0.898, None, "onto Letter with margins of 6.35 mm (89.8 %)"),
    ],
)
def test_a_fitted_page_is_recognised(sheet: str, scale: float, margins: Margins | None, said: str) -> None:
    with pytest.raises(PrinterError) as caught:
        calibrate(find_sheet(sheet), scaled(sheet, scale), margins)
    assert said in str(caught.value)
    assert "actual size" in caught.value.remedy


@pytest.mark.parametrize("scale", [0.979, 1.021])
def test_scales_beyond_two_per_cent_are_refused(scale: float) -> None:
    with pytest.raises(PrinterError, match="actual size"):
        calibrate(A4, SyntheticPrinter(scale, scale, 0).readings("A4"))


@pytest.mark.parametrize("scale", [0.981, 1.019])
def test_scales_within_two_per_cent_are_taken(scale: float) -> None:
    assert calibrate(A4, SyntheticPrinter(scale, scale, 0).readings("A4")).scale_x == pytest.approx(scale)


def test_one_direction_alone_is_not_blamed_on_the_print_dialogue() -> None:
    with pytest.raises(PrinterError, match="no print dialogue scales one direction alone"):
        calibrate(A4, scaled("A4", 0.96, 1.0))


def test_a_fit_within_two_per_cent_is_taken_with_a_warning() -> None:
    a2 = find_sheet("A2")  # 414 of 420 mm is 98.6 %
    found = calibrate(a2, SyntheticPrinter(414 / 420, 414 / 420, 0).readings("A2"))
    assert len(found.warnings) == 1
    assert "A2 fitted into margins of 3 mm" in found.warnings[0]
    assert calibrate(A4, scaled("A4", 1.0)).warnings == ()


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"top": 0.0}, "'top' is 0 mm is no length"),
        ({"left": -260.0}, "is no length"),
        ({"left": float("nan")}, "is no length"),
        ({"left": float("inf")}, "is no length"),
        ({"top": 6.89}, "did you measure in inches? write 6.89in"),
        ({"top": 17.5}, "did you measure in centimetres? write 17.5cm"),
        ({"top": 260.0}, "is that the bar 'left'?"),
        ({"top": 99.8}, "is that the bar 'square-across'?"),
        ({"top": 260.5, "bottom": 260.0, "left": 175.0, "right": 174.5}, "did you swap them?"),
        ({"top": 124.0}, "slip of the pen"),
        ({"top": 178.0}, "'top' (178 mm) does not go with the others"),
        ({"right": 257.5}, "'right' (257.5 mm) does not go with the others"),
        ({"middle": 12.0}, "no bar called 'middle'"),
    ],
)
def test_slips_are_put_as_a_question(changed: dict[str, float], said: str) -> None:
    with pytest.raises(PrinterError) as caught:
        calibrate(A4, {**scaled("A4", 1.0), **changed})
    assert said in str(caught.value)


@pytest.mark.parametrize("readings", [{}, {"top": 175.0}, {"left": 260.0}, {"falling": 313.4}])
def test_one_direction_is_not_enough(readings: dict[str, float]) -> None:
    with pytest.raises(PrinterError, match="both directions"):
        calibrate(A4, readings)


def test_swapped_diagonals_of_a_skewed_page_are_asked_about() -> None:
    with pytest.raises(PrinterError, match="swap the two diagonals"):
        calibrate(A4, SyntheticPrinter(1, 1, 0.8).readings("A4"))


def test_small_sheets_are_no_place_to_calibrate() -> None:
    with pytest.raises(PrinterError, match="too small"):
        calibrate(find_sheet("A6"), {"top": 70.0, "left": 110.0})


def test_the_worth_of_a_correction_is_told_over_the_users_own_flat() -> None:
    found = calibrate(A4, SyntheticPrinter(0.99585, 1.0, 0).readings("A4"))
    words = error_in_words(found, Size(506, 426), "lid")
    assert words.startswith("over your 506 × 426 mm lid this is 2.1 mm too narrow; corrected")
    assert words.endswith("comes out true within 0.9 and 0.5 mm")  # twice the standard uncertainty


def test_a_true_printer_is_told_to_be_true() -> None:
    assert "as far as the readings can tell" in error_in_words(
        calibrate(A4, scaled("A4", 1.0)), Size(506, 426)
    )
