"""PDFium's work in a process of its own: the same result both ways, and every end told."""

from __future__ import annotations

import threading
from pathlib import Path
from typing import NoReturn

import pypdfium2
import pytest

from tests.flats import flat_pdf
from tiler.errors import FlatError
from tiler.flat import apart, pdfium_work
from tiler.flat.apart import draw_apart, mend_apart


@pytest.fixture
def elsewhere(monkeypatch: pytest.MonkeyPatch) -> None:
    """As on a system, or in a program with threads, where a fork is not safe."""
    monkeypatch.setattr(threading, "active_count", lambda: 2)


@pytest.fixture
def pdf(tmp_path: Path) -> bytes:
    """A small flat."""
    return flat_pdf(tmp_path / "flat.pdf", size=(300, 200)).read_bytes()


def test_a_fork_draws_what_pdfium_draws_here(pdf: bytes) -> None:
    assert draw_apart("flat.pdf", pdf, 60, 40) == pdfium_work.draw(pdf, 60, 40)


@pytest.mark.usefixtures("elsewhere")
def test_a_program_draws_what_pdfium_draws_here(pdf: bytes) -> None:
    assert draw_apart("flat.pdf", pdf, 60, 40) == pdfium_work.draw(pdf, 60, 40)


@pytest.mark.usefixtures("elsewhere")
def test_a_password_reaches_the_other_process(tmp_path: Path) -> None:
    locked = flat_pdf(tmp_path / "flat.pdf", password="Dämmerung").read_bytes()
    document = pypdfium2.PdfDocument(mend_apart("flat.pdf", locked, "Dämmerung"), password="Dämmerung")
    assert len(document) == 1
    document.close()


@pytest.mark.parametrize("way", ["fork", "program"])
def test_what_is_no_pdf_is_told(way: str, request: pytest.FixtureRequest) -> None:
    if way == "program":
        request.getfixturevalue("elsewhere")
    with pytest.raises(FlatError, match=r"flat\.pdf: is damaged beyond reading"):
        draw_apart("flat.pdf", b"%PDF-1.7 nothing", 60, 40)


def test_work_without_end_is_stopped(pdf: bytes, monkeypatch: pytest.MonkeyPatch) -> None:
    def forever(*_: object) -> bytes:
        while True:
            pass

    monkeypatch.setattr(pdfium_work, "SECONDS", 1)
    monkeypatch.setattr(pdfium_work, "draw", forever)
    with pytest.raises(FlatError, match="takes longer than 1 s to draw; flatten or simplify"):
        draw_apart("flat.pdf", pdf, 60, 40)


def test_work_that_only_waits_is_stopped_by_the_clock(pdf: bytes, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(apart, "PATIENCE", 0.3)
    monkeypatch.setattr(pdfium_work, "draw", lambda *_: threading.Event().wait())
    with pytest.raises(FlatError, match="takes longer"):
        draw_apart("flat.pdf", pdf, 60, 40)


def test_work_that_eats_all_memory_is_stopped(pdf: bytes, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(pdfium_work, "draw", lambda *_: bytes(2 * pdfium_work.MEMORY))
    with pytest.raises(FlatError, match="cannot be drawn with 1000 MB of memory"):
        draw_apart("flat.pdf", pdf, 60, 40)


def test_a_crash_is_told(pdf: bytes, monkeypatch: pytest.MonkeyPatch) -> None:
    import os

    monkeypatch.setattr(pdfium_work, "draw", lambda *_: os.abort())
    with pytest.raises(FlatError, match="cannot be drawn"):
        draw_apart("flat.pdf", pdf, 60, 40)


def test_a_half_told_result_does_not_count(pdf: bytes, monkeypatch: pytest.MonkeyPatch) -> None:
    import os

    real = os.fdopen

    def broken(pipe: int, mode: str) -> NoReturn:
        stream = real(pipe, mode)
        stream.write(b"half")
        stream.flush()
        os.abort()

    monkeypatch.setattr(os, "fdopen", broken)
    with pytest.raises(FlatError, match="cannot be drawn"):
        draw_apart("flat.pdf", pdf, 60, 40)
