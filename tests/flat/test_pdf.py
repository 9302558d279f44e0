"""Opening PDFs, good and bad."""

from __future__ import annotations

from pathlib import Path

import pikepdf
import pytest
from pypdf import PdfWriter
from pypdf.generic import DictionaryObject, NameObject, TextStringObject

from tests.flats import flat_pdf
from tiler.errors import FlatError, PasswordError
from tiler.flat.read import Wanted, read_flat


def test_the_empty_user_password_opens_a_file_by_itself(tmp_path: Path) -> None:
    assert read_flat(flat_pdf(tmp_path / "a.pdf", password=""), Wanted()).pages == 1


def test_a_given_password_opens_a_file(tmp_path: Path) -> None:
    path = flat_pdf(tmp_path / "a.pdf", password="dusk")
    assert read_flat(path, Wanted(password="dusk")).pages == 1


@pytest.mark.parametrize(
    ("password", "said"), [(None, "is protected by a password; give it"), ("dawn", "does not open it")]
)
def test_a_missing_or_wrong_password_is_asked_for(tmp_path: Path, password: str | None, said: str) -> None:
    path = flat_pdf(tmp_path / "a.pdf", password="dusk")
    with pytest.raises(PasswordError, match=said):
        read_flat(path, Wanted(password=password))


@pytest.mark.parametrize("share", [0.3, 0.6, 0.97])
def test_a_file_that_is_cut_short_is_refused(tmp_path: Path, share: float) -> None:
    whole = flat_pdf(tmp_path / "a.pdf").read_bytes()
    (tmp_path / "cut.pdf").write_bytes(whole[: int(len(whole) * share)])
    with pytest.raises(FlatError, match=r"cut\.pdf: is cut short"):
        read_flat(tmp_path / "cut.pdf", Wanted())


def test_a_broken_table_of_objects_is_rebuilt_with_a_warning(tmp_path: Path) -> None:
    whole = flat_pdf(tmp_path / "a.pdf").read_bytes()
    cut = whole.rindex(b"startxref")
    (tmp_path / "b.pdf").write_bytes(whole[:cut] + b"startxref\n7\n%%EOF\n")
    flat = read_flat(tmp_path / "b.pdf", Wanted())
    assert flat.size.width == pytest.approx(1000 * 25.4 / 72)
    assert "has been rebuilt" in flat.warnings[0]


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "is empty"),
        (b"plain words", "is neither a PDF nor"),
        (b"%PDF-1.4\nnothing else\n%%EOF\n", "damaged"),
        (b"%PDF-1.7\n" + b"\0" * 5000, "is cut short"),
    ],
    ids=["empty", "text", "no objects", "zeros"],
)
def test_what_is_no_pdf_is_refused_in_one_sentence(tmp_path: Path, content: bytes, said: str) -> None:
    path = tmp_path / "a.pdf"
    path.write_bytes(content)
    with pytest.raises(FlatError, match=said):
        read_flat(path, Wanted())


def test_a_missing_file_and_a_folder_are_told_apart(tmp_path: Path) -> None:
    with pytest.raises(FlatError, match="there is no such file"):
        read_flat(tmp_path / "none.pdf", Wanted())
    with pytest.raises(FlatError, match="is a folder"):
        read_flat(tmp_path, Wanted())


def test_a_pdf_without_pages_is_refused(tmp_path: Path) -> None:
    pikepdf.new().save(tmp_path / "a.pdf")
    with pytest.raises(FlatError, match="has no pages"):
        read_flat(tmp_path / "a.pdf", Wanted())


@pytest.mark.parametrize("version", ["1.5", "2.0"])
def test_object_streams_and_later_versions_read_the_same(tmp_path: Path, version: str) -> None:
    with pikepdf.open(flat_pdf(tmp_path / "a.pdf")) as pdf:
        streams = pikepdf.ObjectStreamMode.generate
        pdf.save(tmp_path / "b.pdf", object_stream_mode=streams, force_version=version)
    assert read_flat(tmp_path / "b.pdf", Wanted()).size.width == pytest.approx(1000 * 25.4 / 72)


def test_content_decides_and_not_the_name_of_the_file(tmp_path: Path) -> None:
    flat_pdf(tmp_path / "a.pdf").rename(tmp_path / "artwork.ai")
    assert read_flat(tmp_path / "artwork.ai", Wanted()).box == "media"


def test_the_date_is_that_of_the_last_change(tmp_path: Path) -> None:
    def date(writer: PdfWriter) -> None:
        writer.metadata = None
        writer.add_metadata({"/CreationDate": "D:20250102030405Z", "/ModDate": "D:20260304050607+01'00'"})

    assert read_flat(flat_pdf(tmp_path / "a.pdf", change=date), Wanted()).date == "2026-03-04"


def test_a_page_tree_that_bites_its_tail_does_not_hang(tmp_path: Path) -> None:
    with pikepdf.open(flat_pdf(tmp_path / "a.pdf")) as pdf:
        pdf.Root.Pages.Parent = pdf.Root.Pages
        del pdf.pages[0].MediaBox
        pdf.save(tmp_path / "b.pdf")
    with pytest.raises(FlatError, match="no MediaBox"):
        read_flat(tmp_path / "b.pdf", Wanted())


def test_a_page_without_content_or_resources_is_a_blank_flat(tmp_path: Path) -> None:
    def strip(writer: PdfWriter) -> None:
        for key in ("/Contents", "/Resources"):
            writer.pages[0].pop(key, None)

    path = flat_pdf(tmp_path / "a.pdf", change=strip)
    assert read_flat(path, Wanted()).size.width == pytest.approx(1000 * 25.4 / 72)


def test_a_broken_info_entry_does_not_stand_in_the_way(tmp_path: Path) -> None:
    def spoil(writer: PdfWriter) -> None:
        writer.root_object[NameObject("/Info")] = DictionaryObject()
        writer.metadata = None
        writer.add_metadata({"/ModDate": TextStringObject("yesterday")})

    assert read_flat(flat_pdf(tmp_path / "a.pdf", change=spoil), Wanted()).date is None
