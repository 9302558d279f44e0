"""The whole report: tiles, waivers, nothing twice, hidden layers, pictures, an external view of the JSON."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from PIL import Image
from reportlab.pdfgen.canvas import Canvas

from tests.checks.planted import planted
from tests.flat.text_art import page, words
from tests.flats import add_layer
from tests.sample_plans import A4
from tiler.checks.inventory import pieces
from tiler.checks.limits import default_limits
from tiler.checks.run import run_checks
from tiler.checks.to_json import report_json
from tiler.checks.waiver import Waiver
from tiler.flat.read import Wanted, read_flat
from tiler.geometry import Point
from tiler.job import Job
from tiler.run import prepare


def test_every_finding_and_text_is_tied_to_the_tile_that_shows_it(tmp_path: Path) -> None:
    path = planted(tmp_path / "a.pdf", ("size", "ppi", "module"))
    prepared = prepare(Job(flat=path, sheet=A4))
    report = run_checks(prepared.flat, prepared.loaded.structure, prepared.plan)
    assert report.findings
    places = [(item.tile, item.box) for item in report.findings]
    places += [(item.tile, item.box) for item in report.texts]
    for tile, box in places:
        assert prepared.plan.tile(tile).face.contains(box.centre)


def test_at_half_scale_tiles_are_found_all_the_same_and_measures_stay_true(tmp_path: Path) -> None:
    path = planted(tmp_path / "a.pdf", ("size",))
    prepared = prepare(Job(flat=path, sheet=A4, scale=0.5))
    (finding,) = run_checks(prepared.flat, prepared.loaded.structure, prepared.plan).findings
    assert finding.measured == pytest.approx(4)
    assert prepared.plan.tile(finding.tile).face.contains(finding.box.scaled(0.5).centre)


def test_a_waived_finding_stays_in_sight_and_no_longer_counts(tmp_path: Path) -> None:
    loaded = read_flat(planted(tmp_path / "a.pdf", ("size", "thin")), Wanted())
    waivers = (
        Waiver("text.size", Point(115, 69), "type on purpose, agreed with the client"),
        Waiver("line", Point(10, 10), "elsewhere"),
    )
    report = run_checks(loaded, waivers=waivers)
    by_rule = {finding.rule: finding for finding in report.findings}
    assert by_rule["text.size"].waived == "type on purpose, agreed with the client"
    assert by_rule["line.width"].waived == ""
    assert "text.size" not in {finding.rule for finding in report.standing}
    assert any("covers nothing any more" in remark for remark in report.remarks)


def test_nothing_is_flagged_twice(tmp_path: Path) -> None:
    """A run that misses several limits is told once, with all of them."""
    path = page(tmp_path / "a.pdf", lambda c: words(c, "Lamp oil 500 g, made by hand", 20, 50, 3))
    (finding,) = run_checks(read_flat(path, Wanted())).findings
    assert finding.rule == "text.size"
    for words_ in ("4.5 pt", "food in the EU", "food in the USA", "nominal quantities"):
        assert words_ in finding.message


def test_lines_of_a_paragraph_are_told_together(tmp_path: Path) -> None:
    def draw(canvas: Canvas) -> None:
        for line in range(4):
            words(canvas, f"line {line} of small type", 20, 50 - line * 1.6, 3.5)

    (finding,) = run_checks(read_flat(page(tmp_path / "a.pdf", draw), Wanted())).findings
    assert "and 3 more lines" in finding.message
    assert finding.box.height > 4.8


@pytest.mark.parametrize(("state", "count"), [("on", 2), ("off", 0)])
def test_what_a_hidden_layer_holds_is_not_checked(tmp_path: Path, state: str, count: int) -> None:
    content = b"BT /F1 2 Tf 50 50 Td (tiny) Tj ET 0 w 10 10 m 200 10 l S"
    path = page(
        tmp_path / "a.pdf",
        lambda c: words(c, "shown", 20, 50, 14),
        change=lambda writer: add_layer(writer, "Notes", content, state),
    )
    report = run_checks(read_flat(path, Wanted()))
    assert len([f for f in report.findings if f.rule in ("text.size", "line.hairline")]) == count


def test_small_packs_have_the_smaller_limit(tmp_path: Path) -> None:
    """Regulation (EU) 1169/2011, Article 13(3): 0.9 mm where the largest surface is below 80 cm²."""
    prepared = prepare(Job(flat=planted(tmp_path / "a.pdf", ("x height",)), sheet=A4))
    largest = max(panel.area for panel in prepared.loaded.structure.panels) / 100
    for area, named in ((largest - 1, "food_x_height"), (largest + 1, "food_x_height_small")):
        profile = {
            "small_pack_area": {"value": area},
            "food_us_height": {"severity": "off"},
            "food_x_height": {"value": 3.0},
            "food_x_height_small": {"value": 2.0},
        }
        limits = default_limits().with_profile(profile, "test")
        found = run_checks(prepared.flat, prepared.loaded.structure, limits=limits).findings
        assert {f.limit for f in found if f.rule == "text.x_height"} == {limits[named].value}


def test_type_in_pixels_is_never_passed_silently(tmp_path: Path) -> None:
    Image.new("RGB", (800, 600), "white").save(tmp_path / "a.png", dpi=(300, 300))
    report = run_checks(read_flat(tmp_path / "a.png", Wanted()))
    assert report.findings == ()
    assert any("cannot be read" in remark for remark in report.remarks)


def test_outlined_type_is_said_to_be_unreadable(tmp_path: Path) -> None:
    """The outlines of a font's own letters, drawn as filled paths 2 mm high."""
    path = page(tmp_path / "a.pdf", lambda c: outlined(c, "Heronwick field lamp"))
    (finding,) = run_checks(read_flat(path, Wanted())).findings
    assert finding.rule == "text.outlined"
    assert finding.box.width > 15


