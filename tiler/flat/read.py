"""Read a flat, whatever it is: what it contains decides, not what it is called."""

from __future__ import annotations

import hashlib
import os
import threading
import weakref
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO

from tiler.errors import FlatError
from tiler.geometry import Size
from tiler.units import format_number

if TYPE_CHECKING:
    from tiler.flat.image import ImageFlat
    from tiler.flat.pdf import PdfFlat

HEAD = 2048
"""Bytes that tell what a file is."""

LARGE = 4_000_000
"""Bytes from which a file is hashed in a thread of its own."""

_PIECE = 1 << 20
"""Bytes hashed at once."""


@dataclass(frozen=True)
class Flat:
    """The unfolded print artwork of one part."""

    path: Path
    page: int
    """Counted from 1."""
    pages: int
    """How many the file has."""
    box: str
    """The page box that is tiled; ``media`` for a picture."""
    size: Size
    """Extent of that box as a person sees it, at true size, mm."""
    sha256: str
    """Fingerprint of the file, 64 hex digits."""
    date: str | None
    """When the file says it was last changed, YYYY-MM-DD."""
    source: PdfFlat | ImageFlat
    """What the writer copies from."""
    warnings: tuple[str, ...] = ()
    """Sentences the user should read."""

    @property
    def revision(self) -> str:
        """The fingerprint as people compare it: eight hex digits."""
        return self.sha256[:8]

    @property
    def lasting_warnings(self) -> tuple[str, ...]:
        """The warnings without that of more pages, which says nothing once a second page is used as well."""
        more = _more_pages(self.path, self.pages, self.page)
        return tuple(warning for warning in self.warnings if warning != more)


@dataclass(frozen=True)
class Wanted:
    """Which part of a file is the flat."""

    page: int = 1
    """Page of a PDF or frame of a picture, counted from 1."""
    box: str = "auto"
    """Page box, see ``tiler.flat.boxes``."""
    ppi: float | None = None
    """Resolution of a picture, instead of its own."""
    size: Size | None = None
    """Extent of a picture in mm, instead of what its resolution gives."""
    password: str | None = None
    """Opens an encrypted PDF."""
    annotations: bool = False
    """True also prints annotations that are marked to print."""


Fingerprint = Callable[[], str]
"""Waits for the SHA-256 of the file, in hex."""


def read_flat(path: Path, wanted: Wanted) -> Flat:
    """Read the skeleton of a flat; its art stays in the file until it is needed.

    Raises:
        FlatError: The file is missing, unreadable, damaged or of another kind.
        UsageError: The page, box or size does not fit the file.
    """
    stream = _open(path)
    try:
        head = stream.read(HEAD)
        if not head:
            raise FlatError(f"{path.name}: is empty", "export the flat again")
        with _fingerprinted(path, stream) as fingerprint:
            flat = _read(path, stream, head, wanted, fingerprint)
    except BaseException:
        stream.close()
        raise
    weakref.finalize(flat, stream.close)  # open as long as anyone holds the flat
    return flat


def _open(path: Path) -> BinaryIO:
    """The file, open for reading.

    Raises:
        FlatError: There is no such file, or it may not be read.
    """
    try:
        if path.is_dir():
            raise FlatError(f"{path}: is a folder", "name the flat's file")
        if path.exists() and not path.is_file():
            raise FlatError(f"{path}: is no ordinary file", "name the flat's file")
        return path.open("rb")
    except FileNotFoundError:
        raise FlatError(f"{path}: there is no such file", "check the name and the folder") from None
    except OSError as problem:
        raise FlatError(f"{path}: cannot be opened ({problem.strerror})", "check the file's rights") from None


def _read(path: Path, stream: BinaryIO, head: bytes, wanted: Wanted, fingerprint: Fingerprint) -> Flat:
    """Hand the file to the reader of its kind."""
    from tiler.flat.pdf import is_pdf

    if is_pdf(head):
        return _read_pdf(path, stream, wanted, fingerprint)
    from tiler.flat.image import read_image, sniff

    if sniff(head) is None:
        raise FlatError(
            f"{path.name}: is neither a PDF nor a JPEG, PNG, TIFF or WebP picture",
            "export the flat as PDF",
        )
    image = read_image(path, stream, wanted.page, wanted.ppi, wanted.size)
    return Flat(
        path=path,
        page=image.page,
        pages=image.pages,
        box="media",
        size=image.size,
        sha256=fingerprint(),
        date=None,
        source=image,
        warnings=tuple(image.warnings),
    )


def _read_pdf(path: Path, stream: BinaryIO, wanted: Wanted, fingerprint: Fingerprint) -> Flat:
    """The page of a PDF."""
    from tiler.flat.pdf import choose_page, file_date, open_pdf
    from tiler.flat.weight import is_light

    size = os.fstat(stream.fileno()).st_size
    source = open_pdf(path, stream, size, wanted.password)
    page = choose_page(path, source, wanted.page, wanted.box, wanted.annotations)
    warnings = []
    if source.repaired:
        warnings.append(
            f"{path.name}: its table of objects was broken and has been rebuilt; compare mock and screen"
        )
    if source.page_count > 1:
        warnings.append(_more_pages(path, source.page_count, wanted.page))
    if wanted.ppi is not None or wanted.size is not None:
        width, height = (format_number(side) for side in page.seen.size)
        warnings.append(
            f"--ppi and --size are for pictures; this PDF page is {width} × {height} mm by itself"
        )
    flat = Flat(
        path=path,
        page=wanted.page,
        pages=source.page_count,
        box=page.seen.name,
        size=page.seen.size,
        sha256=fingerprint(),
        date=file_date(source.reader),
        source=page,
        warnings=tuple(warnings),
    )
    if not is_light(page, path.name):
        from tiler.flat.raster import prove

        prove(flat)
    return flat


def _more_pages(path: Path, pages: int, page: int) -> str:
    """That a file has more pages than the one that is read, and what can be done with another."""
    other = 2 if page == 1 else 1
    return (
        f"{path.name} has {pages} pages; this is page {page}: --page {other} takes another, "
        f"--inside {other} prints it on the backs"
    )


@contextmanager
def _fingerprinted(path: Path, stream: BinaryIO) -> Iterator[Fingerprint]:
    """Begin to work out the SHA-256 of a whole open file, in hex; the call that is yielded waits for it.

    A large file is hashed beside what is done with it, for neither needs Python's lock much.

    Raises:
        FlatError: By the call: the disk gives no more.
    """
    found: list[str] = []
    if os.fstat(stream.fileno()).st_size < LARGE or not hasattr(os, "pread"):
        stream.seek(0)
        digest = hashlib.file_digest(stream, "sha256").hexdigest()  # type: ignore[arg-type]
        stream.seek(0)
        yield lambda: digest
        return
    thread = threading.Thread(target=lambda: found.append(_digest(stream.fileno())), daemon=True)
    thread.start()

    def wait() -> str:
        thread.join()
        if not found:
            raise FlatError(f"{path.name}: cannot be read to its end", "check the disk that it lies on")
        return found[0]

    try:
        yield wait
    finally:
        thread.join()


def _digest(file: int) -> str:
    """SHA-256 of an open file, in hex; its position stays where it is."""
    digest, at = hashlib.sha256(), 0
    while piece := os.pread(file, _PIECE, at):
        digest.update(piece)
        at += len(piece)
    return digest.hexdigest()
