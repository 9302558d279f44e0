"""A glance at a page's content that costs milliseconds and may save a long look."""

from __future__ import annotations

import re

from pypdf.generic import DictionaryObject, StreamObject

from tiler.flat.boxes import inherited
from tiler.flat.form import joined_content
from tiler.flat.limits import raised_limits, readable
from tiler.flat.pdf import PdfFlat
from tiler.flat.read import Flat

_SHOWS_TEXT = re.compile(rb"[\])>]\s*(?:T[jJ]|['\"])[\s%]?")
"""A string followed by a text-showing operator (ISO 32000-2, table 107)."""


def may_hold_text(flat: Flat) -> bool:
    """False only when neither the page nor any form it may use shows a string."""
    if not isinstance(flat.source, PdfFlat):
        return False
    with raised_limits(flat.source.file_size), readable(flat.path.name):
        if _shows_text(joined_content(flat.source)):
            return True
        return any(_shows_text(form.get_data()) for form in _forms(flat.source))


def _shows_text(content: bytes) -> bool:
    """True when a string is shown; most content without text holds no letters of an operator at all."""
    if not (_holds_show(content) or b"'" in content or b'"' in content):
        return False
    return _SHOWS_TEXT.search(content) is not None


def _holds_show(content: bytes) -> bool:
    """True when ``Tj`` or ``TJ`` stands anywhere. Looking for one letter is ten times as quick as for two."""
    at = content.find(b"T")
    while at >= 0:
        if content[at + 1 : at + 2] in (b"j", b"J"):
            return True
        at = content.find(b"T", at + 1)
    return False


def _forms(source: PdfFlat) -> list[StreamObject]:
    """Form XObjects and patterns of the page, nested ones too, each once."""
    found: dict[int, StreamObject] = {}
    waiting = [inherited(source.page, "/Resources")]
    while waiting:
        resources = waiting.pop()
        resources = resources.get_object() if hasattr(resources, "get_object") else None
        if not isinstance(resources, DictionaryObject):
            continue
        for kind in ("/XObject", "/Pattern"):
            table = resources.get(kind)
            entries = table.get_object() if table is not None else None
            for value in entries.values() if isinstance(entries, DictionaryObject) else ():
                item = value.get_object()
                if (
                    isinstance(item, StreamObject)
                    and id(item) not in found
                    and item.get("/Subtype") != "/Image"
                ):
                    found[id(item)] = item
                    waiting.append(item.get("/Resources"))
    return list(found.values())
