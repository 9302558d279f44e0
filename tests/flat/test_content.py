"""Content streams are read as ISO 32000-2, 7.2 and 7.8 have them, and garbage is survived."""

from __future__ import annotations

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pypdf import PdfReader
from pypdf.generic import ContentStream, DecodedStreamObject

from tests.structure.files import PageMaker
from tiler.flat.content import Name, operations, page_content, skip_inline_image, skip_string, stream_data
from tiler.geometry import Size


def read(data: bytes) -> list[tuple[bytes, list[object]]]:
    return [(operation.operator, list(operation.operands)) for operation in operations(data)]


@pytest.mark.parametrize(
    ("data", "expected"),
    [
        pytest.param(b"1 2 m 3.5 -4 l S", [(b"m", [1, 2]), (b"l", [3.5, -4]), (b"S", [])], id="plain"),
        pytest.param(b"+1 .5 -.25 4. rg", [(b"rg", [1, 0.5, -0.25, 4])], id="number forms of 7.3.3"),
        pytest.param(b"--5 0 l", [(b"l", [-5, 0])], id="doubled sign"),
        pytest.param(b"/OC /MC0 BDC EMC", [(b"BDC", [b"OC", b"MC0"]), (b"EMC", [])], id="names"),
        pytest.param(b"/Caf#e9 gs", [(b"gs", [b"Caf\xe9"])], id="name with hash escape"),
        pytest.param(b"(a\\)b(c)) Tj", [(b"Tj", [b"a)b(c)"])], id="nested and escaped parentheses"),
        pytest.param(b"(\\101\\n\\q\\\n) Tj", [(b"Tj", [b"A\nq"])], id="string escapes of 7.3.4.2"),
        pytest.param(b"<48 65 6> Tj", [(b"Tj", [b"He`"])], id="hex string, odd digit padded with 0"),
        pytest.param(b"[(q)-20(Q)]TJ", [(b"TJ", [[b"q", -20, b"Q"]])], id="array without spaces"),
        pytest.param(b"[3 2] 0 d", [(b"d", [[3, 2], 0])], id="dash"),
        pytest.param(
            b"/Span <</MCID 0/A[1 2]/B<</C true>>>> BDC",
            [(b"BDC", [b"Span", {b"MCID": 0, b"A": [1, 2], b"B": {b"C": True}}])],
            id="nested dictionaries",
        ),
        pytest.param(b"q % 1 0 0 1 5 5 cm\nQ", [(b"q", []), (b"Q", [])], id="comment"),
        pytest.param(
            b"1\x002 m\x003\x00 4 l", [(b"m", [1, 2]), (b"l", [3, 4])], id="null bytes as white space"
        ),
        pytest.param(b"true false null x", [(b"x", [True, False, None])], id="booleans and null"),
        pytest.param(
            b"T* (x)' 1 2(y)\"", [(b"T*", []), (b"'", [b"x"]), (b'"', [1, 2, b"y"])], id="odd operators"
        ),
        pytest.param(b"q\x00Q\x0cq\rQ\tq", [(b"q", []), (b"Q", [])] * 2 + [(b"q", [])], id="all white space"),
        pytest.param(b"1 0 0 1 0 0 cm/Fm0 Do", [(b"cm", [1, 0, 0, 1, 0, 0]), (b"Do", [b"Fm0"])], id="tight"),
        pytest.param(b"1 2 3 4 5 6 7 8 9 10 scn", [(b"scn", [*range(1, 11)])], id="many operands"),
        pytest.param(b") ] >> } 1 2 m", [(b"m", [1, 2])], id="stray closers"),
        pytest.param(b"[1 2 3 4 m", [(b"m", [[1, 2, 3, 4]])], id="bracket never closed"),
        pytest.param(b"(never closed q Q", [], id="string never closed"),
        pytest.param(b"1 2", [], id="operands without operator"),
        pytest.param(b"", [], id="nothing"),
    ],
)
def test_operations_are_read(data: bytes, expected: list[tuple[bytes, list[object]]]) -> None:
    assert read(data) == expected


def test_names_are_told_from_strings() -> None:
    (operation,) = operations(b"/a (a) x")
    assert [isinstance(operand, Name) for operand in operation.operands] == [True, False]


def test_offsets_enclose_the_operation() -> None:
    data = b"q  1 2 m /X Do"
    assert [data[o.start : o.end].strip() for o in operations(data)] == [b"q", b"1 2 m", b"/X Do"]
    assert [o.operator for o in operations(data, 1)] == [b"m", b"Do"]


