"""Structure lines are found however a file marks them, and only they."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from pypdf.generic import ArrayObject, DictionaryObject, FloatObject, NameObject

from tests.structure.files import POINT, SIZE, STROKE, PageMaker, kinds
from tiler.errors import StructureError
from tiler.flat.names import ExactName
from tiler.flat.pdf import choose_page, open_pdf
from tiler.geometry import Affine, Size
from tiler.structure.find import find_lines, lines_from_other
from tiler.structure.kinds import Evidence, LineKind
from tiler.structure.lines import Candidate
from tiler.structure.structure import read_structure


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
    assert layer.key > (0, 0)


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


@pytest.mark.parametrize("charsets", [("utf-8", "gbk", "latin1"), ("tiler_pdf_name",)])
def test_names_are_bytes_in_any_encoding(charsets: tuple[str, ...], monkeypatch: pytest.MonkeyPatch) -> None:
    """``#E9`` is é in Windows Latin 1; pypdf by itself takes it and the c after it for one wide character."""
    monkeypatch.setattr(NameObject, "CHARSETS", charsets)
    maker = PageMaker(SIZE)
    maker.put("/ColorSpace", "/X", ArrayObject([NameObject("/Separation"), ExactName("/d\uf7e9coupe")]))
    maker.resources["/ColorSpace"][ExactName("/c\uf7e9d")] = maker.resources["/ColorSpace"]["/X"]  # type: ignore[index]
    made = maker.finish(b"/c\xe9d CS " + STROKE + b" 0 G /c#E9d CS " + STROKE)
    assert kinds(made) == ["cut", "cut"]
    if charsets == ("tiler_pdf_name",):
        assert made.find().candidates[0].name == "découpe"


def test_names_with_odd_signs_are_found_too() -> None:
    maker = PageMaker(SIZE)
    maker.spot("/C S", "Cut")
    assert kinds(maker.finish(b"/C#20S CS " + STROKE)) == ["cut"]


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


SAMPLES = Path(__file__).parents[2] / "sample_art"


@pytest.mark.parametrize(
    ("name", "evidence"),
    [
        ("lid.pdf", Evidence.PROCESSING_STEP),
        ("tray.pdf", Evidence.SPOT),
        ("lid_lines.pdf", Evidence.LINE_FILE),
    ],
)
def test_the_sample_flats_tell_their_structure(name: str, evidence: Evidence) -> None:
    """Measures from the table of blanks in ``sample_art/README.md``."""
    with (SAMPLES / name).open("rb") as stream:
        source = open_pdf(SAMPLES / name, stream, (SAMPLES / name).stat().st_size, None)
        flat = choose_page(SAMPLES / name, source, 1, "auto")
        page, view = flat.page, flat.seen
        if "lines" in name:
            found = lines_from_other(page, view.to_flat, view.size, Size(426, 346))
        else:
            found = find_lines(page, view.to_flat, view.size)
    structure = read_structure(found)
    length, width, depth, reach, inset = (298, 218, 80, 22, 8) if "tray" in name else (300, 220, 60, 18, 6)
    notch = 0 if "tray" in name else math.pi * 12**2 / 2
    assert structure.evidence == (evidence,)
    assert structure.folded == pytest.approx((length, width, depth), abs=0.05)
    blank = length * width + 2 * depth * (length + width) + 4 * reach * (depth - inset) - notch
    assert structure.outline_area == pytest.approx(blank, rel=1e-4)
    assert structure.crease_length == pytest.approx(2 * (length + width) + 4 * depth, abs=0.05)
    assert len(structure.panels) == 9
    assert structure.reports == ()
