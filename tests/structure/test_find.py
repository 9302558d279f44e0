"""Structure lines are found however a file marks them, and only they."""

from __future__ import annotations

import math

import pytest
from pypdf.generic import DictionaryObject, FloatObject, NameObject

from tests.structure.files import POINT, Made, PageMaker, drawn
from tiler.errors import StructureError
from tiler.geometry import Affine, Size
from tiler.structure import sink
from tiler.structure.find import find_lines, lines_from_other
from tiler.structure.kinds import Evidence, LineKind
from tiler.structure.lines import Candidate, Line

SIZE = Size(200, 100)
ONE = Line.between(10, 20, 110, 20, LineKind.CUT)
STROKE = drawn([ONE], SIZE)


def kinds(made: Made) -> list[str]:
    return [str(line.kind) for line in made.find().lines]


def test_a_processing_step_tells_the_kind_whatever_the_layer_is_called() -> None:
    maker = PageMaker(SIZE)
    maker.layer("/MC0", "Perforation", "Creasing")
    found = maker.finish(b"/OC /MC0 BDC\n" + STROKE + b"EMC " + STROKE).find()
    (line,) = found.lines
    assert (line.kind, line.evidence, line.name) == (LineKind.CREASE, Evidence.PROCESSING_STEP, "Perforation")
    assert line.points[0] == pytest.approx((10, 20), abs=1e-4)
    assert line.points[1] == pytest.approx((110, 20), abs=1e-4)
    assert found.candidates == (Candidate("Perforation", "processing step", LineKind.CREASE, 1),)
    (layer,) = found.layers
    assert layer.name == "Perforation"
    assert layer.number > 0


def test_processing_step_keys_laid_on_the_layer_itself_are_forgiven() -> None:
    maker = PageMaker(SIZE)
    maker.layer("/MC0", "L1", "Perforating", bare=True)
    assert kinds(maker.finish(b"/OC /MC0 BDC " + STROKE + b"EMC")) == ["perforation"]


@pytest.mark.parametrize("group", ["Dimensions", "Legend", "Braille", "Positions"])
def test_other_groups_of_processing_steps_are_no_structure_even_in_a_structure_colour(group: str) -> None:
    maker = PageMaker(SIZE)
    maker.layer("/MC0", "Cut", "", group=group)
    maker.spot("/CS0", "Cut")
    assert kinds(maker.finish(b"/OC /MC0 BDC /CS0 CS 1 SCN " + STROKE + b"EMC")) == []


def test_areas_for_glue_or_bleed_are_no_lines() -> None:
    maker = PageMaker(SIZE)
    maker.layer("/MC0", "Glue", "Gluing")
    assert kinds(maker.finish(b"/OC /MC0 BDC " + STROKE + b"EMC")) == []


def test_a_membership_dictionary_stands_for_its_layers() -> None:
    maker = PageMaker(SIZE)
    art = maker.layer("/MC8", "Art")
    cut = maker.layer("/MC9", "Line", "Cutting")
    maker.membership("/MC0", [art, cut])
    assert kinds(maker.finish(b"/OC /MC0 BDC " + STROKE + b"EMC")) == ["cut"]


def test_a_spot_colour_beats_a_layer_name_and_a_processing_step_beats_both() -> None:
    maker = PageMaker(SIZE)
    maker.layer("/MC0", "Stanze")
    maker.layer("/MC1", "x", "Cutting")
    maker.spot("/CS0", "Rilllinie")
    inked = b"q /CS0 CS 1 SCN " + STROKE + b"Q "
    made = maker.finish(b"/OC /MC0 BDC " + inked + STROKE + b"EMC /OC /MC1 BDC " + inked + b"EMC")
    assert [(line.kind, line.evidence) for line in made.find().lines] == [
        (LineKind.CREASE, Evidence.SPOT),
        (LineKind.CUT, Evidence.LAYER),
        (LineKind.CUT, Evidence.PROCESSING_STEP),
    ]


def test_a_name_of_a_kind_beats_the_name_of_a_whole_die() -> None:
    maker = PageMaker(SIZE)
    maker.layer("/MC0", "Creases")
    maker.layer("/MC1", "CAD")
    maker.spot("/CS0", "Dieline")
    maker.spot("/CS1", "Fold")
    die, fold = b"/CS0 CS " + STROKE, b"/CS1 CS " + STROKE
    made = maker.finish(b"/OC /MC0 BDC " + die + b"EMC /OC /MC1 BDC " + die + fold + b"EMC")
    assert kinds(made) == ["crease", "cut", "crease"]


