"""Bar codes: what another library draws is read back, and measured against the figures that GS1 publishes."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from pypdf import PdfReader, PdfWriter
from pypdf.generic import NameObject, NumberObject
from reportlab.graphics.barcode.common import I2of5
from reportlab.graphics.barcode.eanbc import UPCA, Ean8BarcodeWidget, Ean13BarcodeWidget
from reportlab.lib.utils import ImageReader
from reportlab.pdfgen.canvas import Canvas

from tests.checks.planted import BLACK, HEIGHT, Sheet
from tests.flat.text_art import MM
from tiler.checks.codes import quiet_zones
from tiler.checks.finding import Finding
from tiler.checks.run import run_checks
from tiler.checks.sight import looking_at
from tiler.checks.symbol import Symbol
from tiler.checks.symbols import find_symbols
from tiler.flat.raster import render
from tiler.flat.read import Flat, Wanted, read_flat
from tiler.geometry import Rect
from tiler.structure.model import Structure


def sheet_pdf(path: Path, draw: object, rotate: int = 0) -> Path:
    """A page with what ``draw`` puts on a ``Sheet``."""
    out = io.BytesIO()
    canvas = Canvas(out, pagesize=(280 * MM, HEIGHT * MM), invariant=1)
    draw(Sheet(canvas))  # type: ignore[operator]
    canvas.save()
    writer = PdfWriter(clone_from=PdfReader(out))
    if rotate:
        writer.pages[0][NameObject("/Rotate")] = NumberObject(rotate)
    writer.write(path)
    return path


def symbols_on(flat: Flat) -> tuple[Symbol, ...]:
    with looking_at(flat, Structure(), 3.0, 0.75) as sight:
        return find_symbols(sight)


def code_findings(path: Path) -> list[Finding]:
    report = run_checks(read_flat(path, Wanted()))
    return [finding for finding in report.findings if finding.rule.startswith("code.")]


@pytest.mark.parametrize(
    ("kind", "value", "name"),
    [
        (Ean13BarcodeWidget, "290041700326", "EAN-13"),
        (Ean13BarcodeWidget, "978316148410", "EAN-13"),
        (Ean13BarcodeWidget, "512345678901", "EAN-13"),
        (Ean13BarcodeWidget, "899999999999", "EAN-13"),
        (Ean8BarcodeWidget, "2900417", "EAN-8"),
        (Ean8BarcodeWidget, "9638507", "EAN-8"),
        (UPCA, "03600029145", "UPC-A"),
        (UPCA, "72527273070", "UPC-A"),
    ],
)
def test_symbols_of_another_library_are_read(tmp_path: Path, kind: type, value: str, name: str) -> None:
    path = sheet_pdf(tmp_path / "a.pdf", lambda sheet: sheet.code(kind, value, 60, 60))
    (symbol,) = symbols_on(read_flat(path, Wanted()))
    assert symbol.kind == name
    assert symbol.digits[:-1] == value
    assert symbol.has_right_check_digit
    assert symbol.module == pytest.approx(0.33, rel=0.001)


def test_a_retail_symbol_at_100_percent_has_the_nominal_measures(tmp_path: Path) -> None:
    """GS1 General Specifications: 31.35 mm of bars, 37.29 mm with quiet zones, bars 22.85 mm high."""
    path = sheet_pdf(tmp_path / "a.pdf", lambda s: s.code(Ean13BarcodeWidget, "290041700326", 60, 60))
    (symbol,) = symbols_on(read_flat(path, Wanted()))
    before, after = quiet_zones(symbol)
    assert symbol.box.width == pytest.approx(31.35, abs=0.01)
    assert before.width + symbol.box.width + after.width == pytest.approx(37.29, abs=0.01)
    assert before.right == pytest.approx(symbol.box.x)
    assert symbol.height == pytest.approx(22.85, abs=0.01)
    assert code_findings(path) == []


@pytest.mark.parametrize(
    ("percent", "rules"), [(78, ["code.module"]), (80, []), (200, []), (203, ["code.module"])]
)
def test_magnification_runs_from_80_to_200_percent(tmp_path: Path, percent: int, rules: list[str]) -> None:
    """GS1 General Specifications: modules from 0.264 to 0.660 mm at retail sale."""
    k = percent / 100
    path = sheet_pdf(
        tmp_path / "a.pdf",
        lambda s: s.code(Ean13BarcodeWidget, "290041700326", 60, 60, 0.33 * k, 22.85 * k),
    )
    assert [finding.rule for finding in code_findings(path)] == rules


@pytest.mark.parametrize("rotate", [0, 90, 180, 270])
def test_a_symbol_is_found_however_the_page_is_turned(tmp_path: Path, rotate: int) -> None:
    path = sheet_pdf(
        tmp_path / "a.pdf", lambda s: s.code(Ean8BarcodeWidget, "2900417", 60, 60, height=18.23), rotate
    )
    (symbol,) = symbols_on(read_flat(path, Wanted()))
    assert symbol.digits == "29004171"
    assert symbol.is_upright == (rotate in (90, 270))
    assert symbol.is_backwards == (rotate in (180, 270))
    assert code_findings(path) == []


@pytest.mark.parametrize(("side", "modules"), [("left", 11), ("right", 7)])
def test_each_side_has_its_own_quiet_zone(tmp_path: Path, side: str, modules: int) -> None:
    """GS1: EAN-13 needs 11 modules before and 7 after; a line just inside is found, none just outside."""

    def draw(sheet: Sheet, gap: float) -> None:
        sheet.code(Ean13BarcodeWidget, "290041700326", 60, 60)
        x = 60 - gap - 0.5 if side == "left" else 60 + 31.35 + gap
        sheet.fill(x, 58, 0.5, 24, BLACK)

    near = modules * 0.33 - 0.4
    (finding,) = code_findings(sheet_pdf(tmp_path / "a.pdf", lambda s: draw(s, near)))
    assert finding.rule == "code.quiet_zone"
    assert finding.measured == pytest.approx(near, rel=0.02)
    assert finding.limit == pytest.approx(modules * 0.33, rel=0.001)
    assert code_findings(sheet_pdf(tmp_path / "b.pdf", lambda s: draw(s, modules * 0.33 + 0.1))) == []


def test_itf_14_is_read_and_held_against_its_own_limits(tmp_path: Path) -> None:
    """GS1: ITF-14 has modules of 0.495 to 1.016 mm and bars of 31.75 mm; drawn here at 0.4 and 31.75 mm."""

    def draw(sheet: Sheet) -> None:
        code = I2of5(
            "12345678901231", barWidth=0.4 * MM, barHeight=31.75 * MM, ratio=2.5, checksum=0, bearers=0
        )
        code.drawOn(sheet.canvas, 60 * MM, 60 * MM)

    path = sheet_pdf(tmp_path / "a.pdf", draw)
    (symbol,) = symbols_on(read_flat(path, Wanted()))
    assert (symbol.kind, symbol.digits) == ("ITF-14", "12345678901231")
    assert symbol.module == pytest.approx(0.4, rel=0.01)
    assert [finding.rule for finding in code_findings(path)] == ["code.module"]


@pytest.mark.parametrize("rotate", [0, 90])
def test_a_symbol_in_pixels_is_read_from_the_pixels(tmp_path: Path, rotate: int) -> None:
    """The same symbol as picture flat at 600 ppi; its measures are those of the vector symbol within 2 %."""
    vector = read_flat(
        sheet_pdf(
            tmp_path / "a.pdf", lambda s: s.code(Ean13BarcodeWidget, "290041700326", 60, 60, 0.3, 20), rotate
        ),
        Wanted(),
    )
    (drawn,) = symbols_on(vector)
    window = drawn.box.grown(12)
    render(vector, window, 600 / 25.4).save(tmp_path / "a.png", dpi=(600, 600))
    (scanned,) = symbols_on(read_flat(tmp_path / "a.png", Wanted()))
    assert scanned.digits == drawn.digits == "2900417003268"
    assert scanned.in_pixels
    assert scanned.module == pytest.approx(0.3, rel=0.02)
    assert scanned.height == pytest.approx(20, rel=0.02)
    assert scanned.box.shifted(window.x, window.y) == pytest.approx(drawn.box, abs=0.1)


def test_a_symbol_in_a_placed_picture_is_read(tmp_path: Path) -> None:
    source = sheet_pdf(tmp_path / "s.pdf", lambda s: s.code(Ean8BarcodeWidget, "2900417", 60, 60))
    picture = render(read_flat(source, Wanted()), Rect(50, 55, 45, 35), 24)
    out = Canvas(str(tmp_path / "a.pdf"), pagesize=(200 * MM, 200 * MM), invariant=1)
    out.drawImage(ImageReader(picture), 70 * MM, 80 * MM, 45 * MM, 35 * MM)
    out.save()
    (symbol,) = symbols_on(read_flat(tmp_path / "a.pdf", Wanted()))
    assert symbol.digits == "29004171"
    assert symbol.box.x == pytest.approx(80, abs=0.1)


def test_bars_that_are_no_symbol_are_no_symbol(tmp_path: Path) -> None:
    def draw(sheet: Sheet) -> None:
        for index in range(60):
            sheet.fill(40 + index * 1.1, 60, 0.3 + (index * 7 % 5) * 0.1, 20, BLACK)

    assert symbols_on(read_flat(sheet_pdf(tmp_path / "a.pdf", draw), Wanted())) == ()
