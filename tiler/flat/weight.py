"""How much a page makes a renderer read, forms within forms counted as often as they are called."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from pypdf.generic import DictionaryObject, PdfObject, StreamObject

from tiler.flat.boxes import inherited
from tiler.flat.form import joined_content
from tiler.flat.limits import raised_limits, readable
from tiler.flat.pdf import PdfFlat

LIGHT = 30_000_000
"""Bytes of content that PDFium reads within some seconds and some hundred megabytes (measured: strokes of 14
bytes, the densest art there is, take 40 times their length)."""


@dataclass
class _Node:
    """A form on the way down."""

    own: int
    """Bytes of its content."""
    calls: int
    """How often it calls any form at most."""
    children: list[StreamObject]
    heaviest: float = 0.0
    waiting: list[StreamObject] = field(default_factory=list)


def is_light(flat: PdfFlat, name: str) -> bool:
    """True when the page can be opened without more ado; else it must prove itself apart.

    Raises:
        FlatError: Its content is damaged or unpacks to too much.
    """
    with raised_limits(flat.file_size), readable(name):
        return weight(flat) <= LIGHT


def weight(flat: PdfFlat) -> float:
    """Bytes of content that drawing the page has a renderer read, at most; infinite for a form in itself."""
    forms = _forms_in(inherited(flat.page, "/Resources"))
    content = joined_content(flat)
    if not forms:
        return len(content)
    known: dict[int, float] = {}
    root = _Node(len(content), content.count(b"Do"), forms, waiting=list(forms))
    path: list[tuple[int, _Node]] = [(0, root)]
    while True:
        key, node = path[-1]
        if not node.waiting:
            total = node.own + node.calls * node.heaviest
            path.pop()
            if not path:
                return total
            known[key] = total
            path[-1][1].heaviest = max(path[-1][1].heaviest, total)
            continue
        child = node.waiting.pop()
        if id(child) in known:
            node.heaviest = max(node.heaviest, known[id(child)])
        elif any(id(child) == above for above, _ in path):
            return math.inf
        else:
            path.append((id(child), _node(child, forms)))


def _node(form: StreamObject, of_page: list[StreamObject]) -> _Node:
    """A form with those that it may call; without resources of its own it has the page's (PDF 1.1)."""
    data = form.get_data()
    calls = data.count(b"Do")
    children = (_forms_in(form.get("/Resources")) if "/Resources" in form else of_page) if calls else []
    return _Node(len(data), calls, children, waiting=list(children))


def _forms_in(resources: object) -> list[StreamObject]:
    """The form XObjects of a resource dictionary."""
    table = _dictionary(_dictionary(resources).get("/XObject"))
    values = [value.get_object() for value in table.values() if isinstance(value, PdfObject)]
    return [
        value for value in values if isinstance(value, StreamObject) and value.get("/Subtype") != "/Image"
    ]


def _dictionary(value: object) -> DictionaryObject:
    """The dictionary behind a value; an empty one for anything else."""
    found = value.get_object() if isinstance(value, PdfObject) else value
    return found if isinstance(found, DictionaryObject) else DictionaryObject()
