"""The job ticket: a TOML file with every choice of a job, to be read by people and repeated by tiler.

Lengths are millimetres. Files are named from the ticket's own folder. A password is never written.
"""

from __future__ import annotations

import os
import re
import tomllib
from pathlib import Path
from typing import TYPE_CHECKING, Any

from tiler.errors import UsageError
from tiler.job import Job
from tiler.ticket_fields import TABLES, VERSION, job_of, values_of

if TYPE_CHECKING:
    from tomlkit.items import Item, Table

LARGEST_FILE = 1_000_000
"""Bytes; a ticket has a few thousand."""

_LONG_KEY = re.compile(r"(?:\.[ \t]*[^.,\s]{1,99}[ \t]*){100}")
"""A key of a hundred words; reading one takes room as the square of its length."""

HEAD = (
    "Job ticket of tiler: all choices of one mock, so that it can be made again.",
    "Open it with: tiler open TICKET, or name it wherever a command takes a flat.",
    "Lengths are mm; files are named from the folder of this ticket.",
)


def save_ticket(job: Job, path: Path) -> None:
    """Write the ticket in one stroke; an older one stays as it was when that fails.

    Raises:
        UsageError: A file's name is no text.
        PackError: The place cannot be written, or is the flat itself.
    """
    from tiler.pack.target import check_target, replaced

    check_target(path, job.inputs)
    written = encoded(ticket_text(job, path.absolute().parent))
    with replaced(path) as stream:
        stream.write(written)


def load_ticket(path: Path) -> Job:
    """Read a ticket.

    Raises:
        UsageError: It cannot be read, or says something that no job can be; names key and line.
    """
    values, text = ticket_values(path)
    if "part" in values:
        raise UsageError(f"{path.name} names several parts", "name the flat of one part here")
    return job_of(values, text, path)


def ticket_values(path: Path) -> tuple[dict[str, Any], str]:
    """A ticket as plain values of TOML, and its text.

    Raises:
        UsageError: It cannot be read.
    """
    text = _text(path)
    try:
        if _LONG_KEY.search(text):
            raise RecursionError
        values = tomllib.loads(text)
    except tomllib.TOMLDecodeError as problem:
        raise UsageError(f"{path.name} is not a job ticket: {problem}", "mend that line") from None
    except ValueError:  # Python reads no whole number of more than some thousand digits
        raise UsageError(
            f"{path.name} is not a job ticket: a number in it has no end", "write it shorter"
        ) from None
    except RecursionError:
        raise UsageError(
            f"{path.name} is not a job ticket: it is nested without end", "save it anew"
        ) from None
    return values, text


def ticket_text(job: Job, folder: Path) -> str:
    """The ticket as text.

    Args:
        job: The job.
        folder: Where the ticket will lie; files are named from there.
    """
    import tomlkit

    document = tomlkit.document()
    for line in HEAD:
        document.add(tomlkit.comment(line))
    document.add(tomlkit.nl())
    document.add("version", tomlkit.item(VERSION))
    values = values_of(job, lambda file: named_from(folder, file))
    for name, remark in TABLES.items():
        entries = values.get(name)
        if not entries:
            continue
        document.add(tomlkit.nl())
        table = tomlkit.table()
        if remark:
            table.comment(remark)
        for key, (value, words) in entries.items():
            add_entry(table, key, value, words)
        document.add(name, table)
    return tomlkit.dumps(document)


def encoded(text: str) -> bytes:
    """The text as a ticket keeps it.

    Raises:
        UsageError: A file's name is no text.
    """
    try:
        return text.encode("utf-8")
    except UnicodeEncodeError:
        raise UsageError(
            "a file or folder that the ticket would name has a name that is no text in UTF-8", "rename it"
        ) from None


def add_entry(table: Table, key: str, value: object, words: str) -> None:
    """One line of a table, with its remark."""
    import tomlkit

    item: Item = tomlkit.item(value)
    if isinstance(value, list) and value and isinstance(value[0], list | dict):
        lines = tomlkit.array()
        for entry in value:
            lines.add_line(_inline(entry))
        lines.add_line(indent="")
        item = lines
    elif isinstance(value, dict):
        item = _inline(value)
    if words:
        item.comment(words)
    table.add(key, item)


def _inline(entry: object) -> Item:
    """A value that stays on its line."""
    import tomlkit

    if not isinstance(entry, dict):
        return tomlkit.item(entry)
    inline = tomlkit.inline_table()
    inline.update(entry)
    return inline


def named_from(folder: Path, file: Path) -> str:
    """A file as named from a folder; in full where it lies on another drive."""
    try:
        return Path(os.path.relpath(file.absolute(), folder)).as_posix()
    except ValueError:
        return file.absolute().as_posix()


def _text(path: Path) -> str:
    """The ticket's text.

    Raises:
        UsageError: It cannot be read.
    """
    try:
        if path.exists() and not path.is_file():
            raise UsageError(f"{path} is no ordinary file, so no job ticket", "check the name")
        if path.stat().st_size > LARGEST_FILE:
            raise UsageError(f"{path} is far too long for a job ticket", "check the name")
        return path.read_text("utf-8-sig")  # some editors put a byte order mark before the text
    except UnicodeDecodeError:
        raise UsageError(f"{path} is no text in UTF-8, so no job ticket", "check the name") from None
    except OSError as problem:
        raise UsageError(
            f"{path} cannot be read ({problem.strerror})", "check the name and the folder"
        ) from None
