"""Bleed along the real outline: curves, windows, art that ends before the cut."""

from __future__ import annotations

import io
import math
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path

import pytest
from reportlab.pdfgen.canvas import Canvas

from tests.checks.planted import BLACK, CUT, GROUND, HEIGHT, WHITE, Sheet
from tests.flat.text_art import MM
from tests.sample_plans import A4
from tiler.checks.finding import Finding
from tiler.checks.run import run_checks
from tiler.job import Job
from tiler.load import load


def findings(path: Path, draw: Callable[[Sheet], None], rule: str) -> list[Finding]:
    out = io.BytesIO()
    canvas = Canvas(out, pagesize=(280 * MM, HEIGHT * MM), invariant=1)
    draw(Sheet(canvas))
    canvas.save()
    path.write_bytes(out.getvalue())
    loaded = load(Job(flat=path, sheet=A4))
    assert loaded.structure.panels
    return [f for f in run_checks(loaded.flat, loaded.structure).findings if f.rule == rule]


def outline(sheet: Sheet) -> None:
    corners = ((40, 40), (240, 40), (240, 160), (40, 160), (40, 40))
    for (x1, y1), (x2, y2) in pairwise(corners):
        sheet.line(x1, y1, x2, y2, 0.5, CUT)


def disc(sheet: Sheet, radius: float, colour: object, fill: bool) -> None:
    canvas = sheet.canvas
    canvas.setLineWidth(0.5)
    (canvas.setFillColor if fill else canvas.setStrokeColor)(colour)
    canvas.circle(140 * MM, (HEIGHT - 100) * MM, radius * MM, stroke=not fill, fill=fill)


@pytest.mark.parametrize(("reach", "found"), [(3.0, 0), (2.95, 0), (2.0, 1), (0.5, 1)])
def test_bleed_is_measured_along_a_round_cut(tmp_path: Path, reach: float, found: int) -> None:
    """The bounding box of a round label tells nothing of its bleed; the outline does."""

    def draw(sheet: Sheet) -> None:
        disc(sheet, 60 + reach, GROUND, fill=True)
        disc(sheet, 60, CUT, fill=False)

    short = findings(tmp_path / "a.pdf", draw, "bleed.short")
    assert len(short) == found
    for finding in short:
        assert finding.measured == pytest.approx(reach, abs=0.04)
        assert finding.box.width == pytest.approx(120, abs=3)


def test_a_window_needs_bleed_inwards(tmp_path: Path) -> None:
    def draw(sheet: Sheet) -> None:
        sheet.fill(37, 37, 206, 126, GROUND)
        disc(sheet, 30 - 1.2, WHITE, fill=True)
        outline(sheet)
        disc(sheet, 30, CUT, fill=False)

    (finding,) = findings(tmp_path / "a.pdf", draw, "bleed.short")
    assert finding.measured == pytest.approx(1.2, abs=0.04)
    assert finding.box.centre == pytest.approx((140, 100), abs=1)


@pytest.mark.parametrize(
    "art",
    [
        pytest.param((45, 45, 190, 110), id="art that ends well before the cut"),
        pytest.param((37, 60, 40, 30), id="art that bleeds on one side and ends within"),
        pytest.param((37, 37, 206, 126), id="art that bleeds all round"),
    ],
)
def test_art_that_is_right_is_left_alone(tmp_path: Path, art: tuple[float, float, float, float]) -> None:
    def draw(sheet: Sheet) -> None:
        sheet.fill(*art, GROUND)
        outline(sheet)

    assert findings(tmp_path / "a.pdf", draw, "bleed.short") == []


def test_art_that_stops_at_the_cut_has_no_bleed(tmp_path: Path) -> None:
    def draw(sheet: Sheet) -> None:
        sheet.fill(40, 37, 203, 126, GROUND)
        outline(sheet)

    (finding,) = findings(tmp_path / "a.pdf", draw, "bleed.short")
    assert finding.measured == 0
    assert finding.box.x == pytest.approx(39.5, abs=0.1)
    assert finding.box.height == pytest.approx(120, abs=3)


@pytest.mark.parametrize(("gap", "found"), [(3.2, 0), (2.0, 1)])
def test_slanting_text_is_measured_to_its_own_outline(tmp_path: Path, gap: float, found: int) -> None:
    """The upright box of slanting words would reach over the cut; the words keep their distance.

    A line at 45 degrees whose foot, a letter without a part below the base line, ends ``gap`` from the cut.
    """

    def draw(sheet: Sheet) -> None:
        outline(sheet)
        canvas = sheet.canvas
        canvas.saveState()
        size, cap = 12, 0.656 * 12 * 25.4 / 72
        canvas.translate((40 + gap + cap * math.sin(math.pi / 4)) * MM, (HEIGHT - 150) * MM)
        canvas.rotate(45)
        canvas.setFillColor(BLACK)
        canvas.setFont("Helvetica", size)
        canvas.drawString(0, 0, "HHHHHHHHHH")
        canvas.restoreState()

    assert len(findings(tmp_path / "a.pdf", draw, "bleed.safe_zone")) == found
