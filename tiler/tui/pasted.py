"""What terminals paste when a file is dropped on them, turned into a path."""

from __future__ import annotations

import re
from pathlib import Path
from urllib.parse import unquote, urlsplit

OPENED = (".pdf", ".jpg", ".jpeg", ".png", ".tif", ".tiff", ".webp", ".toml")
"""Endings of the files that can be opened: flats and job tickets."""

TICKET_HEAD = 4096
"""Bytes in which a job ticket shows that it is one."""

TICKET_SIGNS = (rb"^\s*version\s*=", rb"^\s*(\[\s*flat\s*\]|\[\[\s*part\s*\]\])")
"""Lines that every job ticket has: its version, and the flat or the first part."""

LONGEST = 4096
"""Characters; no system has longer paths."""


def pasted_path(text: str) -> Path | None:
    r"""The path that the text names; None when it does not look like one.

    Terminals write a dropped file as it is, in quotes, with backslashes before spaces, or as ``file:`` URL.

    >>> pasted_path("'/jobs/my lid.pdf' "), pasted_path(r"/jobs/my\ lid.pdf"), pasted_path("hello")
    (PosixPath('/jobs/my lid.pdf'), PosixPath('/jobs/my lid.pdf'), None)
    """
    text = text.strip().removeprefix("& ")
    if not text or len(text) > LONGEST or "\n" in text or "\0" in text:
        return None
    if text[0] in "'\"" and text[-1] == text[0] and len(text) > 1:
        text = text[1:-1]
    elif text.lower().startswith("file:"):
        text = unquote(urlsplit(text).path)
    elif not re.match(r"[A-Za-z]:\\", text):
        text = re.sub(r"\\(.)", r"\1", text)
    path = Path(text).expanduser()
    has_folder = "/" in text or "\\" in text
    return path if has_folder or path.suffix.lower() in OPENED else None


def not_opened(path: Path) -> str:
    """Why what was dropped is no file to open; empty for pasted words that are hardly a path."""
    if path.is_dir():
        return f"{path.name} is a folder: drop a flat or a job ticket."
    if path.is_absolute() or path.suffix.lower() in OPENED:
        return f"There is no file {path} on this computer."
    return ""


def is_ticket(path: Path) -> bool:
    """True for a job ticket, told by its ending."""
    return path.suffix.lower() == ".toml"


def is_opened(path: Path) -> bool:
    """True for a file that can be opened, told by its ending; of TOML files only what looks like a ticket."""
    if path.suffix.lower() not in OPENED or path.name.startswith("."):
        return False
    return not is_ticket(path) or _looks_like_ticket(path)


def _looks_like_ticket(path: Path) -> bool:
    """True for a file that begins as job tickets do; a file that cannot be read is none."""
    try:
        with path.open("rb") as file:
            head = file.read(TICKET_HEAD)
    except OSError:
        return False
    return all(re.search(sign, head, re.MULTILINE) for sign in TICKET_SIGNS)
