"""What PDFium does with a foreign file in a process of its own; nothing of tiler is needed here.

``apart`` forks into these functions or, where that is not safe, starts this file as a program: it reads the
PDF from stdin and writes the result to stdout.
"""

from __future__ import annotations

import contextlib
import io
import sys

SECONDS = 40
"""Processor time that one piece of work may take."""

MEMORY = 1_000_000_000
"""Bytes that it may take beyond what the process has at its start."""

REFUSED = 3
"""Exit code when PDFium says that it cannot read the file."""


def draw(pdf: bytes, width: int, height: int, password: str = "") -> bytes:
    """The first page on white paper, stretched to ``width`` × ``height`` pixels.

    Four bytes a pixel: blue, green, red and nothing.

    Raises:
        PdfiumError: The page cannot be read.
    """
    import pypdfium2
    import pypdfium2.raw as raw

    document = pypdfium2.PdfDocument(pdf, password=password or None)
    try:
        page = document[0]
        bitmap = pypdfium2.PdfBitmap.new_native(width, height, raw.FPDFBitmap_BGRx)
        bitmap.fill_rect((255, 255, 255, 255), 0, 0, width, height)
        raw.FPDF_RenderPageBitmap(bitmap.raw, page.raw, 0, 0, width, height, 0, raw.FPDF_PRINTING)
        return bytes(bitmap.buffer)
    finally:
        document.close()


def mend(pdf: bytes, width: int = 0, height: int = 0, password: str = "") -> bytes:
    """The file written anew, with a sound table of objects.

    Raises:
        PdfiumError: Too little of it can be read.
    """
    import pypdfium2

    document = pypdfium2.PdfDocument(pdf, password=password or None)
    try:
        out = io.BytesIO()
        document.save(out)
        return out.getvalue()
    finally:
        document.close()


def hold_back() -> None:
    """Limit time and memory of this process, where the system can."""
    try:
        import resource
    except ImportError:  # Windows: the caller's patience alone holds
        return
    with contextlib.suppress(OSError, ValueError):
        resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    with contextlib.suppress(OSError, ValueError):
        spent = resource.getrusage(resource.RUSAGE_SELF)
        limit = SECONDS + int(spent.ru_utime + spent.ru_stime)
        resource.setrlimit(resource.RLIMIT_CPU, (limit, limit))
    with contextlib.suppress(OSError, ValueError), open("/proc/self/statm", "rb") as told:
        present = int(told.read().split()[0]) * resource.getpagesize()
        resource.setrlimit(resource.RLIMIT_AS, (present + MEMORY, present + MEMORY))


def main() -> int:
    """Run one piece of work: its name, width and height are the arguments, the password is the first line."""
    name, width, height = sys.argv[1:4]
    password = sys.stdin.buffer.readline().decode("utf-8").rstrip("\n")
    pdf = sys.stdin.buffer.read()
    hold_back()
    import pypdfium2

    work = {"draw": draw, "mend": mend}[name]
    try:
        result = work(pdf, int(width), int(height), password)
    except pypdfium2.PdfiumError:
        return REFUSED
    sys.stdout.buffer.write(result)
    return 0


if __name__ == "__main__":
    sys.exit(main())
