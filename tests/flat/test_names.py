"""Names keep their bytes from the flat to the pack; qpdf is the second reader."""

from __future__ import annotations

import io
from pathlib import Path

import pikepdf
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pypdf import PdfReader, PdfWriter
from pypdf.generic import DictionaryObject

from tiler.flat.copier import Copier
from tiler.flat.limits import raised_limits
from tiler.flat.names import ExactName, decoded, encoded


@given(st.binary(min_size=1, max_size=40))
def test_any_bytes_come_back_from_a_name(raw: bytes) -> None:
    assert encoded(decoded(raw)) == raw
    assert decoded(raw).encode("utf-8")  # can be printed


def test_a_name_in_utf_8_reads_as_its_author_wrote_it() -> None:
    assert decoded("Découpe".encode()) == "Découpe"


def test_a_written_name_hides_what_is_no_plain_letter() -> None:
    assert ExactName("/a b#" + decoded(b"\xe9")).renumber() == b"/a#20b#23#E9"


def pdf_with(entry: bytes) -> bytes:
    """The smallest file with one dictionary entry in its root."""
    body = b"%PDF-1.7\n1 0 obj\n<</Type/Catalog/Pages 2 0 R/Probe " + entry + b">>\nendobj\n"
    pages = len(body)
    body += b"2 0 obj\n<</Type/Pages/Kids[]/Count 0>>\nendobj\n"
    table = b"xref\n0 3\n0000000000 65535 f \n0000000009 00000 n \n%010d 00000 n \n" % pages
    return body + table + b"trailer\n<</Size 3/Root 1 0 R>>\nstartxref\n%d\n%%%%EOF\n" % len(body)


@pytest.mark.parametrize(
    "entry",
    [
        b"[/Indexed /DeviceRGB\x00255 (\x00\x01)]",
        b"<</F\xe9 1 /G\xc3\xa9 2 /H\xb2\xe2 3>>",
        b"<</Sp#20ot#2fA /B#C3#A9 /T#fe#ff /C#00D>>",
        b"[(\xfe\xff\x00a\xd8) (\xff\xfea\x00) (\xef\xbb\xbf\xc3\xa9) <0001FF7F80> (a\\(b\\)\\r\\n)]",
        b"[0.000000123 -.5 +3 4. 123456789.123456 0.1234567890123 -0]",
        b"[true false null << >> [] ()]",
    ],
    ids=["null byte as space", "names of all encodings", "numbered names", "strings", "numbers", "the rest"],
)
def test_objects_leave_the_copier_as_they_came(tmp_path: Path, entry: bytes) -> None:
    raw = pdf_with(entry)
    with raised_limits(len(raw)):
        probe = PdfReader(io.BytesIO(raw)).root_object.raw_get("/Probe")
        writer = PdfWriter()
        writer.root_object[ExactName("/Holder")] = DictionaryObject(
            {ExactName("/Probe"): Copier(writer).copy(probe)}
        )
        out = io.BytesIO()
        writer.write(out)
    with pikepdf.open(io.BytesIO(raw)) as before, pikepdf.open(out) as after:
        assert plain(before.Root.Probe) == plain(after.Root.Holder.Probe)


def plain(value: object) -> object:
    """A pikepdf object as Python values."""
    if isinstance(value, pikepdf.Array):
        return [plain(item) for item in value]
    if isinstance(value, pikepdf.Dictionary):
        return {key: plain(item) for key, item in value.items()}
    if isinstance(value, pikepdf.String):
        return bytes(value)
    if isinstance(value, pikepdf.Name):
        return value.unparse()
    if isinstance(value, bool) or value is None:
        return value
    return pytest.approx(float(str(value)), rel=1e-7, abs=1e-9)