@pytest.mark.parametrize(
    ("image", "samples"),
    [
        pytest.param(b"/W 4 /H 2 /BPC 8 /CS /G", b" EI  EI ", id="EI within data of known length"),
        pytest.param(b"/W 16 /H 2 /IM true", b"\nEI\n", id="one-bit mask"),
        pytest.param(b"/Width 1 /Height 1 /BitsPerComponent 8 /ColorSpace /DeviceRGB", b"abc", id="long"),
        pytest.param(b"/W 9 /H 9 /BPC 8 /CS /RGB /F /Fl", b"\x01 EI \x93\x00q Q", id="compressed, false EI"),
        pytest.param(b"/W 1 /H 1 /BPC 8 /CS /G /F /AHx /L 3", b"7f>", id="told length of PDF 2.0"),
        pytest.param(b"/W 1 /H 1 /BPC 8 /CS /CS0", b"\xff", id="colour space from the resources"),
    ],
)
def test_inline_images_are_stepped_over(image: bytes, samples: bytes) -> None:
    data = b"q BI " + image + b" ID " + samples + b" EI 1 2 m Q"
    found = list(operations(data))
    assert [o.operator for o in found] == [b"q", b"BI", b"m", b"Q"]
    end = skip_inline_image(data, data.index(b"BI") + 2)
    assert data[end:] == b" 1 2 m Q"


@pytest.mark.parametrize(
    "data", [b"BI", b"BI /W 1", b"BI /W 1 ID", b"BI EI q", b"BI /W 99999999999999999999 /H 9 ID x"]
)
def test_broken_inline_images_end_somewhere(data: bytes) -> None:
    assert len(list(operations(data))) <= 2


def test_a_string_is_skipped_with_all_it_holds() -> None:
    data = b"(a(b)\\(c) q"
    assert data[skip_string(data, 0) :] == b" q"
    assert skip_string(b"(open", 0) == 5


def test_content_arrays_are_joined_by_white_space() -> None:
    maker = PageMaker(Size(100, 100))
    made = maker.finish(b"1 2", b"m 3 4 l", b"S")
    assert read(page_content(made.page)) == [(b"m", [1, 2]), (b"l", [3, 4]), (b"S", [])]


def test_a_page_without_content_is_empty() -> None:
    made = PageMaker(Size(100, 100)).finish()
    assert page_content(made.page) == b""
    assert stream_data(None) == b""


def test_deep_nests_and_long_operand_lists_are_survived() -> None:
    assert [o.operator for o in operations(b"[" * 5000 + b"1 2 m")] == [b"m"]
    (operation,) = operations(b"1 " * 100_000 + b"m")
    assert operation.operator == b"m"
    assert len(operation.operands) <= 512


def test_it_agrees_with_pypdf_on_well_formed_content() -> None:
    """Reference: pypdf's own parser of content streams."""
    rng = random.Random(7)
    parts = [
        b"q",
        b"Q",
        b"/Im0 Do",
        b"(a\\(b) Tj",
        b"[(x) -3 (y)] TJ",
        b"<0aFF> Tj",
        b"[4 2] 1 d",
        b"/P <</A 1>> BDC",
        b"EMC",
    ]
    data = b" ".join(
        rng.choice([*parts, b"%.3f %.2f m" % (rng.uniform(-9, 9), rng.uniform(-9, 9)), b"1 0 0 1 3 -4.5 cm"])
        for _ in range(500)
    )
    stream = DecodedStreamObject()
    stream.set_data(data)
    theirs = ContentStream(stream, PdfReader.__new__(PdfReader)).operations
    ours = list(operations(data))
    assert [o.operator for o in ours] == [operator for _, operator in theirs]
    for operation, (operands, _) in zip(ours, theirs, strict=True):
        numbers = [float(value) for value in operands if isinstance(value, int | float)]
        assert [value for value in operation.operands if isinstance(value, float)] == pytest.approx(numbers)


@given(st.binary(max_size=300))
def test_any_bytes_can_be_read(data: bytes) -> None:
    position = 0
    for operation in operations(data):
        assert operation.end > position
        position = operation.end
    assert position <= len(data)


@given(st.lists(st.sampled_from(["1", "-.5", "2.", "\0", " ", "\n", "\x0b", "m", "BI", "ID", "EI", "q"])))
def test_any_mix_of_numbers_and_white_space_can_be_read(parts: list[str]) -> None:
    list(operations("".join(parts).encode("ascii")))


@given(st.text("()[]<>/% \n\\BIDE1.-qmQ", max_size=60))
def test_any_mix_of_delimiters_can_be_read(text: str) -> None:
    list(operations(text.encode("ascii")))
