"""How heavy a page is for a renderer, and that heavy ones must prove themselves."""

from __future__ import annotations

import math
from pathlib import Path

import pikepdf
import pytest
from pikepdf import Array, Dictionary, Name, Pdf, Stream

from tests import hostile
from tests.flats import flat_pdf
from tiler.errors import FlatError
from tiler.flat import pdfium_work, weight
from tiler.flat.pdf import PdfFlat
from tiler.flat.read import Wanted, read_flat


def heavy(path: Path) -> float:
    """The weight of a flat's page."""
    flat = read_flat(path, Wanted())
    assert isinstance(flat.source, PdfFlat)
    return weight.weight(flat.source)


def calling(pdf: Pdf, content: bytes, **children: pikepdf.Object) -> pikepdf.Object:
    """A form that may call others."""
    made = hostile.form(pdf, content, None)
    made.stream_dict[Name.Resources] = Dictionary(
        {"/XObject": Dictionary({f"/{name}": child for name, child in children.items()})}
    )
    return pdf.make_indirect(made)


def test_a_plain_page_weighs_its_content(tmp_path: Path) -> None:
    path = flat_pdf(tmp_path / "flat.pdf", size=(300, 200))
    with pikepdf.open(path) as pdf:
        assert heavy(path) == len(pdf.pages[0].Contents.read_bytes())


def test_a_form_counts_as_often_as_it_is_called(tmp_path: Path) -> None:
    def spoil(pdf: Pdf) -> None:
        inner = calling(pdf, b"x" * 100)
        outer = calling(pdf, b"/In Do /In Do /In Do", In=inner)
        pdf.pages[0].obj.Resources = Dictionary(XObject=Dictionary(Out=outer))
        pdf.pages[0].obj.Contents = Array([Stream(pdf, b"/Out Do"), Stream(pdf, b"/Out Do")])

    path = hostile.spoiled(tmp_path / "flat.pdf", spoil)
    assert heavy(path) == 15 + 2 * (20 + 3 * 100)


def test_a_form_in_itself_weighs_without_end_and_is_tried(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(pdfium_work, "SECONDS", 2)
    path = hostile.spoiled(tmp_path / "flat.pdf", hostile.a_form_that_calls_itself)
    with pytest.raises(FlatError, match=r"cannot be drawn|takes longer"):
        read_flat(path, Wanted())


def test_a_form_that_only_lists_itself_is_taken(tmp_path: Path) -> None:
    def spoil(pdf: Pdf) -> None:
        own = calling(pdf, b"0 0 9 9 re f /Do pop")
        own.Resources.XObject.Own = own
        pdf.pages[0].obj.Resources = Dictionary(XObject=Dictionary(Own=own))
        pdf.pages[0].obj.Contents = Stream(pdf, b"/Own Do")

    path = hostile.spoiled(tmp_path / "flat.pdf", spoil)
    assert math.isinf(heavy(path))


def test_a_heavy_but_honest_page_is_taken(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(weight, "LIGHT", 10)
    assert read_flat(flat_pdf(tmp_path / "flat.pdf", size=(300, 200)), Wanted()).pages == 1