def outlined(canvas: object, text: str) -> None:
    """Letters as paths, by fontTools."""
    from fontTools.pens.reportLabPen import ReportLabPen  # type: ignore[import-untyped]
    from fontTools.pens.transformPen import TransformPen  # type: ignore[import-untyped]
    from fontTools.ttLib import TTFont  # type: ignore[import-untyped]
    from reportlab.graphics.shapes import Path as Outline

    from tests.flat.text_art import SANS

    font = TTFont(SANS)
    glyphs, names = font.getGlyphSet(), font.getBestCmap()
    scale, x = 8.5 / font["head"].unitsPerEm, 100.0
    for letter in text:
        pen = ReportLabPen(glyphs, Outline())
        glyphs[names[ord(letter)]].draw(TransformPen(pen, (scale, 0, 0, scale, x, 100)))
        draw_outline(canvas, pen.path)
        x += glyphs[names[ord(letter)]].width * scale


def draw_outline(canvas: object, outline: object) -> None:
    """A drawing library's path object on its canvas."""
    path = canvas.beginPath()  # type: ignore[attr-defined]
    points = list(outline.points)  # type: ignore[attr-defined]
    for operator in outline.operators:  # type: ignore[attr-defined]
        count = (2, 2, 6, 0)[operator]
        values, points = points[:count], points[count:]
        (path.moveTo, path.lineTo, path.curveTo, path.close)[operator](*values)
    canvas.drawPath(path, stroke=0, fill=1)  # type: ignore[attr-defined]


def test_the_json_has_the_agreed_keys(tmp_path: Path) -> None:
    flat = read_flat(planted(tmp_path / "a.pdf", ("size",)), Wanted())
    data = report_json(run_checks(flat))
    assert data["version"] == 1
    place = {"x", "y", "width", "height"}
    told = {"rule", "severity", "tile", "measured", "limit", "unit", "message", "source"}
    assert place | told <= set(data["findings"][0])
    assert {"id", "text", "tile", "x", "y", "size_pt", "x_height_mm"} <= set(data["texts"][0])
    assert [entry["id"] for entry in data["texts"]] == list(range(1, len(data["texts"]) + 1))


@pytest.mark.parametrize("length", [1, 2, 3, 7, 1000])
def test_a_search_in_pieces_finds_what_a_search_of_the_whole_finds(length: int) -> None:
    data = b"0 0 1 rg 1 0 0 RG 0 1 0 0 k\n.5rg xrg rgx 1 rg\t0 0 0 1 K q 1 1 1 rg"
    words = re.compile(rb"(?<=[\s\d.])(?:rg|RG|k|K)(?=\s|$)")
    assert sum(len(words.findall(piece)) for piece in pieces(data, length)) == len(words.findall(data)) == 7
    assert list(pieces(b"")) == []
