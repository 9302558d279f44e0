"""Fetch the source distributions whose own test files are tried, and take the flats out of them.

They stay in ``.cache/wild`` (never committed): their licences are their authors' affair, our use is to read
them.
"""

from __future__ import annotations

import subprocess
import sys
import tarfile
from pathlib import Path, PurePosixPath

CACHE = Path(__file__).parent.parent.parent / ".cache" / "wild"

PACKAGES = (
    "pypdf",
    "pikepdf",
    "img2pdf",
    "ocrmypdf",
    "pdfminer.six",
    "Pillow",
    "pypdfium2",
    "reportlab",
    "weasyprint",
)
"""Libraries that ship test files, many of them broken on purpose."""

SUFFIXES = (".pdf", ".ai", ".jpg", ".jpeg", ".png", ".tif", ".tiff", ".webp", ".gif", ".bmp", ".jp2", ".eps")
"""What is tried; the last four are no flats and must be refused."""

LARGEST = 60_000_000
"""Bytes of a file that is taken out."""


class OfflineError(Exception):
    """A package could not be fetched."""


def wild_files() -> list[Path]:
    """All wild files, fetched when they are not there yet, in a fixed order.

    Raises:
        OfflineError: There is no package index to be reached.
    """
    for package in PACKAGES:
        if not (CACHE / "files" / package).is_dir():
            _unpack(_fetched(package), CACHE / "files" / package)
    return sorted(path for path in (CACHE / "files").rglob("*") if path.is_file())


def _fetched(package: str) -> Path:
    """The source distribution, by pip."""
    folder = CACHE / "sdists" / package
    folder.mkdir(parents=True, exist_ok=True)
    found = list(folder.glob("*.tar.gz"))
    if not found:
        command = [sys.executable, "-m", "pip", "download", "--quiet", "--no-deps"]
        command += ["--no-binary", package, "--dest", str(folder), package]
        done = subprocess.run(command, capture_output=True, text=True, check=False, timeout=600)
        found = list(folder.glob("*.tar.gz"))
        if done.returncode or not found:
            raise OfflineError(f"{package}: {(done.stderr.strip().splitlines() or ['no answer'])[-1]}")
    return found[0]


def _unpack(archive: Path, folder: Path) -> None:
    """Take the flats out; folders become part of the name, so that nothing can land elsewhere."""
    folder.mkdir(parents=True, exist_ok=True)
    with tarfile.open(archive) as members:
        for member in members:
            name = PurePosixPath(member.name)
            if not member.isfile() or name.suffix.lower() not in SUFFIXES or member.size > LARGEST:
                continue
            content = members.extractfile(member)
            if content is not None:
                (folder / "__".join(name.parts[1:])[-200:]).write_bytes(content.read())
