"""A content stream's graphics state is followed as ISO 32000-2 has it, and only painted lines count."""

from __future__ import annotations

import math

import pytest
from pypdf.generic import DictionaryObject, NameObject

from tests.structure.files import POINT, SIZE, STROKE, PageMaker, kinds
from tiler.structure import sink
from tiler.structure.kinds import LineKind


def test_nested_forms_carry_matrix_layer_and_colour() -> None:
    maker = PageMaker(SIZE)
    layer = maker.layer("/MC0", "x", "Cutting")
    inner = maker.form("/Fm1", b"0 0 m 10 0 l S", matrix=(2, 0, 0, 2, 0, 0))
    resources = DictionaryObject({NameObject("/XObject"): DictionaryObject({NameObject("/In"): inner})})
    maker.form(
        "/Fm0", b"q 1 0 0 1 5 0 cm /In Do Q", matrix=(1, 0, 0, 1, 0, 7), resources=resources, layer=layer
    )
    (line,) = maker.finish(b"q 3 0 0 3 1 1 cm /Fm0 Do Q").find().lines
    # by hand: x = 3 · (5 + 2 · 0..10) + 1 = 16..76 pt, y = 3 · 7 + 1 = 22 pt from the bottom
    assert line.points[0] == pytest.approx((16 * POINT, 100 - 22 * POINT), abs=1e-3)
    assert line.points[1] == pytest.approx((76 * POINT, 100 - 22 * POINT), abs=1e-3)
    maker = PageMaker(SIZE)
    maker.spot("/CS0", "Cut")
    maker.form("/Fm0", STROKE, resources=DictionaryObject())
    assert kinds(maker.finish(b"/CS0 CS /Fm0 Do 0 G /Fm0 Do")) == ["cut"]


def test_a_form_that_paints_itself_ends() -> None:
    maker = PageMaker(SIZE)
    maker.layer("/MC0", "x", "Cutting")
    reference = maker.form("/Fm0", STROKE + b"/Fm0 Do", resources=maker.resources)
    assert reference is not None
    assert kinds(maker.finish(b"/OC /MC0 BDC /Fm0 Do EMC")) == ["cut"]


def test_forms_that_multiply_without_end_are_given_up(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sink, "MOST_OPERATIONS", 2000)
    maker = PageMaker(SIZE)
    maker.layer("/MC0", "x", "Cutting")
    below = maker.form("/F0", STROKE)
    for depth in range(1, 12):
        inside = DictionaryObject({NameObject("/XObject"): DictionaryObject({NameObject("/F"): below})})
        below = maker.form(f"/F{depth}", b"/F Do " * 10, resources=inside)
    found = maker.finish(b"/OC /MC0 BDC /F11 Do EMC").find()
    assert "without end" in found.reports[0]


def test_curves_are_flattened_close_to_the_curve() -> None:
    """A quarter circle of radius 100 pt by the usual Bézier approximation, true to 0.03 % of the radius."""
    maker = PageMaker(SIZE)
    maker.layer("/MC0", "x", "Cutting")
    k = 100 * 0.5522847498
    content = b"/OC /MC0 BDC 100 0 m 100 %f %f 100 0 100 c S 0 100 m 0 0 0 50 v 0 25 0 0 y S EMC" % (k, k)
    first, second = maker.finish(content).find().lines
    radii = [math.hypot(p.x, SIZE.height - p.y) / POINT for p in first.points]
    assert all(abs(radius - 100) * POINT < 0.05 for radius in radii)
    assert first.length == pytest.approx(100 * POINT * math.pi / 2, abs=0.02)
    assert second.points[-1] == pytest.approx((0, SIZE.height), abs=1e-3)


def test_rectangles_are_four_sides() -> None:
    maker = PageMaker(SIZE)
    maker.layer("/MC0", "x", "Cutting")
    (line,) = maker.finish(b"/OC /MC0 BDC 10 10 72 36 re S EMC").find().lines
    assert line.length == pytest.approx(2 * (25.4 + 12.7))
    assert line.points[0] == line.points[-1]


def test_thin_filled_rectangles_are_lines_and_other_fills_are_not() -> None:
    maker = PageMaker(SIZE)
    maker.spot("/CS0", "Crease")
    made = maker.finish(
        b"/CS0 cs 1 scn 10 10 200 1 re f 10 30 200 20 re f 10 60 1 1 re f 40 40 m 60 60 l 80 40 l f"
    )
    (line,) = made.find().lines
    assert line.kind is LineKind.CREASE
    assert line.length == pytest.approx(200 * POINT)
    assert line.points[0].y == pytest.approx(100 - 10.5 * POINT)


def test_clip_paths_and_patterns_and_text_are_no_lines() -> None:
    maker = PageMaker(SIZE)
    maker.layer("/MC0", "x", "Cutting")
    made = maker.finish(
        b"/OC /MC0 BDC 0 0 50 50 re W n (0 0 m 9 9 l S) Tj /Pattern CS /P0 SCN EMC /Pattern CS /P0 SCN "
        + STROKE
    )
    assert kinds(made) == []


def test_marked_content_nests() -> None:
    maker = PageMaker(SIZE)
    maker.layer("/MC0", "x", "Cutting")
    maker.layer("/MC1", "y", "Creasing")
    content = (
        b"/Artifact BMC /OC /MC0 BDC /Span <</MCID 0>> BDC " + STROKE + b"EMC /OC /MC1 BDC " + STROKE
        + b"EMC " + STROKE + b"EMC " + STROKE + b"EMC " + STROKE
    )  # fmt: skip
    assert kinds(maker.finish(content)) == ["cut", "crease", "cut"]


def test_dashed_lines_of_a_whole_die_are_creases() -> None:
    maker = PageMaker(SIZE)
    maker.spot("/CS0", "Dieline")
    made = maker.finish(b"q [6 3] 0 d /CS0 CS 1 SCN " + STROKE + b"[] 0 d " + STROKE + b"Q")
    assert kinds(made) == ["crease", "cut"]
    assert "dashed" in made.find().reports[0]


def test_dashed_lines_of_a_named_kind_keep_it() -> None:
    maker = PageMaker(SIZE)
    maker.spot("/CS0", "CutLine")
    assert kinds(maker.finish(b"[6 3] 0 d /CS0 CS 1 SCN " + STROKE)) == ["cut"]


def test_wrong_operands_and_stray_operators_are_survived() -> None:
    maker = PageMaker(SIZE)
    maker.layer("/MC0", "x", "Cutting")
    content = b"Q Q EMC /OC /MC0 BDC cm (a) (b) m l 1 l h S SCN CS d [ ] d /X Do re " + STROKE + b"EMC EMC Q"
    assert "cut" in kinds(maker.finish(content))