def test_dimensions_and_register_marks_are_no_lines_even_among_lines() -> None:
    maker = PageMaker(SIZE)
    maker.layer("/MC0", "Dieline")
    maker.layer("/MC1", "Dimensions")
    maker.spot("/CS0", "Cut")
    maker.spot("/CS1", "All")
    content = (
        b"/OC /MC0 BDC " + STROKE + b"q /CS1 CS " + STROKE + b"Q EMC /OC /MC1 BDC /CS0 CS " + STROKE + b"EMC"
    )
    assert kinds(maker.finish(content)) == ["cut"]
    found = maker.finish(content).find({"dimensions": LineKind.PERFORATION})
    assert [str(line.kind) for line in found.lines] == ["cut", "perforation"]


def test_what_the_user_said_beats_all_else() -> None:
    maker = PageMaker(SIZE)
    maker.layer("/MC0", "Steps", "Cutting")
    maker.spot("/CS0", "Blue")
    maker.spot("/CS1", "Cut")
    made = maker.finish(b"/OC /MC0 BDC q /CS0 CS 1 SCN " + STROKE + b"Q EMC q /CS1 CS " + STROKE + b"Q")
    found = made.find({"Blue": LineKind.PERFORATION, "Cut": None})
    assert [(line.kind, line.evidence) for line in found.lines] == [(LineKind.PERFORATION, Evidence.TOLD)]
    assert {(c.name, c.kind, c.is_told) for c in found.candidates} == {
        ("Steps", LineKind.CUT, False),
        ("Blue", LineKind.PERFORATION, True),
        ("Cut", None, True),
    }


def test_every_layer_and_spot_seen_is_offered() -> None:
    maker = PageMaker(SIZE)
    maker.layer("/MC0", "Artwork")
    maker.spot("/CS0", "Brass", "Cut", "Black")
    found = maker.finish(STROKE).find()
    assert found.lines == ()
    assert found.candidates == (
        Candidate("Artwork", "layer", None),
        Candidate("Brass", "spot colour", None),
        Candidate("Cut", "spot colour", LineKind.CUT),
    )


@pytest.mark.parametrize(
    ("tints", "expected"),
    [
        (b"0 1 0 SCN", ["cut"]),
        (b"0 0.4 0 SCN", ["cut"]),
        (b"0.2 1 0 SCN", []),
        (b"1 0 0 SCN", []),
        (b"0 0 0 SCN", []),
        (b"", []),
    ],
)
def test_in_a_devicen_colour_the_structure_colorant_stands_alone(tints: bytes, expected: list[str]) -> None:
    maker = PageMaker(SIZE)
    maker.spot("/CS0", "Cyan", "Cut", "Brass")
    assert kinds(maker.finish(b"/CS0 CS " + tints + b" " + STROKE)) == expected


def test_a_spot_without_ink_paints_nothing_and_a_process_colour_ends_it() -> None:
    maker = PageMaker(SIZE)
    maker.spot("/CS0", "Cut")
    assert kinds(maker.finish(b"/CS0 CS 0 SCN " + STROKE)) == []
    assert kinds(PageMaker(SIZE).finish(STROKE)) == []
    maker = PageMaker(SIZE)
    maker.spot("/CS0", "Cut")
    assert kinds(maker.finish(b"/CS0 CS " + STROKE + b"0 0 0 1 K " + STROKE)) == ["cut"]


def test_colour_names_are_bytes_in_any_encoding() -> None:
    """``#E9`` is é in Windows Latin 1; together with the c after it, it is a wide character elsewhere."""
    maker = PageMaker(SIZE)
    maker.spot("/CS0", "XXXX")
    made = maker.finish(b"/CS0 CS " + STROKE)
    space = made.page["/Resources"]["/ColorSpace"]["/CS0"]  # type: ignore[index]
    space[1] = NameObject("/" + b"d\xe9coupe".decode("gbk"))
    assert kinds(made) == ["cut"]


def test_names_with_odd_signs_are_found_too() -> None:
    maker = PageMaker(SIZE)
    maker.spot("/C S", "Cut")
    assert kinds(maker.finish(b"/C#20S CS " + STROKE)) == ["cut"]


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


def test_lines_outside_the_flat_and_impossible_numbers_are_left_out_and_told() -> None:
    maker = PageMaker(SIZE)
    maker.layer("/MC0", "x", "Cutting")
    content = b"/OC /MC0 BDC -900 0 m -800 0 l S 0 0 m " + b"9" * 400 + b" 0 l S " + STROKE + b"EMC"
    found = maker.finish(content).find()
    assert len(found.lines) == 1
    assert set(found.reports) == {
        "1 line with impossible coordinates left out",
        "1 line outside the flat left out",
    }


