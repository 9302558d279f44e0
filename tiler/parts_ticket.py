"""Write the ticket of a job with several parts: what they share once, the rest under each part."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from tiler.errors import UsageError
from tiler.job import Job
from tiler.parts import OWN_TABLES, Part, check_names
from tiler.ticket import HEAD, add_entry, encoded, named_from
from tiler.ticket_fields import TABLES, VERSION, Values, values_of

if TYPE_CHECKING:
    from tomlkit import TOMLDocument

PARTS_HEAD = "What all parts share stands first; then each part with what is its own."


def save_parts(parts: Sequence[Part], path: Path) -> None:
    """Write the ticket in one stroke; an older one stays as it was when that fails.

    Raises:
        UsageError: Names are unclear, or the parts are not for the same paper.
        PackError: The place cannot be written, or is a flat itself.
    """
    from tiler.pack.target import check_target, replaced

    check_target(path, [file for part in parts for file in part.job.inputs])
    written = encoded(parts_text(parts, path.absolute().parent))
    with replaced(path) as stream:
        stream.write(written)


def parts_text(parts: Sequence[Part], folder: Path) -> str:
    """The ticket as text.

    Args:
        parts: At least one.
        folder: Where the ticket will lie; files are named from there.

    Raises:
        UsageError: Names are unclear, or the parts are not for the same paper.
    """
    import tomlkit

    check_names([part.name for part in parts], "this job")
    values = [values_of(part.job, lambda file: named_from(folder, file)) for part in parts]
    shared = _shared(values)
    if "paper" not in shared:
        raise UsageError(
            "the parts are not for the same paper", "choose one sheet and printer for all of them"
        )
    document = tomlkit.document()
    for line in (*HEAD, PARTS_HEAD):
        document.add(tomlkit.comment(line))
    document.add(tomlkit.nl())
    document.add("version", tomlkit.item(VERSION))
    for name, remark in TABLES.items():
        if shared.get(name):
            table = tomlkit.table()
            if remark:
                table.comment(remark)
            for key, (value, words) in shared[name].items():
                add_entry(table, key, value, words)
            document.add(tomlkit.nl())
            document.add(name, table)
    _add_parts(document, parts, values, shared)
    return tomlkit.dumps(document)


def _shared(values: Sequence[Values]) -> Values:
    """The tables that are the same in every part; a part's flat is its own."""
    first = values[0]
    return {
        name: first.get(name, {})
        for name in ("paper", *OWN_TABLES)
        if all(one.get(name, {}) == first.get(name, {}) for one in values)
    }


def _add_parts(
    document: TOMLDocument, parts: Sequence[Part], values: Sequence[Values], shared: Values
) -> None:
    """A table for each part, with tables in it for what is its own."""
    import tomlkit

    entries = tomlkit.aot()
    for part, own in zip(parts, values, strict=True):
        entry = tomlkit.table()
        entry.add("name", part.name)
        for key, (value, words) in own["flat"].items():
            add_entry(entry, key, value, words)
        for name in OWN_TABLES:
            if name not in shared and own.get(name):
                table = tomlkit.table()
                for key, (value, words) in own[name].items():
                    add_entry(table, key, value, words)
                entry.add(name, table)
        entries.append(entry)
    document.add(tomlkit.nl())
    document.add("part", entries)


def on_paper_of(parts: Sequence[Part], job: Job) -> tuple[Part, ...]:
    """The parts on the paper of one job: sheet, margins, printer and how the sheets lie."""
    return tuple(
        replace(
            part,
            job=replace(
                part.job,
                sheet=job.sheet,
                margins=job.margins,
                printer=job.printer,
                orientation=job.orientation,
            ),
        )
        for part in parts
    )
