"""The calibration sheet measures what it says, on the shapes and on the rendered page."""

from __future__ import annotations

import io

import numpy as np
import pypdfium2
import pytest
from pypdf import PdfReader
from pypdf.generic import DictionaryObject

from tiler.errors import PrinterError
from tiler.geometry import Rect
from tiler.marks.shapes import Line, Words
from tiler.pack.ink import text_width
from tiler.plan.sheet import UNKNOWN_PRINTER
from tiler.printers.bars import BAR_STEP, calibration_bars, frame_of_bars
from tiler.printers.calibration_pdf import calibration_pdf
from tiler.printers.calibration_sheet import STEPS, calibration_pages
from tiler.printers.sheets import find_sheet

SHEETS = ["A5", "A4", "A3", "Letter", "Legal", "Tabloid", "JIS B5", "Executive", "A2"]


@pytest.mark.parametrize("name", SHEETS)
def test_bars_are_the_longest_whole_multiples_that_fit(name: str) -> None:
    sheet = find_sheet(name)
    page = sheet.oriented(False)
    frame = frame_of_bars(sheet)
    for side, bar in ((page.width, frame.width), (page.height, frame.height)):
        assert bar % BAR_STEP == 0
        assert side - 34 - BAR_STEP < bar <= side - 34
    assert frame.centre == pytest.approx(Rect(0, 0, *page).centre)


@pytest.mark.parametrize("name", SHEETS)
def test_all_bars_can_be_printed_with_unknown_margins(name: str) -> None:
    sheet = find_sheet(name)
    reachable = sheet.printable(UNKNOWN_PRINTER, landscape=False)
    for bar in calibration_bars(sheet):
        assert reachable.contains(bar.start)
        assert reachable.contains(bar.end)


@pytest.mark.parametrize("name", SHEETS)
def test_both_pages_have_exactly_the_sheets_size_and_all_ink_is_on_them(name: str) -> None:
    sheet = find_sheet(name)
    for page in calibration_pages(sheet, text_width):
        assert page.size == sheet.oriented(False)
        whole = Rect(0, 0, *page.size)
        for shape in page.shapes:
            if isinstance(shape, Line):
                assert all(whole.contains(point) for point in shape.points)


@pytest.mark.parametrize("name", SHEETS)
def test_each_edge_has_a_step_for_every_millimetre(name: str) -> None:
    sheet = find_sheet(name)
    front, back = calibration_pages(sheet, text_width)
    width, height = front.size
    for page in (front, back):
        numbers = [words.text for words in page.shapes if isinstance(words, Words)]
        lines = [shape.points for shape in page.shapes if isinstance(shape, Line)]
        for step in range(STEPS + 1):
            assert numbers.count(str(step)) >= 4
            level = {points[0].y for points in lines if points[0].y == points[1].y}
            upright = {points[0].x for points in lines if points[0].x == points[1].x}
            assert {float(step), height - step} <= level
            assert {float(step), width - step} <= upright


def test_no_text_runs_into_a_bar_or_the_square() -> None:
    # A5 is the tightest: everything written inside the square must stay inside it.
    sheet = find_sheet("A5")
    front, _ = calibration_pages(sheet, text_width)
    square = Rect(24, 55, 100, 100)
    for words in front.shapes:
        if isinstance(words, Words) and words.turn == 0 and square.contains(words.at):
            wide = text_width(words.text, words.size, words.bold)
            back = {"left": 0.0, "middle": wide / 2, "right": wide}[words.align]
            assert words.at.x - back > square.x + 1
            assert words.at.x - back + wide < square.right - 1


def test_the_rendered_bars_measure_what_they_say() -> None:
    # 600 dpi, so that a pixel is 0.04 mm; PDFium draws, not the code under test.
    document = pypdfium2.PdfDocument(calibration_pdf(find_sheet("A4")))
    bitmap = document[0].render(scale=600 / 72, grayscale=True).to_numpy()
    document.close()
    ink = np.asarray(bitmap).reshape(bitmap.shape[0], -1) < 128
    mm = 25.4 / 600
    row = ink[round(60 / mm)]  # crosses only the left and the right bar
    column = ink[:, round(60 / mm)]  # crosses top and bottom bar, and the square's upper and lower side
    at_x, at_y = np.flatnonzero(row) * mm, np.flatnonzero(column) * mm
    left, right = at_x[at_x < 100].mean(), at_x[at_x > 100].mean()
    top, bottom = at_y[at_y < 30].mean(), at_y[at_y > 270].mean()
    assert right - left == pytest.approx(175, abs=0.05)
    assert bottom - top == pytest.approx(260, abs=0.05)
    assert left == pytest.approx(17.5, abs=0.05)
    assert top == pytest.approx(18.5, abs=0.05)


def test_the_file_asks_for_actual_size_on_both_sides_and_carries_nothing_active() -> None:
    data = calibration_pdf(find_sheet("Letter"))
    reader = PdfReader(io.BytesIO(data))
    wishes = reader.root_object["/ViewerPreferences"].get_object()
    assert isinstance(wishes, DictionaryObject)
    assert str(wishes["/PrintScaling"]) == "/None"
    assert str(wishes["/Duplex"]) == "/DuplexFlipLongEdge"
    assert [tuple(page.mediabox) for page in reader.pages] == [(0, 0, 612, 792)] * 2
    assert all("/Annots" not in page for page in reader.pages)
    assert data == calibration_pdf(find_sheet("Letter"))


def test_a_sheet_that_cannot_hold_the_square_is_refused() -> None:
    with pytest.raises(PrinterError, match="too small"):
        calibration_pdf(find_sheet("A6"))