def test_wrong_operands_and_stray_operators_are_survived() -> None:
    maker = PageMaker(SIZE)
    maker.layer("/MC0", "x", "Cutting")
    content = b"Q Q EMC /OC /MC0 BDC cm (a) (b) m l 1 l h S SCN CS d [ ] d /X Do re " + STROKE + b"EMC EMC Q"
    assert "cut" in kinds(maker.finish(content))


def test_a_stream_that_cannot_be_decoded_is_told() -> None:
    maker = PageMaker(SIZE)
    maker.layer("/MC0", "x", "Cutting")
    made = maker.finish(b"/OC /MC0 BDC " + STROKE * 50 + b"EMC")
    contents = made.page["/Contents"].get_object()
    contents[NameObject("/Filter")] = NameObject("/NoSuchFilter")  # type: ignore[index]
    found = made.find()
    assert found.lines == ()
    assert "cannot be decoded" in found.reports[0]


def test_turned_pages_and_user_units_come_through_the_map_alone() -> None:
    """/Rotate 90, UserUnit 2 and a box from (-100, -50): the reader bakes all of it into the map."""
    maker = PageMaker(SIZE)
    maker.layer("/MC0", "x", "Cutting")
    made = maker.finish(b"/OC /MC0 BDC -100 -50 m 0 -50 l S EMC")
    unit = 2 * POINT
    clockwise = Affine(0, unit, unit, 0, 0, 0)  # x runs down, y to the right
    to_flat = Affine.shift(100, 50).then(clockwise)
    (line,) = find_lines(made.page, to_flat, Size(500, 500)).lines
    assert line.points[0] == pytest.approx((0, 0))
    assert line.points[1] == pytest.approx((0, 100 * unit))


def test_in_a_separate_line_file_every_stroke_counts() -> None:
    maker = PageMaker(SIZE)
    maker.spot("/CS0", "Falz")
    maker.spot("/CS1", "All")
    made = maker.finish(
        STROKE + b"[3 3] 0 d " + STROKE + b"[] 0 d q /CS0 CS " + STROKE + b"Q q /CS1 CS " + STROKE + b"Q"
    )
    found = lines_from_other(made.page, made.to_flat, made.size, Size(200.3, 99.8))
    assert [str(line.kind) for line in found.lines] == ["cut", "crease", "crease"]
    assert {line.evidence for line in found.lines} == {Evidence.LINE_FILE}


def test_a_line_file_of_another_size_is_refused_with_both_sizes() -> None:
    made = PageMaker(SIZE).finish(STROKE)
    with pytest.raises(StructureError, match=r"200\.0 × 100\.0 mm but the flat measures 200\.0 × 101\.0 mm"):
        lines_from_other(made.page, made.to_flat, made.size, Size(200, 101))


def test_without_structure_names_the_content_is_never_decoded() -> None:
    maker = PageMaker(SIZE)
    maker.spot("/CS0", "Brass")
    maker.form("/Fm0", b"")
    made = maker.finish(STROKE * 50)
    made.page["/Contents"].get_object()[NameObject("/Filter")] = NameObject("/NoSuchFilter")  # type: ignore[index]
    assert made.find().reports == (
        "no processing step, spot colour or layer of the flat tells its structure",
    )


def test_a_name_without_lines_and_a_name_nobody_bears_are_told() -> None:
    maker = PageMaker(SIZE)
    maker.spot("/CS0", "Cut")
    assert maker.finish(STROKE).find().reports == ("“Cut” names structure, but no line is drawn in it",)
    maker = PageMaker(SIZE)
    maker.spot("/CS0", "CUT")
    made = maker.finish(b"/CS0 CS " + STROKE)
    assert made.find({"cut": LineKind.CREASE, "Gold": None}).reports == (
        "no layer or spot colour of the flat is called “Gold”",
    )


def test_odd_resources_are_survived() -> None:
    made = PageMaker(SIZE).finish(STROKE)
    made.page[NameObject("/Resources")] = DictionaryObject(
        {
            NameObject("/Properties"): FloatObject(3),
            NameObject("/ColorSpace"): DictionaryObject({NameObject("/CS0"): FloatObject(1)}),
            NameObject("/XObject"): DictionaryObject({NameObject("/X"): NameObject("/Y")}),
        }
    )
    assert made.find().lines == ()
    del made.page["/Resources"]
    assert made.find().lines == ()
