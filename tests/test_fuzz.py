"""Spoiled flats: each makes a pack or ends in one sentence. The same cases in every run."""

from __future__ import annotations

from pathlib import Path

import pytest
from pypdf import PdfWriter

from tests.bounded import Ended
from tests.fuzz import case, fault, tried
from tiler.errors import TilerError
from tiler.flat.form import add_pdf_form
from tiler.flat.image import add_form
from tiler.flat.pdf import PdfFlat
from tiler.flat.read import Wanted, read_flat


@pytest.mark.parametrize("block", range(8))
def test_spoiled_flats_are_read_or_refused_in_a_sentence(tmp_path: Path, block: int) -> None:
    path = tmp_path / "flat"
    outcomes: set[str] = set()
    sentences: list[str] = []
    for number in range(10_000 + block * 40, 10_040 + block * 40):
        path.write_bytes(case(number)[1])
        try:
            flat = read_flat(path, Wanted())
            if isinstance(flat.source, PdfFlat):
                add_pdf_form(flat.source, PdfWriter(), "flat")
            else:
                add_form(flat.source, PdfWriter())
            outcomes.add("read")
        except TilerError as problem:
            sentences.append(str(problem))
            outcomes.add("refused")
    assert outcomes == {"read", "refused"}
    assert [sentence for sentence in sentences if "\n" in sentence or len(sentence) > 400] == []


@pytest.mark.parametrize("number", range(16))
def test_a_spoiled_flat_makes_a_pack_or_ends_in_one_sentence(number: int) -> None:
    seed, _, wrong = tried(number)
    assert not wrong, (seed, wrong)


def test_a_fault_would_be_noticed(tmp_path: Path) -> None:
    assert fault(Ended(0, "", "", 1.0, 1), tmp_path) == ""
    assert "Traceback" in fault(Ended(70, "", "Traceback", 1.0, 1), tmp_path)
    assert "names" in fault(Ended(1, "", "tiler: no", 1.0, 1), tmp_path).replace("name the", "names")
    (tmp_path / ".pack.pdf.1-1.part").touch()
    assert "left" in fault(Ended(1, "", "tiler: flat: no; go", 1.0, 1), tmp_path)
