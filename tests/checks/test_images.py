"""Resolution at placed size, against the pixel counts that Pillow tells."""

from __future__ import annotations

from pathlib import Path

import pytest
from PIL import Image
from reportlab.lib.utils import ImageReader
from reportlab.pdfgen.canvas import Canvas

from tests.flat.text_art import MM, nested, page
from tiler.checks.drawing import Picture, read_drawing
from tiler.checks.run import run_checks
from tiler.flat.objects import opened
from tiler.flat.read import Wanted, read_flat


def pictures_on(path: Path) -> list[Picture]:
    with opened(read_flat(path, Wanted())) as objects:
        return read_drawing(objects, 1.0).pictures


def shading(size: tuple[int, int]) -> Image.Image:
    return Image.linear_gradient("L").resize(size)


@pytest.mark.parametrize("rotate", [0, 90, 270])
@pytest.mark.parametrize("user_unit", [1.0, 2.0])
def test_resolution_holds_on_turned_pages_and_in_nested_forms(
    tmp_path: Path, rotate: int, user_unit: float
) -> None:
    source = shading((640, 410))
    path = page(
        tmp_path / "a.pdf",
        lambda c: nested(
            c, lambda inner: inner.drawImage(ImageReader(source), 0, 0, 50 * MM, 40 * MM), (0.5, 0.8), turn=25
        ),
        rotate=rotate,
        user_unit=user_unit,
    )
    (picture,) = pictures_on(path)
    across, down = source.size
    assert picture.pixels == (across, down)
    scale = 0.5 * 0.8 * user_unit
    assert picture.ppi[0] == pytest.approx(across / (50 * scale) * 25.4, rel=0.001)
    assert picture.ppi[1] == pytest.approx(down / (40 * scale) * 25.4, rel=0.001)


def test_strips_of_one_picture_are_told_once(tmp_path: Path) -> None:
    source = shading((400, 40))

    def draw(canvas: Canvas) -> None:
        for strip in range(5):
            canvas.drawImage(ImageReader(source), 50 * MM, (20 + strip * 5) * MM, 50 * MM, 5 * MM)

    report = run_checks(read_flat(page(tmp_path / "a.pdf", draw), Wanted()))
    (finding,) = [f for f in report.findings if f.rule == "image.ppi"]
    assert finding.measured == pytest.approx(400 / 50 * 25.4, rel=0.01)
    assert "5 pieces" in finding.message
    assert finding.box.height == pytest.approx(25, abs=0.1)


def test_below_the_floor_it_is_a_fault(tmp_path: Path) -> None:
    source = shading((200, 160))
    path = page(
        tmp_path / "a.pdf", lambda c: c.drawImage(ImageReader(source), 50 * MM, 20 * MM, 50 * MM, 40 * MM)
    )
    (finding,) = [f for f in run_checks(read_flat(path, Wanted())).findings if f.rule.startswith("image")]
    assert (str(finding.severity), finding.limit) == ("fault", 150)
