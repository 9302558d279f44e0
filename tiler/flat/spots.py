"""Spot colours left out of a copy of a page that is only looked at."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from pypdf import PdfWriter
from pypdf.generic import ArrayObject, DictionaryObject, NameObject

from tiler.flat.names import readable

SILENT = NameObject("/None")
"""A separation of this name produces no visible output (ISO 32000-2, 8.6.6.4)."""


def silence_spots(writer: PdfWriter, names: Collection[str]) -> None:
    """Let nothing that is painted in these spot colours show.

    Args:
        writer: The copy; only its colour spaces are changed.
        names: As people read them. A colour that is mixed with others in one colour space (DeviceN) stays.
    """
    if not names:
        return
    for item in list(writer._objects):
        for space in _spaces(item):
            if (
                len(space) > 1
                and space[0] == "/Separation"
                and readable(str(space[1]).removeprefix("/")) in names
            ):
                space[1] = SILENT


def _spaces(item: object) -> Iterator[ArrayObject]:
    """Arrays that may be colour spaces: an object itself, or an entry of a table or of a form's resources."""
    if isinstance(item, ArrayObject):
        yield item
    if not isinstance(item, DictionaryObject):
        return
    tables: list[object] = [item, item.get("/ColorSpace")]
    resources = item.get("/Resources")
    if isinstance(resources, DictionaryObject):
        tables.append(resources.get("/ColorSpace"))
    for table in tables:
        if isinstance(table, DictionaryObject):
            yield from (value for value in table.values() if isinstance(value, ArrayObject))
