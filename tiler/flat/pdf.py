"""PDF flats: open the file, find the page, look at it through its box."""

from __future__ import annotations

import io
import os
import re
from dataclasses import dataclass
from pathlib import Path
from typing import IO

from pypdf import PageObject, PdfReader
from pypdf.generic import ArrayObject, DictionaryObject

from tiler.errors import FlatError, PasswordError, UsageError
from tiler.flat.apart import mend_apart
from tiler.flat.boxes import Seen, seen
from tiler.flat.limits import RESAVE, raised_limits, readable

TAIL = 4096
"""Bytes at the end of a file in which its cross-reference pointer is looked for."""

HEAD = 1024
"""A header may stand behind this many bytes of foreign matter (practice of readers, no source)."""


LARGEST_MENDED = 400_000_000
"""Bytes of a damaged file that is mended in memory: it is held twice then."""


Stamp = tuple[int, int]
"""Length of a file in bytes, and when it was last changed, in nanoseconds."""


@dataclass(frozen=True)
class PdfFlat:
    """One page of a PDF."""

    reader: PdfReader
    """Kept open: the pack copies its streams."""
    page: PageObject
    seen: Seen
    """The box that is tiled."""
    file_size: int
    """Bytes."""
    annotations: bool = False
    """True prints the appearance of annotations that are meant to be printed."""
    stamp: Stamp | None = None
    """State of the file when it was opened; None when it is held in memory."""


@dataclass(frozen=True)
class OpenPdf:
    """A PDF whose page has not been chosen yet."""

    reader: PdfReader
    page_count: int
    file_size: int
    """Bytes."""
    repaired: bool
    """True when the cross-reference table was broken and has been rebuilt in memory."""
    stamp: Stamp | None = None
    """State of the file when it was opened; None when it is held in memory."""


def is_pdf(head: bytes) -> bool:
    """True when the first bytes are those of a PDF, whatever the file is called."""
    return b"%PDF-" in head[:HEAD]


def open_pdf(path: Path, stream: IO[bytes], size: int, password: str | None) -> OpenPdf:
    """Read the skeleton of a PDF.

    Args:
        path: For messages.
        stream: The open file; stays open with the result.
        size: Its length in bytes.
        password: Owner or user password, None for none.

    Raises:
        FlatError: The file is cut short, damaged, or has no pages.
        PasswordError: It is encrypted and the password does not open it.
    """
    name = path.name
    stamp = _stamp(stream)
    with raised_limits(size), readable(name):
        repaired = not _has_good_table(stream, size)
        if repaired:
            stream = _repaired(name, stream, size, password)
        reader = PdfReader(stream)
        if reader.is_encrypted:
            _unlock(reader, name, password)
        pages = len(reader.pages)
    if pages == 0:
        raise FlatError(f"{name}: has no pages", "export the flat again")
    return OpenPdf(reader, pages, size, repaired, None if repaired else stamp)


def choose_page(path: Path, source: OpenPdf, page: int, box: str, annotations: bool = False) -> PdfFlat:
    """Look at one page of an open PDF.

    Raises:
        FlatError: The page has no usable size.
        UsageError: There is no such page or box.
    """
    if not 1 <= page <= source.page_count:
        last = f"pages 1 to {source.page_count}" if source.page_count > 1 else "one page"
        raise UsageError(
            f"{path.name}: there is no page {page}", f"the file has {last}; choose it with --page"
        )
    with raised_limits(source.file_size), readable(path.name):
        page_object = source.reader.pages[page - 1]
        view = seen(page_object, box, f"{path.name}, page {page}")
    return PdfFlat(source.reader, page_object, view, source.file_size, annotations, source.stamp)


def check_unchanged(flat: PdfFlat, name: str) -> None:
    """Make sure that what has been read is all of one state of the file.

    Raises:
        FlatError: Another program has written to it since it was opened.
    """
    if flat.stamp is not None and _stamp(flat.reader.stream) != flat.stamp:
        raise FlatError(f"{name}: has been changed while it was read", "run the command again")


def _stamp(stream: IO[bytes]) -> Stamp | None:
    """The state of an open file; None for one in memory."""
    try:
        told = os.fstat(stream.fileno())
    except (OSError, ValueError):
        return None
    return told.st_size, told.st_mtime_ns


def file_date(reader: PdfReader) -> str | None:
    """The day on which the file says it was last changed, as YYYY-MM-DD; None when it does not say."""
    try:
        info = reader.trailer.get("/Info")
        entries = info.get_object() if info is not None else None
        if not isinstance(entries, DictionaryObject):
            return None
        raw = str(entries.get("/ModDate") or entries.get("/CreationDate") or "")
    except Exception:  # a broken date never stands in the way of a mock
        return None
    match = re.match(r"(?:D:)?(\d{4})(\d{2})(\d{2})", raw)
    return "-".join(match.groups()) if match else None


def _unlock(reader: PdfReader, name: str, password: str | None) -> None:
    """Decrypt with the given or the empty password."""
    if reader.decrypt(password or ""):
        return
    if password:
        raise PasswordError(f"{name}: the password does not open it", "give the right one with --password")
    raise PasswordError(f"{name}: is protected by a password", "give it with --password")


def _has_good_table(stream: IO[bytes], size: int) -> bool:
    """True when the pointer at the end leads to a cross-reference table or stream."""
    stream.seek(max(0, size - TAIL))
    pointers: list[bytes] = re.findall(rb"startxref\s+(\d+)", stream.read(TAIL))
    if not pointers:
        return False
    stream.seek(0)
    shift = max(0, stream.read(HEAD + 5).find(b"%PDF-"))
    for offset in {int(pointers[-1]), int(pointers[-1]) + shift}:
        if offset >= size:
            continue
        stream.seek(offset)
        if re.match(rb"\s*(xref|\d+\s+\d+\s+obj)", stream.read(40)):
            stream.seek(0)
            return True
    return False


def _repaired(name: str, stream: IO[bytes], size: int, password: str | None) -> IO[bytes]:
    """Let PDFium rebuild the table of a complete file, in memory.

    Raises:
        FlatError: The file has no end-of-file mark, so a part of the art may be missing.
    """
    stream.seek(max(0, size - TAIL))
    if b"%%EOF" not in stream.read(TAIL):
        raise FlatError(f"{name}: is cut short, its end is missing", "copy or export it again")
    if size > LARGEST_MENDED:
        raise FlatError(f"{name}: its table of objects is broken, and it is too large to mend here", RESAVE)
    stream.seek(0)
    return io.BytesIO(mend_apart(name, stream.read(), password))


def content_streams(page: PageObject) -> list[DictionaryObject]:
    """The page's content streams in order, each as a pypdf stream object; empty for a blank page."""
    contents = page.get("/Contents")
    value = contents.get_object() if contents is not None else None
    pieces = [piece.get_object() for piece in value] if isinstance(value, ArrayObject) else [value]
    return [piece for piece in pieces if isinstance(piece, DictionaryObject) and hasattr(piece, "get_data")]
