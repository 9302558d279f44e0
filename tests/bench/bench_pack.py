"""A mock of a heavy flat against pypdf's bare clone-and-write of the same page, as whole processes."""

from __future__ import annotations

import os
import sys
import tempfile
from pathlib import Path

from tests.bench.heavy_flats import made
from tests.bench.measure import in_turn

BARE = (
    "import sys; from pypdf import PdfReader, PdfWriter; w = PdfWriter(); "
    "w.add_page(PdfReader(sys.argv[1]).pages[0]); w.write(sys.argv[2])"
)
"""The bare clone: no marks, no plan, nothing but pypdf."""


def row(name: str, kind: str, folder: Path) -> str:
    """One line of the table."""
    flat, pack = made(kind, folder / f"{kind}.pdf"), folder / "pack.pdf"
    mock = [sys.executable, "-m", "tiler", "mock", str(flat), "-o", str(pack), "--sheet", "A4"]
    bare = [sys.executable, "-c", BARE, str(flat), str(folder / "bare.pdf")]
    ours, theirs = in_turn([mock, bare])
    import pypdf

    size, more = os.path.getsize(flat) / 1e6, (os.path.getsize(pack) - os.path.getsize(flat)) / 1e3
    sheets = len(pypdf.PdfReader(pack).pages)
    return (
        f"{name:<20} {size:6.1f} MB  mock {ours.wall:5.2f} s ({ours.cpu:4.2f} cpu)  "
        f"bare {theirs.wall:5.2f} s ({theirs.cpu:4.2f} cpu)  ratio {ours.wall / theirs.wall:4.2f}  "
        f"peak {ours.peak:4.0f} MB = input + {ours.peak - size:3.0f}  "
        f"pack = input + {more / sheets:4.1f} KB a page ({sheets} pages)"
    )


def main() -> None:
    """Print the table."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        print(row("50 MB of photographs", "photographs", folder), flush=True)
        print(row("200,000 paths", "paths", folder), flush=True)


if __name__ == "__main__":
    main()
